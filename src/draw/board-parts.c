/* Bodies: soft fills by kind, or by their own temperature when the field is shown. */
#include <math.h>

#include "draw/board-painter.h"

/* Beyond this many picture units cairo's fixed point runs out. */
#define FAR 2e6

static LwPoint
toward (LwPoint from, LwPoint to, double distance)
{
  double length = hypot (to.x_mm - from.x_mm, to.y_mm - from.y_mm);
  double f = length > 0.0 ? MIN (distance / length, 0.5) : 0.0;

  return (LwPoint){ from.x_mm + f * (to.x_mm - from.x_mm), from.y_mm + f * (to.y_mm - from.y_mm) };
}

void
lw_board_shape_path (cairo_t *cr, const GArray *points, double round_corners)
{
  guint n = points->len;

  cairo_new_sub_path (cr);
  for (guint i = 0; i < n; i++) {
    LwPoint at = g_array_index (points, LwPoint, i);

    at.x_mm = CLAMP (at.x_mm, -FAR, FAR);
    at.y_mm = CLAMP (at.y_mm, -FAR, FAR);
    if (round_corners > 0.3 && n <= 8) {
      LwPoint in = toward (at, g_array_index (points, LwPoint, (i + n - 1) % n), round_corners);
      LwPoint out = toward (at, g_array_index (points, LwPoint, (i + 1) % n), round_corners);

      cairo_line_to (cr, in.x_mm, in.y_mm);
      cairo_curve_to (cr, (in.x_mm + 2.0 * at.x_mm) / 3.0, (in.y_mm + 2.0 * at.y_mm) / 3.0,
                      (out.x_mm + 2.0 * at.x_mm) / 3.0, (out.y_mm + 2.0 * at.y_mm) / 3.0, out.x_mm, out.y_mm);
    } else {
      cairo_line_to (cr, at.x_mm, at.y_mm);
    }
  }
  cairo_close_path (cr);
}

static double
corner_round (const LwBoardItem *item)
{
  return MIN (0.09 * item->small_side, 4.0);
}

LwPoint
lw_board_item_point (const LwBoardPainter *self, const LwBoardItem *item, double u_mm, double v_mm)
{
  LwPoint at = lw_part_to_board (item->part, u_mm, v_mm), to;

  lw_viewport_to_picture (self->view, at.x_mm, at.y_mm, &to.x_mm, &to.y_mm);
  return to;
}

LwColor
lw_board_body_color (const LwBoardPainter *self, const LwBoardItem *item)
{
  LwColor color = lw_palette_body (item->package ? item->package->kind : LW_KIND_OTHER, self->picture->look);
  double temp_c;

  if (!self->picture->show_field || !self->has_field || !item->trace || !item->trace->body_top)
    return color;
  temp_c = lw_prediction_at (self->picture->prediction, item->trace->body_top, self->picture->t_s);
  if (!isfinite (temp_c))
    return color;
  return lw_heat_color ((temp_c - self->low_c) / (self->high_c - self->low_c), self->picture->look);
}

/* An edge that shows on its own body whatever the temperature. */
static LwColor
edge_color (const LwBoardPainter *self, LwColor body)
{
  if (!self->has_field || !self->picture->show_field)
    return self->ink->body_edge;
  return lw_color_luma (body) > 0.42 ? (LwColor){ 0.13, 0.13, 0.13, 0.85 }
                                      : (LwColor){ 0.96, 0.96, 0.96, 0.75 };
}

/* Narrower than this a body is a speck: its edge could not be told from it, and a large board has thousands. */
#define SPECK 1.5

static void
paint_body (LwBoardPainter *self, const LwBoardItem *item)
{
  cairo_t *cr = self->cr;
  LwColor body = lw_board_body_color (self, item);
  double weight = CLAMP (0.05 * item->small_side, 0.45, 1.1);

  if (item->small_side < SPECK) {
    cairo_new_path (cr);
    cairo_rectangle (cr, item->box.x0_mm, item->box.y0_mm, item->box.x1_mm - item->box.x0_mm,
                     item->box.y1_mm - item->box.y0_mm);
    lw_color_set (cr, body);
    cairo_fill (cr);
    return;
  }
  if (item->small_side > 6.0)
    lw_board_paint_joints (self, item);
  cairo_new_path (cr);
  lw_board_shape_path (cr, item->shape, corner_round (item));
  lw_color_set (cr, body);
  cairo_fill_preserve (cr);
  lw_color_set (cr, edge_color (self, body));
  cairo_set_line_width (cr, weight);
  cairo_stroke (cr);
  if (item->package && item->small_side > 7.0)
    lw_board_paint_ornament (self, item, body);
  if (item->package && item->small_side > 20.0)
    lw_board_paint_balls (self, item, body);
}

/* Smaller bodies throw no shadow: it would only blur them. */
#define SHADOW_LEAST 7.0

/* Light falls from above the picture: what stands high throws a longer shadow, and the board reads as relief. */
static double
shadow_reach (const LwBoardPainter *self, const LwBoardItem *item)
{
  gboolean known;
  double height_mm = lw_part_height_mm (item->part, item->package, &known);

  return CLAMP (0.35 * height_mm * self->view->scale, 0.8, MIN (5.0, 0.2 * item->small_side));
}

static void
shadow_paths (LwBoardPainter *self, double share)
{
  for (guint i = 0; i < self->items->len; i++) {
    const LwBoardItem *item = &g_array_index (self->items, LwBoardItem, i);

    if (!item->seen || !item->this_side || !item->package || item->small_side < SHADOW_LEAST)
      continue;
    cairo_save (self->cr);
    cairo_translate (self->cr, 0.0, share * shadow_reach (self, item));
    lw_board_shape_path (self->cr, item->shape, corner_round (item));
    cairo_restore (self->cr);
  }
}

/* Under all bodies, twice, so that its edge is soft. */
static void
paint_shadows (LwBoardPainter *self)
{
  gboolean on_field = self->has_field && self->picture->show_field;
  LwColor shade = on_field ? (LwColor){ 0.0, 0.0, 0.0, 0.2 } : self->ink->shadow;

  if (!(self->ink->shadow.a > 0.0))
    return;
  for (int k = 0; k < 2; k++) {
    cairo_new_path (self->cr);
    shadow_paths (self, k == 0 ? 1.0 : 0.55);
    lw_color_set (self->cr, shade);
    cairo_fill (self->cr);
  }
}

void
lw_board_paint_parts (LwBoardPainter *self)
{
  cairo_set_line_join (self->cr, CAIRO_LINE_JOIN_ROUND);
  paint_shadows (self);
  for (guint i = 0; i < self->items->len; i++) {
    const LwBoardItem *item = &g_array_index (self->items, LwBoardItem, i);

    if (item->seen && item->this_side)
      paint_body (self, item);
  }
}

/* A grade keeps its colour through the board. */
static LwColor
ghost_color (const LwBoardPainter *self, const LwBoardItem *item)
{
  LwColor ground;

  if (item->graded && item->grade != LW_GRADE_FINE)
    return lw_grade_color (item->grade, self->picture->look);
  if (!self->picture->show_field || !self->field)
    return self->ink->ghost;
  ground = lw_board_ground_at (self, 0.5 * (item->box.x0_mm + item->box.x1_mm),
                               0.5 * (item->box.y0_mm + item->box.y1_mm));
  return lw_color_fade (lw_board_ink_on (self, ground, self->ink->ink), 0.55);
}

void
lw_board_paint_other_side (LwBoardPainter *self)
{
  static const double dash[] = { 3.0, 2.5 };
  cairo_t *cr = self->cr;

  cairo_save (cr);
  cairo_set_dash (cr, dash, 2, 0.0);
  cairo_set_line_width (cr, lw_board_hairline (self));
  for (guint i = 0; i < self->items->len; i++) {
    const LwBoardItem *item = &g_array_index (self->items, LwBoardItem, i);

    if (!item->seen || item->this_side || item->small_side < 2.5)
      continue;
    cairo_new_path (cr);
    lw_board_shape_path (cr, item->shape, corner_round (item));
    lw_color_set (cr, ghost_color (self, item));
    cairo_stroke (cr);
  }
  cairo_restore (cr);
}
