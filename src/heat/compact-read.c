/* Readings and figures of a compact run. */
#include "heat/compact-internal.h"

#include <math.h>
#include <string.h>

#include "heat/reduced-figures.h"
#include "heat/wide.h"

enum { FEATURES = HEAT_COMPACT_FEATURES, LANES = HEAT_COMPACT_LANES, FIRST_TIMES = 192 };

typedef float Eight __attribute__ ((vector_size (LANES * sizeof (float))));
typedef int32_t EightBits __attribute__ ((vector_size (LANES * sizeof (int32_t))));

/* Lane by lane, A becomes the larger of A and B. */
HEAT_INLINE void
raise_to (Eight *a, const Eight *b)
{
  EightBits more = *b > *a;
  *a = (Eight) (((EightBits) *b & more) | ((EightBits) *a & ~more));
}

static bool
grow_one (HeatArena *arena, void **array, size_t size, size_t used, size_t room)
{
  void *now = heat_take (arena, room, size);
  if (!now)
    return false;
  if (*array && used)
    memcpy (now, *array, used * size);
  *array = now;
  return true;
}

bool
heat_compact_grow (HeatCompactRun *run)
{
  size_t room = run->max_times ? 2 * run->max_times : FIRST_TIMES, used = run->n_times;
  if (!grow_one (&run->arena, (void **) &run->times, sizeof (double), used, room)
      || !grow_one (&run->arena, (void **) &run->features, FEATURES * sizeof (float), used, room)
      || !grow_one (&run->arena, (void **) &run->regime, 1, used, room))
    return false;
  if (run->model->whole
      && (!grow_one (&run->arena, (void **) &run->excesses, run->model->zones.padded * sizeof (float), used, room)
          || !grow_one (&run->arena, (void **) &run->nows, sizeof (HeatCompactNow), used, room)))
    return false;
  run->values = HEAT_TAKE_OPEN (&run->arena, float, room * LANES * (run->model->whole ? run->model->rows.blocks : 1));
  for (size_t s = 0; s < HEAT_N_SERIES; s++)
    if (!(run->series[s] = HEAT_TAKE (&run->arena, double, room)))
      return false;
  run->max_times = room;
  return run->values != NULL;
}

/* ---- all rows, block by block ---- */

/* Moments are read several at a time: then a block's coefficients are loaded once for all of them. */
enum { TOGETHER = 4 };

/* A block at MANY moments of one regime from AT on, into V. */
HEAT_INLINE void
read_some (const HeatCompactRun *run, size_t block, size_t at, const size_t many, float *v, Eight *peak)
{
  const HeatCompactRows *r = &run->model->rows;
  const float *f = run->features + at * FEATURES, *c = r->coef[run->regime[at]] + block * FEATURES * LANES;
  Eight sum[TOGETHER] = { { 0 } }, coef;
  for (size_t k = 0; k < FEATURES; k++) {
    memcpy (&coef, c + k * LANES, sizeof coef);
    for (size_t i = 0; i < many; i++)
      sum[i] += coef * f[i * FEATURES + k];
  }
  for (size_t i = 0; i < many; i++) {
    sum[i] += (float) run->drive.air_c;
    memcpy (v + (at + i) * LANES, &sum[i], sizeof sum[i]);
    raise_to (peak, &sum[i]);
  }
}

/* A block at all moments, into V; its peaks. */
HEAT_WIDE static void
read_block (HeatCompactRun *run, size_t block, float *v)
{
  Eight peak;
  for (size_t i = 0; i < LANES; i++)
    peak[i] = -INFINITY;
  for (size_t at = 0; at < run->n_times;) {
    bool whole = at + TOGETHER <= run->n_times;
    for (size_t i = 1; whole && i < TOGETHER; i++)
      whole = run->regime[at + i] == run->regime[at];
    if (whole)
      read_some (run, block, at, TOGETHER, v, &peak);
    else
      read_some (run, block, at, 1, v, &peak);
    at += whole ? TOGETHER : 1;
  }
  memcpy (run->peaks + block * LANES, &peak, sizeof peak);
}

/* ---- ramps, as in reduced-figures.c ---- */

/* Steepest window that begins or ends at a moment, for a block. */
HEAT_WIDE static void
block_ramps (HeatCompactRun *run, size_t block, const float *v)
{
  const size_t last = run->n_times - 1;
  const double *t = run->times;
  const float per_s = (float) (1 / HEAT_RAMP_S);
  Eight up = { 0 }, down = { 0 }, here, a, b, change;
  size_t j = 0;
  for (int side = 0; side < 2; side++, j = 0)
    for (size_t i = 0; i <= last; i++) {
      double other = side ? fmin (t[i] + HEAT_RAMP_S, t[last]) : fmax (t[i] - HEAT_RAMP_S, t[0]);
      while (j + 2 <= last && t[j + 1] < other)
        j++;
      float share = (float) fmin (fmax ((other - t[j]) / (t[j + 1] - t[j]), 0), 1);
      memcpy (&here, v + i * LANES, sizeof here);
      memcpy (&a, v + j * LANES, sizeof a);
      memcpy (&b, v + (j + 1) * LANES, sizeof b);
      change = (here - (a + share * (b - a))) * (side ? -per_s : per_s);
      raise_to (&up, &change);
      change = -change;
      raise_to (&down, &change);
    }
  memcpy (run->up + block * LANES, &up, sizeof up);
  memcpy (run->down + block * LANES, &down, sizeof down);
}

/* Where the readings of a block are: a whole model keeps all of them, another those of one. */
static float *
room_of (const HeatCompactRun *run, size_t block)
{
  return run->values + (run->model->whole ? block * run->max_times * LANES : 0);
}

void
heat_compact_read (HeatCompactRun *run)
{
  if (run->read || !run->solved)
    return;
  for (size_t b = 0; b < run->model->rows.blocks; b++) {
    float *v = room_of (run, b);
    read_block (run, b, v);
    if (b < run->model->rows.ramp_blocks && run->n_times > 1)
      block_ramps (run, b, v);
    run->block = b;
  }
  run->read = true;
}

const float *
heat_compact_block (HeatCompactRun *run, size_t block)
{
  heat_compact_read (run);
  if (!run->model->whole && run->block != block)
    read_block (run, run->block = block, run->values);
  return room_of (run, block);
}

/* ---- figures ---- */

static uint32_t
row_of (const HeatCompact *c, size_t body, HeatSeries series)
{
  return c->rows.of[body * HEAT_N_SERIES + series];
}

static double
peak_of (const HeatCompactRun *run, size_t body, HeatSeries series)
{
  uint32_t row = row_of (run->model, body, series);
  return row != UINT32_MAX ? run->peaks[row] : NAN;
}

static bool
copy_row (HeatCompactRun *run, uint32_t row, double *to)
{
  if (row == UINT32_MAX)
    return false;
  const float *v = heat_compact_block (run, row / LANES) + row % LANES;
  for (size_t i = 0; i < run->n_times; i++)
    to[i] = v[i * LANES];
  return true;
}

/* Hottest and coldest of the target's joints with rows of their own, and of what was fitted to the extremes. */
static void
target_joints (HeatCompactRun *run, double *low, double *high)
{
  const HeatCompactRows *r = &run->model->rows;
  for (size_t j = 0; j < r->n_joints; j++) {
    const float *v = heat_compact_block (run, r->joint[j] / LANES) + r->joint[j] % LANES;
    for (size_t i = 0; i < run->n_times; i++) {
      high[i] = j ? fmax (high[i], v[i * LANES]) : v[i * LANES];
      low[i] = j ? fmin (low[i], v[i * LANES]) : v[i * LANES];
    }
  }
}

/* All figures of a body all of whose series there are. */
static void
whole_figures (HeatCompactRun *run, size_t body, HeatFigures *f)
{
  const HeatCompact *c = run->model;
  HeatTrace trace = { 0 };
  double **to[HEAT_N_SERIES] = { [HEAT_SERIES_BODY_MAX] = &trace.body_max,         [HEAT_SERIES_JOINT_MAX] = &trace.joint_max,
                                 [HEAT_SERIES_BODY_TOP] = &trace.body_top,         [HEAT_SERIES_JOINT_CENTER] = &trace.joint_center,
                                 [HEAT_SERIES_JOINT_CORNER] = &trace.joint_corner, [HEAT_SERIES_JOINT_MIN] = &trace.joint_min,
                                 [HEAT_SERIES_JOINT_MEAN] = &trace.joint_mean };
  for (size_t s = 0; s < HEAT_N_SERIES; s++)
    if (copy_row (run, row_of (c, body, (HeatSeries) s), run->series[s]))
      *to[s] = run->series[s];
  if (body == c->of->scene->target && trace.joint_min)
    target_joints (run, trace.joint_min, trace.joint_max);
  HeatResult result = { .n_times = run->n_times, .t_s = run->times, .bodies = &trace };
  heat_figures_of (&result, 0, c->of->scene->bodies[body].liquidus_c, run->drive.mark_s, f);
}

static void
peak_figures (HeatCompactRun *run, size_t body, HeatFigures *f)
{
  uint32_t top = row_of (run->model, body, HEAT_SERIES_BODY_TOP);
  bool ramps = top != UINT32_MAX && top < run->model->rows.ramp_blocks * LANES;
  heat_no_figures (f);
  f->joint_peak_c = peak_of (run, body, HEAT_SERIES_JOINT_MAX);
  f->joint_center_peak_c = peak_of (run, body, HEAT_SERIES_JOINT_CENTER);
  f->joint_corner_peak_c = peak_of (run, body, HEAT_SERIES_JOINT_CORNER);
  f->body_peak_c = peak_of (run, body, HEAT_SERIES_BODY_MAX);
  f->body_top_peak_c = peak_of (run, body, HEAT_SERIES_BODY_TOP);
  f->ramp_up_k_s = ramps ? run->up[top] : NAN;
  f->ramp_down_k_s = ramps ? run->down[top] : NAN;
}

static void
figures_of (HeatCompactRun *run, size_t body, HeatFigures *f)
{
  const HeatCompact *c = run->model;
  if (row_of (c, body, HEAT_SERIES_JOINT_MIN) != UINT32_MAX && row_of (c, body, HEAT_SERIES_BODY_TOP) != UINT32_MAX)
    whole_figures (run, body, f);
  else
    peak_figures (run, body, f);
}

void
heat_compact_figures (const HeatCompact *c, HeatCompactRun *run, HeatFigures *figures)
{
  heat_compact_read (run);
  for (size_t b = 0; b < c->of->scene->n_bodies; b++)
    if (run->solved)
      figures_of (run, b, &figures[b]);
    else
      heat_no_figures (&figures[b]);
}

void
heat_compact_target_figures (const HeatCompact *c, HeatCompactRun *run, HeatFigures *figures)
{
  heat_compact_read (run);
  if (run->solved && c->of->scene->target < c->of->scene->n_bodies)
    figures_of (run, c->of->scene->target, figures);
  else
    heat_no_figures (figures);
}

double
heat_compact_board_peak (const HeatCompact *c, HeatCompactRun *run)
{
  heat_compact_read (run);
  return run->solved ? run->peaks[c->rows.board] : NAN;
}

size_t
heat_compact_n_times (const HeatCompactRun *run)
{
  return run->solved ? run->n_times : 0;
}

double
heat_compact_time (const HeatCompactRun *run, size_t at)
{
  return run->times[at];
}

bool
heat_compact_series (const HeatCompact *c, HeatCompactRun *run, size_t body, HeatSeries series, float *out)
{
  uint32_t row = row_of (c, body, series);
  bool target = body == c->of->scene->target && c->rows.n_joints;
  if (row == UINT32_MAX || !run->solved)
    return false;
  heat_compact_read (run);
  double *to = run->series[HEAT_SERIES_JOINT_MIN], *high = run->series[HEAT_SERIES_JOINT_MAX];
  if (target && (series == HEAT_SERIES_JOINT_MIN || series == HEAT_SERIES_JOINT_MAX)) {
    target_joints (run, to, high);
    to = series == HEAT_SERIES_JOINT_MAX ? high : to;
  } else {
    copy_row (run, row, to);
  }
  for (size_t i = 0; i < run->n_times; i++)
    out[i] = (float) to[i];
  return true;
}
