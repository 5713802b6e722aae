/* Readings fitted to the lessons: what the reduced model read at a moment, as a straight line in what the compact
 * model has at that moment. Whatever a reading hangs on that is not in the state (a surface's own flux, a small body's
 * lag) comes in by what the sources do. */
#include "heat/compact-internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "heat/dense.h"
#include "heat/vector.h"

enum { FEATURES = HEAT_COMPACT_FEATURES, LANES = HEAT_COMPACT_LANES, REGIMES = HEAT_COMPACT_REGIMES };
/* Coefficients are held small by this part of a feature's own mean square. */
static const double RIDGE = 1e-6;
/* Temperatures this far over the room weigh as they are; colder ones less, down to a part of it: peaks count. */
static const double WARM_K = 100, LEAST_WEIGHT = 0.2;

typedef struct {
  HeatCompact *c;
  HeatArena scratch;
  HeatCompactRun *run;
  size_t n_rows, n_moments[REGIMES];
  double *gram[REGIMES];  /* [FEATURES * FEATURES] */
  double *cross[REGIMES]; /* [n_rows * FEATURES] */
  double *moment;         /* [n_rows]: readings at one moment */
} Fit;

/* ---- joints of the target ---- */

typedef struct {
  size_t joint, wins;
} Extreme;

static int
by_wins (const void *a, const void *b)
{
  const Extreme *p = a, *q = b;
  return p->wins != q->wins ? (p->wins < q->wins ? 1 : -1) : p->joint < q->joint ? -1 : p->joint > q->joint;
}

static void
count_extremes (const HeatCompact *c, const HeatLesson *l, size_t joints, Extreme *e)
{
  for (size_t i = 0; i < l->n; i++) {
    size_t hot = 0, cold = 0;
    const float *v = l->value + c->rows.n * l->n + i;
    for (size_t j = 1; j < joints; j++) {
      hot = v[j * l->n] > v[hot * l->n] ? j : hot;
      cold = v[j * l->n] < v[cold * l->n] ? j : cold;
    }
    if (v[hot * l->n] < (float) WARM_K)
      continue;
    e[hot].wins++;
    e[cold].wins++;
  }
}

/* Joints with rows of their own, after all others, in the order of E: CHOSEN tells which they are. */
static bool
give_rows (Fit *f, const Extreme *e, size_t n, size_t **chosen)
{
  HeatCompactRows *r = &f->c->rows;
  r->joint = HEAT_TAKE (&f->c->arena, uint32_t, n);
  *chosen = HEAT_TAKE (&f->scratch, size_t, n);
  if (!r->joint || !*chosen)
    return false;
  for (size_t j = 0; j < n; j++) {
    (*chosen)[j] = r->n + e[j].joint;
    r->joint[j] = (uint32_t) (r->n + j);
  }
  r->n_joints = n;
  return true;
}

/* All, of a whole model; else those that are hottest or coldest at most moments. */
static bool
choose_joints (Fit *f, const HeatLesson *lessons, size_t n, size_t **chosen)
{
  HeatCompact *c = f->c;
  size_t target = c->of->scene->target, joints = target < c->of->scene->n_bodies ? c->of->scene->bodies[target].n_joints : 0;
  Extreme *e = HEAT_TAKE (&f->scratch, Extreme, joints);
  size_t many = 0;
  if (!e)
    return false;
  for (size_t j = 0; j < joints; j++)
    e[j].joint = j;
  for (size_t i = 0; i < n && joints; i++)
    if (lessons[i].solved)
      count_extremes (c, &lessons[i], joints, e);
  if (joints && !c->whole)
    qsort (e, joints, sizeof *e, by_wins);
  while (many < joints && (c->whole || many == 0 || (many < HEAT_COMPACT_JOINT_ROWS && e[many].wins)))
    many++;
  return give_rows (f, e, many, chosen);
}

/* ---- sums ---- */

/* Readings of a lesson at T, straight between its moments. */
static void
read_lesson (Fit *f, const HeatLesson *l, const size_t *chosen, double t_s, size_t *from)
{
  const HeatCompactRows *r = &f->c->rows;
  while (*from + 2 < l->n && l->t_s[*from + 1] < t_s)
    (*from)++;
  size_t i = *from;
  double share = fmin (fmax ((t_s - l->t_s[i]) / (l->t_s[i + 1] - l->t_s[i]), 0), 1);
  for (size_t k = 0; k < f->n_rows; k++) {
    const float *v = l->value + (k < r->n ? k : chosen[k - r->n]) * l->n;
    f->moment[k] = v[i] + share * (v[i + 1] - v[i]);
  }
}

static double
warmth_of (const HeatCompact *c, const double *moment)
{
  double t = moment[c->rows.board];
  return fmin (fmax (t / WARM_K, LEAST_WEIGHT), 1);
}

static void
add_moment (Fit *f, size_t at)
{
  const float *feature = f->run->features + at * FEATURES;
  size_t regime = f->run->regime[at];
  double wide[FEATURES], weight = warmth_of (f->c, f->moment);
  for (size_t k = 0; k < FEATURES; k++)
    wide[k] = weight * feature[k];
  for (size_t k = 0; k < FEATURES; k++)
    heat_add_scaled (f->gram[regime] + k * FEATURES, wide, wide[k], FEATURES);
  for (size_t row = 0; row < f->n_rows; row++)
    heat_add_scaled (f->cross[regime] + row * FEATURES, wide, weight * f->moment[row], FEATURES);
  f->n_moments[regime]++;
}

static void
add_lesson (Fit *f, const HeatDrive *drive, const HeatLesson *lesson, const size_t *chosen)
{
  size_t from = 0;
  if (!lesson->solved || lesson->n < 2 || heat_compact_solve (f->c, f->run, drive, NULL) != HEAT_OK)
    return;
  for (size_t i = 1; i < f->run->n_times; i++) {
    read_lesson (f, lesson, chosen, f->run->times[i], &from);
    add_moment (f, i);
  }
}

/* ---- coefficients ---- */

/* What a regime that never occurs reads is left to the other. */
static void
borrow (Fit *f)
{
  for (size_t g = 0; g < REGIMES; g++)
    if (f->n_moments[g] < FEATURES) {
      for (size_t i = 0; i < FEATURES * FEATURES; i++)
        f->gram[g][i] += f->gram[1 - g][i];
      for (size_t i = 0; i < f->n_rows * FEATURES; i++)
        f->cross[g][i] += f->cross[1 - g][i];
    }
}

static bool
solve_regime (Fit *f, size_t regime)
{
  double *a = f->gram[regime], scale[FEATURES];
  for (size_t k = 0; k < FEATURES; k++)
    scale[k] = a[k * FEATURES + k] > 0 ? 1 / sqrt (a[k * FEATURES + k]) : 0;
  for (size_t k = 0; k < FEATURES; k++)
    for (size_t l = 0; l < FEATURES; l++)
      a[k * FEATURES + l] = a[k * FEATURES + l] * scale[k] * scale[l] + (k == l ? (scale[k] > 0 ? RIDGE : 1) : 0);
  if (!heat_dense_factor (a, FEATURES))
    return false;
  float *coef = f->c->rows.coef[regime];
  for (size_t row = 0; row < f->n_rows; row++) {
    double *x = f->cross[regime] + row * FEATURES;
    for (size_t k = 0; k < FEATURES; k++)
      x[k] *= scale[k];
    heat_dense_solve (a, FEATURES, x);
    for (size_t k = 0; k < FEATURES; k++)
      coef[(row / LANES * FEATURES + k) * LANES + row % LANES] = (float) (x[k] * scale[k]);
  }
  return true;
}

static bool
take_fit (Fit *f)
{
  HeatCompactRows *r = &f->c->rows;
  f->n_rows = r->n + r->n_joints;
  r->blocks = (f->n_rows + LANES - 1) / LANES;
  f->moment = HEAT_TAKE (&f->scratch, double, f->n_rows);
  for (size_t g = 0; g < REGIMES; g++) {
    f->gram[g] = HEAT_TAKE (&f->scratch, double, FEATURES * FEATURES);
    f->cross[g] = HEAT_TAKE (&f->scratch, double, f->n_rows * FEATURES);
    r->coef[g] = HEAT_TAKE (&f->c->arena, float, r->blocks * FEATURES * LANES);
    if (!f->gram[g] || !f->cross[g] || !r->coef[g])
      return false;
  }
  f->run = heat_compact_run_new (f->c);
  return f->moment && f->run;
}

/* ---- how good it is ---- */

enum { BINS = 400 };
static const double BIN_K = 0.05;

static void
measure_lesson (Fit *f, const HeatDrive *drive, const HeatLesson *lesson, const size_t *chosen, size_t *bins)
{
  size_t from = 0;
  if (!lesson->solved || lesson->n < 2 || heat_compact_solve (f->c, f->run, drive, NULL) != HEAT_OK)
    return;
  heat_compact_read (f->run);
  for (size_t i = 1; i < f->run->n_times; i++) {
    read_lesson (f, lesson, chosen, f->run->times[i], &from);
    for (size_t row = 0; row < f->n_rows; row++) {
      double apart = fabs (f->run->values[i * f->c->rows.blocks * LANES + row] - f->run->drive.air_c - f->moment[row]);
      bins[apart < BINS * BIN_K ? (size_t) (apart / BIN_K) : BINS]++;
    }
  }
}

static double
percentile (const size_t *bins, double share)
{
  size_t all = 0, sum = 0;
  for (size_t i = 0; i <= BINS; i++)
    all += bins[i];
  for (size_t i = 0; i <= BINS; i++)
    if ((double) (sum += bins[i]) >= share * (double) all)
      return ((double) i + 1) * BIN_K;
  return NAN;
}

bool
heat_compact_fit (HeatCompact *c, const HeatDrive *drives, const HeatLesson *lessons, size_t n)
{
  Fit f = { .c = c, .scratch = HEAT_ARENA_INIT };
  size_t *chosen = NULL, bins[BINS + 1] = { 0 };
  f.scratch.countdown = c->arena.countdown;
  bool ok = choose_joints (&f, lessons, n, &chosen) && take_fit (&f);
  for (size_t i = 0; ok && i < n; i++)
    add_lesson (&f, &drives[i], &lessons[i], chosen);
  if (ok)
    borrow (&f);
  for (size_t g = 0; ok && g < REGIMES; g++)
    ok = solve_regime (&f, g);
  for (size_t i = 0; ok && i < n; i++)
    measure_lesson (&f, &drives[i], &lessons[i], chosen, bins);
  c->report.apart_k = ok ? percentile (bins, 0.99) : NAN;
  c->report.n_moments = f.n_moments[0] + f.n_moments[1];
  c->report.n_rows = f.n_rows;
  heat_compact_run_free (f.run);
  heat_arena_clear (&f.scratch);
  return ok;
}
