/* The part's own menu: by the right button on it, or by the keyboard at what is selected. */
#include "app/window-private.h"

/* Made with the window: a popover shown the moment it is made is measured before its style is known, and
 * comes out too short. */
static void
add_menu (LwWindow *self)
{
  g_autoptr (GtkBuilder) builder = gtk_builder_new_from_resource ("/org/leeward/Leeward/ui/menus.ui");
  GMenuModel *menu = G_MENU_MODEL (gtk_builder_get_object (builder, "part_menu"));

  self->part_menu = gtk_popover_menu_new_from_model (menu);
  gtk_popover_set_has_arrow (GTK_POPOVER (self->part_menu), FALSE);
  gtk_widget_set_parent (self->part_menu, GTK_WIDGET (self->board_view));
}

static void
popup (LwWindow *self, double x, double y)
{
  GtkPopover *popover = GTK_POPOVER (self->part_menu);

  gtk_popover_set_pointing_to (popover, &(GdkRectangle){ (int) x, (int) y, 1, 1 });
  gtk_popover_popup (popover);
}

static void
pressed_cb (GtkGestureClick *gesture, int n, double x, double y, LwWindow *self)
{
  int part = lw_board_view_part_at (self->board_view, x, y);

  if (part < 0)
    return;
  if (!lw_desk_has_selected (lw_window_desk (self), part))
    lw_desk_select_part (lw_window_desk (self), part);
  popup (self, x, y);
}

static gboolean
key_cb (GtkWidget *widget, GVariant *arguments, gpointer user)
{
  LwWindow *self = LW_WINDOW (gtk_widget_get_root (widget));
  int part = lw_desk_selected_part (lw_window_desk (self));
  double x, y;

  if (part < 0)
    return FALSE;
  lw_board_view_show_part (self->board_view, part);
  lw_board_view_place_of (self->board_view, part, &x, &y);
  popup (self, x, y);
  return TRUE;
}

/* What desktops open a menu with; common practice, no source. */
static void
add_keys (LwWindow *self)
{
  static const struct {
    guint key;
    GdkModifierType modifiers;
  } keys[] = { { GDK_KEY_Menu, 0 }, { GDK_KEY_F10, GDK_SHIFT_MASK } };
  GtkEventController *shortcuts = gtk_shortcut_controller_new ();

  for (guint i = 0; i < G_N_ELEMENTS (keys); i++)
    gtk_shortcut_controller_add_shortcut (GTK_SHORTCUT_CONTROLLER (shortcuts),
                                          gtk_shortcut_new (gtk_keyval_trigger_new (keys[i].key, keys[i].modifiers),
                                                            gtk_callback_action_new (key_cb, NULL, NULL)));
  gtk_widget_add_controller (GTK_WIDGET (self->board_view), shortcuts);
}

void
lw_window_init_part_menu (LwWindow *self)
{
  GtkGesture *gesture = gtk_gesture_click_new ();

  gtk_gesture_single_set_button (GTK_GESTURE_SINGLE (gesture), GDK_BUTTON_SECONDARY);
  g_signal_connect (gesture, "pressed", G_CALLBACK (pressed_cb), self);
  gtk_widget_add_controller (GTK_WIDGET (self->board_view), GTK_EVENT_CONTROLLER (gesture));
  add_keys (self);
  add_menu (self);
}
