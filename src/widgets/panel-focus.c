#include "widgets/panel-focus.h"

static gboolean
has_rows (GtkWidget *list)
{
  GtkSelectionModel *model = gtk_list_view_get_model (GTK_LIST_VIEW (list));

  return model != NULL && g_list_model_get_n_items (G_LIST_MODEL (model)) > 0;
}

/* The first list in sight that has a row; a table's rows are in one too. */
static GtkWidget *
find_list (GtkWidget *within)
{
  GtkWidget *found = NULL;

  if (!gtk_widget_get_mapped (within) || GTK_IS_POPOVER (within))
    return NULL;
  if (GTK_IS_LIST_VIEW (within))
    return has_rows (within) ? within : NULL;
  for (GtkWidget *child = gtk_widget_get_first_child (within); child != NULL && found == NULL;
       child = gtk_widget_get_next_sibling (child))
    found = find_list (child);
  return found;
}

gboolean
lw_panel_enter (GtkWidget *panel)
{
  GtkRoot *root = gtk_widget_get_root (panel);
  GtkWidget *focus = root == NULL ? NULL : gtk_root_get_focus (root), *list;

  g_return_val_if_fail (GTK_IS_WIDGET (panel), FALSE);
  if (focus != NULL && (focus == panel || gtk_widget_is_ancestor (focus, panel)))
    return TRUE;
  list = find_list (panel);
  if (list != NULL && gtk_widget_grab_focus (list))
    return TRUE;
  return gtk_widget_child_focus (panel, GTK_DIR_TAB_FORWARD);
}
