#include "exchange/plot-private.h"

#include <math.h>

LwPlot *
lw_plot_new (void)
{
  LwPlot *self = g_new0 (LwPlot, 1);

  self->shapes = g_array_new (FALSE, FALSE, sizeof (LwShape));
  self->corners = g_array_new (FALSE, FALSE, sizeof (LwPoint));
  return self;
}

void
lw_plot_free (LwPlot *self)
{
  if (self == NULL)
    return;
  g_array_unref (self->shapes);
  g_array_unref (self->corners);
  g_free (self);
}

guint
lw_plot_length (const LwPlot *self)
{
  return self->shapes->len;
}

gboolean
lw_plot_is_full (const LwPlot *self)
{
  return self->full;
}

static gboolean
has_room (LwPlot *self, guint shapes, guint corners)
{
  if ((guint64) self->shapes->len + shapes > LW_PLOT_SHAPES_MAX
      || (guint64) self->corners->len + corners > LW_PLOT_SHAPES_MAX)
    self->full = TRUE;
  return !self->full;
}

/* ---- adding ---- */

void
lw_plot_capsule (LwPlot *self, gboolean dark, LwPoint a, LwPoint b, double radius)
{
  LwShape shape = { LW_SHAPE_CAPSULE, dark, 0, 0, a.x_mm, a.y_mm, b.x_mm, b.y_mm, radius };

  if (radius > 0 && has_room (self, 1, 0))
    g_array_append_val (self->shapes, shape);
}

static void
set_box (LwShape *shape, const LwPoint *corners)
{
  shape->ax = shape->bx = corners[0].x_mm;
  shape->ay = shape->by = corners[0].y_mm;
  for (guint i = 1; i < shape->n; i++)
    {
      shape->ax = fmin (shape->ax, corners[i].x_mm);
      shape->bx = fmax (shape->bx, corners[i].x_mm);
      shape->ay = fmin (shape->ay, corners[i].y_mm);
      shape->by = fmax (shape->by, corners[i].y_mm);
    }
}

void
lw_plot_polygon (LwPlot *self, gboolean dark, const LwPoint *corners, guint n)
{
  LwShape shape = { LW_SHAPE_POLYGON, dark, self->corners->len, n, 0, 0, 0, 0, 0 };

  if (n < 3 || !has_room (self, 1, n))
    return;
  set_box (&shape, corners);
  g_array_append_vals (self->corners, corners, n);
  g_array_append_val (self->shapes, shape);
}

/* ---- copying ---- */

typedef struct {
  double xx, xy, yx, yy, dx, dy, scale;
} Matrix;

static Matrix
matrix_of (const LwPlotPlace *place)
{
  double turn = place->turn_deg * G_PI / 180, s = place->scale;
  double c = cos (turn), n = sin (turn), mx = place->mirror_x ? -s : s, my = place->mirror_y ? -s : s;

  return (Matrix) { c * mx, -n * my, n * mx, c * my, place->dx_mm, place->dy_mm, s };
}

static LwPoint
moved (const Matrix *m, double x, double y)
{
  return (LwPoint) { m->xx * x + m->xy * y + m->dx, m->yx * x + m->yy * y + m->dy };
}

static void
append_polygon (LwPlot *self, const LwPlot *from, const LwShape *shape, const Matrix *m, gboolean dark)
{
  g_autofree LwPoint *corners = g_new (LwPoint, shape->n);

  for (guint i = 0; i < shape->n; i++)
    {
      const LwPoint *p = &g_array_index (from->corners, LwPoint, shape->first + i);

      corners[i] = moved (m, p->x_mm, p->y_mm);
    }
  lw_plot_polygon (self, dark, corners, shape->n);
}

static void
append_shape (LwPlot *self, const LwPlot *from, guint index, const Matrix *m, gboolean flip)
{
  LwShape shape = g_array_index (from->shapes, LwShape, index); /* FROM may be SELF, whose array moves */
  gboolean dark = flip ? !shape.dark : shape.dark;

  if (shape.kind == LW_SHAPE_CAPSULE)
    lw_plot_capsule (self, dark, moved (m, shape.ax, shape.ay), moved (m, shape.bx, shape.by),
                     shape.r * m->scale);
  else if (shape.kind == LW_SHAPE_POLYGON)
    append_polygon (self, from, &shape, m, dark);
  else if (has_room (self, 1 + shape.n, 0))
    {
      shape.dark = dark;
      g_array_append_val (self->shapes, shape);
    }
}

void
lw_plot_append (LwPlot *self, const LwPlot *from, guint first, guint end, const LwPlotPlace *place,
                gboolean dark)
{
  Matrix m = matrix_of (place);
  guint own = 0; /* shapes of a stamp still to come: they keep their polarity */

  if (!has_room (self, end - first, 0))
    return;
  for (guint i = first; i < end && !self->full; i++)
    {
      const LwShape *shape = &g_array_index (from->shapes, LwShape, i);
      guint n = shape->kind == LW_SHAPE_STAMP ? shape->n : 0;

      append_shape (self, from, i, &m, own == 0 && !dark);
      own = n > 0 ? n : own > 0 ? own - 1 : 0;
    }
}

void
lw_plot_stamp (LwPlot *self, const LwPlot *from, const LwPlotPlace *place, gboolean dark)
{
  LwShape stamp = { LW_SHAPE_STAMP, dark, 0, from->shapes->len, 0, 0, 0, 0, 0 };
  guint at = self->shapes->len;

  if (stamp.n == 0 || !has_room (self, 1 + stamp.n, 0))
    return;
  g_array_append_val (self->shapes, stamp);
  lw_plot_append (self, from, 0, stamp.n, place, TRUE);
  g_array_index (self->shapes, LwShape, at).n = self->shapes->len - at - 1;
}

/* ---- measures ---- */

LwBox
lw_plot_box (const LwPlot *self)
{
  LwBox box = { 0 };
  gboolean first = TRUE;

  for (guint i = 0; i < self->shapes->len; i++)
    {
      const LwShape *s = &g_array_index (self->shapes, LwShape, i);
      LwBox own = { fmin (s->ax, s->bx) - s->r, fmin (s->ay, s->by) - s->r, fmax (s->ax, s->bx) + s->r,
                    fmax (s->ay, s->by) + s->r };

      if (s->kind == LW_SHAPE_STAMP)
        continue;
      if (first)
        box = own;
      first = FALSE;
      lw_box_extend (&box, own.x0_mm, own.y0_mm);
      lw_box_extend (&box, own.x1_mm, own.y1_mm);
    }
  return box;
}

void
lw_plot_add_arc (GArray *points, LwPoint a, LwPoint center, double sweep_deg, double tolerance_mm)
{
  double dx = a.x_mm - center.x_mm, dy = a.y_mm - center.y_mm, r = hypot (dx, dy);
  double step = r > tolerance_mm ? 2 * acos (1 - tolerance_mm / r) : G_PI / 2;
  double sweep = sweep_deg * G_PI / 180;
  guint n = (guint) CLAMP (ceil (fabs (sweep) / fmax (step, 1e-3)), 1, 10000);

  for (guint i = 1; i <= n; i++)
    {
      double t = sweep * i / n, c = cos (t), s = sin (t);
      LwPoint p = { center.x_mm + dx * c - dy * s, center.y_mm + dx * s + dy * c };

      g_array_append_val (points, p);
    }
}
