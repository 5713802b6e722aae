/* Pointer, wheel, touch and the keys that are held. */
#include "widgets/board-view-private.h"

#include <math.h>

#define WHEEL_STEP 1.2
#define TOUCHPAD_ZOOM 0.01 /* per unit of a touchpad's scroll with Control */

static gboolean
has_modifier (GtkEventController *controller, GdkModifierType modifier)
{
  return (gtk_event_controller_get_current_event_state (controller) & modifier) != 0;
}

/* A wheel zooms; two fingers on a touchpad pan, with Control they zoom too. */
static gboolean
scroll_cb (LwBoardView *self, double dx, double dy, GtkEventControllerScroll *scroll)
{
  GtkEventController *controller = GTK_EVENT_CONTROLLER (scroll);
  gboolean touchpad = gtk_event_controller_scroll_get_unit (scroll) == GDK_SCROLL_UNIT_SURFACE;

  if (!lw_board_view_job (self))
    return FALSE;
  if (touchpad && !has_modifier (controller, GDK_CONTROL_MASK))
    lw_board_view_pan (self, -dx, -dy);
  else if (has_modifier (controller, GDK_SHIFT_MASK) && !touchpad)
    lw_board_view_pan (self, -40.0 * (dx != 0.0 ? dx : dy), 0.0);
  else if (dy != 0.0)
    lw_board_view_zoom_at (self, touchpad ? exp (-TOUCHPAD_ZOOM * dy) : pow (WHEEL_STEP, -dy), self->pointer_x,
                           self->pointer_y);
  return TRUE;
}

static const char *
cursor_for (LwBoardView *self, int part)
{
  LwGrip grip = LW_GRIP_NONE;
  guint index;

  if (self->drag.kind == LW_DRAG_PAN || self->space_held)
    return self->drag.kind == LW_DRAG_PAN ? "grabbing" : "grab";
  if (self->desk)
    grip = lw_board_view_grip_at (self, self->pointer_x, self->pointer_y, &index);
  switch (grip) {
  case LW_GRIP_PREHEAT_LEFT:
  case LW_GRIP_PREHEAT_RIGHT:
    return "ew-resize";
  case LW_GRIP_PREHEAT_LOW:
  case LW_GRIP_PREHEAT_HIGH:
    return "ns-resize";
  case LW_GRIP_NONE:
    return part >= 0 ? "pointer" : NULL;
  default:
    return part >= 0 && grip == LW_GRIP_SHIELD ? "pointer" : "move";
  }
}

static void
motion_cb (LwBoardView *self, double x, double y)
{
  LwJob *job = lw_board_view_job (self);
  int part;

  self->pointer_x = x;
  self->pointer_y = y;
  if (!job || self->drag.moved)
    return;
  if (lw_board_view_sketching (self)) {
    lw_board_view_sketch_motion (self, x, y);
    gtk_widget_set_cursor_from_name (GTK_WIDGET (self), lw_board_view_sketch_cursor (self, x, y));
    return;
  }
  part = lw_board_hit_part (job, &self->view, x, y);
  gtk_widget_set_cursor_from_name (GTK_WIDGET (self), cursor_for (self, part));
  if (part == self->hovered)
    return;
  self->hovered = part;
  lw_board_view_redraw (self, LW_BOARD_LAYER_OVER);
}

static void
leave_cb (LwBoardView *self)
{
  if (self->hovered < 0)
    return;
  self->hovered = -1;
  lw_board_view_redraw (self, LW_BOARD_LAYER_OVER);
}

/* ---- drags ---- */

static void
drag_begin_cb (LwBoardView *self, double x, double y, GtkGesture *gesture)
{
  guint button = gtk_gesture_single_get_current_button (GTK_GESTURE_SINGLE (gesture));

  gtk_widget_grab_focus (GTK_WIDGET (self));
  self->press_state = gtk_event_controller_get_current_event_state (GTK_EVENT_CONTROLLER (gesture));
  lw_board_view_drag_begin (self, x, y, button == GDK_BUTTON_MIDDLE);
}

static void
drag_update_cb (LwBoardView *self, double dx, double dy, GtkGesture *gesture)
{
  gboolean before = self->drag.moved;

  lw_board_view_drag_update (self, dx, dy, has_modifier (GTK_EVENT_CONTROLLER (gesture), GDK_SHIFT_MASK));
  if (self->drag.moved && !before) {
    gtk_gesture_set_state (gesture, GTK_EVENT_SEQUENCE_CLAIMED);
    gtk_widget_set_cursor_from_name (GTK_WIDGET (self), self->drag.kind == LW_DRAG_PAN ? "grabbing" : "move");
  }
}

static void
drag_end_cb (LwBoardView *self)
{
  lw_board_view_drag_end (self);
  gtk_widget_set_cursor (GTK_WIDGET (self), NULL);
}

static void
drag_cancel_cb (LwBoardView *self)
{
  lw_board_view_drag_cancel (self);
}

static void
click_cb (LwBoardView *self, int n_press, double x, double y)
{
  if (!self->space_held)
    lw_board_view_click (self, x, y, n_press);
}

static void
pinch_begin_cb (LwBoardView *self)
{
  self->pinch_scale = self->view.scale;
}

static void
pinch_cb (LwBoardView *self, double scale, GtkGesture *gesture)
{
  double x = 0.5 * self->view.width, y = 0.5 * self->view.height;

  gtk_gesture_get_bounding_box_center (gesture, &x, &y);
  lw_board_view_zoom_at (self, self->pinch_scale * scale / self->view.scale, x, y);
}

/* ---- held keys ---- */

static gboolean
key_pressed_cb (LwBoardView *self, guint keyval)
{
  if (keyval == GDK_KEY_space) {
    self->space_held = TRUE;
    gtk_widget_set_cursor_from_name (GTK_WIDGET (self), "grab");
    return TRUE;
  }
  if (keyval == GDK_KEY_Escape && self->drag.kind != LW_DRAG_NONE && self->drag.moved) {
    lw_board_view_drag_cancel (self);
    return TRUE;
  }
  if (keyval == GDK_KEY_Escape && lw_board_view_sketch_cancel (self))
    return TRUE;
  return FALSE;
}

static void
key_released_cb (LwBoardView *self, guint keyval)
{
  if (keyval != GDK_KEY_space)
    return;
  self->space_held = FALSE;
  gtk_widget_set_cursor (GTK_WIDGET (self), NULL);
}

static void
focus_left_cb (LwBoardView *self)
{
  self->space_held = FALSE;
}

static void
add_drag (LwBoardView *self, guint button)
{
  GtkGesture *drag = gtk_gesture_drag_new ();

  gtk_gesture_single_set_button (GTK_GESTURE_SINGLE (drag), button);
  g_signal_connect_swapped (drag, "drag-begin", G_CALLBACK (drag_begin_cb), self);
  g_signal_connect_swapped (drag, "drag-update", G_CALLBACK (drag_update_cb), self);
  g_signal_connect_swapped (drag, "drag-end", G_CALLBACK (drag_end_cb), self);
  g_signal_connect_swapped (drag, "cancel", G_CALLBACK (drag_cancel_cb), self);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (drag));
}

static void
add_keys (LwBoardView *self)
{
  GtkEventController *keys = gtk_event_controller_key_new (), *focus = gtk_event_controller_focus_new ();

  g_signal_connect_swapped (keys, "key-pressed", G_CALLBACK (key_pressed_cb), self);
  g_signal_connect_swapped (keys, "key-released", G_CALLBACK (key_released_cb), self);
  g_signal_connect_swapped (focus, "leave", G_CALLBACK (focus_left_cb), self);
  g_signal_connect_swapped (focus, "enter", G_CALLBACK (gtk_widget_queue_draw), self);
  g_signal_connect_swapped (focus, "leave", G_CALLBACK (gtk_widget_queue_draw), self);
  gtk_widget_add_controller (GTK_WIDGET (self), keys);
  gtk_widget_add_controller (GTK_WIDGET (self), focus);
}

void
lw_board_view_add_controllers (LwBoardView *self)
{
  GtkWidget *widget = GTK_WIDGET (self);
  GtkEventController *scroll = gtk_event_controller_scroll_new (GTK_EVENT_CONTROLLER_SCROLL_BOTH_AXES);
  GtkEventController *motion = gtk_event_controller_motion_new ();
  GtkGesture *click = gtk_gesture_click_new (), *pinch = gtk_gesture_zoom_new ();

  g_signal_connect_swapped (scroll, "scroll", G_CALLBACK (scroll_cb), self);
  g_signal_connect_swapped (motion, "enter", G_CALLBACK (motion_cb), self);
  g_signal_connect_swapped (motion, "motion", G_CALLBACK (motion_cb), self);
  g_signal_connect_swapped (motion, "leave", G_CALLBACK (leave_cb), self);
  g_signal_connect_swapped (click, "released", G_CALLBACK (click_cb), self);
  g_signal_connect_swapped (pinch, "begin", G_CALLBACK (pinch_begin_cb), self);
  g_signal_connect_swapped (pinch, "scale-changed", G_CALLBACK (pinch_cb), self);
  gtk_widget_add_controller (widget, scroll);
  gtk_widget_add_controller (widget, motion);
  gtk_widget_add_controller (widget, GTK_EVENT_CONTROLLER (pinch));
  add_drag (self, GDK_BUTTON_PRIMARY);
  add_drag (self, GDK_BUTTON_MIDDLE);
  gtk_widget_add_controller (widget, GTK_EVENT_CONTROLLER (click));
  add_keys (self);
}
