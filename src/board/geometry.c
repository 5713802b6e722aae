/* Loops of straight edges and arcs. Edge i of a loop leads to corner i from the corner before it; the
 * first corner's edge closes the loop. Closed formulas throughout, so area, box and inside test do not
 * depend on how finely an arc is cut. */
#include "board/geometry.h"

#include <math.h>
#include <string.h>

#include "board/fields.h"
#include "board/types.h"

enum { PIECES_MAX = 1024 }; /* of one arc */

/* An arc brought to centre, radius, start angle and signed sweep (radians). */
typedef struct {
  LwPoint center;
  double radius, start, sweep;
} Arc;

static gboolean
arc_from_edge (const LwVertex *a, const LwVertex *b, Arc *arc)
{
  double dx = b->x_mm - a->x_mm, dy = b->y_mm - a->y_mm;
  double chord = hypot (dx, dy), sweep = b->arc_deg * G_PI / 180.0;

  if (chord == 0.0 || b->arc_deg == 0.0)
    return FALSE;
  double half_cot = 0.5 / tan (sweep / 2.0);
  arc->center.x_mm = (a->x_mm + b->x_mm) / 2.0 - dy * half_cot;
  arc->center.y_mm = (a->y_mm + b->y_mm) / 2.0 + dx * half_cot;
  arc->radius = chord / (2.0 * sin (fabs (sweep) / 2.0));
  arc->start = atan2 (a->y_mm - arc->center.y_mm, a->x_mm - arc->center.x_mm);
  arc->sweep = sweep;
  return TRUE;
}

static const LwVertex *
corner (const LwLoop *loop, guint i)
{
  return &g_array_index (loop->corners, LwVertex, i);
}

static const LwVertex *
corner_before (const LwLoop *loop, guint i)
{
  return corner (loop, i == 0 ? loop->corners->len - 1 : i - 1);
}

static void
loop_clear (gpointer loop)
{
  lw_type_clear (&lw_loop_type, loop);
}

LwLoop *
lw_loop_new (void)
{
  return lw_type_new (&lw_loop_type);
}

LwLoop *
lw_loop_new_rectangle (double x0_mm, double y0_mm, double x1_mm, double y1_mm)
{
  LwLoop *loop = lw_loop_new ();

  lw_loop_add (loop, x0_mm, y0_mm, 0.0);
  lw_loop_add (loop, x1_mm, y0_mm, 0.0);
  lw_loop_add (loop, x1_mm, y1_mm, 0.0);
  lw_loop_add (loop, x0_mm, y1_mm, 0.0);
  return loop;
}

LwLoop *
lw_loop_new_circle (double x_mm, double y_mm, double radius_mm)
{
  LwLoop *loop = lw_loop_new ();

  lw_loop_add (loop, x_mm + radius_mm, y_mm, 180.0);
  lw_loop_add (loop, x_mm - radius_mm, y_mm, 180.0);
  return loop;
}

LwLoop *
lw_loop_copy (const LwLoop *loop)
{
  return lw_type_dup (&lw_loop_type, loop);
}

LwLoop *
lw_loop_ref (LwLoop *loop)
{
  return g_atomic_rc_box_acquire (loop);
}

void
lw_loop_unref (LwLoop *loop)
{
  if (loop != NULL)
    g_atomic_rc_box_release_full (loop, loop_clear);
}

void
lw_loop_add (LwLoop *loop, double x_mm, double y_mm, double arc_deg)
{
  LwVertex vertex = { x_mm, y_mm, arc_deg };

  g_array_append_val (loop->corners, vertex);
}

/* Sagitta r (1 - cos (step / 2)) <= tolerance. */
static guint
arc_pieces (const Arc *arc, double tolerance_mm)
{
  if (!(tolerance_mm > 0.0) || tolerance_mm >= arc->radius)
    return MAX (1, (guint) ceil (fabs (arc->sweep) / (G_PI / 2.0)));
  double step = 2.0 * acos (1.0 - tolerance_mm / arc->radius);
  double pieces = ceil (fabs (arc->sweep) / step);
  return (guint) CLAMP (pieces, 1.0, (double) PIECES_MAX);
}

/* Points strictly inside an edge. */
static void
append_arc_points (GArray *points, const LwVertex *a, const LwVertex *b, double tolerance_mm)
{
  Arc arc;

  if (!arc_from_edge (a, b, &arc))
    return;
  guint n = arc_pieces (&arc, tolerance_mm);
  for (guint i = 1; i < n; i++)
    {
      double angle = arc.start + arc.sweep * i / n;
      LwPoint p = { arc.center.x_mm + arc.radius * cos (angle), arc.center.y_mm + arc.radius * sin (angle) };

      g_array_append_val (points, p);
    }
}

GArray *
lw_loop_flatten_edges (const LwLoop *loop, double tolerance_mm, GArray *edges)
{
  GArray *points = g_array_new (FALSE, FALSE, sizeof (LwPoint));
  guint n = loop->corners->len;

  for (guint i = 1; i <= n; i++)
    {
      const LwVertex *a = corner (loop, i - 1), *b = corner (loop, i % n);
      LwPoint start = { a->x_mm, a->y_mm };
      guint edge = i % n;

      g_array_append_val (points, start);
      append_arc_points (points, a, b, tolerance_mm);
      while (edges != NULL && edges->len < points->len)
        g_array_append_val (edges, edge);
    }
  return points;
}

GArray *
lw_loop_flatten (const LwLoop *loop, double tolerance_mm)
{
  return lw_loop_flatten_edges (loop, tolerance_mm, NULL);
}

/* Shoelace about the first corner (so that far-away boards lose no digits) plus circular segments. */
double
lw_loop_area (const LwLoop *loop)
{
  double twice = 0.0, segments = 0.0;

  if (loop->corners->len == 0)
    return 0.0;
  const LwVertex *o = corner (loop, 0);
  for (guint i = 0; i < loop->corners->len; i++)
    {
      const LwVertex *a = corner_before (loop, i), *b = corner (loop, i);
      Arc arc;

      twice += (a->x_mm - o->x_mm) * (b->y_mm - o->y_mm) - (b->x_mm - o->x_mm) * (a->y_mm - o->y_mm);
      if (arc_from_edge (a, b, &arc))
        segments += arc.radius * arc.radius / 2.0 * (arc.sweep - sin (arc.sweep));
    }
  return twice / 2.0 + segments;
}

void
lw_box_extend (LwBox *box, double x_mm, double y_mm)
{
  box->x0_mm = MIN (box->x0_mm, x_mm);
  box->y0_mm = MIN (box->y0_mm, y_mm);
  box->x1_mm = MAX (box->x1_mm, x_mm);
  box->y1_mm = MAX (box->y1_mm, y_mm);
}

/* Rightmost, topmost, leftmost and lowest points of the circle that lie on the arc. */
static void
extend_by_arc (LwBox *box, const Arc *arc)
{
  static const LwPoint extremes[4] = { { 1, 0 }, { 0, 1 }, { -1, 0 }, { 0, -1 } };

  for (int quarter = 0; quarter < 4; quarter++)
    {
      double from_start = quarter * G_PI / 2.0 - arc->start;
      double along = fmod (arc->sweep > 0 ? from_start : -from_start, 2.0 * G_PI);

      if (along < 0.0)
        along += 2.0 * G_PI;
      if (along <= fabs (arc->sweep))
        lw_box_extend (box, arc->center.x_mm + arc->radius * extremes[quarter].x_mm,
                       arc->center.y_mm + arc->radius * extremes[quarter].y_mm);
    }
}

LwBox
lw_loop_box (const LwLoop *loop)
{
  LwBox box = { 0, 0, 0, 0 };

  if (loop->corners->len == 0)
    return box;
  const LwVertex *first = corner (loop, 0);
  box = (LwBox){ first->x_mm, first->y_mm, first->x_mm, first->y_mm };
  for (guint i = 0; i < loop->corners->len; i++)
    {
      const LwVertex *b = corner (loop, i);
      Arc arc;

      lw_box_extend (&box, b->x_mm, b->y_mm);
      if (arc_from_edge (corner_before (loop, i), b, &arc))
        extend_by_arc (&box, &arc);
    }
  return box;
}

/* Whether a ray from the point to the right crosses the straight edge. */
static gboolean
ray_crosses (double ax, double ay, double bx, double by, double x, double y)
{
  return (ay > y) != (by > y) && x < ax + (y - ay) / (by - ay) * (bx - ax);
}

/* The region between an arc and its chord lies in the circle, right of the chord for a
 * counter-clockwise arc and left of it for a clockwise one, however long the arc. */
static gboolean
in_segment (const LwVertex *a, const LwVertex *b, double x, double y)
{
  Arc arc;

  if (!arc_from_edge (a, b, &arc))
    return FALSE;
  double dx = x - arc.center.x_mm, dy = y - arc.center.y_mm;
  double cross = (b->x_mm - a->x_mm) * (y - a->y_mm) - (b->y_mm - a->y_mm) * (x - a->x_mm);
  /* On the chord itself: the side that ray_crosses() counts it to, above or to the right of the edge. Two
   * arcs may share a chord, as in a circle. */
  if (cross == 0.0)
    cross = a->y_mm != b->y_mm ? a->y_mm - b->y_mm : b->x_mm - a->x_mm;
  return dx * dx + dy * dy < arc.radius * arc.radius && (arc.sweep > 0 ? cross < 0.0 : cross > 0.0);
}

gboolean
lw_loop_contains (const LwLoop *loop, double x_mm, double y_mm)
{
  gboolean inside = FALSE;

  for (guint i = 0; i < loop->corners->len; i++)
    {
      const LwVertex *a = corner_before (loop, i), *b = corner (loop, i);

      inside ^= ray_crosses (a->x_mm, a->y_mm, b->x_mm, b->y_mm, x_mm, y_mm);
      inside ^= in_segment (a, b, x_mm, y_mm);
    }
  return inside;
}

gboolean
lw_polygon_contains (const GArray *polygon, double x_mm, double y_mm)
{
  const LwPoint *p = (const LwPoint *) (void *) polygon->data;
  gboolean inside = FALSE;

  for (guint i = 0, j = polygon->len - 1; i < polygon->len; j = i++)
    inside ^= ray_crosses (p[j].x_mm, p[j].y_mm, p[i].x_mm, p[i].y_mm, x_mm, y_mm);
  return inside;
}

double
lw_angle_normalise (double deg)
{
  double r = fmod (deg, 360.0);

  if (r < 0.0)
    r += 360.0;
  return r >= 360.0 ? 0.0 : r + 0.0; /* -1e-20 + 360 rounds to 360; + 0.0 drops the sign of -0 */
}
