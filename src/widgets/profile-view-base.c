/* What the profile view keeps painted. At rest it is painted at once; while a hand moves, by the easel, and the frame
 * shows it as it was until then. */
#include "draw/palette.h"
#include "widgets/profile-view-private.h"

typedef struct {
  LwProfilePicture picture; /* its pointers are those below */
  LwJob *job;
  LwPrediction *prediction;
  GPtrArray *findings;
  LwKept base;
} Order;

static void
paint_base (cairo_t *cr, const LwProfilePicture *picture)
{
  lw_color_set (cr, lw_palette (picture->look)->desk);
  cairo_paint (cr);
  lw_draw_profile_layers (cr, picture, LW_PROFILE_LAYER_BASE);
}

static Order *
order_new (LwProfileView *self, const LwProfilePicture *picture)
{
  Order *order = g_new0 (Order, 1);

  order->picture = *picture;
  order->job = lw_job_ref ((LwJob *) picture->job);
  if (picture->prediction)
    order->prediction = lw_prediction_ref ((LwPrediction *) picture->prediction);
  if (picture->findings)
    order->findings = g_ptr_array_ref ((GPtrArray *) picture->findings);
  order->base = self->base;
  order->base.surface = NULL;
  order->base.dirty = FALSE;
  return order;
}

static void
order_free (gpointer data)
{
  Order *order = data;

  lw_job_unref (order->job);
  g_clear_pointer (&order->prediction, lw_prediction_unref);
  g_clear_pointer (&order->findings, g_ptr_array_unref);
  g_clear_pointer (&order->base.surface, cairo_surface_destroy);
  g_free (order);
}

static void
paint_order (gpointer data)
{
  Order *order = data;
  LwKept *base = &order->base;
  cairo_t *cr;

  base->surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, base->width * base->scale, base->height * base->scale);
  cairo_surface_set_device_scale (base->surface, base->scale, base->scale);
  cr = cairo_create (base->surface);
  paint_base (cr, &order->picture);
  cairo_destroy (cr);
}

static void
show_order (gpointer view, gpointer data)
{
  LwProfileView *self = view;
  Order *order = data;
  gboolean dirty = self->base.dirty;

  lw_kept_clear (&self->base);
  self->base = order->base;
  self->base.dirty = dirty; /* what has changed meanwhile is ordered by the next frame */
  order->base.surface = NULL;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static const LwEaselKind KIND = { paint_order, show_order, order_free };

void
lw_profile_view_drop_base (LwProfileView *self)
{
  lw_easel_drop (&self->easel);
  lw_kept_clear (&self->base);
}

static gboolean
same_size (const LwProfileView *self)
{
  GtkWidget *widget = GTK_WIDGET (self);

  return self->base.surface && self->base.width == gtk_widget_get_width (widget)
         && self->base.height == gtk_widget_get_height (widget) && self->base.scale == gtk_widget_get_scale_factor (widget);
}

/* A recorded run is not counted: what shows one is painted here. */
static gboolean
may_wait (const LwProfileView *self, const LwProfilePicture *picture)
{
  return self->desk && lw_desk_dragging (self->desk) && picture->job && !picture->run;
}

static void
refresh (LwProfileView *self, const LwProfilePicture *picture)
{
  cairo_t *cr;

  if (!same_size (self)) /* nothing that could be shown meanwhile */
    lw_profile_view_drop_base (self);
  if (!self->base.dirty)
    return;
  if (may_wait (self, picture) && self->base.surface) {
    if (lw_easel_busy (&self->easel))
      return;
    lw_easel_order (&self->easel, GTK_WIDGET (self), order_new (self, picture), &KIND);
    self->base.dirty = FALSE;
    return;
  }
  lw_easel_drop (&self->easel);
  cr = lw_kept_begin (&self->base, GTK_WIDGET (self), TRUE);
  if (!cr)
    return;
  paint_base (cr, picture);
  lw_kept_end (&self->base, cr);
}

void
lw_profile_view_paint_base (LwProfileView *self, cairo_t *cr, const LwProfilePicture *picture)
{
  refresh (self, picture);
  lw_kept_paint (&self->base, cr);
}
