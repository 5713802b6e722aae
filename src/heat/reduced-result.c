/* A run's states as the full solution's result. */
#include <math.h>
#include <string.h>

#include "heat/reduced-lanes.h"
#include "heat/reduced-past.h"
#include "heat/reduced-readers.h"
#include "heat/reduced-rows.h"
#include "heat/solve-internal.h"
#include "heat/trace.h"
#include "heat/vector.h"

typedef struct HeatReplay {
  const HeatReduced *m;
  HeatReducedRun *run;
  HeatArena scratch;
  HeatMarch march; /* only what a recorder reads */
  HeatFaces faces;
  HeatAhead ahead;
  HeatLanes lanes;
  HeatRecorder rec;
} Replay;

/* SCRATCH may be ARENA. */
static bool
take_replay (Replay *p, HeatArena *scratch, HeatArena *arena, size_t room, HeatResult *result)
{
  const HeatReduced *m = p->m;
  p->faces = m->faces;
  p->faces.ts = HEAT_TAKE (scratch, double, m->faces.n);
  p->march = (HeatMarch){ .scene = &p->run->scene, .net = (HeatNetwork *) &m->net, .faces = &p->faces };
  p->march.t = HEAT_TAKE (scratch, double, m->n);
  if (!p->faces.ts || !p->march.t || !heat_ahead_new (scratch, m, &p->ahead) || !heat_lanes_new (scratch, m, &p->lanes)
      || !heat_recorder_new (scratch, arena, &p->march, 1, room, room, 1, result, &p->rec))
    return false;
  p->rec.max_frames = 0;
  return true;
}

static void
sum_energy (const Replay *p, HeatEnergy *e)
{
  const HeatReduced *m = p->m;
  double gross = 0;
  for (size_t i = 0; i < p->run->n_times; i++) {
    const double *flow = p->run->flows_dt[i];
    e->in_nozzle -= flow[0];
    e->in_spill -= flow[1];
    e->in_preheat -= flow[2];
    e->out_room += flow[3];
    e->out_clamps += flow[4];
    for (size_t k = 0; k < 5; k++)
      gross += fabs (flow[k]);
  }
  double scale = p->run->drive.scale_capacity / m->scene->scale_capacity;
  double mean = heat_dot (m->readers.heat, p->run->states + (p->run->n_times - 1) * m->stride, m->stride);
  e->stored += scale * m->readers.capacity * (p->run->scene.room.air_c + mean - p->run->drive.start_c);
  double net = e->in_nozzle + e->in_spill + e->in_preheat - e->out_room - e->out_clamps;
  e->imbalance_share = gross > 0 ? fabs (e->stored - net) / gross : 0;
}

/* Latent heat taken up at the moment T is of. */
static double
latent_now (const HeatReduced *m, const double *t)
{
  double latent = 0;
  for (size_t j = 0; j < m->cells.n; j++) {
    const HeatMelt *melt = &m->cells.items[j].melt;
    latent += melt->latent * heat_melt_liquid (melt, t[melt->node]);
  }
  return latent;
}

/* Area means at the end, from the zones as the last stage left them. */
static void
end_films (const Replay *p, HeatFilmReport *films)
{
  const HeatReducedRun *run = p->run;
  films->preheat_h_w_m2k = heat_faces_preheat_film (&run->env, &run->faces);
  films->room_up_h_w_m2k = heat_faces_room_film (&run->scene, &run->faces, HEAT_FACE_UP);
  films->room_down_h_w_m2k = heat_faces_room_film (&run->scene, &run->faces, HEAT_FACE_DOWN);
}

/* Nodes and figures of one moment, the K-th of those read together, but of bodies that are read in lanes. */
static void
replay_moment (Replay *p, size_t i, size_t k, HeatResult *r)
{
  HeatReducedRun *run = p->run;
  p->march.t_s = run->times[i];
  p->march.env = run->envs[i];
  heat_readers_fill (run, i, &p->ahead, k, p->march.t, p->faces.ts);
  heat_lanes_put (&p->lanes, k, p->march.t);
  r->energy.stored = latent_now (p->m, p->march.t);
  r->energy.latent_peak = fmax (r->energy.latent_peak, r->energy.stored);
  size_t at = heat_recorder_moment (&p->rec);
  heat_readers_board (run, &p->march, at, r);
  for (size_t body = 0; body < r->n_bodies; body++) {
    if (heat_lanes_serve (p->m, body))
      continue;
    heat_readers_body (run, &p->march, body, at, r);
    if (run->scene.bodies[body].n_joints)
      heat_trace_joints (&p->march, body, at, r);
  }
}

static void
replay (Replay *p, HeatResult *r)
{
  HeatReducedRun *run = p->run;
  r->n_times = 0;
  r->energy = (HeatEnergy){ 0 };
  r->films = (HeatFilmReport){ 0 };
  p->rec.gas_flow_most = 0;
  for (size_t from = 0; from < run->n_times; from += HEAT_LANES) {
    size_t n = run->n_times - from < HEAT_LANES ? run->n_times - from : HEAT_LANES;
    heat_ahead_read (run, from, n, &p->ahead);
    for (size_t k = 0; k < n; k++)
      replay_moment (p, from + k, k, r);
    heat_lanes_read (&p->lanes, &run->scene, from, n, r);
  }
  r->cell_peak_top = r->cell_peak_bottom = NULL;
  r->frames = NULL;
  r->n_nodes = p->m->n;
  r->n_steps = run->n_times - 1;
  r->n_linear_solves = run->n_stages;
  sum_energy (p, &r->energy);
  end_films (p, &r->films);
}

/* Room for a quarter more moments; what was there stays in the run's arena. */
bool
heat_reduced_make_room (HeatReducedRun *run)
{
  if (run->series_room >= run->n_times)
    return true;
  size_t room = run->n_times + run->n_times / 4;
  Replay *p = HEAT_TAKE (&run->arena, Replay, 1);
  if (!p)
    return false;
  *p = (Replay){ .m = run->model, .run = run };
  run->series = (HeatResult){ 0 };
  run->series_room = 0;
  if (!take_replay (p, &run->arena, &run->arena, room, &run->series))
    return false;
  run->replay = p;
  run->series_room = room;
  return true;
}

const HeatResult *
heat_reduced_series (const HeatReduced *model, HeatReducedRun *run)
{
  if (!run->solved || run->series_room < run->n_times)
    return NULL;
  if (!run->read)
    replay (run->replay, &run->series);
  run->read = true;
  return &run->series;
}

HeatStatus
heat_reduced_result_counted (const HeatReduced *model, HeatReducedRun *run, long countdown,
                             HeatResult **result)
{
  *result = NULL;
  if (!run->solved)
    return HEAT_BAD_SCENE;
  HeatArena arena = heat_answer_arena (model);
  arena.countdown = countdown;
  HeatOwnedResult *owned = HEAT_TAKE (&arena, HeatOwnedResult, 1);
  if (!owned)
    return HEAT_NO_MEMORY;
  owned->arena = arena;
  Replay p = { .m = model, .run = run, .scratch = heat_answer_arena (model) };
  p.scratch.countdown = countdown;
  bool ok = take_replay (&p, &p.scratch, &owned->arena, run->n_times, &owned->result);
  if (ok)
    replay (&p, &owned->result);
  heat_arena_clear (&p.scratch);
  if (ok)
    *result = &owned->result;
  else
    heat_result_free (&owned->result);
  return ok ? HEAT_OK : HEAT_NO_MEMORY;
}

HeatStatus
heat_reduced_result (const HeatReduced *model, HeatReducedRun *run, HeatResult **result)
{
  return heat_reduced_result_counted (model, run, -1, result);
}

struct HeatReducedPast {
  HeatArena arena;
  HeatReducedRun run; /* only its states */
};

static double *
copy_of (HeatArena *arena, const double *from, size_t n)
{
  double *to = HEAT_TAKE (arena, double, n);
  if (to)
    memcpy (to, from, n * sizeof (double));
  return to;
}

static bool
fill_past (HeatReducedPast *past, const HeatReduced *m, const HeatReducedRun *run)
{
  HeatReducedRun *own = &past->run;
  size_t n = run->n_times;
  own->model = m;
  own->scene.room.air_c = run->scene.room.air_c;
  own->n_times = n;
  own->times = copy_of (&past->arena, run->times, n);
  own->states = copy_of (&past->arena, run->states, n * m->stride);
  own->rates = copy_of (&past->arena, run->rates, n * m->stride);
  own->devs = copy_of (&past->arena, run->devs, n * m->cells.n);
  own->body_devs = copy_of (&past->arena, run->body_devs, n * m->cells.n);
  own->excesses = copy_of (&past->arena, run->excesses, n * m->zones.faces.n);
  size_t lumps = m->n - m->net.stencil.layout.n_cells;
  own->lump_out = HEAT_TAKE (&past->arena, double, 2 * lumps);
  own->moments = HEAT_TAKE (&past->arena, HeatMoment, n);
  if (own->moments)
    memcpy (own->moments, run->moments, n * sizeof (HeatMoment));
  return own->times && own->states && own->rates && own->devs && own->body_devs && own->excesses && own->moments
         && own->lump_out;
}

HeatReducedPast *
heat_reduced_past_new_counted (const HeatReduced *model, const HeatReducedRun *run, long countdown)
{
  HeatArena arena = heat_answer_arena (model);
  arena.countdown = countdown;
  HeatReducedPast *past = run->solved ? HEAT_TAKE (&arena, HeatReducedPast, 1) : NULL;
  if (!past)
    return NULL;
  past->arena = arena;
  if (fill_past (past, model, run))
    return past;
  heat_reduced_past_free (past);
  return NULL;
}

HeatReducedPast *
heat_reduced_past_new (const HeatReduced *model, const HeatReducedRun *run)
{
  return heat_reduced_past_new_counted (model, run, -1);
}

void
heat_reduced_past_free (HeatReducedPast *past)
{
  if (!past)
    return;
  HeatArena arena = past->arena;
  heat_arena_clear (&arena);
}

/* The last kept moment not after T, and how far T is on the way to the next. */
static size_t
moment_before (const HeatReducedRun *run, double t_s, double *share)
{
  size_t i = 0;
  while (i + 2 < run->n_times && run->times[i + 1] <= t_s)
    i++;
  *share = 0;
  if (run->n_times > 1)
    *share = fmin (fmax ((t_s - run->times[i]) / (run->times[i + 1] - run->times[i]), 0), 1);
  return i;
}

/* Adds WEIGHT of the surfaces at a kept moment; false when memory is short. */
static bool
add_surface (const HeatReducedPast *past, size_t at, double weight, float *top, float *bottom)
{
  const HeatReduced *m = past->run.model;
  size_t columns = m->net.mesh.nx * m->net.mesh.ny;
  Replay p = { .m = m, .run = (HeatReducedRun *) &past->run, .scratch = heat_answer_arena (m) };
  p.faces = m->faces;
  p.faces.ts = HEAT_TAKE (&p.scratch, double, m->faces.n);
  p.march = (HeatMarch){ .scene = m->scene, .net = (HeatNetwork *) &m->net, .faces = &p.faces };
  p.march.t = HEAT_TAKE (&p.scratch, double, m->n);
  double *out = HEAT_TAKE (&p.scratch, double, columns);
  bool ok = p.faces.ts && p.march.t && out;
  if (ok) {
    float *sides[2] = { bottom, top };
    for (int up = 0; up < 2; up++) {
      if (!sides[up])
        continue;
      heat_past_sheet (&past->run, at, up, p.march.t, p.faces.ts);
      heat_board_surface (&p.march, up, out);
      for (size_t i = 0; i < columns; i++)
        sides[up][i] += (float) (weight * out[i]);
    }
  }
  heat_arena_clear (&p.scratch);
  return ok;
}

void
heat_reduced_field (const HeatReduced *model, const HeatReducedPast *past, double t_s, float *top,
                    float *bottom)
{
  size_t columns = model->net.mesh.nx * model->net.mesh.ny;
  double share;
  size_t at = moment_before (&past->run, t_s, &share);
  for (size_t i = 0; i < columns; i++) {
    if (top)
      top[i] = 0;
    if (bottom)
      bottom[i] = 0;
  }
  bool ok = add_surface (past, at, 1 - share, top, bottom)
            && (share <= 0 || add_surface (past, at + 1, share, top, bottom));
  for (size_t i = 0; i < columns && !ok; i++) {
    if (top)
      top[i] = NAN;
    if (bottom)
      bottom[i] = NAN;
  }
}
