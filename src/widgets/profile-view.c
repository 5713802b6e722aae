#include "widgets/profile-view-private.h"
#include "widgets/shown-units.h"
#include "widgets/text-scale.h"

#include <glib/gi18n.h>

#define SPEED 20.0 /* a job of four minutes in twelve seconds */
#define REST_MS 300 /* as long a moment rests before it is told: each telling may be spoken */

G_DEFINE_FINAL_TYPE (LwProfileView, lw_profile_view, GTK_TYPE_WIDGET)

enum { PROP_DESK = 1, PROP_PLAYING, PROP_SPEED, N_PROPS };
static GParamSpec *props[N_PROPS];

void
lw_profile_view_fill_picture (LwProfileView *self, LwProfilePicture *picture)
{
  GtkWidget *widget = GTK_WIDGET (self);

  lw_profile_picture_init (picture, self->desk ? lw_desk_job (self->desk) : NULL, gtk_widget_get_width (widget),
                           gtk_widget_get_height (widget));
  picture->look = lw_widget_look (widget);
  picture->units = lw_shown_units ();
  picture->letters = lw_text_scale (widget);
  picture->end_s = self->drag.end_s;
  picture->high_c = self->drag.high_c;
  if (!self->desk)
    return;
  picture->plan = lw_desk_plan (self->desk);
  picture->prediction = lw_desk_prediction (self->desk);
  picture->findings = lw_desk_findings (self->desk);
  picture->t_s = lw_desk_moment (self->desk);
  picture->run = lw_desk_comparison (self->desk);
  picture->selected_part = lw_desk_selected_part (self->desk);
  picture->selected_stage = lw_desk_selected_stage (self->desk);
}

void
lw_profile_view_redraw (LwProfileView *self, LwProfileLayers layers)
{
  if (layers & LW_PROFILE_LAYER_BASE)
    self->base.dirty = TRUE;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

double
lw_profile_view_end (LwProfileView *self)
{
  LwProfilePicture picture;
  double end_s, high_c;

  lw_profile_view_fill_picture (self, &picture);
  lw_profile_range (&picture, &end_s, &high_c);
  return end_s;
}

/* ---- playing ---- */

gboolean
lw_profile_view_playing (LwProfileView *self)
{
  return self->tick != 0;
}

static gboolean
play_cb (GtkWidget *widget, GdkFrameClock *clock, gpointer data)
{
  LwProfileView *self = LW_PROFILE_VIEW (widget);
  gint64 now = gdk_frame_clock_get_frame_time (clock);
  double step = self->played_us > 0 ? (double) (now - self->played_us) / 1e6 * self->speed : 0.0;
  double end = lw_profile_view_end (self), to = MIN (lw_desk_moment (self->desk) + MAX (step, 0.0), end);

  self->played_us = now;
  lw_desk_set_moment (self->desk, to);
  if (to < end)
    return G_SOURCE_CONTINUE;
  self->tick = 0;
  g_object_notify_by_pspec (G_OBJECT (self), props[PROP_PLAYING]);
  return G_SOURCE_REMOVE;
}

void
lw_profile_view_play (LwProfileView *self, gboolean play)
{
  if (play == lw_profile_view_playing (self))
    return;
  if (!play) {
    gtk_widget_remove_tick_callback (GTK_WIDGET (self), self->tick);
    self->tick = 0;
  } else if (self->desk && lw_desk_job (self->desk)) {
    if (lw_desk_moment (self->desk) >= lw_profile_view_end (self) - 0.5)
      lw_desk_set_moment (self->desk, 0.0);
    self->played_us = 0;
    self->tick = gtk_widget_add_tick_callback (GTK_WIDGET (self), play_cb, NULL, NULL);
  }
  g_object_notify_by_pspec (G_OBJECT (self), props[PROP_PLAYING]);
}

/* ---- the desk ---- */

/* "At 95 s of 240 s: Joints 171 to 178 °C, Body 190 °C" */
static char *
description (LwProfileView *self)
{
  LwProfilePicture picture;
  g_auto (GStrv) readings = NULL;
  g_autofree char *at = NULL, *felt = NULL;

  if (!self->desk || !lw_desk_job (self->desk))
    return g_strdup (_ ("No job"));
  at = g_strdup_printf (_ ("At %.0f s of %.0f s"), lw_desk_moment (self->desk), lw_profile_view_end (self));
  lw_profile_view_fill_picture (self, &picture);
  readings = lw_profile_readings (&picture);
  felt = g_strjoinv (C_ ("between members of a list", ", "), readings);
  return *felt != '\0' ? g_strdup_printf ("%s: %s", at, felt) : g_steal_pointer (&at);
}

static void
tell (LwProfileView *self)
{
  g_autofree char *text = description (self);

  g_clear_handle_id (&self->telling, g_source_remove);
  if (g_strcmp0 (text, self->told) == 0)
    return; /* each telling is a message on the bus */
  g_free (self->told);
  self->told = g_steal_pointer (&text);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL, _ ("Profile"),
                                  GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, self->told, -1);
}

static gboolean
rest_cb (gpointer user)
{
  LwProfileView *self = user;

  self->telling = 0;
  tell (self);
  return G_SOURCE_REMOVE;
}

/* Not while the cursor is pulled, the profile plays or answers follow a hand: when that rests. */
static void
tell_at_rest (LwProfileView *self)
{
  g_clear_handle_id (&self->telling, g_source_remove);
  self->telling = g_timeout_add (REST_MS, rest_cb, self);
}

static void
base_cb (LwProfileView *self)
{
  lw_profile_view_redraw (self, LW_PROFILE_LAYER_BASE);
  tell_at_rest (self);
}

/* What is dragged on the board changes no set point: the curves wait for their answer. */
static void
job_cb (LwProfileView *self)
{
  if (lw_desk_dragging (self->desk) && !self->drag.edited)
    return;
  base_cb (self);
}

static void
moment_cb (LwProfileView *self)
{
  lw_profile_view_redraw (self, LW_PROFILE_LAYER_CURSOR);
  tell_at_rest (self);
}

static void
document_cb (LwProfileView *self)
{
  lw_profile_view_play (self, FALSE);
  lw_profile_view_drag_cancel (self);
  lw_profile_view_drop_base (self);
  base_cb (self);
  tell (self);
}

static void
listen (LwProfileView *self)
{
  static const char *const base[] = { "answer-changed", "run-changed", "notify::selected-part", "notify::selected-stage" };

  for (guint i = 0; i < G_N_ELEMENTS (base); i++)
    g_signal_connect_object (self->desk, base[i], G_CALLBACK (base_cb), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (self->desk, "job-changed", G_CALLBACK (job_cb), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (self->desk, "notify::moment", G_CALLBACK (moment_cb), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (self->desk, "notify::document", G_CALLBACK (document_cb), self, G_CONNECT_SWAPPED);
}

void
lw_profile_view_set_desk (LwProfileView *self, LwDesk *desk)
{
  g_return_if_fail (LW_IS_PROFILE_VIEW (self));
  g_return_if_fail (desk == NULL || LW_IS_DESK (desk));

  if (self->desk == desk)
    return;
  lw_profile_view_play (self, FALSE);
  lw_profile_view_drag_cancel (self);
  if (self->desk)
    g_signal_handlers_disconnect_by_data (self->desk, self);
  g_set_object (&self->desk, desk);
  if (desk)
    listen (self);
  base_cb (self);
  tell (self);
  g_object_notify_by_pspec (G_OBJECT (self), props[PROP_DESK]);
}

/* ---- widget ---- */

static void
lw_profile_view_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  LwProfileView *self = LW_PROFILE_VIEW (widget);
  int width = gtk_widget_get_width (widget), height = gtk_widget_get_height (widget);
  LwProfilePicture picture;
  cairo_t *cr;

  if (width <= 0 || height <= 0)
    return;
  lw_profile_view_fill_picture (self, &picture);
  cr = gtk_snapshot_append_cairo (snapshot, &GRAPHENE_RECT_INIT (0, 0, width, height));
  lw_profile_view_paint_base (self, cr, &picture);
  lw_draw_profile_layers (cr, &picture, LW_PROFILE_LAYER_CURSOR);
  lw_canvas_paint_focus (cr, widget);
  cairo_destroy (cr);
}

static void
lw_profile_view_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  LW_PROFILE_VIEW (widget)->base.dirty = TRUE;
}

static void
lw_profile_view_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                         int *minimum_baseline, int *natural_baseline)
{
  *minimum = orientation == GTK_ORIENTATION_HORIZONTAL ? 240 : 120;
  *natural = orientation == GTK_ORIENTATION_HORIZONTAL ? 800 : 240;
  *minimum_baseline = *natural_baseline = -1;
}

static void
lw_profile_view_css_changed (GtkWidget *widget, GtkCssStyleChange *change)
{
  GTK_WIDGET_CLASS (lw_profile_view_parent_class)->css_changed (widget, change);
  lw_profile_view_redraw (LW_PROFILE_VIEW (widget), LW_PROFILE_LAYER_BASE);
}

static void
lw_profile_view_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  LwProfileView *self = LW_PROFILE_VIEW (object);

  switch (id) {
  case PROP_DESK:
    g_value_set_object (value, self->desk);
    break;
  case PROP_PLAYING:
    g_value_set_boolean (value, lw_profile_view_playing (self));
    break;
  case PROP_SPEED:
    g_value_set_double (value, self->speed);
    break;
  default:
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
  }
}

static void
lw_profile_view_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  LwProfileView *self = LW_PROFILE_VIEW (object);

  switch (id) {
  case PROP_DESK:
    lw_profile_view_set_desk (self, g_value_get_object (value));
    break;
  case PROP_PLAYING:
    lw_profile_view_play (self, g_value_get_boolean (value));
    break;
  case PROP_SPEED:
    if (self->speed == g_value_get_double (value))
      break;
    self->speed = g_value_get_double (value);
    g_object_notify_by_pspec (object, pspec);
    break;
  default:
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
  }
}

static void
lw_profile_view_dispose (GObject *object)
{
  LwProfileView *self = LW_PROFILE_VIEW (object);

  lw_profile_view_play (self, FALSE);
  lw_profile_view_drag_cancel (self);
  if (self->desk)
    g_signal_handlers_disconnect_by_data (self->desk, self);
  g_clear_object (&self->desk);
  lw_profile_view_drop_base (self);
  g_clear_handle_id (&self->telling, g_source_remove);
  g_clear_pointer (&self->told, g_free);
  G_OBJECT_CLASS (lw_profile_view_parent_class)->dispose (object);
}

static void
install_properties (GObjectClass *object_class)
{
  GParamFlags flags = G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY | G_PARAM_STATIC_STRINGS;

  props[PROP_DESK] = g_param_spec_object ("desk", NULL, NULL, LW_TYPE_DESK, flags);
  props[PROP_PLAYING] = g_param_spec_boolean ("playing", NULL, NULL, FALSE, flags);
  props[PROP_SPEED] = g_param_spec_double ("speed", NULL, NULL, 0.1, 1000.0, SPEED, flags);
  g_object_class_install_properties (object_class, N_PROPS, props);
}

static void
lw_profile_view_class_init (LwProfileViewClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  object_class->get_property = lw_profile_view_get_property;
  object_class->set_property = lw_profile_view_set_property;
  object_class->dispose = lw_profile_view_dispose;
  widget_class->snapshot = lw_profile_view_snapshot;
  widget_class->size_allocate = lw_profile_view_size_allocate;
  widget_class->measure = lw_profile_view_measure;
  widget_class->css_changed = lw_profile_view_css_changed;
  install_properties (object_class);
  gtk_widget_class_set_css_name (widget_class, "profileview");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_IMG);
  lw_profile_view_install_actions (widget_class);
}

static void
lw_profile_view_init (LwProfileView *self)
{
  self->speed = SPEED;
  self->base.dirty = TRUE;
  gtk_widget_set_focusable (GTK_WIDGET (self), TRUE);
  gtk_widget_set_overflow (GTK_WIDGET (self), GTK_OVERFLOW_HIDDEN);
  gtk_widget_set_hexpand (GTK_WIDGET (self), TRUE);
  lw_profile_view_add_controllers (self);
}

GtkWidget *
lw_profile_view_new (LwDesk *desk)
{
  return g_object_new (LW_TYPE_PROFILE_VIEW, "desk", desk, NULL);
}
