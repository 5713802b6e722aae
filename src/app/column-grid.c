#include "app/column-grid.h"

#include <glib/gi18n.h>

#include "exchange/centroid.h"
#include "widgets/whole-text.h"

static const char delimiters[] = { ',', ';', '\t', ' ', '|' };

static void
clear (GtkGrid *grid)
{
  GtkWidget *child;

  while ((child = gtk_widget_get_first_child (GTK_WIDGET (grid))) != NULL)
    gtk_grid_remove (grid, child);
}

static void
put_text (GtkGrid *grid, const char *text, int column, int row, gboolean quiet)
{
  GtkWidget *label = gtk_label_new (text);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 24);
  lw_tell_whole_text (label);
  if (quiet)
    gtk_widget_add_css_class (label, "quiet");
  gtk_grid_attach (grid, label, column, row, 1, 1);
}

static void
put_row (GtkGrid *grid, const LwCentroidRow *row, int at, guint first_line)
{
  g_autofree char *number = g_strdup_printf ("%u", row->line);
  gboolean quiet = row->comment || row->line < first_line;

  put_text (grid, number, 0, at, TRUE);
  for (guint i = 0; i < MIN (row->n_fields, LW_COLUMN_GRID_COLUMNS); i++)
    put_text (grid, row->fields[i], (int) i + 1, at, quiet);
}

guint
lw_column_grid_fill (GtkGrid *grid, const GPtrArray *rows, guint from, guint first_line)
{
  guint columns = 0;

  clear (grid);
  for (guint i = from; rows != NULL && i < rows->len && i < from + LW_COLUMN_GRID_ROWS; i++) {
    const LwCentroidRow *row = g_ptr_array_index (rows, i);

    put_row (grid, row, (int) (i - from) + 1, first_line);
    columns = MAX (columns, row->n_fields);
  }
  return MIN (columns, LW_COLUMN_GRID_COLUMNS);
}

void
lw_column_grid_add_choice (GtkGrid *grid, guint column, GtkStringList *names, guint selected, GCallback chosen, gpointer user)
{
  GtkWidget *choice = gtk_drop_down_new (G_LIST_MODEL (names), NULL);
  g_autofree char *label = g_strdup_printf (_("Column %u holds"), column + 1);

  gtk_drop_down_set_selected (GTK_DROP_DOWN (choice), selected);
  g_object_set_data (G_OBJECT (choice), "column", GUINT_TO_POINTER (column));
  gtk_accessible_update_property (GTK_ACCESSIBLE (choice), GTK_ACCESSIBLE_PROPERTY_LABEL, label, -1);
  g_signal_connect (choice, "notify::selected", chosen, user);
  gtk_grid_attach (grid, choice, (int) column + 1, 0, 1, 1);
}

void
lw_column_grid_show_choices (GtkGrid *grid, LwColumnChoice choice, gpointer user)
{
  for (GtkWidget *child = gtk_widget_get_first_child (GTK_WIDGET (grid)); child != NULL; child = gtk_widget_get_next_sibling (child))
    if (GTK_IS_DROP_DOWN (child))
      gtk_drop_down_set_selected (GTK_DROP_DOWN (child), choice (user, lw_column_grid_column (GTK_DROP_DOWN (child))));
}

guint
lw_column_grid_column (GtkDropDown *choice)
{
  return GPOINTER_TO_UINT (g_object_get_data (G_OBJECT (choice), "column"));
}

void
lw_delimiter_list_set (GtkDropDown *list, char delimiter)
{
  for (guint i = 0; i < G_N_ELEMENTS (delimiters); i++)
    if (delimiters[i] == delimiter)
      gtk_drop_down_set_selected (list, i);
}

char
lw_delimiter_list_get (GtkDropDown *list)
{
  guint chosen = gtk_drop_down_get_selected (list);

  return chosen < G_N_ELEMENTS (delimiters) ? delimiters[chosen] : '\0';
}

void
lw_outcome_show (GtkLabel *outcome, const char *text, gboolean fault)
{
  gtk_label_set_text (outcome, text);
  if (fault)
    gtk_widget_add_css_class (GTK_WIDGET (outcome), "field-message");
  else
    gtk_widget_remove_css_class (GTK_WIDGET (outcome), "field-message");
}
