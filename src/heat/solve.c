#include <math.h>
#include <stdio.h>
#include <string.h>

#include "heat/solve-internal.h"
#include "heat/trace.h"

/* Largest error of one adaptive step, K, and the longest step in base steps. */
static const double STEP_ERROR_K = 0.05;
enum { STEP_GROWTH_MAX = 16 };
/* While joints melt or freeze, and shortly after, steps are a quarter as long: a joint that is through
 * rises by kelvins within tenths of a second, and the moment has to be met. */
enum { STEP_SPLIT = 4 };
static const double SETTLE_S = 0.5;

double
heat_next_moment (const HeatScene *scene, double t_s)
{
  const HeatTable *tables[] = { &scene->nozzle.set_c, &scene->nozzle.flow_m3_s, &scene->preheat.set_c };
  double next = scene->end_s;
  for (size_t i = 0; i < sizeof tables / sizeof tables[0]; i++)
    next = fmin (next, heat_table_next (tables[i], t_s + 1e-9));
  return next;
}

static size_t
steps_between (double from, double to, double step)
{
  return (size_t) fmax (1, ceil ((to - from) / step - 1e-6));
}

static HeatOptions
with_defaults (const HeatOptions *given)
{
  HeatOptions o = given ? *given : (HeatOptions){ 0 };
  o.cell_m = o.cell_m > 0 ? o.cell_m : HEAT_DEFAULT_CELL_M;
  o.coarse_m = o.coarse_m > 0 ? fmax (o.coarse_m, o.cell_m) : fmax (HEAT_DEFAULT_COARSE_M, o.cell_m);
  o.step_s = o.step_s > 0 ? o.step_s : 0.5;
  o.frame_s = o.frame_s > 0 ? o.frame_s : 1;
  o.max_nodes = o.max_nodes ? o.max_nodes : HEAT_DEFAULT_MAX_NODES;
  o.tolerance_k = o.tolerance_k > 0 ? o.tolerance_k : 1e-3;
  return o;
}

static HeatStatus
build (HeatSolver *s)
{
  const HeatMeshSize size = { s->options.cell_m, s->options.coarse_m, 0 };
  for (double t = 0; t < s->scene->end_s; t = heat_next_moment (s->scene, t))
    s->fixed_steps += steps_between (t, heat_next_moment (s->scene, t), s->options.step_s);
  HeatStatus status = heat_network_new (&s->arena, s->scene, &size, s->options.max_nodes, &s->net);
  if (status != HEAT_OK)
    return status;
  if (heat_faces_new (&s->arena, &s->net, &s->faces) != HEAT_OK)
    return HEAT_NO_MEMORY;
  s->mg = heat_multigrid_new (&s->arena, &s->net.stencil, &s->net.mesh);
  if (!s->mg)
    return HEAT_NO_MEMORY;
  return heat_march_new (&s->arena, s->scene, &s->net, &s->faces, s->mg, s->options.tolerance_k,
                         s->detail, &s->march)
             ? HEAT_OK
             : HEAT_NO_MEMORY;
}

HeatStatus
heat_solver_new_counted (const HeatScene *scene, const HeatOptions *options, long countdown,
                         HeatSolver **solver)
{
  *solver = NULL;
  if (heat_scene_fault (scene))
    return HEAT_BAD_SCENE;
  HeatArena arena = HEAT_ARENA_INIT;
  arena.countdown = countdown;
  arena.large = true;
  HeatSolver *s = HEAT_TAKE (&arena, HeatSolver, 1);
  if (!s)
    return HEAT_NO_MEMORY;
  s->arena = arena;
  s->scene = scene;
  s->options = with_defaults (options);
  s->countdown = -1;
  HeatStatus status = build (s);
  if (status == HEAT_OK)
    *solver = s;
  else
    heat_solver_free (s);
  return status;
}

HeatStatus
heat_solver_new (const HeatScene *scene, const HeatOptions *options, HeatSolver **solver)
{
  return heat_solver_new_counted (scene, options, -1, solver);
}

void
heat_solver_free (HeatSolver *solver)
{
  if (!solver)
    return;
  HeatArena arena = solver->arena; /* which holds the solver itself */
  heat_arena_clear (&arena);
}

void
heat_result_free (HeatResult *result)
{
  if (!result)
    return;
  HeatArena arena = ((HeatOwnedResult *) result)->arena;
  heat_arena_clear (&arena);
}

const char *
heat_solver_detail (const HeatSolver *solver)
{
  return solver->detail;
}

static void
set_start (HeatSolver *s)
{
  HeatMarch *m = &s->march;
  heat_march_start (m, s->scene->start_c);
  if (s->initial) {
    const HeatMesh *mesh = &s->net.mesh;
    size_t columns = mesh->nx * mesh->ny;
    for (size_t i = 0; i < columns * s->scene->board.n_layers; i++)
      m->t[i] = s->initial (mesh->xc[i % columns % mesh->nx], mesh->yc[i % columns / mesh->nx],
                            i / columns, s->initial_user);
    heat_march_restart (m);
  }
  HeatSeen seen = heat_faces_seen (s->scene, &s->faces, m->surface_c);
  heat_environment_at (s->scene, &seen, 0, HEAT_AFTER, &m->env);
  heat_faces_refresh (s->scene, &m->env, &s->faces);
  for (int k = 0; k < 3; k++) /* surface temperatures */
    heat_faces_flux (s->scene, &m->env, &s->faces, m->t);
}

/* Enthalpy above the start, and the latent part of it. */
static double
stored_heat (const HeatSolver *s, const double *start, double *latent)
{
  const HeatMarch *m = &s->march;
  double sum = 0;
  *latent = 0;
  for (size_t i = 0; i < s->net.stencil.layout.n; i++)
    sum += s->net.capacity[i] * (m->t[i] - start[i]);
  for (size_t i = 0; i < s->net.melts.n; i++) {
    const HeatMelt *melt = &s->net.melts.items[i];
    *latent += melt->latent * heat_melt_liquid (melt, m->t[melt->node]);
    sum += melt->latent
           * (heat_melt_liquid (melt, m->t[melt->node]) - heat_melt_liquid (melt, start[melt->node]));
  }
  return sum;
}

/* The audit: flows as the stages weighed them against what the nodes hold. */
static void
note_energy (HeatSolver *s, const double *start, double *gross, HeatEnergy *e)
{
  const double *flow = s->march.flows_dt;
  double latent;
  e->in_nozzle -= flow[0];
  e->in_spill -= flow[1];
  e->in_preheat -= flow[2];
  e->out_room += flow[3];
  e->out_clamps += flow[4];
  for (size_t i = 0; i < 5; i++)
    *gross += fabs (flow[i]);
  e->stored = stored_heat (s, start, &latent);
  e->latent_peak = fmax (e->latent_peak, latent);
  double net = e->in_nozzle + e->in_spill + e->in_preheat - e->out_room - e->out_clamps;
  e->imbalance_share = *gross > 0 ? fabs (e->stored - net) / *gross : 0;
}

/* One run's own state. */
typedef struct {
  HeatSolver *s;
  HeatRecorder rec;
  double *start;
  double gross;     /* sum of the flows' magnitudes, J */
  double factor;    /* adaptive: steps in base steps */
  double settled_s; /* joints are at rest from then on */
} Run;

static HeatStatus
accept (Run *run)
{
  HeatSolver *s = run->s;
  HeatResult *r = run->rec.result;
  bool last = s->march.t_s >= s->scene->end_s;
  note_energy (s, run->start, &run->gross, &r->energy);
  r->n_steps++;
  if (!heat_recorder_note (&run->rec, last))
    return HEAT_NO_MEMORY;
  if (s->options.progress && !s->options.progress (s->march.t_s / s->scene->end_s, s->options.user)) {
    snprintf (s->detail, sizeof s->detail, "cancelled at %.3f s", s->march.t_s);
    return HEAT_CANCELLED;
  }
  return HEAT_OK;
}

/* Local error of a step from the distance to its extrapolation: for smooth solutions the former is
 * 0.0404 y''' dt^3, the latter (1 + 1 - gamma) (1 - gamma) / 6 = 0.201 y''' dt^3. */
static double
step_error (const HeatMarch *m)
{
  return 0.2 * m->guess_error;
}

/* Length of the next step when LEFT seconds remain in the span. */
static double
next_step (Run *run, double left)
{
  HeatSolver *s = run->s;
  double step = s->options.step_s * (s->options.adaptive ? run->factor : 1);
  if (heat_march_melts (&s->march, s->options.step_s))
    run->settled_s = s->march.t_s + SETTLE_S;
  if (s->march.t_s < run->settled_s)
    step = s->options.step_s / STEP_SPLIT;
  return left / steps_between (0, left, step);
}

static bool
is_rejected (Run *run, double error)
{
  if (!(error > STEP_ERROR_K) || run->factor <= 1)
    return false;
  heat_march_undo (&run->s->march);
  run->factor = fmax (1, run->factor / 4);
  return true;
}

/* From one moment to the next in even steps of the base length, or in growing ones. */
static HeatStatus
march_span (Run *run, double to)
{
  HeatSolver *s = run->s;
  HeatMarch *m = &s->march;
  heat_march_forget (m);
  run->factor = 1;
  while (m->t_s < to) {
    double dt = next_step (run, to - m->t_s);
    bool ends = dt >= to - m->t_s;
    HeatStatus status = heat_march_step (m, dt);
    if (status != HEAT_OK)
      return status;
    double error = s->options.adaptive ? step_error (m) : 0;
    if (is_rejected (run, error))
      continue;
    if (ends)
      m->t_s = to;
    if (error < STEP_ERROR_K / 10 && run->factor < STEP_GROWTH_MAX)
      run->factor *= 2;
    status = accept (run);
    if (status != HEAT_OK)
      return status;
  }
  return HEAT_OK;
}

/* What the audit may miss: a thousandth of the flows, or what the tolerance leaves in the nodes. */
static bool
balances (const HeatSolver *s, const HeatEnergy *e)
{
  double held = 0;
  for (size_t i = 0; i < s->net.stencil.layout.n; i++)
    held += s->net.capacity[i];
  double net = e->in_nozzle + e->in_spill + e->in_preheat - e->out_room - e->out_clamps;
  return e->imbalance_share <= 1e-3 || fabs (e->stored - net) <= 10 * s->options.tolerance_k * held;
}

static HeatStatus
march_all (Run *run)
{
  HeatSolver *s = run->s;
  set_start (s);
  s->march.wants_error = s->options.adaptive;
  memcpy (run->start, s->march.t, s->net.stencil.layout.n * sizeof (double));
  if (!heat_recorder_note (&run->rec, false))
    return HEAT_NO_MEMORY;
  while (s->march.t_s < s->scene->end_s) {
    HeatStatus status = march_span (run, heat_next_moment (s->scene, s->march.t_s));
    if (status != HEAT_OK)
      return status;
  }
  HeatResult *r = run->rec.result;
  if (!balances (s, &r->energy)) {
    snprintf (s->detail, sizeof s->detail, "the energy does not balance: %.2g of the flows is missing",
              r->energy.imbalance_share);
    return HEAT_NOT_CONVERGED;
  }
  r->n_nodes = s->net.stencil.layout.n;
  r->n_linear_solves = s->march.n_solves;
  r->n_cg_iterations = s->march.n_iterations;
  r->worst_residual = s->march.worst_residual;
  return HEAT_OK;
}

HeatStatus
heat_solver_run (HeatSolver *s, HeatResult **result)
{
  *result = NULL;
  s->detail[0] = '\0';
  HeatArena arena = HEAT_ARENA_INIT, scratch = HEAT_ARENA_INIT;
  arena.countdown = scratch.countdown = s->countdown;
  HeatOwnedResult *owned = HEAT_TAKE (&arena, HeatOwnedResult, 1);
  if (!owned)
    return HEAT_NO_MEMORY;
  owned->arena = arena;
  Run run = { .s = s };
  run.start = HEAT_TAKE (&scratch, double, s->net.stencil.layout.n);
  HeatStatus status = HEAT_NO_MEMORY;
  if (run.start
      && heat_recorder_new (&scratch, &owned->arena, &s->march, s->options.frame_s,
                            s->fixed_steps + 8, STEP_SPLIT * s->fixed_steps + 8, s->scene->end_s, &owned->result, &run.rec))
    status = march_all (&run);
  heat_arena_clear (&scratch);
  if (status == HEAT_OK)
    *result = &owned->result;
  else
    heat_result_free (&owned->result);
  return status;
}
