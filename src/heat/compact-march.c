/* The compact march: the two stages of march.h in the linear part; what the zones' laws add is carried forward in time
 * from the last two steps; joints of the target melt at the end of each step. No iteration anywhere. */
#include "heat/compact-internal.h"

#include <math.h>
#include <string.h>

#include "heat/march.h"
#include "heat/wide.h"

enum { N = HEAT_COMPACT_N, LANES = HEAT_COMPACT_LANES, WIDTH = N / LANES };
/* Steps after a switching moment, then evenly to the next. */
static const double FIRST_S[] = { 0.5, 0.5, 2, 2, 3 };
static const double LONGEST_S = 5, MELT_S = 2;
enum { N_FIRST = sizeof FIRST_S / sizeof FIRST_S[0], MELT_SWEEPS = 4 };

typedef float Eight __attribute__ ((vector_size (LANES * sizeof (float))));

/* ---- dense and small ---- */

/* A becomes its inverse, by Gauss and Jordan without pivoting: A is positive definite. Of a row's entry in the pivot's
 * column there must stay nothing but -entry / pivot; the pivot's row has 1 added there so that whole registers do. */
HEAT_WIDE static bool
invert (float *a)
{
  for (size_t k = 0; k < N; k++) {
    float pivot = a[k * N + k], line[N];
    if (!(pivot > 0))
      return false;
    for (size_t j = 0; j < N; j++)
      line[j] = a[k * N + j] / pivot;
    line[k] = 1 + 1 / pivot;
    Eight row[WIDTH], other;
    memcpy (row, line, sizeof row);
    for (size_t i = 0; i < N; i++) {
      float by = i == k ? 0 : a[i * N + k];
      for (size_t w = 0; w < WIDTH; w++) {
        memcpy (&other, a + i * N + w * LANES, sizeof other);
        other -= by * row[w];
        memcpy (a + i * N + w * LANES, &other, sizeof other);
      }
    }
    line[k] = 1 / pivot;
    memcpy (a + k * N, line, sizeof line);
  }
  return true;
}

/* Y = A X, A symmetric. */
HEAT_WIDE static void
apply (const float *a, const float *x, float *y)
{
  Eight sum[WIDTH] = { { 0 } }, column;
  for (size_t k = 0; k < N; k++)
    for (size_t w = 0; w < WIDTH; w++) {
      memcpy (&column, a + k * N + w * LANES, sizeof column);
      sum[w] += column * x[k];
    }
  memcpy (y, sum, sizeof sum);
}

/* (capacity / gdt + A)^-1 under the span's weights; those of the last few lengths of step are kept. */
HEAT_WIDE static bool
set_matrix (HeatCompactRun *run, double gdt)
{
  const HeatCompact *c = run->model;
  run->gdt = gdt;
  for (size_t i = 0; i < run->n_inverses; i++)
    if (fabs (run->inverse_gdt[i] - gdt) <= 1e-9 * gdt) {
      run->inverse = run->inverses + i * N * N;
      return true;
    }
  size_t slot = run->n_inverses < HEAT_COMPACT_INVERSES ? run->n_inverses++ : HEAT_COMPACT_INVERSES - 1;
  run->inverse_gdt[slot] = gdt;
  float *restrict a = run->inverse = run->inverses + slot * N * N;
  memset (a, 0, N * N * sizeof (float));
  for (size_t t = 0; t < HEAT_N_TERMS; t++) {
    const float w = (float) run->weight[t], *restrict term = c->term[t];
    for (size_t i = 0; w != 0 && i < N * N; i++)
      a[i] += w * term[i];
  }
  for (size_t k = 0; k < N; k++)
    a[k * N + k] += (float) (run->capacity / gdt);
  return invert (a);
}

/* ---- joints that melt ---- */

static double
melt_reading (const HeatCompactRun *run, const HeatCompactMelt *melt)
{
  float sum = 0;
  for (size_t k = 0; k < N; k++)
    sum += melt->row[k] * run->y[k];
  return run->drive.air_c + sum;
}

static double
liquid_at (const HeatCompactMelt *melt, double t_c)
{
  return fmin (fmax ((t_c - melt->solidus) / (melt->liquidus - melt->solidus), 0), 1);
}

/* Liquid share of a joint that would be at SOLID_C if all it holds froze, each unit of share costing PER_K. */
static double
balance (const HeatCompactMelt *melt, double solid_c, double per_k)
{
  double range = melt->liquidus - melt->solidus;
  return fmin (fmax ((solid_c - melt->solidus) / (per_k + range), 0), 1);
}

/* Latent heat taken up over a step, given back to the field at its end. True while anything melts or freezes. */
static bool
melt (HeatCompactRun *run)
{
  const HeatCompact *c = run->model;
  double t[HEAT_COMPACT_MELTS], was[HEAT_COMPACT_MELTS], per_j = 1 / run->capacity;
  bool changes = false;
  for (size_t i = 0; i < c->n_melts; i++) {
    t[i] = melt_reading (run, &c->melt[i]);
    was[i] = run->liquid[i];
    changes |= run->liquid[i] != liquid_at (&c->melt[i], t[i]);
  }
  for (int k = 0; changes && k < MELT_SWEEPS; k++)
    for (size_t i = 0; i < c->n_melts; i++) {
      double solid = t[i];
      for (size_t j = 0; j < c->n_melts; j++)
        solid -= c->melt_cross[i][j] * per_j * c->melt[j].latent * ((j == i ? 0 : run->liquid[j]) - was[j]);
      run->liquid[i] = balance (&c->melt[i], solid, c->melt_cross[i][i] * per_j * c->melt[i].latent);
    }
  for (size_t i = 0; changes && i < c->n_melts; i++)
    for (size_t k = 0; k < N; k++)
      run->y[k] -= c->melt[i].row[k] * (float) (per_j * c->melt[i].latent * (run->liquid[i] - was[i]));
  return changes;
}

static bool
melts_soon (const HeatCompactRun *run)
{
  const HeatCompact *c = run->model;
  bool soon = false;
  for (size_t i = 0; i < c->n_melts; i++)
    soon |= (run->liquid[i] > 0 && run->liquid[i] < 1)
            || fabs (melt_reading (run, &c->melt[i]) - c->melt[i].liquidus) < 3;
  return soon;
}

/* ---- steps ---- */

static bool
note (HeatCompactRun *run)
{
  if (run->n_times == run->max_times && !heat_compact_grow (run))
    return false;
  size_t at = run->n_times++;
  float *f = run->features + at * HEAT_COMPACT_FEATURES, *extra = f + N;
  const HeatMoment *m = &run->now.moment;
  memcpy (f, run->y, N * sizeof (float));
  double liquid = 0;
  for (size_t i = 0; i < run->model->n_melts; i++)
    liquid += run->liquid[i] / (double) run->model->n_melts;
  extra[0] = (float) m->strength[HEAT_SOURCE_NOZZLE];
  extra[1] = (float) m->strength[HEAT_SOURCE_SPILL];
  extra[2] = (float) m->strength[HEAT_SOURCE_PRE];
  extra[3] = (float) (m->weight[HEAT_TERM_NOZZLE] * (run->inside_c - run->drive.air_c));
  extra[4] = (float) (m->weight[HEAT_TERM_SPILL] * (run->inside_c - run->drive.air_c));
  extra[5] = (float) m->weight[HEAT_TERM_NOZZLE];
  extra[6] = (float) liquid;
  extra[7] = 1;
  run->times[at] = run->t_s;
  run->regime[at] = run->now.gas_on;
  if (run->model->whole) {
    memcpy (run->excesses + at * run->model->zones.padded, run->excess, run->model->zones.padded * sizeof (float));
    run->nows[at] = run->now;
    memcpy (run->nows[at].moment.weight, run->weight, sizeof run->weight); /* what the excess is counted from */
  }
  return true;
}

static void
keep_force (HeatCompactRun *run, int rounds)
{
  float *oldest = run->force0;
  run->force0 = run->force;
  run->force = oldest;
  run->force0_t_s = run->force_t_s;
  run->inside0_c = run->inside_c;
  run->force_t_s = run->t_s;
  if (!run->linear)
    heat_compact_zones_force (run, rounds, run->force);
}

static double
ahead (const HeatCompactRun *run, double t_s)
{
  double span = run->force_t_s - run->force0_t_s;
  return run->has_past && span > 0 ? (t_s - run->force_t_s) / span : 0;
}

static void
stage (HeatCompactRun *run, double t_s, const float *base)
{
  const HeatCompact *c = run->model;
  float far = (float) ahead (run, t_s), per_s = (float) (run->capacity / run->gdt);
  heat_compact_sources_at (run, t_s, HEAT_BEFORE, run->inside_c + far * (run->inside_c - run->inside0_c));
  const double *strength = run->now.moment.strength;
  for (size_t k = 0; k < N; k++) {
    float sum = per_s * base[k] + run->force[k] + far * (run->force[k] - run->force0[k]);
    for (size_t s = 0; s < HEAT_N_SOURCES; s++)
      sum += (float) strength[s] * c->source[s][k];
    run->rhs[k] = sum;
  }
  apply (run->inverse, run->rhs, run->y);
}

static bool
step (HeatCompactRun *run, double dt, bool *melting)
{
  const float ratio = (float) ((1 - HEAT_GAMMA) / HEAT_GAMMA);
  double gdt = HEAT_GAMMA * dt;
  float base[N];
  if (fabs (gdt - run->gdt) > 1e-9 * gdt && !set_matrix (run, gdt))
    return false;
  memcpy (run->y0, run->y, N * sizeof (float));
  stage (run, run->t_s + gdt, run->y0);
  for (size_t k = 0; k < N; k++)
    base[k] = run->y0[k] + ratio * (run->y[k] - run->y0[k]);
  stage (run, run->t_s + dt, base);
  *melting = !run->linear && melt (run);
  run->t_s += dt;
  keep_force (run, 1);
  run->has_past = true;
  return note (run);
}

static double
next_switch (const HeatDrive *d, double t_s)
{
  double next = fmin (heat_table_next (&d->gas_set_c, t_s), heat_table_next (&d->flow_m3_s, t_s));
  next = fmin (next, heat_table_next (&d->preheat_set_c, t_s));
  return fmin (next, d->end_s);
}

/* What is on after a switching moment, and the zones under it. */
static void
begin_span (HeatCompactRun *run, int rounds)
{
  heat_compact_sources_at (run, run->t_s, HEAT_AFTER, run->inside_c);
  memcpy (run->weight, run->now.moment.weight, sizeof run->weight);
  heat_compact_zones_regime (run);
  run->gdt = 0;
  run->n_inverses = 0;
  run->has_past = false;
  keep_force (run, rounds);
}

static HeatStatus
march_span (HeatCompactRun *run, double to)
{
  bool melting = false;
  size_t taken = 0;
  begin_span (run, run->n_times > 1 ? 2 : 4);
  while (run->t_s < to) {
    double left = to - run->t_s, most = taken < N_FIRST ? FIRST_S[taken] : LONGEST_S;
    if (melting || melts_soon (run))
      most = fmin (most, MELT_S);
    double dt = left < 1.5 * most ? left : taken < N_FIRST || most < LONGEST_S ? most : left / ceil (left / most - 1e-6);
    if (!step (run, dt, &melting))
      return run->n_times < run->max_times ? HEAT_NOT_CONVERGED : HEAT_NO_MEMORY;
    if (dt == left)
      run->t_s = to;
    taken++;
  }
  return isfinite (run->y[0]) ? HEAT_OK : HEAT_NOT_CONVERGED;
}

static void
start (HeatCompactRun *run)
{
  const HeatCompact *c = run->model;
  run->t_s = run->force_t_s = run->force0_t_s = 0;
  run->n_times = 0;
  for (size_t k = 0; k < N; k++) {
    run->y[k] = c->uniform[k] * (float) (run->drive.start_c - run->drive.air_c);
    run->force[k] = run->force0[k] = 0;
  }
  for (size_t i = 0; i < c->zones.padded; i++)
    run->ts[i] = (float) run->drive.start_c;
  run->inside_c = run->inside0_c = run->below_c = run->drive.start_c;
  for (size_t i = 0; i < c->n_melts; i++)
    run->liquid[i] = liquid_at (&c->melt[i], run->drive.start_c);
  heat_compact_sources_start (run);
  heat_compact_zones_drive (run);
}

HeatStatus
heat_compact_march (HeatCompactRun *run)
{
  start (run);
  begin_span (run, 4);
  if (!note (run))
    return HEAT_NO_MEMORY;
  while (run->t_s < run->drive.end_s) {
    HeatStatus status = march_span (run, next_switch (&run->drive, run->t_s));
    if (status != HEAT_OK)
      return status;
  }
  return HEAT_OK;
}
