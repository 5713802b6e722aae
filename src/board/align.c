#include "board/align.h"

#include <math.h>

#define FAR_MM 20.0     /* a neighbour farther away is none */
#define EQUAL_MM 1e-6

typedef struct {
  double low, middle, high;
} Span;

typedef struct {
  double near_mm;  /* of the line found so far */
  double away_mm;  /* of its neighbour */
} Best;

LwBox
lw_job_part_box (const LwJob *job, guint index)
{
  const LwPart *part = g_ptr_array_index (job->parts, index);
  LwPoint corners[4];
  LwBox box;

  lw_part_body_corners (part, lw_job_package_of (job, part), corners);
  box = (LwBox){ corners[0].x_mm, corners[0].y_mm, corners[0].x_mm, corners[0].y_mm };
  for (int i = 1; i < 4; i++)
    lw_box_extend (&box, corners[i].x_mm, corners[i].y_mm);
  return box;
}

static Span
span_of (const LwBox *box, gboolean along_x)
{
  double low = along_x ? box->x0_mm : box->y0_mm, high = along_x ? box->x1_mm : box->y1_mm;

  return (Span){ low, 0.5 * (low + high), high };
}

static double
gap_between (Span a, Span b)
{
  return fmax (b.low - a.high, a.low - b.high);
}

static gboolean
is_skipped (const GArray *skip, guint part)
{
  for (guint i = 0; skip != NULL && i < skip->len; i++)
    if (g_array_index (skip, guint, i) == part)
      return TRUE;
  return FALSE;
}

static void
offer (LwAlignment *found, Best *best, double own, double other, gboolean middles, guint neighbour, double away)
{
  double shift = other - own, near = fabs (shift);

  if (near > best->near_mm + EQUAL_MM || (near > best->near_mm - EQUAL_MM && found->found && away >= best->away_mm))
    return;
  best->near_mm = near;
  best->away_mm = away;
  found->found = TRUE;
  found->at_mm = other;
  found->shift_mm = shift;
  found->neighbour = neighbour;
  found->middles = middles;
}

/* Edges line up with edges of either hand, middles with middles: an edge over a middle is chance. */
static void
offer_spans (LwAlignment *found, Best *best, Span own, Span other, guint neighbour, double away)
{
  offer (found, best, own.middle, other.middle, TRUE, neighbour, away);
  offer (found, best, own.low, other.low, FALSE, neighbour, away);
  offer (found, best, own.high, other.high, FALSE, neighbour, away);
  offer (found, best, own.low, other.high, FALSE, neighbour, away);
  offer (found, best, own.high, other.low, FALSE, neighbour, away);
}

/* Along an upright line bodies are apart in y. */
static void
measure_gap (const LwJob *job, LwAlignment *found, const LwBox *own, gboolean upright)
{
  LwBox other;
  Span a, b;

  if (!found->found)
    return;
  other = lw_job_part_box (job, found->neighbour);
  a = span_of (own, !upright);
  b = span_of (&other, !upright);
  found->gap_mm = gap_between (a, b);
  found->apart = found->gap_mm > EQUAL_MM;
  found->from_mm = a.low > b.high ? b.high : a.high;
  found->to_mm = a.low > b.high ? a.low : b.low;
}

void
lw_job_align_part (const LwJob *job, guint part, const GArray *skip, LwPoint shift, double reach_mm,
                   LwAlignment *upright, LwAlignment *lying)
{
  const LwPart *own = g_ptr_array_index (job->parts, part);
  LwBox box = lw_job_part_box (job, part);
  Best best_x = { reach_mm, HUGE_VAL }, best_y = { reach_mm, HUGE_VAL };

  *upright = *lying = (LwAlignment){ 0 };
  box = (LwBox){ box.x0_mm + shift.x_mm, box.y0_mm + shift.y_mm, box.x1_mm + shift.x_mm, box.y1_mm + shift.y_mm };
  for (guint i = 0; reach_mm > 0.0 && i < job->parts->len; i++) {
    const LwPart *other = g_ptr_array_index (job->parts, i);
    LwBox its;
    double away;

    if (i == part || !other->placed || other->side != own->side || is_skipped (skip, i)
        || fabs (other->x_mm - own->x_mm - shift.x_mm) + fabs (other->y_mm - own->y_mm - shift.y_mm) > 4 * FAR_MM)
      continue;
    its = lw_job_part_box (job, i);
    away = fmax (gap_between (span_of (&box, TRUE), span_of (&its, TRUE)),
                 gap_between (span_of (&box, FALSE), span_of (&its, FALSE)));
    if (away > FAR_MM)
      continue;
    offer_spans (upright, &best_x, span_of (&box, TRUE), span_of (&its, TRUE), i, away);
    offer_spans (lying, &best_y, span_of (&box, FALSE), span_of (&its, FALSE), i, away);
  }
  box = (LwBox){ box.x0_mm + upright->shift_mm, box.y0_mm + lying->shift_mm, box.x1_mm + upright->shift_mm,
                 box.y1_mm + lying->shift_mm };
  measure_gap (job, upright, &box, TRUE);
  measure_gap (job, lying, &box, FALSE);
}
