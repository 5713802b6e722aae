/* Flashes, strokes and regions onto the plot. */
#include <glib/gi18n.h>
#include <math.h>

#include "exchange/gerber-private.h"

#define MAX_STROKES 1000000

static gboolean
check_plot (LwGerberState *self)
{
  return !lw_plot_is_full (self->plot)
         || lw_gerber_stop (self, _("more than %u shapes are drawn"), LW_PLOT_SHAPES_MAX);
}

/* ---- arcs ---- */

/* Centre and sweep of the arc to TO. In the old way of single quadrants the signs of the offset are left
 * open: of the four centres the one that gives a quarter turn at most and equal radii is meant. */
static gboolean
single_quadrant (LwGerberState *self, LwPoint to, LwPoint offset, LwStroke *stroke)
{
  double best = INFINITY;

  for (guint k = 0; k < 4; k++)
    {
      LwPoint c = { self->at.x_mm + (k & 1 ? -fabs (offset.x_mm) : fabs (offset.x_mm)),
                    self->at.y_mm + (k & 2 ? -fabs (offset.y_mm) : fabs (offset.y_mm)) };
      double a = atan2 (self->at.y_mm - c.y_mm, self->at.x_mm - c.x_mm), b = atan2 (to.y_mm - c.y_mm, to.x_mm - c.x_mm);
      double sweep = lw_angle_normalise ((self->mode == 3 ? b - a : a - b) * 180 / G_PI);
      double off = fabs (hypot (to.x_mm - c.x_mm, to.y_mm - c.y_mm) - hypot (offset.x_mm, offset.y_mm));

      if (sweep > 90.5 || off >= best)
        continue;
      best = off;
      stroke->center = c;
      stroke->sweep_deg = self->mode == 3 ? sweep : -sweep;
    }
  return isfinite (best);
}

static gboolean
many_quadrants (LwGerberState *self, LwPoint to, LwPoint offset, LwStroke *stroke)
{
  LwPoint c = { self->at.x_mm + offset.x_mm, self->at.y_mm + offset.y_mm };
  double from = hypot (offset.x_mm, offset.y_mm), end = hypot (to.x_mm - c.x_mm, to.y_mm - c.y_mm);
  double a = atan2 (-offset.y_mm, -offset.x_mm), b = atan2 (to.y_mm - c.y_mm, to.x_mm - c.x_mm);
  double sweep = lw_angle_normalise ((self->mode == 3 ? b - a : a - b) * 180 / G_PI);

  if (hypot (to.x_mm - self->at.x_mm, to.y_mm - self->at.y_mm) < 1e-6 || sweep == 0)
    sweep = 360;
  stroke->center = c;
  stroke->sweep_deg = self->mode == 3 ? sweep : -sweep;
  return from > 0 && fabs (from - end) <= fmax (0.02, 0.02 * from);
}

static LwStroke
make_stroke (LwGerberState *self, LwPoint to, LwPoint offset)
{
  LwStroke stroke = { self->at, to, 0, { 0, 0 }, self->line };
  gboolean fine = TRUE;

  if (self->mode == 1)
    return stroke;
  fine = self->multi_quadrant ? many_quadrants (self, to, offset, &stroke)
                              : single_quadrant (self, to, offset, &stroke);
  if (!fine)
    {
      lw_gerber_note (self, "arc", _("an arc whose radii differ is taken as straight"));
      stroke.sweep_deg = 0;
    }
  return stroke;
}

/* The stroke as points after its start. */
static void
stroke_points (const LwStroke *stroke, GArray *points)
{
  if (stroke->sweep_deg != 0)
    {
      lw_plot_add_arc (points, stroke->from, stroke->center, stroke->sweep_deg, LW_GERBER_CHORD_MM);
      g_array_index (points, LwPoint, points->len - 1) = stroke->to; /* no rounding at the joint */
    }
  else
    g_array_append_val (points, stroke->to);
}

/* ---- strokes ---- */

/* The area a rectangle sweeps along a line: the hull of its two ends, which has up to six corners. */
static void
sweep_rectangle (LwGerberState *self, LwPoint a, LwPoint b)
{
  double w = self->aperture->width / 2 * self->place.scale, h = self->aperture->height / 2 * self->place.scale;
  double sx = b.x_mm >= a.x_mm ? 1 : -1, sy = b.y_mm >= a.y_mm ? 1 : -1;
  LwPoint corners[6] = { { a.x_mm - sx * w, a.y_mm - sy * h }, { a.x_mm + sx * w, a.y_mm - sy * h },
                         { b.x_mm + sx * w, b.y_mm - sy * h }, { b.x_mm + sx * w, b.y_mm + sy * h },
                         { b.x_mm - sx * w, b.y_mm + sy * h }, { a.x_mm - sx * w, a.y_mm + sy * h } };

  lw_plot_polygon (self->plot, !self->clear, corners, 6);
}

static void
draw_piece (LwGerberState *self, LwPoint a, LwPoint b)
{
  const LwAperture *aperture = self->aperture;

  if (aperture->width > 0 && aperture->height > 0 && self->place.turn_deg == 0)
    sweep_rectangle (self, a, b);
  else
    lw_plot_capsule (self->plot, !self->clear, a, b,
                     (aperture->diameter > 0 ? aperture->diameter : aperture->size) / 2 * self->place.scale);
}

static void
draw_stroke (LwGerberState *self, const LwStroke *stroke)
{
  g_autoptr (GArray) points = g_array_new (FALSE, FALSE, sizeof (LwPoint));
  LwPoint from = stroke->from;

  if (self->aperture->diameter == 0 && self->aperture->width == 0 && self->aperture->size > 0)
    lw_gerber_note (self, "draw", _("a line drawn with an aperture that is neither round nor rectangular is taken "
                                    "as drawn with a round one"));
  stroke_points (stroke, points);
  for (guint i = 0; i < points->len; i++)
    {
      draw_piece (self, from, g_array_index (points, LwPoint, i));
      from = g_array_index (points, LwPoint, i);
    }
}

static gboolean
keep_stroke (LwGerberState *self, const LwStroke *stroke)
{
  if (self->file->strokes->len >= MAX_STROKES)
    return lw_gerber_stop (self, _("more than %d lines are drawn"), MAX_STROKES);
  if (self->n_blocks == 0)
    g_array_append_val (self->file->strokes, *stroke);
  lw_gerber_part_stroke (self, stroke);
  return TRUE;
}

static gboolean
draw (LwGerberState *self, LwPoint to, LwPoint offset)
{
  LwStroke stroke = make_stroke (self, to, offset);

  if (self->region)
    {
      if (self->contour->len == 0)
        g_array_append_val (self->contour, self->at);
      stroke_points (&stroke, self->contour);
      if (self->contour->len > LW_PLOT_SHAPES_MAX)
        return lw_gerber_stop (self, _("a region has more than %u corners"), LW_PLOT_SHAPES_MAX);
    }
  else if (self->aperture == NULL)
    return lw_gerber_stop (self, _("a line is drawn before an aperture is chosen"));
  else if (!self->aperture->is_block)
    draw_stroke (self, &stroke);
  return keep_stroke (self, &stroke) && check_plot (self);
}

/* ---- regions ---- */

static void
close_contour (LwGerberState *self)
{
  if (self->contour->len >= 3)
    lw_plot_polygon (self->plot, !self->clear, (const LwPoint *) (const void *) self->contour->data,
                     self->contour->len);
  g_array_set_size (self->contour, 0);
}

gboolean
lw_gerber_end_region (LwGerberState *self)
{
  if (self->region)
    close_contour (self);
  self->region = FALSE;
  return check_plot (self);
}

/* ---- flashes ---- */

static gboolean
flash (LwGerberState *self)
{
  LwPlotPlace place = self->place;
  const LwAperture *aperture = self->aperture;

  if (aperture == NULL)
    return lw_gerber_stop (self, _("a flash before an aperture is chosen"));
  place.dx_mm = self->at.x_mm;
  place.dy_mm = self->at.y_mm;
  if (aperture->stamp)
    lw_plot_stamp (self->plot, aperture->shape, &place, !self->clear);
  else
    lw_plot_append (self->plot, aperture->shape, 0, lw_plot_length (aperture->shape), &place, !self->clear);
  self->file->n_flashes += self->n_blocks == 0;
  lw_gerber_part_flash (self);
  return check_plot (self);
}

gboolean
lw_gerber_operate (LwGerberState *self, int operation, LwPoint to, LwPoint offset)
{
  gboolean fine = TRUE;

  if (operation == 1)
    fine = draw (self, to, offset);
  else if (operation == 2 && self->region)
    close_contour (self);
  self->at = to;
  if (operation == 3)
    fine = flash (self);
  return fine;
}
