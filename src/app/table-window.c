#include "app/table-window.h"

#include <glib/gi18n.h>

#include "app/column-grid.h"
#include "app/window-private.h"
#include "exchange/centroid.h"
#include "exchange/read-file.h"

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
  lw_outcome_show (self->outcome, text, self->import == NULL);
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
holds (const LwTableWindow *self, guint column)
{
  for (guint i = 0; i < LW_CENTROID_N_COLUMNS; i++)
    if (self->mapping.column[i] == (int) column)
      return i + 1;
  return 0;
}

/* What one column takes, another loses. */
static void
show_columns (LwTableWindow *self)
{
  self->filling = TRUE;
  lw_column_grid_show_choices (self->grid, (LwColumnChoice) holds, self);
  self->filling = FALSE;
}

static void
column_chosen_cb (GtkDropDown *drop_down, GParamSpec *pspec, LwTableWindow *self)
{
  int column = (int) lw_column_grid_column (drop_down);
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

static GtkStringList *
column_names (void)
{
  GtkStringList *names = gtk_string_list_new (NULL);

  gtk_string_list_append (names, _("not used"));
  for (guint i = 0; i < LW_CENTROID_N_COLUMNS; i++)
    gtk_string_list_append (names, lw_centroid_column_name (i));
  return names;
}

/* The first lines, and those about the first part. */
static void
fill_grid (LwTableWindow *self)
{
  gsize size;
  const char *data = g_bytes_get_data (self->bytes, &size);
  guint most = self->mapping.first_line + LW_COLUMN_GRID_ROWS, columns;
  g_autoptr (GPtrArray) rows = lw_centroid_rows (self->name, data, size, self->mapping.delimiter, most, NULL);
  guint n = rows != NULL ? rows->len : 0;

  self->filling = TRUE;
  columns = lw_column_grid_fill (self->grid, rows, n - MIN (n, LW_COLUMN_GRID_ROWS), self->mapping.first_line);
  for (guint i = 0; i < columns; i++)
    lw_column_grid_add_choice (self->grid, i, column_names (), holds (self, i), G_CALLBACK (column_chosen_cb), self);
  self->filling = FALSE;
}

/* ---- the rest of the mapping ---- */

static void
fill_choices (LwTableWindow *self)
{
  self->filling = TRUE;
  lw_delimiter_list_set (self->delimiter, self->mapping.delimiter);
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
  char chosen = lw_delimiter_list_get (self->delimiter);

  if (self->filling || chosen == '\0')
    return;
  self->mapping.delimiter = chosen;
  fill_grid (self);
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
  fill_grid (self);
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
  GByteArray *bytes;
  gsize size;
  const char *data;

  self->name = base != NULL ? g_filename_display_name (base) : g_strdup ("");
  bytes = lw_read_file (file, self->name, MAX_BYTES, NULL, error);
  if (bytes == NULL)
    return FALSE;
  self->bytes = g_byte_array_free_to_bytes (bytes);
  data = g_bytes_get_data (self->bytes, &size);
  return lw_centroid_guess (self->name, data, size, &self->mapping, error);
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
  fill_grid (self);
  read_again (self);
  return GTK_WIDGET (self);
}
