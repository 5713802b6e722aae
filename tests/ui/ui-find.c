#include "ui-find.h"

gpointer
ui_top_of_type (GType type)
{
  GListModel *tops = gtk_window_get_toplevels ();

  for (guint i = 0; i < g_list_model_get_n_items (tops); i++) {
    g_autoptr (GtkWidget) top = g_list_model_get_item (tops, i);

    if (g_type_is_a (G_OBJECT_TYPE (top), type))
      return top;
  }
  return NULL;
}

static GtkWidget *
nth_of_type (GtkWidget *root, GType type, guint *n)
{
  for (GtkWidget *child = gtk_widget_get_first_child (root); child != NULL; child = gtk_widget_get_next_sibling (child)) {
    GtkWidget *found;

    if (g_type_is_a (G_OBJECT_TYPE (child), type) && (*n)-- == 0)
      return child;
    found = nth_of_type (child, type, n);
    if (found != NULL)
      return found;
  }
  return NULL;
}

GtkWidget *
ui_child_of_type (GtkWidget *root, GType type, guint n)
{
  return nth_of_type (root, type, &n);
}

GtkWidget *
ui_of_class (GtkWidget *root, const char *class)
{
  for (GtkWidget *child = gtk_widget_get_first_child (root); child != NULL; child = gtk_widget_get_next_sibling (child)) {
    GtkWidget *found = gtk_widget_has_css_class (child, class) ? child : ui_of_class (child, class);

    if (found != NULL)
      return found;
  }
  return NULL;
}

GtkWidget *
ui_button (GtkWidget *root, const char *label)
{
  for (GtkWidget *child = gtk_widget_get_first_child (root); child != NULL; child = gtk_widget_get_next_sibling (child)) {
    gboolean is_it = GTK_IS_BUTTON (child) && g_strcmp0 (gtk_button_get_label (GTK_BUTTON (child)), label) == 0;
    GtkWidget *found = is_it ? child : ui_button (child, label);

    if (found != NULL)
      return found;
  }
  return NULL;
}

void
ui_close_dialogs (void)
{
  GListModel *tops = gtk_window_get_toplevels ();

  for (guint i = g_list_model_get_n_items (tops); i > 0; i--) {
    g_autoptr (GtkWindow) top = g_list_model_get_item (tops, i - 1);

    if (GTK_IS_MESSAGE_DIALOG (top))
      gtk_window_destroy (top);
  }
}
