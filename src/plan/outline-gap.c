#include "plan/outline-gap.h"

#include <math.h>

#define TOLERANCE_MM 0.02

LwPatch
lw_patch_of_nozzle (const LwPlan *plan, const LwPart *target, const LwPackage *package,
                    const LwNozzle *nozzle, double grow_mm)
{
  LwPoint center = lw_part_body_center (target, package);
  LwPatch patch = {
    .center = { center.x_mm + plan->nozzle_dx_mm, center.y_mm + plan->nozzle_dy_mm },
    .length_mm = nozzle->length_mm + 2 * grow_mm,
    .width_mm = (nozzle->round ? nozzle->length_mm : nozzle->width_mm) + 2 * grow_mm,
    .turn_deg = lw_part_turn_deg (target) + plan->nozzle_turn_deg,
    .round = nozzle->round,
  };
  return patch;
}

double
lw_patch_inside_mm (const LwPatch *patch, LwPoint at)
{
  double dx = at.x_mm - patch->center.x_mm, dy = at.y_mm - patch->center.y_mm;
  double turn = patch->turn_deg * G_PI / 180;
  double u = dx * cos (turn) + dy * sin (turn), v = -dx * sin (turn) + dy * cos (turn);

  if (patch->round)
    return patch->length_mm / 2 - hypot (u, v);
  return fmin (patch->length_mm / 2 - fabs (u), patch->width_mm / 2 - fabs (v));
}

GArray *
lw_patch_polygon (const LwPatch *patch)
{
  double l = patch->length_mm / 2, w = patch->width_mm / 2, turn = patch->turn_deg * G_PI / 180;

  if (patch->round) {
    g_autoptr (LwLoop) circle = lw_loop_new_circle (patch->center.x_mm, patch->center.y_mm, l);
    return lw_loop_flatten (circle, TOLERANCE_MM);
  }
  const LwPoint corners[4] = { { l, w }, { -l, w }, { -l, -w }, { l, -w } };
  GArray *polygon = g_array_new (FALSE, FALSE, sizeof (LwPoint));
  for (guint i = 0; i < 4; i++) {
    double u = corners[i].x_mm, v = corners[i].y_mm;
    LwPoint at = { patch->center.x_mm + u * cos (turn) - v * sin (turn),
                   patch->center.y_mm + u * sin (turn) + v * cos (turn) };
    g_array_append_val (polygon, at);
  }
  return polygon;
}

static double
point_to_segment (LwPoint p, LwPoint a, LwPoint b)
{
  double dx = b.x_mm - a.x_mm, dy = b.y_mm - a.y_mm, l2 = dx * dx + dy * dy;
  double s = l2 > 0 ? ((p.x_mm - a.x_mm) * dx + (p.y_mm - a.y_mm) * dy) / l2 : 0;

  s = CLAMP (s, 0, 1);
  return hypot (p.x_mm - a.x_mm - s * dx, p.y_mm - a.y_mm - s * dy);
}

static double
cross (LwPoint o, LwPoint a, LwPoint b)
{
  return (a.x_mm - o.x_mm) * (b.y_mm - o.y_mm) - (a.y_mm - o.y_mm) * (b.x_mm - o.x_mm);
}

static gboolean
segments_cross (LwPoint a, LwPoint b, LwPoint c, LwPoint d)
{
  return cross (a, b, c) * cross (a, b, d) < 0 && cross (c, d, a) * cross (c, d, b) < 0;
}

static double
segment_gap (LwPoint a, LwPoint b, LwPoint c, LwPoint d)
{
  if (segments_cross (a, b, c, d))
    return 0;
  return fmin (fmin (point_to_segment (a, c, d), point_to_segment (b, c, d)),
               fmin (point_to_segment (c, a, b), point_to_segment (d, a, b)));
}

static gboolean
holds_first_point (const GArray *outer, const GArray *inner)
{
  const LwPoint *p = &g_array_index (inner, LwPoint, 0);
  return lw_polygon_contains (outer, p->x_mm, p->y_mm);
}

double
lw_polygon_gap_mm (const GArray *a, const GArray *b)
{
  double gap = INFINITY;

  if (a->len == 0 || b->len == 0)
    return gap;
  if (holds_first_point (a, b) || holds_first_point (b, a))
    return 0;
  for (guint i = 0; i < a->len && gap > 0; i++)
    for (guint j = 0; j < b->len; j++)
      gap = fmin (gap, segment_gap (
                           g_array_index (a, LwPoint, i), g_array_index (a, LwPoint, (i + 1) % a->len),
                           g_array_index (b, LwPoint, j), g_array_index (b, LwPoint, (j + 1) % b->len)));
  return gap;
}

GArray *
lw_part_polygon (const LwPart *part, const LwPackage *package)
{
  g_autoptr (LwLoop) outline = lw_part_outline (part, package);
  return lw_loop_flatten (outline, TOLERANCE_MM);
}
