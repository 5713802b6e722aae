#include "app/table-window.h"

#include <glib/gi18n.h>

#include "app/window-private.h"
#include "exchange/centroid.h"

enum { SHOWN_ROWS = 12, SHOWN_COLUMNS = 24 };
#define MAX_BYTES (64 * 1024 * 1024)

struct _LwTableWindow {
  GtkWindow parent_instance;

  GtkDropDown *delimiter, *unit, *bottom;
  GtkCheckButton *comma, *y_down, *mirror_x;
  GtkSpinButton *first_line;
  GtkGrid *grid;
  GtkLabel *outcome;
  GtkButton *use;

  LwWindow *window;
  char *name;
  GBytes *bytes;
  LwCentroidMapping mapping;
  LwImport *import; /* what the mapping gives, or NULL */
  gboolean filling;
};

G_DEFINE_FINAL_TYPE (LwTableWindow, lw_table_window, GTK_TYPE_WINDOW)

static const char delimiters[] = { ',', ';', '\t', ' ', '|' };

/* ---- the answer ---- */

static void
show_outcome (LwTableWindow *self, const GError *error)
{
  g_autofree char *text = NULL;

  if (self->import == NULL)
    text = g_strdup (error->message);
  else {
    guint n = self->import->job->parts->len, w = self->import->warnings->len;
    g_autofree char *parts = g_strdup_printf (ngettext ("%u part", "%u parts", n), n);
    g_autofree char *remarks = g_strdup_printf (ngettext ("%u remark", "%u remarks", w), w);

    /* Translators: "22 parts, 1 remark". */
    text = g_strdup_printf (_("%s, %s"), parts, remarks);
  }
  gtk_label_set_text (self->outcome, text);
  if (self->import == NULL)
    gtk_widget_add_css_class (GTK_WIDGET (self->outcome), "field-message");
  else
    gtk_widget_remove_css_class (GTK_WIDGET (self->outcome), "field-message");
  gtk_widget_set_sensitive (GTK_WIDGET (self->use), self->import != NULL);
}

static void
read_again (LwTableWindow *self)
{
  g_autoptr (GError) error = NULL;
  gsize size;
  const char *data = g_bytes_get_data (self->bytes, &size);

  g_clear_pointer (&self->import, lw_import_free);
  self->import = lw_import_centroid (self->name, data, size, &self->mapping, &error);
  show_outcome (self, error);
}

/* ---- the columns ---- */

static guint
holds (const LwTableWindow *self, int column)
{
  for (guint i = 0; i < LW_CENTROID_N_COLUMNS; i++)
    if (self->mapping.column[i] == column)
      return i + 1;
  return 0;
}

static int
column_of (GtkWidget *choice)
{
  return GPOINTER_TO_INT (g_object_get_data (G_OBJECT (choice), "column"));
}

/* What one column takes, another loses. */
static void
show_columns (LwTableWindow *self)
{
  self->filling = TRUE;
  for (GtkWidget *child = gtk_widget_get_first_child (GTK_WIDGET (self->grid)); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    if (GTK_IS_DROP_DOWN (child))
      gtk_drop_down_set_selected (GTK_DROP_DOWN (child), holds (self, column_of (child)));
  self->filling = FALSE;
}

static void
column_chosen_cb (GtkDropDown *drop_down, GParamSpec *pspec, LwTableWindow *self)
{
  int column = column_of (GTK_WIDGET (drop_down));
  guint chosen = gtk_drop_down_get_selected (drop_down);

  if (self->filling)
    return;
  for (guint i = 0; i < LW_CENTROID_N_COLUMNS; i++)
    if (self->mapping.column[i] == column)
      self->mapping.column[i] = -1;
  if (chosen > 0)
    self->mapping.column[chosen - 1] = column;
  show_columns (self);
  read_again (self);
}

static GtkWidget *
new_column_choice (LwTableWindow *self, int column)
{
  GtkStringList *names = gtk_string_list_new (NULL);
  GtkWidget *choice;
  g_autofree char *label = g_strdup_printf (_("Column %d holds"), column + 1);

  gtk_string_list_append (names, _("not used"));
  for (guint i = 0; i < LW_CENTROID_N_COLUMNS; i++)
    gtk_string_list_append (names, lw_centroid_column_name (i));
  choice = gtk_drop_down_new (G_LIST_MODEL (names), NULL);
  gtk_drop_down_set_selected (GTK_DROP_DOWN (choice), holds (self, column));
  g_object_set_data (G_OBJECT (choice), "column", GINT_TO_POINTER (column));
  gtk_accessible_update_property (GTK_ACCESSIBLE (choice), GTK_ACCESSIBLE_PROPERTY_LABEL, label, -1);
  g_signal_connect (choice, "notify::selected", G_CALLBACK (column_chosen_cb), self);
  return choice;
}

static void
put_text (LwTableWindow *self, const char *text, int column, int row, gboolean quiet)
{
  GtkWidget *label = gtk_label_new (text);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 24);
  if (quiet)
    gtk_widget_add_css_class (label, "quiet");
  gtk_grid_attach (self->grid, label, column, row, 1, 1);
}

static void
put_row (LwTableWindow *self, const LwCentroidRow *row, int at)
{
  g_autofree char *number = g_strdup_printf ("%u", row->line);
  gboolean quiet = row->comment || row->line < self->mapping.first_line;

  put_text (self, number, 0, at, TRUE);
  for (guint i = 0; i < MIN (row->n_fields, SHOWN_COLUMNS); i++)
    put_text (self, row->fields[i], (int) i + 1, at, quiet);
}

static void
clear_grid (LwTableWindow *self)
{
  GtkWidget *child;

  while ((child = gtk_widget_get_first_child (GTK_WIDGET (self->grid))) != NULL)
    gtk_grid_remove (self->grid, child);
}

/* The first lines, and those about the first part. */
static void
fill_grid (LwTableWindow *self)
{
  gsize size;
  const char *data = g_bytes_get_data (self->bytes, &size);
  guint most = self->mapping.first_line + SHOWN_ROWS, columns = 0, from = 0;
  g_autoptr (GPtrArray) rows = lw_centroid_rows (self->name, data, size, self->mapping.delimiter, most, NULL);

  clear_grid (self);
  if (rows == NULL)
    return;
  from = rows->len > SHOWN_ROWS ? rows->len - SHOWN_ROWS : 0;
  for (guint i = from; i < rows->len; i++) {
    put_row (self, g_ptr_array_index (rows, i), (int) (i - from) + 1);
    columns = MAX (columns, ((LwCentroidRow *) g_ptr_array_index (rows, i))->n_fields);
  }
  for (guint i = 0; i < MIN (columns, SHOWN_COLUMNS); i++)
    gtk_grid_attach (self->grid, new_column_choice (self, (int) i), (int) i + 1, 0, 1, 1);
}

/* ---- the rest of the mapping ---- */

static void
fill_choices (LwTableWindow *self)
{
  self->filling = TRUE;
  for (guint i = 0; i < G_N_ELEMENTS (delimiters); i++)
    if (delimiters[i] == self->mapping.delimiter)
      gtk_drop_down_set_selected (self->delimiter, i);
  gtk_drop_down_set_selected (self->unit, self->mapping.unit);
  gtk_drop_down_set_selected (self->bottom, self->mapping.bottom);
  gtk_check_button_set_active (self->comma, self->mapping.decimal_comma);
  gtk_check_button_set_active (self->y_down, self->mapping.y_down);
  gtk_check_button_set_active (self->mirror_x, self->mapping.bottom_x_negated);
  gtk_spin_button_set_value (self->first_line, self->mapping.first_line);
  self->filling = FALSE;
}

/* Another separator makes other columns: the guess starts anew within it. */
static void
on_delimiter (LwTableWindow *self)
{
  guint chosen = gtk_drop_down_get_selected (self->delimiter);

  if (self->filling || chosen >= G_N_ELEMENTS (delimiters))
    return;
  self->mapping.delimiter = delimiters[chosen];
  self->filling = TRUE;
  fill_grid (self);
  self->filling = FALSE;
  read_again (self);
}

static void
on_changed (LwTableWindow *self)
{
  if (self->filling)
    return;
  self->mapping.unit = gtk_drop_down_get_selected (self->unit);
  self->mapping.bottom = gtk_drop_down_get_selected (self->bottom);
  self->mapping.decimal_comma = gtk_check_button_get_active (self->comma);
  self->mapping.y_down = gtk_check_button_get_active (self->y_down);
  self->mapping.bottom_x_negated = gtk_check_button_get_active (self->mirror_x);
  read_again (self);
}

static void
on_first_line (LwTableWindow *self)
{
  if (self->filling)
    return;
  self->mapping.first_line = (guint) gtk_spin_button_get_value_as_int (self->first_line);
  self->filling = TRUE;
  fill_grid (self);
  self->filling = FALSE;
  read_again (self);
}

static void
on_use (LwTableWindow *self)
{
  if (self->import == NULL || self->window == NULL)
    return;
  lw_window_take_import (self->window, g_steal_pointer (&self->import));
  gtk_window_close (GTK_WINDOW (self));
}

/* ---- life ---- */

static void
lw_table_window_dispose (GObject *object)
{
  LwTableWindow *self = LW_TABLE_WINDOW (object);

  g_clear_weak_pointer (&self->window);
  g_clear_pointer (&self->import, lw_import_free);
  g_clear_pointer (&self->bytes, g_bytes_unref);
  g_clear_pointer (&self->name, g_free);
  gtk_widget_dispose_template (GTK_WIDGET (self), LW_TYPE_TABLE_WINDOW);
  G_OBJECT_CLASS (lw_table_window_parent_class)->dispose (object);
}

static void
lw_table_window_class_init (LwTableWindowClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  G_OBJECT_CLASS (class)->dispose = lw_table_window_dispose;
  gtk_widget_class_set_template_from_resource (widget_class, "/org/leeward/Leeward/ui/table-window.ui");
  gtk_widget_class_bind_template_child (widget_class, LwTableWindow, delimiter);
  gtk_widget_class_bind_template_child (widget_class, LwTableWindow, unit);
  gtk_widget_class_bind_template_child (widget_class, LwTableWindow, bottom);
  gtk_widget_class_bind_template_child (widget_class, LwTableWindow, comma);
  gtk_widget_class_bind_template_child (widget_class, LwTableWindow, y_down);
  gtk_widget_class_bind_template_child (widget_class, LwTableWindow, mirror_x);
  gtk_widget_class_bind_template_child (widget_class, LwTableWindow, first_line);
  gtk_widget_class_bind_template_child (widget_class, LwTableWindow, grid);
  gtk_widget_class_bind_template_child (widget_class, LwTableWindow, outcome);
  gtk_widget_class_bind_template_child (widget_class, LwTableWindow, use);
  gtk_widget_class_bind_template_callback (widget_class, on_delimiter);
  gtk_widget_class_bind_template_callback (widget_class, on_changed);
  gtk_widget_class_bind_template_callback (widget_class, on_first_line);
  gtk_widget_class_bind_template_callback (widget_class, on_use);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Escape, 0, "window.close", NULL);
}

static void
lw_table_window_init (LwTableWindow *self)
{
  self->filling = TRUE;
  gtk_widget_init_template (GTK_WIDGET (self));
  self->filling = FALSE;
}

static gboolean
load (LwTableWindow *self, GFile *file, GError **error)
{
  g_autofree char *base = g_file_get_basename (file);
  gsize size;
  const char *data;

  self->name = base != NULL ? g_filename_display_name (base) : g_strdup ("");
  self->bytes = g_file_load_bytes (file, NULL, NULL, error);
  if (self->bytes == NULL)
    return FALSE;
  data = g_bytes_get_data (self->bytes, &size);
  if (size <= MAX_BYTES)
    return lw_centroid_guess (self->name, data, size, &self->mapping, error);
  g_set_error (error, LW_IMPORT_ERROR, LW_IMPORT_ERROR_TOO_LARGE, _("%s: larger than %d MB"), self->name,
               MAX_BYTES / 1024 / 1024);
  return FALSE;
}

GtkWidget *
lw_table_window_new (LwWindow *parent, GFile *file, GError **error)
{
  LwTableWindow *self = g_object_new (LW_TYPE_TABLE_WINDOW, "transient-for", parent, NULL);

  g_set_weak_pointer (&self->window, parent);
  if (!load (self, file, error)) {
    gtk_window_destroy (GTK_WINDOW (self));
    return NULL;
  }
  fill_choices (self);
  self->filling = TRUE;
  fill_grid (self);
  self->filling = FALSE;
  read_again (self);
  return GTK_WIDGET (self);
}
