/* Figures of the bodies over a run. */
#include <math.h>

#include "heat/reduced-internal.h"

/* Ramps are over this long, s. */
static const double RAMP_S = 5;

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

/* Largest rise and fall over RAMP_S that ends at one of the moments. */
static void
find_ramps (const HeatResult *r, const double *v, HeatFigures *f)
{
  size_t from = 0;
  f->ramp_up_k_s = f->ramp_down_k_s = 0;
  for (size_t i = 1; i < r->n_times; i++) {
    double span = fmin (RAMP_S, r->t_s[i] - r->t_s[0]);
    double rate = (v[i] - when (r, v, r->t_s[i] - span, &from)) / RAMP_S;
    f->ramp_up_k_s = fmax (f->ramp_up_k_s, rate);
    f->ramp_down_k_s = fmax (f->ramp_down_k_s, -rate);
  }
}

static void
find_liquid (const HeatResult *r, const HeatTrace *t, double liquidus, HeatFigures *f)
{
  f->above_liquidus_s = 0;
  f->liquid_s = NAN;
  for (size_t i = 1; i < r->n_times; i++) {
    double a = t->joint_min[i - 1] - liquidus, b = t->joint_min[i] - liquidus;
    double span = r->t_s[i] - r->t_s[i - 1];
    if (a < 0 && b >= 0 && isnan (f->liquid_s))
      f->liquid_s = r->t_s[i - 1] + span * a / (a - b);
    if (a >= 0 && b >= 0)
      f->above_liquidus_s += span;
    else if (a >= 0 || b >= 0)
      f->above_liquidus_s += span * fmax (a, b) / fabs (a - b);
  }
  if (t->joint_min[0] >= liquidus)
    f->liquid_s = r->t_s[0];
}

static void
find_spread (const HeatResult *r, const HeatTrace *t, HeatFigures *f)
{
  double most = -INFINITY;
  for (size_t i = 0; i < r->n_times; i++)
    if (t->joint_min[i] > most) {
      most = t->joint_min[i];
      f->spread_k = t->joint_max[i] - t->joint_min[i];
    }
}

static void
figures_of (const HeatResult *r, size_t body, double liquidus, HeatFigures *f)
{
  const HeatTrace *t = &r->bodies[body];
  *f = (HeatFigures){ .joint_peak_c = peak_of (t->joint_max, r->n_times),
                      .joint_cold_peak_c = peak_of (t->joint_min, r->n_times),
                      .joint_center_peak_c = peak_of (t->joint_center, r->n_times),
                      .joint_corner_peak_c = peak_of (t->joint_corner, r->n_times),
                      .body_peak_c = peak_of (t->body_max, r->n_times),
                      .body_top_peak_c = peak_of (t->body_top, r->n_times),
                      .above_liquidus_s = NAN,
                      .liquid_s = NAN,
                      .spread_k = NAN };
  find_ramps (r, t->body_mean, f);
  if (!t->joint_min)
    return;
  find_liquid (r, t, liquidus, f);
  find_spread (r, t, f);
}

static void
no_figures (HeatFigures *f)
{
  *f = (HeatFigures){ NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN };
}

void
heat_reduced_figures (const HeatReduced *m, HeatReducedRun *run, HeatFigures *figures)
{
  HeatResult *r = NULL;
  HeatStatus status = heat_reduced_result (m, run, &r);
  for (size_t i = 0; i < m->scene->n_bodies; i++)
    if (status == HEAT_OK)
      figures_of (r, i, m->scene->bodies[i].liquidus_c, &figures[i]);
    else
      no_figures (&figures[i]);
  heat_result_free (r);
}

void
heat_reduced_target_figures (const HeatReduced *m, HeatReducedRun *run, HeatFigures *figures)
{
  HeatResult *r = NULL;
  no_figures (figures);
  if (m->scene->target < m->scene->n_bodies && heat_reduced_result (m, run, &r) == HEAT_OK)
    figures_of (r, m->scene->target, m->scene->bodies[m->scene->target].liquidus_c, figures);
  heat_result_free (r);
}
