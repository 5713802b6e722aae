#include "widgets/edit-table.h"

#include <glib/gi18n.h>

#include "widgets/column-heads.h"
#include "widgets/late-rows.h"
#include "widgets/table-cell.h"
#include "widgets/shown-units.h"

struct _LwEditTable {
  GtkWidget parent_instance;

  GtkWidget *scroller;
  GtkColumnView *view;
  GtkStringList *rows; /* one per row; the cells ask the owner */
  GtkSingleSelection *selection;
  gpointer user;
  gboolean refreshing;
};

G_DEFINE_FINAL_TYPE (LwEditTable, lw_edit_table, GTK_TYPE_WIDGET)

enum { ROW_CHOSEN, REFRESH, N_SIGNALS };
static guint signals[N_SIGNALS];

static void
cell_refresh (GtkListItem *item)
{
  const LwTableColumn *column = g_object_get_data (G_OBJECT (item), "column");
  LwEditTable *self = g_object_get_data (G_OBJECT (item), "table");
  guint row = gtk_list_item_get_position (item);
  g_autofree char *text = NULL;

  if (row == GTK_INVALID_LIST_POSITION || row >= g_list_model_get_n_items (G_LIST_MODEL (self->rows)))
    return;
  text = column->text (self->user, row);
  lw_table_cell_set_text (LW_TABLE_CELL (gtk_list_item_get_child (item)), text, NULL);
}

static gboolean
commit_cb (LwTableCell *cell, const char *text, gpointer user, GError **error)
{
  const LwTableColumn *column = g_object_get_data (user, "column");
  LwEditTable *self = g_object_get_data (user, "table");

  return column->commit (self->user, gtk_list_item_get_position (user), text, error);
}

static void
setup_cb (GtkSignalListItemFactory *factory, GtkListItem *item, gpointer user)
{
  const LwTableColumn *column = g_object_get_data (G_OBJECT (factory), "column");
  GtkWidget *cell = lw_table_cell_new (column->numeric, column->commit == NULL ? NULL : commit_cb, item);

  g_object_set_data (G_OBJECT (item), "column", (gpointer) column);
  g_object_set_data (G_OBJECT (item), "table", user);
  lw_table_cell_set_ellipsize (LW_TABLE_CELL (cell), column->expand);
  gtk_list_item_set_child (item, cell);
}

static void
bind_cb (GtkSignalListItemFactory *factory, GtkListItem *item, gpointer user)
{
  g_signal_connect_object (user, "refresh", G_CALLBACK (cell_refresh), item, G_CONNECT_SWAPPED);
  cell_refresh (item);
}

static void
unbind_cb (GtkSignalListItemFactory *factory, GtkListItem *item, gpointer user)
{
  g_signal_handlers_disconnect_by_func (user, cell_refresh, item);
}

static void
add_column (LwEditTable *self, const LwTableColumn *description)
{
  GtkListItemFactory *factory = gtk_signal_list_item_factory_new ();
  g_autoptr (GtkColumnViewColumn) column = NULL;

  g_object_set_data (G_OBJECT (factory), "column", (gpointer) description);
  g_signal_connect (factory, "setup", G_CALLBACK (setup_cb), self);
  g_signal_connect (factory, "bind", G_CALLBACK (bind_cb), self);
  g_signal_connect (factory, "unbind", G_CALLBACK (unbind_cb), self);
  column = lw_column_new (description->title, factory);
  gtk_column_view_column_set_resizable (column, TRUE);
  gtk_column_view_column_set_expand (column, description->expand);
  gtk_column_view_append_column (self->view, column);
  if (description->numeric)
    lw_column_head_at_end (self->view);
}

void
lw_edit_table_refresh (LwEditTable *self, guint n_rows)
{
  guint before = g_list_model_get_n_items (G_LIST_MODEL (self->rows));

  g_return_if_fail (LW_IS_EDIT_TABLE (self));
  self->refreshing = TRUE;
  if (before > n_rows)
    gtk_string_list_splice (self->rows, n_rows, before - n_rows, NULL);
  for (; before < n_rows; before++)
    gtk_string_list_append (self->rows, "");
  self->refreshing = FALSE;
  g_signal_emit (self, signals[REFRESH], 0);
}

void
lw_edit_table_choose (LwEditTable *self, int row)
{
  guint wanted = row < 0 ? GTK_INVALID_LIST_POSITION : (guint) row;

  g_return_if_fail (LW_IS_EDIT_TABLE (self));
  if (gtk_single_selection_get_selected (self->selection) == wanted)
    return;
  self->refreshing = TRUE;
  gtk_single_selection_set_selected (self->selection, wanted);
  self->refreshing = FALSE;
  if (row >= 0 && gtk_widget_get_mapped (GTK_WIDGET (self)))
    gtk_widget_activate_action (gtk_widget_get_last_child (GTK_WIDGET (self->view)), "list.scroll-to-item", "u", wanted);
}

int
lw_edit_table_chosen (LwEditTable *self)
{
  guint row = gtk_single_selection_get_selected (self->selection);

  return row == GTK_INVALID_LIST_POSITION ? -1 : (int) row;
}

static void
selected_cb (LwEditTable *self)
{
  if (!self->refreshing)
    g_signal_emit (self, signals[ROW_CHOSEN], 0, lw_edit_table_chosen (self));
}

static void
lw_edit_table_dispose (GObject *object)
{
  LwEditTable *self = LW_EDIT_TABLE (object);

  self->refreshing = TRUE;
  if (self->view != NULL)
    gtk_column_view_set_model (self->view, NULL);
  self->view = NULL;
  g_clear_pointer (&self->scroller, gtk_widget_unparent);
  g_clear_object (&self->selection);
  g_clear_object (&self->rows);
  G_OBJECT_CLASS (lw_edit_table_parent_class)->dispose (object);
}

static void
lw_edit_table_class_init (LwEditTableClass *class)
{
  G_OBJECT_CLASS (class)->dispose = lw_edit_table_dispose;
  signals[ROW_CHOSEN] = g_signal_new ("row-chosen", G_TYPE_FROM_CLASS (class), G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                      G_TYPE_NONE, 1, G_TYPE_INT);
  signals[REFRESH] = g_signal_new ("refresh", G_TYPE_FROM_CLASS (class), G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                   G_TYPE_NONE, 0);
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (class), GTK_TYPE_BIN_LAYOUT);
}

static void
lw_edit_table_init (LwEditTable *self)
{
  self->rows = gtk_string_list_new (NULL);
  self->selection = gtk_single_selection_new (g_object_ref (G_LIST_MODEL (self->rows)));
  gtk_single_selection_set_autoselect (self->selection, FALSE);
  gtk_single_selection_set_can_unselect (self->selection, TRUE);
  g_signal_connect_object (self->selection, "notify::selected-item", G_CALLBACK (selected_cb), self, G_CONNECT_SWAPPED);
  self->view = GTK_COLUMN_VIEW (gtk_column_view_new (NULL));
  lw_late_rows (GTK_WIDGET (self->view), GTK_SELECTION_MODEL (self->selection));
  gtk_widget_add_css_class (GTK_WIDGET (self->view), "data-table");
  self->scroller = gtk_scrolled_window_new ();
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (self->scroller), GTK_WIDGET (self->view));
  gtk_widget_set_hexpand (self->scroller, TRUE);
  gtk_widget_set_vexpand (self->scroller, TRUE);
  gtk_widget_set_parent (self->scroller, GTK_WIDGET (self));
  gtk_widget_set_hexpand (GTK_WIDGET (self), TRUE);
  gtk_widget_set_vexpand (GTK_WIDGET (self), TRUE);
}

GtkWidget *
lw_edit_table_new (const LwTableColumn *columns, const char *label, gpointer user)
{
  LwEditTable *self = g_object_new (LW_TYPE_EDIT_TABLE, NULL);

  self->user = user;
  for (const LwTableColumn *column = columns; column->title != NULL; column++)
    add_column (self, column);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->view), GTK_ACCESSIBLE_PROPERTY_LABEL, label, -1);
  return GTK_WIDGET (self);
}
