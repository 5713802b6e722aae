/* Readings fitted to the lessons: what the reduced model read at a moment, as a straight line in what the compact
 * model has at that moment. Whatever a reading hangs on that is not in the state (a surface's own flux, a small body's
 * lag) comes in by what the sources do. */
#include "heat/compact-internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "heat/dense.h"
#include "heat/vector.h"
#include "heat/wide.h"

enum { FEATURES = HEAT_COMPACT_FEATURES, LANES = HEAT_COMPACT_LANES, REGIMES = HEAT_COMPACT_REGIMES, TOGETHER = 128 };
/* Coefficients are held small by this part of a feature's own mean square. */
static const double RIDGE = 1e-6;
/* Temperatures this far over the room weigh as they are; colder ones less, down to a part of it: peaks count. */
static const double WARM_K = 100, LEAST_WEIGHT = 0.2;

/* A moment of a run between those of a lesson. */
typedef struct {
  size_t before;
  double share, weight;
} Between;

typedef struct {
  HeatCompact *c;
  HeatArena scratch;
  HeatCompactRun *run;
  size_t n_rows, n_moments[REGIMES];
  double *gram[REGIMES];  /* [FEATURES * FEATURES] */
  double *cross[REGIMES]; /* [n_rows * FEATURES] */
  Between *at;            /* [room]: of each moment of the run */
  size_t room;
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

/* Where each moment of RUN lies between those of a lesson, and what it weighs. */
static bool
line_up (Fit *f, const HeatLesson *l)
{
  const HeatCompactRun *run = f->run;
  const float *board = l->value + f->c->rows.board * l->n;
  if (run->n_times > f->room && !(f->at = HEAT_TAKE (&f->scratch, Between, f->room = 2 * run->n_times)))
    return false;
  for (size_t at = 1, i = 0; at < run->n_times; at++) {
    while (i + 2 < l->n && l->t_s[i + 1] < run->times[at])
      i++;
    double share = fmin (fmax ((run->times[at] - l->t_s[i]) / (l->t_s[i + 1] - l->t_s[i]), 0), 1);
    double warmth = board[i] + share * (board[i + 1] - board[i]);
    f->at[at] = (Between){ i, share, fmin (fmax (warmth / WARM_K, LEAST_WEIGHT), 1) };
  }
  return true;
}

/* Readings of a lesson, of the rows from FIRST to LAST, straight between its moments. */
HEAT_INLINE void
read_lesson (const Fit *f, const HeatLesson *l, const size_t *chosen, size_t first, size_t last, const Between *at,
             double *moment)
{
  for (size_t row = first; row < last; row++) {
    size_t from = row < f->c->rows.n ? row : chosen[row - f->c->rows.n];
    const float *v = l->value + from * l->n + at->before;
    moment[row - first] = v[0] + at->share * (v[1] - v[0]);
  }
}

static void
widen (const Fit *f, size_t at, double *wide)
{
  for (size_t k = 0; k < FEATURES; k++)
    wide[k] = f->at[at].weight * f->run->features[at * FEATURES + k];
}

static void
add_grams (Fit *f)
{
  double wide[FEATURES];
  for (size_t at = 1; at < f->run->n_times; at++) {
    size_t regime = f->run->regime[at];
    widen (f, at, wide);
    for (size_t k = 0; k < FEATURES; k++)
      heat_add_scaled (f->gram[regime] + k * FEATURES, wide, wide[k], FEATURES);
    f->n_moments[regime]++;
  }
}

/* All moments of some rows: what is read and what is added to stays in the processor's cache meanwhile. */
HEAT_WIDE static void
add_rows (const Fit *f, const HeatLesson *l, const size_t *chosen, size_t first, size_t last)
{
  double wide[FEATURES], moment[TOGETHER];
  for (size_t at = 1; at < f->run->n_times; at++) {
    double *cross = f->cross[f->run->regime[at]] + first * FEATURES;
    widen (f, at, wide);
    read_lesson (f, l, chosen, first, last, &f->at[at], moment);
    for (size_t row = first; row < last; row++, cross += FEATURES) {
      double by = f->at[at].weight * moment[row - first];
      for (size_t k = 0; k < FEATURES; k++)
        cross[k] += by * wide[k];
    }
  }
}

static size_t
some (const Fit *f, size_t first)
{
  return f->n_rows - first < TOGETHER ? f->n_rows : first + TOGETHER;
}

/* False when memory is short. A lesson that cannot be marched teaches nothing. */
static bool
follow (Fit *f, const HeatDrive *drive, const HeatLesson *l, bool *followed)
{
  *followed = l->solved && l->n >= 2 && heat_compact_solve (f->c, f->run, drive, NULL) == HEAT_OK;
  return !*followed || line_up (f, l);
}

static bool
add_lesson (Fit *f, const HeatDrive *drive, const HeatLesson *lesson, const size_t *chosen)
{
  bool followed;
  if (!follow (f, drive, lesson, &followed))
    return false;
  if (followed)
    add_grams (f);
  for (size_t row = 0; followed && row < f->n_rows; row += TOGETHER)
    add_rows (f, lesson, chosen, row, some (f, row));
  return true;
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
  for (size_t g = 0; g < REGIMES; g++) {
    f->gram[g] = HEAT_TAKE (&f->scratch, double, FEATURES * FEATURES);
    f->cross[g] = HEAT_TAKE (&f->scratch, double, f->n_rows * FEATURES);
    r->coef[g] = HEAT_TAKE (&f->c->arena, float, r->blocks * FEATURES * LANES);
    if (!f->gram[g] || !f->cross[g] || !r->coef[g])
      return false;
  }
  f->run = heat_compact_run_new (f->c);
  return f->run != NULL;
}

/* ---- how good it is ---- */

enum { BINS = 400 };
static const double BIN_K = 0.05;

static void
measure_block (const Fit *f, const HeatLesson *l, const size_t *chosen, size_t block, size_t *bins)
{
  const float *values = heat_compact_block (f->run, block);
  size_t first = block * LANES, last = first + LANES < f->n_rows ? first + LANES : f->n_rows;
  double moment[LANES], air = f->run->drive.air_c;
  for (size_t at = 1; at < f->run->n_times; at++) {
    read_lesson (f, l, chosen, first, last, &f->at[at], moment);
    for (size_t i = 0; i < last - first; i++) {
      double apart = fabs (values[at * LANES + i] - air - moment[i]);
      bins[apart < BINS * BIN_K ? (size_t) (apart / BIN_K) : BINS]++;
    }
  }
}

static bool
measure_lesson (Fit *f, const HeatDrive *drive, const HeatLesson *lesson, const size_t *chosen, size_t *bins)
{
  bool followed;
  if (!follow (f, drive, lesson, &followed))
    return false;
  for (size_t block = 0; followed && block < f->c->rows.blocks; block++)
    measure_block (f, lesson, chosen, block, bins);
  return true;
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
    ok = add_lesson (&f, &drives[i], &lessons[i], chosen);
  if (ok)
    borrow (&f);
  for (size_t g = 0; ok && g < REGIMES; g++)
    ok = solve_regime (&f, g);
  for (size_t i = 0; ok && i < n; i++)
    ok = measure_lesson (&f, &drives[i], &lessons[i], chosen, bins);
  c->report.apart_k = ok ? percentile (bins, 0.99) : NAN;
  c->report.n_moments = f.n_moments[0] + f.n_moments[1];
  c->report.n_rows = f.n_rows;
  heat_compact_run_free (f.run);
  heat_arena_clear (&f.scratch);
  return ok;
}
