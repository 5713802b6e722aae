/* Figures of the bodies over a run. */
#include "heat/reduced-figures.h"

#include <math.h>

#include "heat/reduced-internal.h"

static double
peak_of (const double *v, size_t n)
{
  double most = NAN;
  for (size_t i = 0; v && i < n; i++)
    most = fmax (most, v[i]);
  return most;
}

/* A series at a moment, straight between its points. */
static double
when (const HeatResult *r, const double *v, double t_s, size_t *from)
{
  while (*from + 2 < r->n_times && r->t_s[*from + 1] < t_s)
    (*from)++;
  size_t i = *from;
  double span = r->t_s[i + 1] - r->t_s[i], share = span > 0 ? (t_s - r->t_s[i]) / span : 1;
  return v[i] + fmin (fmax (share, 0), 1) * (v[i + 1] - v[i]);
}

/* Largest rise and fall over windows of HEAT_RAMP_S (less in a shorter run). Between the points the series is
 * straight, so the steepest window begins or ends at one of them. */
static void
find_ramps (const HeatResult *r, const double *v, double *up, double *down)
{
  size_t before = 0, after = 0, last = r->n_times - 1;
  *up = *down = 0;
  for (size_t i = 0; i <= last && last > 0; i++) {
    double begins = fmax (r->t_s[i] - HEAT_RAMP_S, r->t_s[0]), ends = fmin (r->t_s[i] + HEAT_RAMP_S, r->t_s[last]);
    double to = (v[i] - when (r, v, begins, &before)) / HEAT_RAMP_S;
    double from = (when (r, v, ends, &after) - v[i]) / HEAT_RAMP_S;
    *up = fmax (*up, fmax (to, from));
    *down = fmax (*down, fmax (-to, -from));
  }
}

/* Seconds at or above a level, straight between the points. */
static double
time_above (const HeatResult *r, const double *v, double level)
{
  double sum = 0;
  for (size_t i = 1; i < r->n_times; i++) {
    double a = v[i - 1] - level, b = v[i] - level, span = r->t_s[i] - r->t_s[i - 1];
    if (a >= 0 && b >= 0)
      sum += span;
    else if (a >= 0 || b >= 0)
      sum += span * fmax (a, b) / fabs (a - b);
  }
  return sum;
}

static double
first_above (const HeatResult *r, const double *v, double level)
{
  if (v[0] >= level)
    return r->t_s[0];
  for (size_t i = 1; i < r->n_times; i++) {
    double a = v[i - 1] - level, b = v[i] - level;
    if (a < 0 && b >= 0)
      return r->t_s[i - 1] + (r->t_s[i] - r->t_s[i - 1]) * a / (a - b);
  }
  return NAN;
}

/* What is looked at up to a moment of interest: coldest joint, and how far joints are apart. */
static void
find_up_to (const HeatResult *r, const HeatTrace *t, double liquidus, double mark_s, HeatFigures *f)
{
  double widest = NAN, at_coldest = NAN, most = -INFINITY;
  for (size_t i = 0; i < r->n_times && (i == 0 || !(r->t_s[i] > mark_s + 1e-6)); i++) {
    double apart = t->joint_max[i] - t->joint_min[i];
    if (t->joint_min[i] >= liquidus)
      widest = fmax (widest, apart);
    if (t->joint_min[i] > most) {
      most = t->joint_min[i];
      at_coldest = apart;
    }
  }
  f->joint_cold_mark_c = most;
  f->spread_k = isnan (widest) ? at_coldest : widest;
}

void
heat_figures_of (const HeatResult *r, size_t body, double liquidus, double mark_s, HeatFigures *f)
{
  const HeatTrace *t = &r->bodies[body];
  *f = (HeatFigures){ .joint_peak_c = peak_of (t->joint_max, r->n_times),
                      .joint_cold_peak_c = peak_of (t->joint_min, r->n_times),
                      .joint_center_peak_c = peak_of (t->joint_center, r->n_times),
                      .joint_corner_peak_c = peak_of (t->joint_corner, r->n_times),
                      .body_peak_c = peak_of (t->body_max, r->n_times),
                      .body_top_peak_c = peak_of (t->body_top, r->n_times),
                      .joint_ramp_up_k_s = NAN,
                      .above_liquidus_s = NAN,
                      .above_liquidus_hot_s = NAN,
                      .joint_cold_mark_c = NAN,
                      .liquid_s = NAN,
                      .spread_k = NAN };
  double down;
  find_ramps (r, t->body_top, &f->ramp_up_k_s, &f->ramp_down_k_s);
  if (!t->joint_min)
    return;
  find_ramps (r, t->joint_mean, &f->joint_ramp_up_k_s, &down);
  f->above_liquidus_s = time_above (r, t->joint_min, liquidus);
  f->above_liquidus_hot_s = time_above (r, t->joint_max, liquidus);
  f->liquid_s = first_above (r, t->joint_min, liquidus);
  find_up_to (r, t, liquidus, mark_s, f);
}

void
heat_no_figures (HeatFigures *f)
{
  *f = (HeatFigures){ NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN };
}

void
heat_figures (const HeatScene *scene, const HeatResult *result, double mark_s, HeatFigures *figures)
{
  for (size_t i = 0; i < scene->n_bodies; i++)
    heat_figures_of (result, i, scene->bodies[i].liquidus_c, mark_s, &figures[i]);
}

void
heat_reduced_figures (const HeatReduced *m, HeatReducedRun *run, HeatFigures *figures)
{
  const HeatResult *r = heat_reduced_series (m, run);
  for (size_t i = 0; i < m->scene->n_bodies; i++)
    if (r)
      heat_figures_of (r, i, m->scene->bodies[i].liquidus_c, run->drive.mark_s, &figures[i]);
    else
      heat_no_figures (&figures[i]);
}

void
heat_reduced_target_figures (const HeatReduced *m, HeatReducedRun *run, HeatFigures *figures)
{
  const HeatResult *r = m->scene->target < m->scene->n_bodies ? heat_reduced_series (m, run) : NULL;
  heat_no_figures (figures);
  if (r)
    heat_figures_of (r, m->scene->target, m->scene->bodies[m->scene->target].liquidus_c, run->drive.mark_s, figures);
}

double
heat_reduced_board_peak (const HeatReduced *m, HeatReducedRun *run)
{
  const HeatResult *r = heat_reduced_series (m, run);
  return r ? peak_of (r->board_max, r->n_times) : NAN;
}
