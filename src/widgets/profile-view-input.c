/* Drags, keys and actions of the profile view. */
#include "widgets/profile-view-private.h"

#include <math.h>
#include <string.h>

#include <glib/gi18n.h>

#include "board/edits.h"

#define THRESHOLD 3.0
#define STAGE_MIN_S 1.0

static void
clear (LwProfileDrag *drag)
{
  g_clear_pointer (&drag->before, lw_job_unref);
  g_clear_pointer (&drag->key, g_free);
  g_clear_pointer (&drag->refusal, g_free);
  *drag = (LwProfileDrag){ .pull = LW_PULL_NONE };
}

static LwJob *
job_of (LwProfileView *self)
{
  return self->desk ? lw_desk_job (self->desk) : NULL;
}

static const LwStage *
stage_of (const LwJob *job, int plan, guint stage)
{
  const LwPlan *p = plan >= 0 && (guint) plan < job->plans->len ? g_ptr_array_index (job->plans, plan) : NULL;

  return p && stage < p->stages->len ? g_ptr_array_index (p->stages, stage) : NULL;
}

static const char *
member_of (LwPull pull)
{
  return pull == LW_PULL_GAS ? "gas_c" : pull == LW_PULL_PREHEAT ? "preheat_c" : "duration_s";
}

static void
move_cursor (LwProfileView *self, double x)
{
  LwProfilePicture picture;
  double end = lw_profile_view_end (self);

  lw_profile_view_fill_picture (self, &picture);
  lw_desk_set_moment (self->desk, CLAMP (lw_profile_time_at (&picture, x), 0.0, end));
}

void
lw_profile_view_drag_begin (LwProfileView *self, double x, double y)
{
  LwProfileDrag *drag = &self->drag;
  LwProfilePicture picture;
  const LwStage *stage;

  clear (drag);
  if (!job_of (self))
    return;
  lw_profile_view_fill_picture (self, &picture);
  drag->pull = lw_profile_hit (&picture, x, y, &drag->stage);
  drag->x0 = x;
  drag->y0 = y;
  if (drag->pull == LW_PULL_NONE)
    return;
  if (drag->pull == LW_PULL_CURSOR) {
    lw_profile_view_play (self, FALSE);
    move_cursor (self, x);
    return;
  }
  stage = stage_of (job_of (self), lw_desk_plan (self->desk), drag->stage);
  if (!stage) {
    clear (drag);
    return;
  }
  drag->before = lw_job_ref (job_of (self));
  drag->key = g_strdup_printf ("profile-drag-%u", self->drags++);
  drag->value = drag->pull == LW_PULL_GAS       ? stage->gas_c
                : drag->pull == LW_PULL_PREHEAT ? stage->preheat_c
                                                : stage->duration_s;
  lw_profile_range (&picture, &drag->end_s, &drag->high_c);
}

static void
apply (LwProfileView *self, double value, const char *label)
{
  LwProfileDrag *drag = &self->drag;
  g_autoptr (GError) error = NULL;
  g_autofree char *path = g_strdup_printf ("plans[%d].stages[%u].%s", lw_desk_plan (self->desk), drag->stage,
                                           member_of (drag->pull));
  LwJob *job = lw_edit_number (drag->before, path, value, &error);

  g_clear_pointer (&drag->refusal, g_free);
  if (!job) {
    drag->refusal = g_strdup (error->message);
    return;
  }
  drag->edited = TRUE;
  lw_desk_set_dragging (self->desk, TRUE);
  lw_desk_edit (self->desk, job, label, drag->key, NULL);
}

static void
pull_level (LwProfileView *self, const LwProfilePicture *picture, double dy, gboolean free)
{
  const LwProfileDrag *drag = &self->drag;
  double change = lw_profile_temp_at (picture, drag->y0 + dy) - lw_profile_temp_at (picture, drag->y0);

  apply (self, lw_snap (drag->value + change, free ? 0.0 : 1.0),
         drag->pull == LW_PULL_GAS ? _ ("Set gas temperature") : _ ("Set preheat temperature"));
}

static void
pull_end (LwProfileView *self, const LwProfilePicture *picture, double dx, gboolean free)
{
  const LwProfileDrag *drag = &self->drag;
  double change = lw_profile_time_at (picture, drag->x0 + dx) - lw_profile_time_at (picture, drag->x0);

  apply (self, MAX (lw_snap (drag->value + change, free ? 0.0 : 1.0), STAGE_MIN_S), _ ("Set stage time"));
}

void
lw_profile_view_drag_update (LwProfileView *self, double dx, double dy, gboolean free)
{
  LwProfileDrag *drag = &self->drag;
  LwProfilePicture picture;

  if (drag->pull == LW_PULL_NONE || !job_of (self) || (!drag->moved && hypot (dx, dy) < THRESHOLD))
    return;
  if (drag->pull == LW_PULL_CURSOR) {
    drag->moved = TRUE;
    move_cursor (self, drag->x0 + dx);
    return;
  }
  if (!drag->moved)
    lw_desk_select_stage (self->desk, (int) drag->stage);
  drag->moved = TRUE;
  lw_profile_view_fill_picture (self, &picture);
  if (drag->pull == LW_PULL_STAGE_END)
    pull_end (self, &picture, dx, free);
  else
    pull_level (self, &picture, dy, free);
}

void
lw_profile_view_drag_end (LwProfileView *self)
{
  gboolean edited = self->drag.edited;
  g_autofree char *refusal = g_steal_pointer (&self->drag.refusal);

  clear (&self->drag);
  if (!self->desk)
    return;
  if (edited)
    lw_document_seal (lw_desk_document (self->desk));
  lw_desk_set_dragging (self->desk, FALSE);
  if (refusal)
    lw_desk_tell (self->desk, refusal, FALSE);
  lw_profile_view_redraw (self, LW_PROFILE_LAYER_BASE); /* the axes are free again */
}

void
lw_profile_view_drag_cancel (LwProfileView *self)
{
  gboolean edited = self->drag.edited;
  g_autofree char *key = g_steal_pointer (&self->drag.key);

  clear (&self->drag);
  if (edited && self->desk) {
    if (lw_desk_document (self->desk))
      lw_document_abandon (lw_desk_document (self->desk), key);
    lw_desk_set_dragging (self->desk, FALSE);
  }
  lw_profile_view_redraw (self, LW_PROFILE_LAYER_BASE);
}

/* A click in a stage selects it; the cursor goes there too when nothing was pulled. */
void
lw_profile_view_click (LwProfileView *self, double x, double y)
{
  LwProfilePicture picture;
  LwJob *job = job_of (self);
  double t, end = 0.0;
  LwPull pull;
  guint stage;

  if (!job || lw_desk_plan (self->desk) < 0)
    return;
  lw_profile_view_fill_picture (self, &picture);
  pull = lw_profile_hit (&picture, x, y, &stage);
  if (pull == LW_PULL_GAS || pull == LW_PULL_PREHEAT) {
    lw_desk_select_stage (self->desk, (int) stage);
    return;
  }
  if (pull == LW_PULL_CURSOR)
    return;
  t = lw_profile_time_at (&picture, x);
  for (guint i = 0; stage_of (job, lw_desk_plan (self->desk), i); i++) {
    double start = end;

    end += stage_of (job, lw_desk_plan (self->desk), i)->duration_s;
    if (t >= start && t < end)
      lw_desk_select_stage (self->desk, (int) i);
  }
  if (t >= 0.0 && t <= lw_profile_view_end (self))
    lw_desk_set_moment (self->desk, t);
}

/* ---- actions ---- */

static void
play_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  LwProfileView *self = LW_PROFILE_VIEW (widget);

  lw_profile_view_play (self, !lw_profile_view_playing (self));
}

static void
stage_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  LwProfileView *self = LW_PROFILE_VIEW (widget);
  LwJob *job = job_of (self);
  int step = strcmp (name, "profile.stage-next") == 0 ? 1 : -1, n, at;

  if (!job || lw_desk_plan (self->desk) < 0)
    return;
  n = (int) ((const LwPlan *) g_ptr_array_index (job->plans, lw_desk_plan (self->desk)))->stages->len;
  if (n == 0)
    return;
  at = lw_desk_selected_stage (self->desk);
  at = at < 0 ? (step > 0 ? 0 : n - 1) : (at + step + n) % n;
  lw_desk_select_stage (self->desk, at);
}

static gboolean
move_binding (GtkWidget *widget, GVariant *args, gpointer data)
{
  LwProfileView *self = LW_PROFILE_VIEW (widget);
  double step, end;

  if (!job_of (self))
    return FALSE;
  step = g_variant_get_double (args);
  end = lw_profile_view_end (self);
  lw_profile_view_play (self, FALSE);
  /* Whole seconds, so that the readout agrees with the step. */
  lw_desk_set_moment (self->desk, CLAMP (round (lw_desk_moment (self->desk)) + step, 0.0, end));
  return TRUE;
}

static const struct {
  guint key;
  GdkModifierType modifiers;
  double step;
} steps[] = {
  { GDK_KEY_Left, 0, -1.0 },
  { GDK_KEY_Right, 0, 1.0 },
  { GDK_KEY_Left, GDK_SHIFT_MASK, -10.0 },
  { GDK_KEY_Right, GDK_SHIFT_MASK, 10.0 },
  { GDK_KEY_Home, 0, -1e9 },
  { GDK_KEY_End, 0, 1e9 },
};

void
lw_profile_view_install_actions (GtkWidgetClass *widget_class)
{
  gtk_widget_class_install_action (widget_class, "profile.play", NULL, play_action);
  gtk_widget_class_install_action (widget_class, "profile.stage-next", NULL, stage_action);
  gtk_widget_class_install_action (widget_class, "profile.stage-previous", NULL, stage_action);
  for (guint i = 0; i < G_N_ELEMENTS (steps); i++)
    gtk_widget_class_add_binding (widget_class, steps[i].key, steps[i].modifiers, move_binding, "d", steps[i].step);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_space, 0, "profile.play", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Page_Down, 0, "profile.stage-next", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Page_Up, 0, "profile.stage-previous", NULL);
}

/* ---- controllers ---- */

static void
drag_begin_cb (LwProfileView *self, double x, double y)
{
  gtk_widget_grab_focus (GTK_WIDGET (self));
  lw_profile_view_drag_begin (self, x, y);
}

static void
drag_update_cb (LwProfileView *self, double dx, double dy, GtkGesture *gesture)
{
  GdkModifierType state = gtk_event_controller_get_current_event_state (GTK_EVENT_CONTROLLER (gesture));

  lw_profile_view_drag_update (self, dx, dy, (state & GDK_SHIFT_MASK) != 0);
  if (self->drag.moved)
    gtk_gesture_set_state (gesture, GTK_EVENT_SEQUENCE_CLAIMED);
}

static void
click_cb (LwProfileView *self, int n_press, double x, double y)
{
  lw_profile_view_click (self, x, y);
}

static void
motion_cb (LwProfileView *self, double x, double y)
{
  static const char *const cursors[] = { [LW_PULL_NONE] = NULL, [LW_PULL_GAS] = "ns-resize",
                                         [LW_PULL_PREHEAT] = "ns-resize", [LW_PULL_STAGE_END] = "ew-resize",
                                         [LW_PULL_CURSOR] = "col-resize" };
  LwProfilePicture picture;

  if (!job_of (self) || self->drag.moved)
    return;
  lw_profile_view_fill_picture (self, &picture);
  gtk_widget_set_cursor_from_name (GTK_WIDGET (self), cursors[lw_profile_hit (&picture, x, y, NULL)]);
}

static gboolean
key_pressed_cb (LwProfileView *self, guint keyval)
{
  if (keyval != GDK_KEY_Escape || !self->drag.moved)
    return FALSE;
  lw_profile_view_drag_cancel (self);
  return TRUE;
}

void
lw_profile_view_add_controllers (LwProfileView *self)
{
  GtkWidget *widget = GTK_WIDGET (self);
  GtkGesture *drag = gtk_gesture_drag_new (), *click = gtk_gesture_click_new ();
  GtkEventController *motion = gtk_event_controller_motion_new (), *keys = gtk_event_controller_key_new ();
  GtkEventController *focus = gtk_event_controller_focus_new ();

  g_signal_connect_swapped (drag, "drag-begin", G_CALLBACK (drag_begin_cb), self);
  g_signal_connect_swapped (drag, "drag-update", G_CALLBACK (drag_update_cb), self);
  g_signal_connect_swapped (drag, "drag-end", G_CALLBACK (lw_profile_view_drag_end), self);
  g_signal_connect_swapped (drag, "cancel", G_CALLBACK (lw_profile_view_drag_cancel), self);
  g_signal_connect_swapped (click, "released", G_CALLBACK (click_cb), self);
  g_signal_connect_swapped (motion, "motion", G_CALLBACK (motion_cb), self);
  g_signal_connect_swapped (keys, "key-pressed", G_CALLBACK (key_pressed_cb), self);
  g_signal_connect_swapped (focus, "enter", G_CALLBACK (gtk_widget_queue_draw), self);
  g_signal_connect_swapped (focus, "leave", G_CALLBACK (gtk_widget_queue_draw), self);
  gtk_widget_add_controller (widget, GTK_EVENT_CONTROLLER (drag));
  gtk_widget_add_controller (widget, GTK_EVENT_CONTROLLER (click));
  gtk_widget_add_controller (widget, motion);
  gtk_widget_add_controller (widget, keys);
  gtk_widget_add_controller (widget, focus);
}
