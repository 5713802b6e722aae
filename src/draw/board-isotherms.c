/* Isotherms with their temperatures written along them; the liquidus is dashed and named. */
#include <math.h>
#include <string.h>

#include <glib/gi18n.h>

#include "board/library.h"
#include "draw/board-painter.h"
#include "draw/isolines.h"
#include "draw/nice.h"

#define LINES_WANTED 9.0
#define LETTER 9.5
#define LABELS_PER_LINE 2
#define LINES_MAX 60

static double
liquidus_of (const LwBoardPainter *self)
{
  const LwBoardItem *target;
  const LwAlloy *alloy;
  const char *name = self->picture->job->alloy;

  if (self->target < 0)
    return NAN;
  target = &g_array_index (self->items, LwBoardItem, self->target);
  if (target->trace && isfinite (target->trace->joint_liquidus_c))
    return target->trace->joint_liquidus_c;
  if (target->part->alloy[0])
    name = target->part->alloy;
  alloy = lw_library_alloy (name);
  return alloy ? alloy->liquidus_c : NAN;
}

static void
field_range (const float *grid, gsize n, double *low, double *high)
{
  *low = INFINITY;
  *high = -INFINITY;
  for (gsize i = 0; i < n; i++) {
    if (isfinite (grid[i])) {
      *low = MIN (*low, grid[i]);
      *high = MAX (*high, grid[i]);
    }
  }
}

static GArray *
to_picture (const LwBoardPainter *self, const LwIsoline *line)
{
  GArray *out = g_array_sized_new (FALSE, FALSE, sizeof (LwPoint), line->points->len);

  for (guint i = 0; i < line->points->len; i++) {
    const LwPoint *from = &g_array_index (line->points, LwPoint, i);
    LwPoint to;

    lw_viewport_to_picture (self->view, from->x_mm, from->y_mm, &to.x_mm, &to.y_mm);
    to.x_mm = CLAMP (to.x_mm, -2e6, 2e6);
    to.y_mm = CLAMP (to.y_mm, -2e6, 2e6);
    /* Crossings of neighbouring grid edges can nearly coincide; keep the curve free of them. */
    if (out->len > 0) {
      const LwPoint *last = &g_array_index (out, LwPoint, out->len - 1);

      if (hypot (to.x_mm - last->x_mm, to.y_mm - last->y_mm) < 1.5 && i + 1 < line->points->len)
        continue;
    }
    g_array_append_val (out, to);
  }
  return out;
}

static LwPoint
knot (const GArray *points, int i, gboolean closed)
{
  int n = (int) points->len;

  if (closed)
    i = (i % n + n) % n;
  return g_array_index (points, LwPoint, CLAMP (i, 0, n - 1));
}

/* Through the knots with Catmull-Rom tangents: coarse cells give no corners. */
static void
curve_path (cairo_t *cr, const GArray *points, gboolean closed)
{
  int n = (int) points->len, last = closed ? n : n - 1;
  LwPoint start = knot (points, 0, closed);

  cairo_move_to (cr, start.x_mm, start.y_mm);
  for (int i = 0; i < last; i++) {
    LwPoint a = knot (points, i - 1, closed), b = knot (points, i, closed);
    LwPoint c = knot (points, i + 1, closed), d = knot (points, i + 2, closed);

    cairo_curve_to (cr, b.x_mm + (c.x_mm - a.x_mm) / 6.0, b.y_mm + (c.y_mm - a.y_mm) / 6.0,
                    c.x_mm - (d.x_mm - b.x_mm) / 6.0, c.y_mm - (d.y_mm - b.y_mm) / 6.0, c.x_mm, c.y_mm);
  }
  if (closed)
    cairo_close_path (cr);
}

static double
curve_length (const GArray *points)
{
  double length = 0.0;

  for (guint i = 1; i < points->len; i++) {
    LwPoint a = g_array_index (points, LwPoint, i - 1), b = g_array_index (points, LwPoint, i);

    length += hypot (b.x_mm - a.x_mm, b.y_mm - a.y_mm);
  }
  return length;
}

static LwPoint
point_at (const GArray *points, double where)
{
  for (guint i = 1; i < points->len; i++) {
    LwPoint a = g_array_index (points, LwPoint, i - 1), b = g_array_index (points, LwPoint, i);
    double step = hypot (b.x_mm - a.x_mm, b.y_mm - a.y_mm);

    if (where <= step && step > 0.0)
      return (LwPoint){ a.x_mm + (b.x_mm - a.x_mm) * where / step, a.y_mm + (b.y_mm - a.y_mm) * where / step };
    where -= step;
  }
  return g_array_index (points, LwPoint, points->len - 1);
}

typedef struct {
  LwPoint at;
  double turn;
  LwBox box;
} Place;

/* A place for a label of W x H about WHERE along the line: FALSE where the line bends too much there, or
 * something is in the way. */
static gboolean
place_label (const LwBoardPainter *self, const GArray *points, double where, double w, double h, Place *out)
{
  LwPoint a = point_at (points, where - 0.5 * w), m = point_at (points, where);
  LwPoint b = point_at (points, where + 0.5 * w);
  double chord = hypot (b.x_mm - a.x_mm, b.y_mm - a.y_mm), box_w, box_h;

  if (chord < 0.93 * w)
    return FALSE;
  out->turn = atan2 (b.y_mm - a.y_mm, b.x_mm - a.x_mm);
  if (out->turn > 0.5 * G_PI)
    out->turn -= G_PI;
  else if (out->turn <= -0.5 * G_PI)
    out->turn += G_PI;
  out->at = (LwPoint){ (a.x_mm + b.x_mm + 2.0 * m.x_mm) / 4.0, (a.y_mm + b.y_mm + 2.0 * m.y_mm) / 4.0 };
  box_w = fabs (w * cos (out->turn)) + fabs (h * sin (out->turn));
  box_h = fabs (w * sin (out->turn)) + fabs (h * cos (out->turn));
  out->box = (LwBox){ out->at.x_mm - 0.5 * box_w, out->at.y_mm - 0.5 * box_h, out->at.x_mm + 0.5 * box_w,
                      out->at.y_mm + 0.5 * box_h };
  if (out->box.x0_mm < 2.0 || out->box.y0_mm < 2.0 || out->box.x1_mm > self->view->width - 2.0
      || out->box.y1_mm > self->view->height - 2.0)
    return FALSE;
  for (guint i = 0; i < self->taken->len; i++) {
    if (lw_boxes_overlap (&out->box, &g_array_index (self->taken, LwBox, i)))
      return FALSE;
  }
  return TRUE;
}

static double
bodies_under (const LwBoardPainter *self, const LwBox *box)
{
  double area = 0.0;

  for (guint i = 0; i < self->items->len; i++) {
    const LwBoardItem *item = &g_array_index (self->items, LwBoardItem, i);

    if (item->seen && item->this_side)
      area += lw_boxes_shared_area (box, &item->box);
  }
  return area;
}

static gboolean
place_best (const LwBoardPainter *self, const GArray *points, double from, double to, double w, double h,
            Place *best)
{
  double least = INFINITY;

  for (double where = from; where < to; where += MAX (8.0, (to - from) / 24.0)) {
    Place place;
    double cost;

    if (!place_label (self, points, where, w, h, &place))
      continue;
    cost = bodies_under (self, &place.box);
    if (cost > 0.4 * w * h)
      continue; /* the line itself is hidden there */
    cost += 4.0 * fabs (sin (place.turn));
    if (cost < least) {
      least = cost;
      *best = place;
    }
  }
  return isfinite (least);
}

static void
write_labels (LwBoardPainter *self, const GArray *points, const char *text, LwColor ground)
{
  double w, h, length = curve_length (points);
  int n;

  lw_letter_measure (&self->type, text, &w, &h);
  w += 6.0;
  n = length < 3.0 * w ? 0 : length < 700.0 ? 1 : LABELS_PER_LINE;
  for (int k = 0; k < n; k++) {
    Place place;

    if (!place_best (self, points, length * k / n + 0.5 * w, length * (k + 1) / n - 0.5 * w, w, h, &place))
      continue;
    lw_board_write (self, text, place.at.x_mm, place.at.y_mm, place.turn, ground, self->ink->ink);
    g_array_append_val (self->taken, place.box);
  }
}

static void
stroke_line (LwBoardPainter *self, const GArray *points, gboolean closed, gboolean liquidus, LwColor ground)
{
  static const double dash[] = { 7.0, 3.5 };
  cairo_t *cr = self->cr;

  cairo_new_path (cr);
  cairo_set_tolerance (cr, 0.3); /* long gentle curves: a third of a unit is invisible and much faster */
  curve_path (cr, points, closed);
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  cairo_set_dash (cr, NULL, 0, 0.0);
  if (liquidus)
    cairo_set_dash (cr, dash, 2, 0.0);
  lw_color_set (cr, lw_color_fade (lw_board_ink_on (self, ground, self->ink->isotherm), liquidus ? 1.0 : 0.75));
  cairo_set_line_width (cr, liquidus ? 2.0 : 0.9);
  cairo_stroke (cr);
  cairo_set_dash (cr, NULL, 0, 0.0);
  cairo_set_tolerance (cr, 0.1);
}

static void
paint_level (LwBoardPainter *self, const double *xs, const double *ys, const float *grid, double level,
             gboolean liquidus, const char *text, gboolean words)
{
  const LwPrediction *p = self->picture->prediction;
  g_autoptr (GPtrArray) lines = lw_isolines (xs, p->nx + 2, ys, p->ny + 2, grid, level);
  LwColor ground = self->picture->show_field
                       ? lw_heat_color ((level - self->low_c) / (self->high_c - self->low_c), self->picture->look)
                       : self->ink->board;

  for (guint i = 0; i < lines->len; i++) {
    const LwIsoline *line = g_ptr_array_index (lines, i);
    g_autoptr (GArray) points = to_picture (self, line);

    if (points->len < 3)
      continue;
    if (words)
      write_labels (self, points, text, ground);
    else
      stroke_line (self, points, line->closed, liquidus, ground);
  }
}

static void
paint_all (LwBoardPainter *self, const double *xs, const double *ys, const float *grid, gboolean words)
{
  const LwPrediction *p = self->picture->prediction;
  LwUnits units = self->picture->units;
  double low, high, step, liquidus = liquidus_of (self);
  int n = 0;

  field_range (grid, (gsize) (p->nx + 2) * (p->ny + 2), &low, &high);
  if (!(high > low))
    return;
  step = MAX (lw_nice_step (lw_units_shown (units, (high - low) / LINES_WANTED, "K"), TRUE), 1.0);
  lw_letter_face (&self->type, LETTER, TRUE);
  if (words && liquidus > low && liquidus < high) {
    /* Translators: beside a line on the board, e.g. "183 liquidus" */
    g_autofree char *text = g_strdup_printf (_ ("%.0f liquidus"), lw_units_shown (self->picture->units, liquidus, "°C"));

    paint_level (self, xs, ys, grid, liquidus, TRUE, text, TRUE);
  }
  lw_letter_face (&self->type, LETTER, FALSE);
  for (double k = ceil (lw_units_shown (units, low, "°C") / step); n < LINES_MAX; k++, n++) {
    double level = lw_units_kept (units, k * step, "°C");
    g_autofree char *text = g_strdup_printf ("%.*f", lw_nice_decimals (step), k * step);

    if (!(level < high))
      break;
    if (!(fabs (level - liquidus) < 0.12 * lw_units_kept (units, step, "K")))
      paint_level (self, xs, ys, grid, level, FALSE, text, words);
  }
  if (!words && liquidus > low && liquidus < high)
    paint_level (self, xs, ys, grid, liquidus, TRUE, "", FALSE);
}

static void
each_pass (LwBoardPainter *self, gboolean words)
{
  g_autofree double *xs = NULL, *ys = NULL;
  g_autofree float *grid = lw_field_padded (self->picture->prediction, self->field, &xs, &ys);

  cairo_save (self->cr);
  lw_board_outline_path (self);
  cairo_clip (self->cr);
  paint_all (self, xs, ys, grid, words);
  cairo_restore (self->cr);
}

/* Lines lie under the bodies, their figures above everything but names. */
void
lw_board_paint_isotherms (LwBoardPainter *self)
{
  each_pass (self, FALSE);
}

void
lw_board_paint_isotherm_figures (LwBoardPainter *self)
{
  each_pass (self, TRUE);
}
