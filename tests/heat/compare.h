/* How far two results of one scene are apart, over the whole profile.
 *
 * Every series of every body and every joint of the target is compared at the moments of both marches,
 * straight between their steps. Two marches may meet a jump (a joint that has just melted rises by kelvins
 * within tenths of a second) at moments that differ by less than the steps they took: SLACK_S lets
 * a value of the second be anything the first takes within so many seconds before or after. */
#ifndef COMPARE_H
#define COMPARE_H

#include <glib.h>
#include <math.h>

#include "heat/solve.h"

typedef struct {
  double most_k;
  double t_s;
  size_t body;
  const char *series;
} Apart;

static inline double
compare_at (const HeatResult *r, const double *v, size_t stride, double t_s)
{
  size_t lo = 0, hi = r->n_times - 1;
  while (hi - lo > 1) {
    size_t mid = (lo + hi) / 2;
    if (r->t_s[mid] <= t_s)
      lo = mid;
    else
      hi = mid;
  }
  double span = r->t_s[hi] - r->t_s[lo], share = span > 0 ? (t_s - r->t_s[lo]) / span : 0;
  share = CLAMP (share, 0, 1);
  return v[lo * stride] + share * (v[hi * stride] - v[lo * stride]);
}

/* Distance of B at T from the values A takes within SLACK of T. */
static inline double
compare_gap (const HeatResult *a, const double *va, const HeatResult *b, const double *vb, size_t stride,
             double t_s, double slack_s)
{
  double v = compare_at (b, vb, stride, t_s);
  double low = compare_at (a, va, stride, t_s - slack_s), high = low;
  for (int i = 1; i <= 4 && slack_s > 0; i++) {
    double w = compare_at (a, va, stride, t_s - slack_s + i * slack_s / 2);
    low = fmin (low, w);
    high = fmax (high, w);
  }
  return fmax (fmax (low - v, v - high), 0);
}

static inline void
compare_series (const HeatResult *a, const double *va, const HeatResult *b, const double *vb, size_t stride,
                double slack_s, size_t body, const char *name, Apart *most)
{
  if (!va || !vb)
    return;
  for (size_t i = 0; i < a->n_times + b->n_times; i++) {
    double t = i < a->n_times ? a->t_s[i] : b->t_s[i - a->n_times];
    double gap = compare_gap (a, va, b, vb, stride, t, slack_s);
    if (!(gap <= most->most_k))
      *most = (Apart){ gap, t, body, name };
  }
}

static inline void
compare_body (const HeatResult *a, const HeatResult *b, size_t i, double slack_s, Apart *most)
{
  const HeatTrace *p = &a->bodies[i], *q = &b->bodies[i];
  compare_series (a, p->joint_min, b, q->joint_min, 1, slack_s, i, "coldest joint", most);
  compare_series (a, p->joint_mean, b, q->joint_mean, 1, slack_s, i, "mean joint", most);
  compare_series (a, p->joint_max, b, q->joint_max, 1, slack_s, i, "hottest joint", most);
  compare_series (a, p->joint_center, b, q->joint_center, 1, slack_s, i, "centre joint", most);
  compare_series (a, p->joint_corner, b, q->joint_corner, 1, slack_s, i, "corner joint", most);
  compare_series (a, p->body_top, b, q->body_top, 1, slack_s, i, "body top", most);
  compare_series (a, p->body_mean, b, q->body_mean, 1, slack_s, i, "body mean", most);
  compare_series (a, p->body_max, b, q->body_max, 1, slack_s, i, "body's hottest", most);
}

static inline Apart
compare_results (const HeatResult *a, const HeatResult *b, double slack_s)
{
  Apart most = { -1, 0, 0, "" };
  for (size_t i = 0; i < a->n_bodies; i++)
    compare_body (a, b, i, slack_s, &most);
  for (size_t k = 0; k < a->n_joints; k++)
    compare_series (a, a->joints + k, b, b->joints + k, a->n_joints, slack_s, k, "joint of the target",
                    &most);
  compare_series (a, a->board_max, b, b->board_max, 1, slack_s, 0, "board's hottest", &most);
  compare_series (a, a->board_mean, b, b->board_mean, 1, slack_s, 0, "board mean", &most);
  return most;
}

#endif
