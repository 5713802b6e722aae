#include "widgets/run-view.h"

#include <math.h>

#include <glib/gi18n.h>

#include "draw/palette.h"
#include "draw/run-picture.h"
#include "widgets/canvas.h"
#include "widgets/shown-units.h"
#include "widgets/text-scale.h"

struct _LwRunView {
  GtkWidget parent_instance;

  LwDesk *desk;
  const LwComparison *run;
  const LwBenchReadings *should;
  int column;
  LwKept base;
  double drag_shift_s, drag_end_s; /* when a drag began; end 0 = none */
  gboolean moved;
};

G_DEFINE_FINAL_TYPE (LwRunView, lw_run_view, GTK_TYPE_WIDGET)

static guint shift_signal, column_signal;

static void
fill_picture (LwRunView *self, LwRunPicture *picture)
{
  GtkWidget *widget = GTK_WIDGET (self);

  *picture = (LwRunPicture){ .look = lw_widget_look (widget),
                             .units = lw_shown_units (),
                             .letters = lw_text_scale (widget),
                             .job = self->desk != NULL ? lw_desk_job (self->desk) : NULL,
                             .plan = self->desk != NULL ? lw_desk_plan (self->desk) : -1,
                             .run = self->run,
                             .should = self->should,
                             .column = self->column,
                             .t_s = self->desk != NULL ? lw_desk_moment (self->desk) : NAN,
                             .width = gtk_widget_get_width (widget),
                             .height = gtk_widget_get_height (widget),
                             .end_s = self->drag_end_s };
}

static void
redraw (LwRunView *self)
{
  self->base.dirty = TRUE;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
lw_run_view_show (LwRunView *self, const LwComparison *run, const LwBenchReadings *should)
{
  g_return_if_fail (LW_IS_RUN_VIEW (self));
  self->run = run;
  self->should = should;
  redraw (self);
}

void
lw_run_view_set_column (LwRunView *self, int column)
{
  g_return_if_fail (LW_IS_RUN_VIEW (self));
  if (self->column == column)
    return;
  self->column = column;
  redraw (self);
}

void
lw_run_view_set_desk (LwRunView *self, LwDesk *desk)
{
  g_return_if_fail (LW_IS_RUN_VIEW (self));
  if (self->desk != NULL)
    g_signal_handlers_disconnect_by_data (self->desk, self);
  if (g_set_object (&self->desk, desk) && desk != NULL)
    g_signal_connect_object (desk, "notify::moment", G_CALLBACK (redraw), self, G_CONNECT_SWAPPED);
  redraw (self);
}

/* ---- input ---- */

static void
drag_begin_cb (LwRunView *self, double x, double y)
{
  LwRunPicture picture;

  self->moved = FALSE;
  if (self->run == NULL)
    return;
  fill_picture (self, &picture);
  self->drag_end_s = lw_run_end_s (&picture);
  self->drag_shift_s = self->run->shift_s;
}

/* Tenths of a second: nobody aligns by hand more finely. */
static double
dragged_shift (LwRunView *self, double dx)
{
  LwRunPicture picture;

  fill_picture (self, &picture);
  return round (10.0 * (self->drag_shift_s + lw_run_time_at (&picture, dx) - lw_run_time_at (&picture, 0))) / 10.0;
}

static void
drag_update_cb (LwRunView *self, double dx, double dy)
{
  if (self->run == NULL || self->drag_end_s <= 0 || (!self->moved && fabs (dx) < 4))
    return;
  self->moved = TRUE;
  g_signal_emit (self, shift_signal, 0, dragged_shift (self, dx), FALSE);
}

static void
click (LwRunView *self, double x, double y)
{
  LwRunPicture picture;
  int column;

  fill_picture (self, &picture);
  column = lw_run_hit (&picture, x, y);
  g_signal_emit (self, column_signal, 0, column == self->column ? -1 : column);
}

static void
drag_end_cb (LwRunView *self, double dx, double dy, GtkGestureDrag *drag)
{
  double x, y;
  gboolean moved = self->moved;
  double shift = self->run != NULL && self->drag_end_s > 0 ? dragged_shift (self, dx) : 0;

  gtk_widget_grab_focus (GTK_WIDGET (self));
  if (self->run != NULL && moved)
    g_signal_emit (self, shift_signal, 0, shift, TRUE);
  else if (self->run != NULL && gtk_gesture_drag_get_start_point (drag, &x, &y))
    click (self, x, y);
  self->drag_end_s = 0;
  redraw (self);
}

static gboolean
key_cb (LwRunView *self, guint key, guint code, GdkModifierType state)
{
  double step = state & GDK_SHIFT_MASK ? 10 : 1;

  if (self->run == NULL || (key != GDK_KEY_Left && key != GDK_KEY_Right))
    return FALSE;
  g_signal_emit (self, shift_signal, 0, round (10.0 * (self->run->shift_s + (key == GDK_KEY_Left ? -step : step))) / 10.0, TRUE);
  return TRUE;
}

static void
add_controllers (LwRunView *self)
{
  GtkGesture *drag = gtk_gesture_drag_new ();
  GtkEventController *keys = gtk_event_controller_key_new ();

  g_signal_connect_swapped (drag, "drag-begin", G_CALLBACK (drag_begin_cb), self);
  g_signal_connect_swapped (drag, "drag-update", G_CALLBACK (drag_update_cb), self);
  g_signal_connect_swapped (drag, "drag-end", G_CALLBACK (drag_end_cb), self);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (drag));
  g_signal_connect_swapped (keys, "key-pressed", G_CALLBACK (key_cb), self);
  gtk_widget_add_controller (GTK_WIDGET (self), keys);
}

/* ---- widget ---- */

static void
lw_run_view_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  LwRunView *self = LW_RUN_VIEW (widget);
  int width = gtk_widget_get_width (widget), height = gtk_widget_get_height (widget);
  LwRunPicture picture;
  cairo_t *cr, *layer;

  if (width <= 0 || height <= 0)
    return;
  fill_picture (self, &picture);
  layer = lw_kept_begin (&self->base, widget, TRUE);
  if (layer != NULL) {
    lw_color_set (layer, lw_palette (picture.look)->desk);
    cairo_paint (layer);
    lw_draw_run (layer, &picture);
    lw_kept_end (&self->base, layer);
  }
  cr = gtk_snapshot_append_cairo (snapshot, &GRAPHENE_RECT_INIT (0, 0, width, height));
  lw_kept_paint (&self->base, cr);
  lw_canvas_paint_focus (cr, widget);
  cairo_destroy (cr);
}

static void
lw_run_view_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  LW_RUN_VIEW (widget)->base.dirty = TRUE;
}

static void
lw_run_view_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural, int *minimum_baseline,
                     int *natural_baseline)
{
  *minimum = orientation == GTK_ORIENTATION_HORIZONTAL ? 170 : 110;
  *natural = orientation == GTK_ORIENTATION_HORIZONTAL ? 600 : 220;
  *minimum_baseline = *natural_baseline = -1;
}

static void
lw_run_view_css_changed (GtkWidget *widget, GtkCssStyleChange *change)
{
  GTK_WIDGET_CLASS (lw_run_view_parent_class)->css_changed (widget, change);
  redraw (LW_RUN_VIEW (widget));
}

static void
lw_run_view_dispose (GObject *object)
{
  LwRunView *self = LW_RUN_VIEW (object);

  if (self->desk != NULL)
    g_signal_handlers_disconnect_by_data (self->desk, self);
  g_clear_object (&self->desk);
  lw_kept_clear (&self->base);
  G_OBJECT_CLASS (lw_run_view_parent_class)->dispose (object);
}

static void
lw_run_view_class_init (LwRunViewClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  G_OBJECT_CLASS (class)->dispose = lw_run_view_dispose;
  widget_class->snapshot = lw_run_view_snapshot;
  widget_class->size_allocate = lw_run_view_size_allocate;
  widget_class->measure = lw_run_view_measure;
  widget_class->css_changed = lw_run_view_css_changed;
  gtk_widget_class_set_css_name (widget_class, "runview");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_IMG);
  shift_signal = g_signal_new ("shift", LW_TYPE_RUN_VIEW, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 2, G_TYPE_DOUBLE,
                               G_TYPE_BOOLEAN);
  column_signal = g_signal_new ("column", LW_TYPE_RUN_VIEW, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_INT);
}

static void
lw_run_view_init (LwRunView *self)
{
  self->column = -1;
  self->base.dirty = TRUE;
  gtk_widget_set_focusable (GTK_WIDGET (self), TRUE);
  gtk_widget_set_overflow (GTK_WIDGET (self), GTK_OVERFLOW_HIDDEN);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL, _ ("Run over plan"), -1);
  add_controllers (self);
}
