#include "widgets/popover-focus.h"

static gboolean
give_back_cb (gpointer data)
{
  GtkWidget *popover = data, *owner = gtk_widget_get_parent (popover);
  GtkRoot *root = gtk_widget_get_root (popover);
  GtkWidget *focus = root != NULL ? gtk_root_get_focus (root) : NULL;

  if (owner != NULL && focus != NULL && gtk_widget_is_ancestor (focus, popover) && !gtk_widget_get_mapped (popover))
    gtk_widget_grab_focus (owner);
  return G_SOURCE_REMOVE;
}

/* A moment later: what was chosen may take the keyboard itself. */
static gboolean
closed_cb (GSignalInvocationHint *hint, guint n, const GValue *values, gpointer data)
{
  g_idle_add_full (G_PRIORITY_DEFAULT, give_back_cb, g_value_dup_object (&values[0]), g_object_unref);
  return TRUE;
}

void
lw_popovers_give_back (void)
{
  static gboolean watching;

  if (watching)
    return;
  watching = TRUE;
  g_type_ensure (GTK_TYPE_POPOVER);
  g_type_class_unref (g_type_class_ref (GTK_TYPE_POPOVER)); /* its signals are there from now on */
  g_signal_add_emission_hook (g_signal_lookup ("closed", GTK_TYPE_POPOVER), 0, closed_cb, NULL, NULL);
}
