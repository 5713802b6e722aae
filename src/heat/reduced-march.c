#include "heat/reduced-march.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "heat/dense.h"
#include "heat/reduced-laws.h"
#include "heat/reduced-melt.h"
#include "heat/reduced-past.h"
#include "heat/reduced-rows.h"
#include "heat/solve-internal.h"
#include "heat/vector.h"

/* Largest error of a step by estimate, K; and what of it lets the next one grow. */
static const double STEP_ERROR_K = 0.02, GROW_PART = 0.15;
/* A scout's steps: it ranks plans, another model has the last word. */
static const double SCOUT_STEP_ERROR_K = 0.5, SCOUT_LONGEST_STEP_S = 12, SCOUT_MELT_STEP_S = 1, SCOUT_SETTLED_K = 0.05;
/* First step after a switching moment, longest step, step while joints melt, s. */
static const double FIRST_STEP_S = 0.25, LONGEST_STEP_S = 4, MELT_STEP_S = 0.125;
/* A step that does not converge is tried again in quarters, down to this, s. */
static const double SHORTEST_STEP_S = 0.01;
/* Steps while joints melt are such that none melts by more than about this share, and at most so many times as long. */
static const double MELT_SHARE = 0.04, MELT_STEPS_MOST = 4;
/* Changes of the zones' temperatures below this end a stage's iteration, K. */
static const double SETTLED_K = 1e-3;
/* The matrix is renewed when a weight of its terms has moved by this. */
static const double WEIGHT_DRIFT = 0.05;
/* A stage's iteration is taken to win at least this much per round until it is seen to. */
static const double LEAST_CONTRACTION = 0.03;
enum { ITERATIONS_MAX = 60, RENEW_AFTER = 4 };
/* Iterations that have not ended by then go to and fro between two states of what melts: half of each change then. */
enum { DAMP_AFTER = 12 };

/* Steps of a march that only shows what a basis still lacks. */
static const double ROUGH_STEP_ERROR_K = 0.1, ROUGH_LONGEST_STEP_S = 8, ROUGH_MELT_STEP_S = 0.5, ROUGH_SETTLED_K = 0.01;

/* The FINE value, a rough march's, or a scout's. */
static double
by_model (const HeatReducedRun *run, double fine, double rough, double scout)
{
  return run->model->options.scout ? scout : run->rough ? rough : fine;
}

static double
capacity_scale (const HeatReducedRun *run)
{
  return run->drive.scale_capacity / run->model->scene->scale_capacity;
}

/* What bodies that stand apart deviate by, as far as it shows in the means of their zones. */
static void
add_bodies (HeatReducedRun *run, double *zone_t)
{
  const HeatReduced *m = run->model;
  for (size_t i = 0; i < m->cells.n && m->cells.n_awake; i++) {
    const HeatCell *cell = &m->cells.items[i];
    for (size_t k = 0; cell->body != SIZE_MAX && k < cell->n_faces; k++) {
      uint32_t zone = m->zones.of[cell->face[k]];
      zone_t[zone] += run->body_dev[i] * m->faces.area[cell->face[k]] / m->zones.faces.area[zone];
    }
  }
}

/* Mean temperatures of the zones' nodes; returns the largest difference from those in ZONE_GUESS. */
static double
read_zones (HeatReducedRun *run)
{
  const HeatReduced *m = run->model;
  double most = 0;
  heat_rows_read (m->zones.row, run->faces.n, m->stride, run->x, run->zone_t);
  for (size_t i = 0; i < run->faces.n; i++)
    run->zone_t[i] += run->scene.room.air_c;
  add_bodies (run, run->zone_t);
  for (size_t i = 0; i < run->faces.n; i++)
    most = fmax (most, fabs (run->zone_t[i] - run->zone_guess[i]));
  return most;
}

static void
see_environment (HeatReducedRun *run, double t_s, HeatSide side)
{
  HeatSeen seen = heat_faces_seen (&run->scene, &run->faces, run->inside_c);
  seen.last = &run->env;
  seen.gas_add_k = run->drive.gas_add_k;
  seen.preheat_add_k = run->drive.preheat_add_k;
  heat_environment_at (&run->scene, &seen, t_s, side, &run->env);
  double spill = run->drive.scale_nozzle_film > 0
                     ? run->drive.scale_spill_film / run->drive.scale_nozzle_film
                     : 0;
  for (size_t k = 0; k < HEAT_SPILL_N && spill != 1; k++)
    run->env.spill_h[k] *= spill;
  if (spill != 1)
    run->env.spill_of_c = NAN; /* not as computed */
  heat_moment_of (run->model, &run->scene, &run->drive, &run->env, &run->moment);
}

static bool
has_drifted (const HeatMoment *a, const HeatMoment *b)
{
  if (a->gas_on != b->gas_on || a->pre_on != b->pre_on)
    return true;
  for (size_t t = 0; t < HEAT_N_TERMS; t++)
    if (fabs (a->weight[t] - b->weight[t]) > WEIGHT_DRIFT)
      return true;
  return false;
}

/* scale / gdt + A, factored; with the slopes of what melts as it now is, when that is asked for. */
static bool
set_matrix (HeatReducedRun *run, double gdt, bool slopes)
{
  const HeatReduced *m = run->model;
  size_t n = m->stride * m->stride;
  run->with_slopes = slopes;
  memset (run->factor, 0, n * sizeof (double));
  for (size_t t = 0; t < HEAT_N_TERMS; t++) {
    double w = run->moment.weight[t];
    for (size_t i = 0; w != 0 && i < n; i++)
      run->factor[i] += w * m->term[t][i];
  }
  for (size_t i = 0; i < m->stride; i++)
    run->factor[i * m->stride + i] += i < m->r ? capacity_scale (run) / gdt : 1;
  if (slopes) {
    memset (run->slopes, 0, n * sizeof (double));
    heat_cells_slopes (run, gdt, run->slopes);
    for (size_t i = 0; i < n; i++)
      run->factor[i] += run->slopes[i];
  }
  run->gdt = gdt;
  run->matrix_moment = run->moment;
  return heat_dense_factor (run->factor, m->stride);
}

/* Fluxes out of the zones beyond those of the linear laws, whose weights are the matrix's. */
static void
excess_fluxes (HeatReducedRun *run, double *excess)
{
  const HeatReduced *m = run->model;
  double air = run->scene.room.air_c;
  if (run->wants.linear) {
    for (size_t i = 0; i < run->faces.n; i++) {
      excess[i] = 0;
      run->faces.q[i] = heat_law_flux (&m->zones.laws, i, &run->moment, run->zone_t[i] - air);
      run->faces.ts[i] = run->zone_t[i] - run->faces.half[i] * run->faces.q[i];
    }
    return;
  }
  heat_faces_refresh (&run->scene, &run->env, &run->faces);
  heat_faces_flux (&run->scene, &run->env, &run->faces, run->zone_t);
  for (size_t i = 0; i < run->faces.n; i++)
    excess[i] = run->faces.q[i] - heat_law_flux (&m->zones.laws, i, &run->moment, run->zone_t[i] - air);
}

/* What drives the field at RUN->x: base, sources, zones, melting nodes. */
static void
fill_force (HeatReducedRun *run, double gdt)
{
  const HeatReduced *m = run->model;
  double per_s = capacity_scale (run) / gdt;
  for (size_t k = 0; k < m->stride; k++) {
    run->force[k] = per_s * run->base[k];
    for (size_t s = 0; s < HEAT_N_SOURCES; s++)
      run->force[k] += run->moment.strength[s] * m->source[s][k];
  }
  if (run->wants.linear)
    return;
  double hottest = -INFINITY;
  for (size_t i = 0; i < run->faces.n; i++) {
    run->zone_out[i] = -run->excess[i] * m->zones.faces.area[i];
    hottest = fmax (hottest, run->zone_t[i]);
  }
  heat_rows_add (m->zones.row, run->faces.n, m->stride, run->zone_out, run->force);
  heat_cells_stage (run, gdt, hottest, run->force);
}

static HeatStatus
fail (HeatReducedRun *run, const char *what, double t_s)
{
  snprintf (run->detail, sizeof run->detail, "%s at %.3f s", what, t_s);
  return HEAT_NOT_CONVERGED;
}

/* The other side of what the slopes add to the matrix. */
static void
add_slopes (HeatReducedRun *run)
{
  size_t n = run->model->stride;
  for (size_t k = 0; k < n; k++)
    run->force[k] += heat_dot (run->slopes + k * n, run->x, n);
}

/* As much of the way from the guess to what the force, by now the solution, says. */
static void
take_solution (HeatReducedRun *run, double share)
{
  for (size_t k = 0; k < run->model->stride; k++)
    run->x[k] += share * (run->force[k] - run->x[k]);
}

/* One stage that ends at T_S, from the guess in RUN->x and RUN->zone_t. */
static HeatStatus
solve_stage (HeatReducedRun *run, double t_s, double gdt)
{
  double change = INFINITY, before, settled = by_model (run, SETTLED_K, ROUGH_SETTLED_K, SCOUT_SETTLED_K);
  run->n_stages++;
  heat_cells_base (run);
  for (int k = 0; k < ITERATIONS_MAX; k++) {
    see_environment (run, t_s, HEAT_BEFORE);
    if (k == 0 && (gdt != run->gdt || has_drifted (&run->moment, &run->matrix_moment))
        && !set_matrix (run, gdt, run->model->cells.n_awake > 0 || run->melting))
      return fail (run, "the reduced matrix is not definite", t_s);
    memcpy (run->moment.weight, run->matrix_moment.weight, sizeof run->moment.weight);
    excess_fluxes (run, run->excess);
    run->inside_c = heat_faces_inside_c (&run->faces);
    fill_force (run, gdt);
    if (k > 0 && k % RENEW_AFTER == 0 && !set_matrix (run, gdt, true))
      return fail (run, "the reduced matrix is not definite", t_s);
    if (run->with_slopes)
      add_slopes (run);
    heat_dense_solve (run->factor, run->model->stride, run->force);
    take_solution (run, k >= DAMP_AFTER ? 0.5 : 1);
    before = change;
    memcpy (run->zone_guess, run->zone_t, run->faces.n * sizeof (double));
    change = fmax (read_zones (run), heat_cells_change (run));
    if (!isfinite (change))
      return fail (run, "a temperature is not a number", t_s);
    if (k > 0 && change > 0.1 * settled)
      run->contraction = fmax (LEAST_CONTRACTION, change / before);
    if (change * fmin (run->contraction, 1) <= settled)
      return HEAT_OK;
  }
  return fail (run, "the reduced iteration did not converge", t_s);
}

static void
remember (HeatReducedRun *run, double t_s)
{
  double *oldest = run->past[HEAT_PAST - 1], *zones = run->past_zone[HEAT_PAST - 1];
  for (size_t i = HEAT_PAST - 1; i > 0; i--) {
    run->past[i] = run->past[i - 1];
    run->past_zone[i] = run->past_zone[i - 1];
    run->past_t[i] = run->past_t[i - 1];
    run->past_inside[i] = run->past_inside[i - 1];
  }
  run->past[0] = oldest;
  run->past_zone[0] = zones;
  memcpy (zones, run->zone_t, run->faces.n * sizeof (double));
  run->past_t[0] = t_s;
  run->past_inside[0] = run->inside_c;
  memcpy (oldest, run->x, run->model->stride * sizeof (double));
  if (run->n_past < HEAT_PAST)
    run->n_past++;
}

/* Lagrange's polynomial through the remembered points. */
static void
extrapolate (HeatReducedRun *run, double t_s)
{
  double inside = 0;
  memset (run->x, 0, run->model->stride * sizeof (double));
  memset (run->zone_t, 0, run->faces.n * sizeof (double));
  for (size_t i = 0; i < run->n_past; i++) {
    double w = 1;
    for (size_t j = 0; j < run->n_past; j++)
      if (j != i)
        w *= (t_s - run->past_t[j]) / (run->past_t[i] - run->past_t[j]);
    inside += w * run->past_inside[i];
    for (size_t k = 0; k < run->model->stride; k++)
      run->x[k] += w * run->past[i][k];
    for (size_t k = 0; k < run->faces.n; k++)
      run->zone_t[k] += w * run->past_zone[i][k];
  }
  run->inside_c = inside;
}

static void
add_flows (HeatReducedRun *run, double weight, double flows[5])
{
  HeatFlows f = heat_faces_flows (&run->env, &run->faces);
  const double all[5] = { f.nozzle, f.spill, f.preheat, f.room, f.clamps };
  for (size_t i = 0; i < 5; i++)
    flows[i] += weight * all[i];
}

/* What cells start a stage from: those of the step's start, or beyond the first stage. */
static void
base_cells (HeatReducedRun *run, double ratio)
{
  for (size_t i = 0; i < run->model->cells.n; i++) {
    run->dev_base[i] = run->dev0[i] + ratio * (run->dev1[i] - run->dev0[i]);
    run->body_dev_base[i] = run->body_dev0[i] + ratio * (run->body_dev1[i] - run->body_dev0[i]);
    run->liquid_base[i] = run->liquid0[i] + ratio * (run->liquid1[i] - run->liquid0[i]);
  }
}

static void
keep_cells (const HeatReducedRun *run, double *dev, double *body_dev, double *liquid)
{
  size_t bytes = run->model->cells.n * sizeof (double);
  memcpy (dev, run->dev, bytes);
  memcpy (body_dev, run->body_dev, bytes);
  memcpy (liquid, run->liquid, bytes);
}

/* One step; ERROR_K: as in solve.c, 0.2 of the second stage's distance from its extrapolation. */
static HeatStatus
step (HeatReducedRun *run, double dt, double flows[5], double *error_k)
{
  const double ratio = (1 - HEAT_GAMMA) / HEAT_GAMMA, gdt = HEAT_GAMMA * dt;
  size_t bytes = run->model->stride * sizeof (double);
  if (run->n_past == 0)
    remember (run, run->t_s);
  memcpy (run->x0, run->x, bytes);
  memcpy (run->base, run->x, bytes);
  keep_cells (run, run->dev0, run->body_dev0, run->liquid0);
  keep_cells (run, run->dev1, run->body_dev1, run->liquid1);
  base_cells (run, 0);
  extrapolate (run, run->t_s + gdt);
  HeatStatus status = solve_stage (run, run->t_s + gdt, gdt);
  if (status != HEAT_OK)
    return status;
  add_flows (run, (1 - HEAT_GAMMA) * dt, flows);
  keep_cells (run, run->dev1, run->body_dev1, run->liquid1);
  for (size_t k = 0; k < run->model->stride; k++)
    run->base[k] = run->x0[k] + ratio * (run->x[k] - run->x0[k]);
  remember (run, run->t_s + gdt);
  base_cells (run, ratio);
  bool whole = run->n_past == HEAT_PAST;
  extrapolate (run, run->t_s + dt);
  memcpy (run->zone_far, run->zone_t, run->faces.n * sizeof (double));
  status = solve_stage (run, run->t_s + dt, gdt);
  if (status != HEAT_OK)
    return status;
  add_flows (run, HEAT_GAMMA * dt, flows);
  *error_k = whole ? 0.2 * heat_largest_gap (run->zone_far, run->zone_t, run->faces.n) : NAN;
  remember (run, run->t_s + dt);
  run->t_s += dt;
  return HEAT_OK;
}

static void
undo (HeatReducedRun *run, double dt)
{
  run->t_s -= dt;
  memcpy (run->x, run->x0, run->model->stride * sizeof (double));
  memcpy (run->dev, run->dev0, run->model->cells.n * sizeof (double));
  memcpy (run->body_dev, run->body_dev0, run->model->cells.n * sizeof (double));
  memcpy (run->liquid, run->liquid0, run->model->cells.n * sizeof (double));
  run->n_past = 0;
  run->inside_c = run->past_inside[2];
  read_zones (run);
}

/* How long steps may be. */
typedef struct {
  double fixed, error_k, first_s, longest_s, melt_s;
} Pace;

static Pace
pace_of (const HeatReducedRun *run)
{
  return (Pace){ run->wants.step_s, by_model (run, STEP_ERROR_K, ROUGH_STEP_ERROR_K, SCOUT_STEP_ERROR_K),
                 by_model (run, FIRST_STEP_S, FIRST_STEP_S, SCOUT_MELT_STEP_S), by_model (run, LONGEST_STEP_S, ROUGH_LONGEST_STEP_S, SCOUT_LONGEST_STEP_S),
                 by_model (run, MELT_STEP_S, ROUGH_MELT_STEP_S, SCOUT_MELT_STEP_S) };
}

/* The step while joints melt after one of DT: longer where they melt slowly. */
static double
melt_step (const HeatReducedRun *run, const Pace *pace, double dt)
{
  double change = heat_largest_gap (run->liquid, run->liquid0, run->model->cells.n);
  double want = change > 0 ? dt * MELT_SHARE / change : 2 * dt;
  double most = by_model (run, MELT_STEPS_MOST, 1, 1) * pace->melt_s;
  return fmin (fmax (fmin (want, 2 * dt), pace->melt_s), most);
}

/* From one switching moment to the next. */
static HeatStatus
march_span (HeatReducedRun *run, double to)
{
  const Pace pace = pace_of (run);
  bool fixed = pace.fixed > 0;
  double want = fixed ? pace.fixed : pace.first_s;
  double from = run->t_s, melt_s = pace.melt_s;
  run->n_past = 0;
  while (run->t_s < to) {
    double left = to - run->t_s, flows[5] = { 0 }, error = NAN;
    double most = run->melting && !fixed ? fmin (want, melt_s) : want;
    double dt = left / fmax (1, ceil (left / most - 1e-6));
    bool ends = dt >= left;
    bool was_melting = run->melting;
    HeatStatus status = step (run, dt, flows, &error);
    if (status == HEAT_NOT_CONVERGED && !fixed && dt > SHORTEST_STEP_S) {
      run->t_s += dt;
      undo (run, dt);
      run->melting = was_melting;
      run->gdt = 0; /* another matrix too */
      want = dt / 4;
      continue;
    }
    if (status != HEAT_OK)
      return status;
    bool entered = run->melting && !was_melting && dt > 1.01 * pace.melt_s;
    if (!fixed && (error > pace.error_k || entered) && dt > 1.01 * pace.first_s) {
      undo (run, dt);
      run->melting = was_melting;
      want = entered ? pace.melt_s : fmax (dt / 4, pace.first_s);
      continue;
    }
    if (ends)
      run->t_s = to;
    melt_s = run->melting ? melt_step (run, &pace, dt) : pace.melt_s;
    bool begins = run->t_s - dt < from + 1e-9;
    if (!fixed && error < GROW_PART * pace.error_k)
      want = fmin (2 * dt, pace.longest_s);
    if (!heat_past_note (run, flows, begins))
      return HEAT_NO_MEMORY;
  }
  return HEAT_OK;
}

/* Surfaces at the start: a few rounds of Newton's steps. */
static void
start (HeatReducedRun *run)
{
  const HeatReduced *m = run->model;
  for (size_t k = 0; k < m->stride; k++)
    run->x[k] = m->uniform[k] * (run->drive.start_c - run->drive.air_c);
  run->t_s = 0;
  run->gdt = 0;
  run->contraction = 0.2;
  run->env = (HeatEnvironment){ .spill_of_c = NAN };
  run->n_stages = run->n_times = 0;
  run->faces.fresh = false;
  heat_cells_start (run);
  read_zones (run);
  memcpy (run->faces.ts, run->zone_t, run->faces.n * sizeof (double));
  run->inside_c = heat_faces_inside_c (&run->faces);
  for (int k = 0; k < 3; k++) {
    see_environment (run, 0, HEAT_AFTER);
    run->matrix_moment = run->moment;
    excess_fluxes (run, run->excess);
  }
}

HeatStatus
heat_reduced_march (HeatReducedRun *run)
{
  const double none[5] = { 0 };
  start (run);
  if (!heat_past_note (run, none, true))
    return HEAT_NO_MEMORY;
  while (run->t_s < run->drive.end_s) {
    HeatStatus status = march_span (run, heat_next_moment (&run->scene, run->t_s));
    if (status != HEAT_OK)
      return status;
  }
  return HEAT_OK;
}
