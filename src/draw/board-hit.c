/* What lies under a picture point: functions of job and viewport, never of pixels. */
#include "draw/draw.h"

#include <math.h>

#include "draw/board-painter.h"

#define TOLERANCE 7.0 /* picture units */
#define REACH 4.0     /* about bodies too small to point at */

/* Distance in picture units from a point to a part's body, 0 inside; AREA of the body box. */
static double
distance_to_part (const LwJob *job, const LwPart *part, const LwViewport *view, double x_mm, double y_mm,
                  double *area)
{
  const LwPackage *package = lw_job_package_of (job, part);
  LwPoint c[4];
  LwBox box;
  double dx, dy;

  lw_part_body_corners (part, package, c);
  *area = hypot (c[1].x_mm - c[0].x_mm, c[1].y_mm - c[0].y_mm) * hypot (c[2].x_mm - c[1].x_mm, c[2].y_mm - c[1].y_mm);
  box = (LwBox){ c[0].x_mm, c[0].y_mm, c[0].x_mm, c[0].y_mm };
  for (int k = 1; k < 4; k++)
    lw_box_extend (&box, c[k].x_mm, c[k].y_mm);
  dx = MAX (MAX (box.x0_mm - x_mm, x_mm - box.x1_mm), 0.0) * view->scale;
  dy = MAX (MAX (box.y0_mm - y_mm, y_mm - box.y1_mm), 0.0) * view->scale;
  if (dx == 0.0 && dy == 0.0) {
    g_autoptr (LwLoop) outline = lw_part_outline (part, package);

    /* In the box but beside the body: near enough only where the body is hardly larger than a pointer. */
    if (lw_loop_contains (outline, x_mm, y_mm))
      return 0.0;
    return *area * view->scale * view->scale < 16.0 * REACH * REACH ? REACH - 1.0 : REACH;
  }
  return hypot (dx, dy);
}

int
lw_board_hit_part (const LwJob *job, const LwViewport *viewport, double px, double py)
{
  double x_mm, y_mm, best_distance = REACH, best_area = INFINITY;
  int best = -1;

  if (!job || !(viewport->scale > 0.0))
    return -1;
  lw_viewport_to_board (viewport, px, py, &x_mm, &y_mm);
  for (guint i = 0; i < job->parts->len; i++) {
    const LwPart *part = g_ptr_array_index (job->parts, i);
    double area, distance;

    if (!part->placed || part->side != viewport->side)
      continue;
    distance = distance_to_part (job, part, viewport, x_mm, y_mm, &area);
    /* Small bodies are drawn over large ones. */
    if (distance < best_distance || (distance == best_distance && area <= best_area && best >= 0)) {
      best = (int) i;
      best_distance = distance;
      best_area = area;
    }
  }
  return best;
}

static double
segment_distance (double px, double py, LwPoint a, LwPoint b)
{
  double dx = b.x_mm - a.x_mm, dy = b.y_mm - a.y_mm, length2 = dx * dx + dy * dy;
  double f = length2 > 0.0 ? ((px - a.x_mm) * dx + (py - a.y_mm) * dy) / length2 : 0.0;

  f = CLAMP (f, 0.0, 1.0);
  return hypot (px - a.x_mm - f * dx, py - a.y_mm - f * dy);
}

static gboolean
near_nozzle (const LwJob *job, const LwPlan *plan, const LwViewport *view, double px, double py)
{
  LwNozzlePlace place;
  LwPoint c[4], center;
  int target = lw_job_find_part (job, plan->ref);

  if (!lw_nozzle_place (job, plan, &place)
      || ((const LwPart *) g_ptr_array_index (job->parts, target))->side != view->side)
    return FALSE;
  if (place.nozzle->round) {
    double r;

    lw_viewport_to_picture (view, place.center.x_mm, place.center.y_mm, &center.x_mm, &center.y_mm);
    r = hypot (px - center.x_mm, py - center.y_mm);
    return r > place.inner_radius_mm * view->scale - 0.7 * TOLERANCE
           && r < place.outer_radius_mm * view->scale + 0.7 * TOLERANCE;
  }
  for (int outer = 0; outer < 2; outer++) {
    for (int k = 0; k < 4; k++)
      lw_viewport_to_picture (view, (outer ? place.outer : place.inner)[k].x_mm,
                              (outer ? place.outer : place.inner)[k].y_mm, &c[k].x_mm, &c[k].y_mm);
    for (int k = 0; k < 4; k++) {
      if (segment_distance (px, py, c[k], c[(k + 1) % 4]) < 0.7 * TOLERANCE)
        return TRUE;
    }
  }
  return FALSE;
}

/* Grips in board terms: LEFT is the low-x edge whichever side is seen. */
static LwGrip
near_preheat (const LwPlan *plan, const LwViewport *view, double px, double py)
{
  LwBox box;
  double x0, y0, x1, y1, xm, ym;

  if (!lw_preheat_box (plan, &box))
    return LW_GRIP_NONE;
  lw_viewport_to_picture (view, box.x0_mm, box.y0_mm, &x0, &y0);
  lw_viewport_to_picture (view, box.x1_mm, box.y1_mm, &x1, &y1);
  xm = 0.5 * (x0 + x1);
  ym = 0.5 * (y0 + y1);
  if (hypot (px - x0, py - ym) < TOLERANCE)
    return LW_GRIP_PREHEAT_LEFT;
  if (hypot (px - x1, py - ym) < TOLERANCE)
    return LW_GRIP_PREHEAT_RIGHT;
  if (hypot (px - xm, py - y0) < TOLERANCE)
    return LW_GRIP_PREHEAT_LOW;
  if (hypot (px - xm, py - y1) < TOLERANCE)
    return LW_GRIP_PREHEAT_HIGH;
  if (px < MIN (x0, x1) - TOLERANCE || px > MAX (x0, x1) + TOLERANCE || py < y1 - TOLERANCE || py > y0 + TOLERANCE)
    return LW_GRIP_NONE;
  if (fabs (px - x0) < 0.7 * TOLERANCE || fabs (px - x1) < 0.7 * TOLERANCE || fabs (py - y0) < 0.7 * TOLERANCE
      || fabs (py - y1) < 0.7 * TOLERANCE)
    return LW_GRIP_PREHEAT_MOVE;
  return LW_GRIP_NONE;
}

static gboolean
near_thermocouple (const LwPlan *plan, const LwViewport *view, double px, double py, guint *index)
{
  for (guint i = plan->thermocouples->len; i-- > 0;) {
    const LwThermocouple *tc = g_ptr_array_index (plan->thermocouples, i);
    double x, y;

    if (tc->side != view->side)
      continue;
    lw_viewport_to_picture (view, tc->x_mm, tc->y_mm, &x, &y);
    if (hypot (px - x, py - y) < TOLERANCE || (px > x - 2.0 && px < x + 24.0 && py > y - 28.0 && py < y - 12.0)) {
      *index = i;
      return TRUE;
    }
  }
  return FALSE;
}

static gboolean
near_shield (const LwPlan *plan, double x_mm, double y_mm, guint *index)
{
  for (guint i = plan->shields->len; i-- > 0;) {
    const LwShield *shield = g_ptr_array_index (plan->shields, i);

    if (lw_loop_contains (shield->loop, x_mm, y_mm)) {
      *index = i;
      return TRUE;
    }
  }
  return FALSE;
}

LwGrip
lw_board_hit_grip (const LwJob *job, int plan_index, const LwViewport *viewport, double px, double py,
                   guint *index)
{
  const LwPlan *plan = lw_job_plan_at (job, plan_index);
  double x_mm, y_mm;
  guint found = 0;
  LwGrip grip = LW_GRIP_NONE, area;

  if (index)
    *index = 0;
  if (!plan || !(viewport->scale > 0.0))
    return LW_GRIP_NONE;
  lw_viewport_to_board (viewport, px, py, &x_mm, &y_mm);
  area = near_preheat (plan, viewport, px, py);
  if (near_thermocouple (plan, viewport, px, py, &found))
    grip = LW_GRIP_THERMOCOUPLE;
  else if (area != LW_GRIP_NONE && area != LW_GRIP_PREHEAT_MOVE)
    grip = area;
  else if (near_nozzle (job, plan, viewport, px, py))
    grip = LW_GRIP_NOZZLE;
  else if (area == LW_GRIP_PREHEAT_MOVE)
    grip = area;
  else if (near_shield (plan, x_mm, y_mm, &found))
    grip = LW_GRIP_SHIELD;
  if (index)
    *index = found;
  return grip;
}
