#include "board/snap.h"

#include <math.h>

#include "board/loop-edits.h"

typedef struct {
  double x, y, reach;
  LwPoint at;
  LwSnapKind kind;
} Search;

/* The nearest wins; of equals the first. */
static void
offer (Search *s, double x, double y, LwSnapKind kind)
{
  double distance = hypot (x - s->x, y - s->y);

  if (!(distance < s->reach))
    return;
  s->reach = distance;
  s->at = (LwPoint){ x, y };
  s->kind = kind;
}

static void
offer_points (Search *s, const LwLoop *loop)
{
  for (guint i = 0; i < loop->corners->len; i++)
    {
      const LwVertex *v = &g_array_index (loop->corners, LwVertex, i);
      LwPoint middle = lw_loop_edge_point (loop, i, 0.5);

      offer (s, v->x_mm, v->y_mm, LW_SNAP_CORNER);
      offer (s, middle.x_mm, middle.y_mm, LW_SNAP_MIDDLE);
    }
}

static void
offer_edges (Search *s, const LwLoop *loop)
{
  LwPoint at;

  if (loop->corners->len > 1 && lw_loop_nearest (loop, s->x, s->y, NULL, NULL, &at) < s->reach)
    offer (s, at.x_mm, at.y_mm, LW_SNAP_EDGE);
}

static void
each_loop (const LwJob *job, const LwSnapRule *rule, Search *s, void (*visit) (Search *, const LwLoop *))
{
  for (guint owner = 0; owner < LW_N_LOOP_OWNERS; owner++)
    for (guint i = 0; i < lw_job_n_loops (job, owner); i++)
      if (!rule->skip || rule->skip_place.owner != owner || rule->skip_place.index != i)
        visit (s, lw_job_loop (job, (LwLoopPlace){ owner, i }));
}

static gboolean
is_skipped (const LwSnapRule *rule, guint part)
{
  for (guint i = 0; rule->skip_parts != NULL && i < rule->skip_parts->len; i++)
    if (g_array_index (rule->skip_parts, guint, i) == part)
      return TRUE;
  return FALSE;
}

static void
offer_parts (const LwJob *job, const LwSnapRule *rule, Search *s)
{
  for (guint i = 0; i < job->parts->len; i++)
    {
      const LwPart *part = g_ptr_array_index (job->parts, i);

      if (part->placed && fabs (part->x_mm - s->x) < 200.0 && !is_skipped (rule, i))
        {
          LwPoint c = lw_part_body_center (part, lw_job_package_of (job, part));
          offer (s, c.x_mm, c.y_mm, LW_SNAP_CENTER);
        }
    }
}

static double
to_guide (const GArray *guides, double value, double reach, gboolean *near)
{
  double best = value;

  for (guint i = 0; guides != NULL && i < guides->len; i++)
    {
      double guide = g_array_index (guides, double, i);

      if (fabs (guide - value) < reach)
        {
          reach = fabs (guide - value);
          best = guide;
          *near = TRUE;
        }
    }
  return best;
}

static double
to_grid (double value, double grid)
{
  return grid > 0.0 ? round (value / grid) * grid : value;
}

/* The two ways are free of one another: a guide may hold one while the grid holds the other. */
static LwPoint
snap_lines (const LwSnapRule *rule, double x, double y, LwSnapKind *kind)
{
  gboolean near_x = FALSE, near_y = FALSE;
  LwPoint at = { to_guide (rule->guides_x, x, rule->reach_mm, &near_x),
                 to_guide (rule->guides_y, y, rule->reach_mm, &near_y) };

  if (!near_x)
    at.x_mm = to_grid (x, rule->grid_mm);
  if (!near_y)
    at.y_mm = to_grid (y, rule->grid_mm);
  *kind = near_x || near_y ? LW_SNAP_GUIDE : rule->grid_mm > 0.0 ? LW_SNAP_GRID : LW_SNAP_NONE;
  return at;
}

LwPoint
lw_job_snap (const LwJob *job, const LwSnapRule *rule, double x, double y, LwSnapKind *kind)
{
  Search s = { x, y, rule->reach_mm, { x, y }, LW_SNAP_NONE };
  LwSnapKind line_kind;
  LwPoint line = snap_lines (rule, x, y, &line_kind);

  if (rule->reach_mm > 0.0)
    {
      each_loop (job, rule, &s, offer_points);
      offer_parts (job, rule, &s);
      if (s.kind == LW_SNAP_NONE && line_kind != LW_SNAP_GUIDE)
        each_loop (job, rule, &s, offer_edges);
    }
  if (kind != NULL)
    *kind = s.kind != LW_SNAP_NONE ? s.kind : line_kind;
  return s.kind != LW_SNAP_NONE ? s.at : line;
}
