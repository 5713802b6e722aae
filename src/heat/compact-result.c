/* A compact run as the other models' results are. */
#include "heat/compact-internal.h"

#include <math.h>
#include <string.h>

#include "heat/solve-internal.h"
#include "heat/trace.h"
#include "heat/vector.h"

enum { LANES = HEAT_COMPACT_LANES, N = HEAT_COMPACT_N };

/* ---- series ---- */

/* The first moment is the start, before anything has happened: there a reading, which follows what is on, would be ahead. */
static void
copy_row (HeatCompactRun *run, uint32_t row, double *to, size_t stride)
{
  if (!to || row == UINT32_MAX)
    return;
  const float *v = heat_compact_block (run, row / LANES) + row % LANES;
  for (size_t i = 0; i < run->n_times; i++)
    to[i * stride] = i == 0 ? run->drive.start_c : v[i * LANES];
}

/* As if the joints lay evenly between the coldest and the hottest. */
static double
liquid_between (double low, double high, double liquidus)
{
  if (low >= liquidus || high <= liquidus)
    return low >= liquidus;
  return (high - liquidus) / (high - low);
}

static void
fill_body (HeatCompactRun *run, size_t body, HeatTrace *t)
{
  const HeatBody *of = &run->model->of->scene->bodies[body];
  double *to[] = { [HEAT_SERIES_BODY_MAX] = t->body_max,         [HEAT_SERIES_JOINT_MAX] = t->joint_max,
                   [HEAT_SERIES_BODY_TOP] = t->body_top,         [HEAT_SERIES_JOINT_CENTER] = t->joint_center,
                   [HEAT_SERIES_JOINT_CORNER] = t->joint_corner, [HEAT_SERIES_JOINT_MIN] = t->joint_min,
                   [HEAT_SERIES_JOINT_MEAN] = t->joint_mean };
  for (size_t s = 0; s < HEAT_N_SERIES; s++)
    copy_row (run, run->model->rows.of[body * HEAT_N_SERIES + s], to[s], 1);
  memmove (t->body_mean, t->body_top, run->n_times * sizeof (double));
  for (size_t i = 0; of->n_joints && i < run->n_times; i++)
    t->liquid_share[i] = liquid_between (t->joint_min[i], t->joint_max[i], of->liquidus_c);
}

static void
fill_target (HeatCompactRun *run, HeatResult *r)
{
  const HeatCompactRows *rows = &run->model->rows;
  size_t target = run->model->of->scene->target;
  for (size_t j = 0; j < rows->n_joints; j++)
    copy_row (run, rows->joint[j], r->joints + j, rows->n_joints);
  for (size_t i = 0; i < run->n_times && rows->n_joints; i++) {
    HeatTrace *t = &r->bodies[target];
    const double *v = r->joints + i * rows->n_joints;
    t->joint_min[i] = t->joint_max[i] = v[0];
    for (size_t j = 1; j < rows->n_joints; j++) {
      t->joint_min[i] = fmin (t->joint_min[i], v[j]);
      t->joint_max[i] = fmax (t->joint_max[i], v[j]);
    }
    t->liquid_share[i] = liquid_between (t->joint_min[i], t->joint_max[i], run->model->of->scene->bodies[target].liquidus_c);
  }
}

static void
fill_result (HeatCompactRun *run, HeatResult *r)
{
  const HeatCompact *c = run->model;
  r->n_times = run->n_times;
  for (size_t i = 0; i < run->n_times; i++) {
    r->t_s[i] = run->times[i];
    r->gas_c[i] = run->nows[i].gas_on ? run->nows[i].gas_c : NAN;
    r->preheat_c[i] = run->nows[i].pre_on ? run->nows[i].pre_c : NAN;
  }
  copy_row (run, c->rows.board, r->board_max, 1);
  copy_row (run, c->rows.board_mean, r->board_mean, 1);
  for (size_t b = 0; b < r->n_bodies; b++)
    fill_body (run, b, &r->bodies[b]);
  if (r->joints)
    fill_target (run, r);
  r->cell_peak_top = r->cell_peak_bottom = NULL;
  r->frames = NULL;
  r->n_frames = 0;
  r->n_nodes = c->of->n;
  r->n_steps = run->n_times - 1;
}

HeatStatus
heat_compact_result (const HeatCompact *c, HeatCompactRun *run, HeatResult **result)
{
  *result = NULL;
  if (!run->solved || !c->whole)
    return HEAT_BAD_SCENE;
  heat_compact_read (run);
  HeatArena arena = heat_answer_arena (c->of), scratch = arena;
  HeatOwnedResult *owned = HEAT_TAKE (&arena, HeatOwnedResult, 1);
  if (!owned)
    return HEAT_NO_MEMORY;
  owned->arena = arena;
  HeatFaces faces = c->of->faces;
  HeatMarch march = { .scene = &run->scene, .net = (HeatNetwork *) &c->of->net, .faces = &faces };
  HeatRecorder recorder;
  bool ok = heat_recorder_new (&scratch, &owned->arena, &march, 1, run->n_times, run->n_times, 1, &owned->result, &recorder);
  if (ok) {
    fill_result (run, &owned->result);
    *result = &owned->result;
  } else {
    heat_result_free (&owned->result);
  }
  heat_arena_clear (&scratch);
  return ok ? HEAT_OK : HEAT_NO_MEMORY;
}

/* ---- states ---- */

/* X = W y at all moments, and how it changes since the one before. */
static void
fill_states (const HeatCompactRun *run, double *states, double *rates)
{
  const HeatCompact *c = run->model;
  size_t n = c->of->stride;
  for (size_t i = 0; i < run->n_times; i++) {
    const float *y = run->features + i * HEAT_COMPACT_FEATURES;
    for (size_t k = 0; k < N; k++)
      heat_add_scaled (states + i * n, c->w + k * n, y[k], n);
    for (size_t k = 0; i > 0 && k < n; k++)
      rates[i * n + k] = (states[i * n + k] - states[(i - 1) * n + k]) / (run->times[i] - run->times[i - 1]);
  }
}

HeatReducedPast *
heat_compact_past_new (const HeatCompact *c, const HeatCompactRun *run)
{
  const HeatReduced *m = c->of;
  HeatArena scratch = heat_answer_arena (m);
  size_t n = run->n_times, zones = m->zones.faces.n;
  HeatReducedRun whole = { .model = m, .scene = run->scene, .n_times = n, .times = run->times, .solved = run->solved && c->whole };
  whole.states = HEAT_TAKE (&scratch, double, n * m->stride);
  whole.rates = HEAT_TAKE (&scratch, double, n * m->stride);
  whole.devs = whole.body_devs = HEAT_TAKE (&scratch, double, n * m->cells.n); /* none: nothing melts by itself here */
  whole.excesses = HEAT_TAKE (&scratch, double, n * zones);
  whole.moments = HEAT_TAKE (&scratch, HeatMoment, n);
  HeatReducedPast *past = NULL;
  if (whole.solved && whole.states && whole.rates && whole.devs && whole.excesses && whole.moments) {
    fill_states (run, whole.states, whole.rates);
    for (size_t i = 0; i < n; i++) {
      whole.moments[i] = run->nows[i].moment;
      for (size_t k = 0; k < zones; k++)
        whole.excesses[i * zones + k] = run->excesses[i * c->zones.padded + k];
    }
    past = heat_reduced_past_new (m, &whole);
  }
  heat_arena_clear (&scratch);
  return past;
}
