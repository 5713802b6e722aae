/* Set points as lines with handles: round for gas, square for the preheater. */
#include <math.h>

#include "draw/profile-painter.h"

static void
set_path (LwProfilePainter *self, gboolean gas)
{
  const LwProfileLayout *l = &self->layout;
  double before = NAN;

  cairo_new_path (self->cr);
  for (guint i = 0; i < self->set_lines->len; i++) {
    const LwSetLine *line = &g_array_index (self->set_lines, LwSetLine, i);
    double a = gas ? line->gas0_c : line->warm0_c, b = gas ? line->gas1_c : line->warm1_c;
    double floor_c = CLAMP (self->picture->job->ambient_c, l->low_c, l->high_c);

    if (isfinite (a) && isfinite (b)) {
      /* Switching on or off is drawn as a step from and to the room's temperature. */
      if (isfinite (before))
        cairo_line_to (self->cr, lw_layout_x (l, line->t0_s), lw_layout_y_near (l, a));
      else {
        cairo_move_to (self->cr, lw_layout_x (l, line->t0_s), lw_layout_y_near (l, i == 0 ? a : floor_c));
        cairo_line_to (self->cr, lw_layout_x (l, line->t0_s), lw_layout_y_near (l, a));
      }
      cairo_line_to (self->cr, lw_layout_x (l, line->t1_s), lw_layout_y_near (l, b));
    } else if (isfinite (before)) {
      cairo_line_to (self->cr, lw_layout_x (l, line->t0_s), lw_layout_y_near (l, floor_c));
    }
    before = isfinite (a) ? b : NAN;
  }
}

static void
stroke_set (LwProfilePainter *self, gboolean gas)
{
  cairo_t *cr = self->cr;

  set_path (self, gas);
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  cairo_set_dash (cr, gas ? lw_dash_gas : lw_dash_warm, gas ? 2 : 4, 0.0);
  lw_color_set (cr, gas ? self->ink->gas : self->ink->warmth);
  cairo_set_line_width (cr, 1.8);
  cairo_stroke (cr);
  cairo_set_dash (cr, NULL, 0, 0.0);
}

void
lw_profile_paint_set_points (LwProfilePainter *self)
{
  if (self->set_lines->len == 0)
    return;
  stroke_set (self, FALSE);
  stroke_set (self, TRUE);
}

static void
paint_handle (LwProfilePainter *self, LwPoint at, gboolean gas, gboolean selected)
{
  cairo_t *cr = self->cr;
  double r = selected ? 5.0 : 4.0;

  cairo_new_path (cr);
  if (gas)
    cairo_arc (cr, at.x_mm, at.y_mm, r, 0.0, 2.0 * G_PI);
  else
    cairo_rectangle (cr, at.x_mm - 0.9 * r, at.y_mm - 0.9 * r, 1.8 * r, 1.8 * r);
  lw_color_set (cr, self->ink->board);
  cairo_fill_preserve (cr);
  lw_color_set (cr, gas ? self->ink->gas : self->ink->warmth);
  cairo_set_line_width (cr, selected ? 2.4 : 1.7);
  cairo_stroke (cr);
}

void
lw_profile_paint_handles (LwProfilePainter *self)
{
  if (!self->plan || self->plan->table || self->picture->still || self->picture->look == LW_LOOK_PRINT)
    return;
  for (guint i = 0; i < self->set_lines->len; i++) {
    const LwSetLine *line = &g_array_index (self->set_lines, LwSetLine, i);
    gboolean selected = (int) i == self->picture->selected_stage;
    LwPoint at;

    if (lw_profile_handle (&self->layout, line, FALSE, &at))
      paint_handle (self, at, FALSE, selected);
    if (lw_profile_handle (&self->layout, line, TRUE, &at))
      paint_handle (self, at, TRUE, selected);
  }
}
