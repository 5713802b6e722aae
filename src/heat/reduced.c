/* Building and running a reduced model. */
#include "heat/reduced-internal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "heat/reduced-basis.h"
#include "heat/reduced-laws.h"
#include "heat/reduced-lumps.h"
#include "heat/reduced-march.h"
#include "heat/reduced-melt.h"
#include "heat/reduced-near.h"
#include "heat/reduced-past.h"
#include "heat/reduced-project.h"
#include "heat/reduced-readers.h"
#include "heat/reduced-zones.h"
#include "heat/solve-internal.h"

/* What a sweep leaves of the error it found, of its largest, at most: seen on the jobs of tests/plan/test-agree.c. */
static const double SWEEP_LEAVES = 0.1;

/* For the report alone, s. */
static double
now_s (const HeatReduced *m)
{
  return m->options.clock_s ? m->options.clock_s () : 0;
}

static HeatReducedOptions
with_defaults (const HeatReducedOptions *given)
{
  HeatReducedOptions o = given ? *given : (HeatReducedOptions){ 0 };
  o.cell_m = o.cell_m > 0 ? o.cell_m : HEAT_DEFAULT_CELL_M;
  o.coarse_m = fmax (o.coarse_m > 0 ? o.coarse_m : HEAT_DEFAULT_COARSE_M, o.cell_m);
  o.max_nodes = o.max_nodes ? o.max_nodes : HEAT_DEFAULT_MAX_NODES;
  o.error_k = o.error_k > 0 ? o.error_k : o.scout ? 1 : 0.1;
  return o;
}

static HeatStatus
build_network (HeatReduced *m)
{
  const HeatMeshSize size = { m->options.cell_m, m->options.coarse_m, 0 };
  HeatStatus status = heat_network_new (&m->arena, m->scene, &size, m->options.max_nodes, &m->net);
  if (status != HEAT_OK)
    return status;
  m->n = m->net.stencil.layout.n;
  if (heat_faces_new (&m->arena, &m->net, &m->faces) != HEAT_OK
      || !heat_laws_new (&m->arena, m->faces.n, &m->laws))
    return HEAT_NO_MEMORY;
  heat_reference_find (m->scene, m->faces.inside_m2, &m->reference);
  heat_laws_fill (m->scene, &m->reference, &m->faces, &m->laws);
  return HEAT_OK;
}

static bool
goes_on (const HeatReduced *m, double done)
{
  return !m->options.progress || m->options.progress (done, m->options.user);
}

/* What hangs on the basis, made anew. */
static HeatStatus
close_basis (HeatReduced *m, HeatBasis *basis)
{
  m->small.countdown = m->arena.countdown;
  heat_arena_clear (&m->small);
  size_t first;
  double start = now_s (m);
  HeatStatus status = heat_basis_close (basis, &first);
  if (status != HEAT_OK)
    return status;
  m->kept.countdown = m->arena.countdown;
  bool ok = heat_zones_group (m) && heat_reduced_project (m, first) && heat_zones_rows (m) && heat_cells_rows (m)
            && heat_lumps_rows (m);
  m->laws_moved = false;
  m->report.projection_s += now_s (m) - start;
  return ok ? HEAT_OK : HEAT_NO_MEMORY;
}

/* The moments by which faces are grouped: when the gas comes on first, when it was on last, and the end;
 * without gas, thirds. */
static void
warm_moments (const HeatReducedRun *run, size_t at[HEAT_WARMTHS])
{
  size_t n = run->n_times;
  at[0] = n / 3;
  at[1] = 2 * n / 3;
  at[2] = n - 1;
  for (size_t i = n; i-- > 0;)
    if (run->envs[i].gas_on)
      at[0] = i;
  for (size_t i = 0; i < n; i++)
    at[1] = run->envs[i].gas_on ? i : at[1];
}

static bool
take_warmth (HeatReduced *m)
{
  for (size_t k = 0; k < HEAT_WARMTHS; k++)
    if (!m->warmth[k] && !(m->warmth[k] = HEAT_TAKE (&m->arena, float, m->n)))
      return false;
  return true;
}

/* The laws' slopes are taken at the mean of the first two. */
static void
laws_at_warmth (HeatReduced *m)
{
  for (size_t i = 0; i < m->faces.n; i++)
    m->laws.temp_c[i] = fmin (fmax ((m->warmth[0][m->faces.node[i]] + m->warmth[1][m->faces.node[i]]) / 2, 0), 500);
  heat_laws_fill (m->scene, &m->reference, &m->faces, &m->laws);
  m->laws_moved = true;
}

/* Temperatures at those moments. */
static bool
note_warmth (HeatReduced *m, const HeatReducedRun *run)
{
  size_t at[HEAT_WARMTHS];
  warm_moments (run, at);
  HeatArena scratch = heat_arena_beside (&m->arena);
  double *t = take_warmth (m) ? HEAT_TAKE (&scratch, double, m->n) : NULL;
  for (size_t k = 0; t && k < HEAT_WARMTHS; k++) {
    heat_past_nodes (run, at[k], t);
    for (size_t i = 0; i < m->n; i++)
      m->warmth[k][i] = (float) t[i];
  }
  if (t)
    laws_at_warmth (m);
  heat_arena_clear (&scratch);
  return t != NULL;
}

/* How warm it got in an earlier model, and which bodies came near melting there: what else only a march tells. */
static bool
take_over (HeatReduced *m, const HeatNear *near)
{
  if (!take_warmth (m))
    return false;
  for (size_t k = 0; k < HEAT_WARMTHS; k++)
    heat_near_field (near, near->from->warmth[k], (float) m->scene->room.air_c, m->warmth[k]);
  memcpy (m->apart, near->from->hot, m->scene->n_bodies * sizeof (bool));
  laws_at_warmth (m);
  return true;
}

/* A rough march of the scene's own job in place of *RUN (NULL: none), which is NULL unless HEAT_OK. */
static HeatStatus
march (HeatReduced *m, HeatReducedRun **run)
{
  HeatDrive drive = heat_drive_of (m->scene);
  double start = now_s (m);
  heat_reduced_run_free (*run);
  *run = heat_reduced_run_new_counted (m, m->arena.countdown);
  if (!*run)
    return HEAT_NO_MEMORY;
  (*run)->rough = true;
  HeatStatus status = heat_reduced_solve (m, *run, &drive, NULL);
  m->report.marches_s += now_s (m) - start;
  if (status == HEAT_OK)
    return HEAT_OK;
  heat_reduced_run_free (*run);
  *run = NULL;
  return status;
}

/* Zones, laws and what stands apart by the temperatures of a march; then it is marched again. */
static HeatStatus
regroup (HeatReduced *m, HeatBasis *basis, HeatReducedRun **run)
{
  heat_basis_apart (m, *run);
  if (!note_warmth (m, *run))
    return HEAT_NO_MEMORY;
  HeatStatus status = close_basis (m, basis);
  return status == HEAT_OK ? march (m, run) : status;
}

/* What a march leaves of the balance as new vectors, and the march again. */
static HeatStatus
sweep (HeatReduced *m, HeatBasis *basis, HeatReducedRun **run)
{
  double start = now_s (m);
  HeatStatus status = heat_basis_sweep (basis, *run);
  if (status == HEAT_OK && !note_warmth (m, *run))
    status = HEAT_NO_MEMORY;
  m->report.responses_s += now_s (m) - start;
  if (status == HEAT_OK)
    status = close_basis (m, basis);
  HeatReducedRun *earlier = *run;
  *run = NULL;
  if (status == HEAT_OK)
    status = march (m, run);
  if (status == HEAT_OK)
    m->report.error_k = SWEEP_LEAVES * heat_past_apart (earlier, *run);
  heat_reduced_run_free (earlier);
  return status;
}

/* *RUN: the last march with the basis found. WARM: it is known already how warm it gets, nearly. */
static HeatStatus
find_basis (HeatReduced *m, HeatBasis *basis, bool warm, HeatReducedRun **run)
{
  double start = now_s (m);
  HeatStatus status = heat_basis_seed (basis);
  m->report.responses_s += now_s (m) - start;
  if (status == HEAT_OK)
    status = close_basis (m, basis);
  if (status == HEAT_OK)
    status = march (m, run);
  if (status == HEAT_OK && !warm)
    status = regroup (m, basis, run);
  for (int k = 0; status == HEAT_OK && k < HEAT_SWEEPS_MAX; k++) {
    if (!goes_on (m, 0.4 + 0.2 * k))
      return HEAT_CANCELLED;
    status = sweep (m, basis, run);
    if (m->report.error_k < m->options.error_k)
      break;
  }
  return status == HEAT_OK && m->options.vary_conductance ? heat_reduced_vary (m) : status;
}

static HeatStatus
build (HeatReduced *m)
{
  double start = now_s (m);
  HeatStatus status = build_network (m);
  m->report.mesh_s = now_s (m) - start;
  if (status != HEAT_OK)
    return status;
  if (!goes_on (m, 0.2))
    return HEAT_CANCELLED;
  m->apart = HEAT_TAKE (&m->arena, bool, m->scene->n_bodies);
  m->hot = HEAT_TAKE (&m->arena, bool, m->scene->n_bodies);
  m->ties = heat_cells_ties (&m->arena, m, &m->net.stencil);
  if (!m->apart || !m->hot || !m->ties)
    return HEAT_NO_MEMORY;
  HeatArena scratch = heat_arena_beside (&m->arena);
  HeatNear near;
  bool warm = heat_near_find (&scratch, m->options.near, m, &near) && take_over (m, &near);
  m->options.near = NULL; /* may be gone after this call */
  HeatBasis *basis = heat_basis_new (&scratch, m, warm ? &near : NULL);
  HeatReducedRun *run = NULL;
  status = basis ? find_basis (m, basis, warm, &run) : HEAT_NO_MEMORY;
  start = now_s (m);
  if (status == HEAT_OK && !heat_readers_new (m, run))
    status = HEAT_NO_MEMORY;
  heat_reduced_run_free (run);
  heat_arena_clear (&scratch);
  m->room = NULL;
  m->n_room = 0;
  m->report.readers_s = now_s (m) - start;
  m->report.n_nodes = m->n;
  m->report.n_basis = m->r;
  m->report.n_zones = m->zones.faces.n;
  m->report.n_melt_zones = m->cells.n;
  m->report.bytes = m->arena.bytes + m->small.bytes + m->kept.bytes;
  m->report.bytes -= (HEAT_VECTORS_MAX - m->r) * m->n * sizeof (float); /* never touched */
  return status;
}

HeatStatus
heat_reduced_new_counted (const HeatScene *scene, const HeatReducedOptions *options, long countdown,
                          HeatReduced **model)
{
  *model = NULL;
  if (heat_scene_fault (scene))
    return HEAT_BAD_SCENE;
  HeatArena arena = HEAT_ARENA_INIT;
  arena.countdown = countdown;
  arena.workspace = options ? options->workspace : NULL;
  arena.large = true;
  HeatReduced *m = HEAT_TAKE (&arena, HeatReduced, 1);
  if (!m)
    return HEAT_NO_MEMORY;
  m->arena = arena;
  m->small = m->kept = heat_arena_beside (&arena);
  m->scene = scene;
  m->options = with_defaults (options);
  HeatStatus status = build (m);
  if (status == HEAT_OK)
    *model = m;
  else
    heat_reduced_free (m);
  return status;
}

HeatStatus
heat_reduced_new (const HeatScene *scene, const HeatReducedOptions *options, HeatReduced **model)
{
  return heat_reduced_new_counted (scene, options, -1, model);
}

void
heat_reduced_free (HeatReduced *model)
{
  if (!model)
    return;
  HeatArena arena = model->arena; /* which holds the model itself */
  heat_arena_clear (&model->small);
  heat_arena_clear (&model->kept);
  heat_arena_clear (&arena);
}

const HeatReducedReport *
heat_reduced_report (const HeatReduced *model)
{
  return &model->report;
}

static bool
take_run (HeatReducedRun *run)
{
  const HeatReduced *m = run->model;
  double **reduced[] = { &run->x,    &run->x0,    &run->base,
                         &run->force, &run->past[0], &run->past[1], &run->past[2] };
  double **zones[] = { &run->zone_t,       &run->zone_guess,   &run->zone_far, &run->excess,      &run->zone_out,
                       &run->past_zone[0], &run->past_zone[1], &run->past_zone[2] };
  double **cells[] = { &run->dev,         &run->dev0,        &run->dev1,          &run->dev_base,
                       &run->body_dev,    &run->body_dev0,   &run->body_dev1,     &run->body_dev_base,
                       &run->liquid,      &run->liquid0,     &run->liquid1,       &run->liquid_base,
                       &run->tau,         &run->tau_base,    &run->tau_next,    &run->over,          &run->over_base };
  for (size_t i = 0; i < sizeof reduced / sizeof reduced[0]; i++)
    if (!(*reduced[i] = HEAT_TAKE (&run->arena, double, m->stride)))
      return false;
  for (size_t i = 0; i < sizeof cells / sizeof cells[0]; i++)
    if (!(*cells[i] = HEAT_TAKE (&run->arena, double, m->cells.n)))
      return false;
  run->factor = HEAT_TAKE (&run->arena, double, m->stride * m->stride);
  for (size_t i = 0; i < sizeof zones / sizeof zones[0]; i++)
    if (!(*zones[i] = HEAT_TAKE (&run->arena, double, m->zones.faces.n)))
      return false;
  size_t lumps = m->n - m->net.stencil.layout.n_cells;
  run->lump_out = HEAT_TAKE (&run->arena, double, 2 * lumps);
  run->lump_hold = HEAT_TAKE (&run->arena, double, lumps);
  run->lump_was = HEAT_TAKE (&run->arena, HeatLumpState, lumps);
  run->lump_now = HEAT_TAKE (&run->arena, HeatLumpState, lumps);
  run->slopes = HEAT_TAKE (&run->arena, double, m->stride * m->stride);
  run->lump_c = HEAT_TAKE (&run->arena, double, lumps);
  return run->lump_out && run->lump_hold && run->lump_was && run->lump_now && run->factor && run->slopes && run->lump_c
         && heat_zones_copy (&run->arena, &m->zones.faces, &run->faces)
         && heat_zones_copy (&run->arena, &m->lumps.faces, &run->lump_faces);
}

HeatReducedRun *
heat_reduced_run_new_counted (const HeatReduced *model, long countdown)
{
  HeatArena arena = HEAT_ARENA_INIT;
  arena.countdown = countdown;
  arena.workspace = model->options.workspace;
  arena.large = true;
  HeatReducedRun *run = HEAT_TAKE (&arena, HeatReducedRun, 1);
  if (!run)
    return NULL;
  run->arena = arena;
  run->model = model;
  run->stride = model->stride;
  if (take_run (run))
    return run;
  heat_reduced_run_free (run);
  return NULL;
}

HeatReducedRun *
heat_reduced_run_new (const HeatReduced *model)
{
  return heat_reduced_run_new_counted (model, -1);
}

void
heat_reduced_run_free (HeatReducedRun *run)
{
  if (!run)
    return;
  HeatArena arena = run->arena; /* which holds the run itself */
  heat_arena_clear (&arena);
}

const char *
heat_reduced_detail (const HeatReducedRun *run)
{
  return run->detail;
}

HeatDrive
heat_drive_of (const HeatScene *scene)
{
  return (HeatDrive){ .gas_set_c = scene->nozzle.set_c,
                      .flow_m3_s = scene->nozzle.flow_m3_s,
                      .preheat_set_c = scene->preheat.set_c,
                      .end_s = scene->end_s,
                      .mark_s = NAN,
                      .air_c = scene->room.air_c,
                      .start_c = scene->start_c,
                      .gas_lag_s = scene->nozzle.lag_s,
                      .preheat_lag_s = scene->preheat.lag_s,
                      .scale_nozzle_film = scene->scale_nozzle_film,
                      .scale_spill_film = scene->scale_nozzle_film * (scene->scale_spill > 0 ? scene->scale_spill : 1),
                      .scale_preheat_film = scene->scale_preheat_film,
                      .scale_room_film = scene->scale_room_film,
                      .scale_conductivity = scene->scale_conductivity,
                      .scale_capacity = scene->scale_capacity,
                      .scale_joint = 1,
                      .scale_emissivity = 1 };
}
