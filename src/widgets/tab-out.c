#include "widgets/tab-out.h"

/* The way on is looked for as if nothing in the list took the focus. */
static gboolean
pressed_cb (GtkEventControllerKey *controller, guint key, guint code, GdkModifierType modifiers, GtkWidget *list)
{
  gboolean back = key == GDK_KEY_ISO_Left_Tab || (key == GDK_KEY_Tab && (modifiers & GDK_SHIFT_MASK) != 0);
  GtkRoot *root = gtk_widget_get_root (list);

  if ((key != GDK_KEY_Tab && !back) || (modifiers & (GDK_CONTROL_MASK | GDK_ALT_MASK)) != 0 || root == NULL)
    return FALSE;
  gtk_widget_set_can_focus (list, FALSE);
  g_signal_emit_by_name (root, "move-focus", back ? GTK_DIR_TAB_BACKWARD : GTK_DIR_TAB_FORWARD);
  gtk_widget_set_can_focus (list, TRUE);
  return TRUE;
}

void
lw_tab_out_of (GtkWidget *list)
{
  GtkEventController *keys = gtk_event_controller_key_new ();

  gtk_event_controller_set_propagation_phase (keys, GTK_PHASE_CAPTURE);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (pressed_cb), list);
  gtk_widget_add_controller (list, keys);
}
