/* The layers of the board view. At rest they are painted at once; while a hand moves, by the easel, and the frame shows
 * them as they were, moved with the view, until the new ones are there. All come at the same time: none of them shows
 * another version than the others. */
#include "widgets/board-view-private.h"

#include <math.h>

#include "draw/board-sheets.h"
#include "draw/palette.h"

G_STATIC_ASSERT (LW_BOARD_SHEETS == LW_BOARD_N_LAYERS);

/* So long after its last motion a hand counts as moving. */
#define HURRY_US 250000
/* What took longer than this to paint goes to the easel at rest, too: a click may not wait for it. */
#define SLOW_US 20000
/* A hand that has not panned for so long stands still: sheets are painted for where it is. */
#define STILL_US 50000

static const LwBoardLayers LAYERS[LW_BOARD_SHEETS]
    = { LW_BOARD_LAYER_GROUND, LW_BOARD_LAYER_PARTS, LW_BOARD_LAYER_PLAN, LW_BOARD_LAYER_OVER };

typedef struct {
  LwBoardPicture picture; /* its pointers are those below */
  LwJob *job;
  GPtrArray *findings;
  guint *selected;
  LwThermocouple *proposed;
  LwBox covered[LW_BOARD_COVERED];
  LwBoardLayers wanted;   /* to be painted anew */
  LwBoardSheets sheets;   /* the layers that stay; what is painted takes the place of the others */
  gint64 took_us;
} Order;

static void
sheets_clear (LwBoardSheets *self)
{
  for (guint i = 0; i < LW_BOARD_SHEETS; i++)
    g_clear_pointer (&self->layers[i], cairo_surface_destroy);
  g_clear_pointer (&self->flat, cairo_surface_destroy);
  g_clear_pointer (&self->over, cairo_surface_destroy);
  g_clear_pointer (&self->prediction, lw_prediction_unref);
}

static void
order_free (gpointer data)
{
  Order *order = data;

  sheets_clear (&order->sheets);
  g_clear_pointer (&order->job, lw_job_unref);
  g_clear_pointer (&order->findings, g_ptr_array_unref);
  g_clear_pointer (&order->proposed, lw_thermocouple_unref);
  g_free (order->selected);
  g_free (order);
}

/* With what PICTURE borrows. */
static Order *
order_of (LwBoardView *self, const LwBoardPicture *picture, LwBoardLayers wanted)
{
  Order *order = g_new0 (Order, 1);

  order->picture = *picture;
  order->picture.margin = LW_BOARD_MARGIN;
  order->job = lw_job_ref ((LwJob *) picture->job);
  if (picture->prediction)
    order->sheets.prediction = lw_prediction_ref ((LwPrediction *) picture->prediction);
  if (picture->findings)
    order->findings = g_ptr_array_ref ((GPtrArray *) picture->findings);
  order->selected = g_memdup2 (picture->selected, picture->n_selected * sizeof *picture->selected);
  order->picture.selected = order->selected;
  if (picture->proposed)
    order->proposed = lw_thermocouple_ref ((LwThermocouple *) picture->proposed);
  order->picture.clear = order->covered;
  order->picture.n_clear = lw_board_view_covered (self, order->covered);
  order->wanted = wanted;
  order->sheets.view = self->view;
  order->sheets.scale = gtk_widget_get_scale_factor (GTK_WIDGET (self));
  return order;
}

/* How far the view will have moved when its sheets have been painted and are about to be followed by the next, in whole
 * units; never so far that sheets painted for there do not cover it here. */
static double
ahead (const LwBoardView *self, double speed)
{
  gint64 now = g_get_monotonic_time ();

  return now - self->panned_us > STILL_US ? 0.0 : round (CLAMP (1.5 * speed * (double) self->took_us, -LW_BOARD_MARGIN, LW_BOARD_MARGIN));
}

/* Takes the layers away from the view: until the order is back nobody else touches them. */
static Order *
order_new (LwBoardView *self, const LwBoardPicture *picture, LwBoardLayers wanted)
{
  Order *order = order_of (self, picture, wanted);

  for (guint i = 0; i < LW_BOARD_SHEETS; i++)
    order->sheets.layers[i] = g_steal_pointer (&self->sheets.layers[i]);
  lw_viewport_pan (&order->sheets.view, ahead (self, self->speed_x), ahead (self, self->speed_y));
  return order;
}

static cairo_surface_t *
blank_sheet (const LwBoardSheets *sheets, gboolean opaque)
{
  int scale = sheets->scale, width = (int) sheets->view.width + 2 * LW_BOARD_MARGIN;
  int height = (int) sheets->view.height + 2 * LW_BOARD_MARGIN;
  cairo_surface_t *sheet = cairo_image_surface_create (opaque ? CAIRO_FORMAT_RGB24 : CAIRO_FORMAT_ARGB32, width * scale,
                                                       height * scale);

  cairo_surface_set_device_scale (sheet, scale, scale);
  cairo_surface_set_device_offset (sheet, LW_BOARD_MARGIN * scale, LW_BOARD_MARGIN * scale); /* nought is the view's corner */
  return sheet;
}

static gboolean
is_empty (const Order *order, guint i)
{
  return LAYERS[i] == LW_BOARD_LAYER_OVER && order->picture.n_selected == 0 && order->picture.hovered < 0
         && order->picture.proposed == NULL;
}

/* A new sheet for the layer, or NULL when there is nothing on it. */
static cairo_t *
begin_sheet (Order *order, guint i)
{
  cairo_surface_t **sheet = &order->sheets.layers[i];

  g_clear_pointer (sheet, cairo_surface_destroy);
  if (is_empty (order, i))
    return NULL;
  *sheet = blank_sheet (&order->sheets, i == 0);
  return cairo_create (*sheet);
}

static void
flatten (LwBoardSheets *sheets)
{
  cairo_t *cr;

  sheets->flat = blank_sheet (sheets, TRUE);
  cr = cairo_create (sheets->flat);
  for (guint i = 0; i < LW_BOARD_SHEETS; i++) {
    if (LAYERS[i] == LW_BOARD_LAYER_OVER)
      continue;
    cairo_set_source_surface (cr, sheets->layers[i], 0.0, 0.0);
    cairo_paint (cr);
  }
  cairo_destroy (cr);
}

static void
paint_order (gpointer data)
{
  Order *order = data;
  gint64 start = g_get_monotonic_time ();
  cairo_t *sheets[LW_BOARD_SHEETS] = { NULL };

  for (guint i = 0; i < LW_BOARD_SHEETS; i++)
    if (order->wanted & LAYERS[i] || (order->sheets.layers[i] == NULL && LAYERS[i] != LW_BOARD_LAYER_OVER))
      sheets[i] = begin_sheet (order, i);
  lw_draw_board_sheets (sheets, &order->sheets.view, &order->picture);
  for (guint i = 0; i < LW_BOARD_SHEETS; i++)
    g_clear_pointer (&sheets[i], cairo_destroy);
  if (order->wanted != LW_BOARD_LAYER_OVER)
    flatten (&order->sheets);
  order->took_us = g_get_monotonic_time () - start;
}

static void
take_order (gpointer view, gpointer data)
{
  LwBoardView *self = view;
  Order *order = data;

  if (order->sheets.flat == NULL)
    order->sheets.flat = g_steal_pointer (&self->sheets.flat);
  sheets_clear (&self->sheets);
  self->sheets = order->sheets;
  order->sheets = (LwBoardSheets){ .flat = NULL };
  if (self->sheets.layers[LW_BOARD_SHEETS - 1])
    self->sheets.over = cairo_surface_reference (self->sheets.layers[LW_BOARD_SHEETS - 1]);
  if (order->wanted == LW_BOARD_LAYER_ALL) /* one layer may be quick where all are slow */
    self->took_us = order->took_us;
  else
    self->took_us = MAX (self->took_us, order->took_us);
}

static void
show_order (gpointer view, gpointer order)
{
  take_order (view, order);
  gtk_widget_queue_draw (view); /* and what has changed meanwhile is ordered */
}

static const LwEaselKind KIND = { paint_order, show_order, order_free };

/* ---- the whole board, small ---- */

/* What stands in for sheets where the view has left them: bodies on their ground, without words. */
static void
paint_whole (gpointer data)
{
  Order *order = data;
  cairo_t *cr, *sheets[LW_BOARD_SHEETS] = { NULL };

  order->sheets.flat = blank_sheet (&order->sheets, TRUE);
  cr = cairo_create (order->sheets.flat);
  sheets[0] = sheets[1] = cr;
  lw_draw_board_sheets (sheets, &order->sheets.view, &order->picture);
  cairo_destroy (cr);
}

static void
show_whole (gpointer view, gpointer data)
{
  LwBoardView *self = view;
  Order *order = data;

  g_clear_pointer (&self->whole.sheet, cairo_surface_destroy);
  self->whole.sheet = g_steal_pointer (&order->sheets.flat);
  self->whole.view = order->sheets.view;
}

static const LwEaselKind WHOLE = { paint_whole, show_whole, order_free };

/* As a pan or zoom begins, before the first sheets of it; and when what is shown has changed during one. */
static void
order_whole (LwBoardView *self, const LwBoardPicture *picture)
{
  Order *order;

  if (self->whole.of == self->content || lw_easel_busy (&self->whole.easel)
      || g_get_monotonic_time () - self->travelled_us > HURRY_US)
    return;
  order = order_of (self, picture, LW_BOARD_LAYER_GROUND | LW_BOARD_LAYER_PARTS);
  order->picture.n_selected = 0;
  lw_viewport_fit (&order->sheets.view, lw_board_scene (picture->job, picture->plan), 0.0);
  self->whole.of = self->content;
  lw_easel_order (&self->whole.easel, GTK_WIDGET (self), order, &WHOLE);
}

gboolean
lw_board_view_stands_in (const LwBoardView *self)
{
  return self->whole.sheet != NULL && self->whole.view.side == self->view.side;
}

/* ---- showing them ---- */

void
lw_board_view_hurry (LwBoardView *self)
{
  self->moved_us = g_get_monotonic_time ();
}

void
lw_board_view_drop_sheets (LwBoardView *self)
{
  lw_easel_drop (&self->easel);
  lw_easel_drop (&self->whole.easel);
  g_clear_pointer (&self->whole.sheet, cairo_surface_destroy);
  self->whole.of = self->content - 1;
  sheets_clear (&self->sheets);
  self->dirty = LW_BOARD_LAYER_ALL;
}

static gboolean
same_size (const LwBoardView *self)
{
  const LwBoardSheets *sheets = &self->sheets;

  return sheets->flat && sheets->view.width == self->view.width && sheets->view.height == self->view.height
         && sheets->view.side == self->view.side && sheets->scale == gtk_widget_get_scale_factor (GTK_WIDGET (self));
}

static gboolean
may_wait (const LwBoardView *self)
{
  return g_get_monotonic_time () - self->moved_us < HURRY_US
         || (self->took_us > SLOW_US && self->dirty != LW_BOARD_LAYER_OVER);
}

static gboolean
same_place (const LwViewport *a, const LwViewport *b)
{
  return a->scale == b->scale && a->center_x_mm == b->center_x_mm && a->center_y_mm == b->center_y_mm;
}

static void
refresh (LwBoardView *self, const LwBoardPicture *picture)
{
  Order *order;

  if (!same_size (self)) /* nothing that could be shown meanwhile */
    lw_board_view_drop_sheets (self);
  order_whole (self, picture);
  if (lw_easel_busy (&self->easel))
    return;
  if (!same_place (&self->sheets.view, &self->view)) /* they were painted for where the hand would have come to */
    self->dirty = LW_BOARD_LAYER_ALL;
  if (self->dirty == 0)
    return;
  order = order_new (self, picture, self->dirty);
  self->dirty = 0;
  if (self->sheets.flat && may_wait (self)) {
    lw_easel_order (&self->easel, GTK_WIDGET (self), order, &KIND);
    return;
  }
  paint_order (order);
  take_order (self, order);
  order_free (order);
}

/* Lays CR out for what was painted for an earlier view, as it lies in this one. */
static void
move_to (const LwBoardView *self, const LwViewport *seen, cairo_t *cr)
{
  double scale = self->view.scale / seen->scale, x_mm, y_mm, dx, dy;

  lw_viewport_to_board (seen, 0.0, 0.0, &x_mm, &y_mm);
  lw_viewport_to_picture (&self->view, x_mm, y_mm, &dx, &dy);
  cairo_translate (cr, round (dx), round (dy)); /* whole units: no resampling */
  if (fabs (scale - 1.0) > 1e-6)
    cairo_scale (cr, scale, scale);
}

static void
paint_moved (const LwBoardView *self, cairo_t *cr, cairo_surface_t *sheet)
{
  cairo_save (cr);
  move_to (self, &self->sheets.view, cr);
  cairo_set_source_surface (cr, sheet, 0.0, 0.0);
  cairo_pattern_set_filter (cairo_get_source (cr), CAIRO_FILTER_FAST);
  cairo_paint (cr);
  cairo_restore (cr);
}

/* What the sheets do not cover. */
static void
paint_beyond (const LwBoardView *self, cairo_t *cr, const LwBoardPicture *picture)
{
  const LwViewport *seen = &self->sheets.view;

  cairo_save (cr);
  cairo_set_fill_rule (cr, CAIRO_FILL_RULE_EVEN_ODD);
  cairo_rectangle (cr, 0.0, 0.0, self->view.width, self->view.height);
  cairo_save (cr);
  move_to (self, seen, cr);
  cairo_rectangle (cr, -LW_BOARD_MARGIN, -LW_BOARD_MARGIN, seen->width + 2.0 * LW_BOARD_MARGIN, seen->height + 2.0 * LW_BOARD_MARGIN);
  cairo_restore (cr);
  cairo_clip (cr);
  lw_color_set (cr, lw_palette (picture->look)->desk);
  cairo_paint (cr);
  if (lw_board_view_stands_in (self)) {
    move_to (self, &self->whole.view, cr);
    cairo_set_source_surface (cr, self->whole.sheet, 0.0, 0.0);
    cairo_pattern_set_filter (cairo_get_source (cr), CAIRO_FILTER_BILINEAR);
    cairo_paint (cr);
  }
  cairo_restore (cr);
}

double
lw_board_view_gap (const LwBoardView *self)
{
  const LwViewport *seen = &self->sheets.view, *now = &self->view;
  double factor = now->scale / seen->scale, x_mm, y_mm, x, y, gap = 0.0;

  if (!self->sheets.flat)
    return MAX (now->width, now->height);
  lw_viewport_to_board (seen, -LW_BOARD_MARGIN, -LW_BOARD_MARGIN, &x_mm, &y_mm);
  lw_viewport_to_picture (now, x_mm, y_mm, &x, &y);
  gap = MAX (gap, MAX (x, y));
  x += factor * (seen->width + 2.0 * LW_BOARD_MARGIN);
  y += factor * (seen->height + 2.0 * LW_BOARD_MARGIN);
  return MAX (gap, MAX (now->width - x, now->height - y));
}

void
lw_board_view_paint_sheets (LwBoardView *self, cairo_t *cr, const LwBoardPicture *picture)
{
  refresh (self, picture);
  if (lw_board_view_gap (self) > 0.0)
    paint_beyond (self, cr, picture);
  paint_moved (self, cr, self->sheets.flat);
  if (self->sheets.over)
    paint_moved (self, cr, self->sheets.over);
}
