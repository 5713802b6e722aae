#include "heat/environment.h"

#include <math.h>

#include "heat/vector.h"
#include "heat/wide.h"

static const double pi = 3.14159265358979323846;
/* A face whose spill film reaches this is swept by the jet alone; below, free convection fills in. */
static const double SPILL_TAKES_OVER = 10; /* W/m2K, the size of free convection; our choice */

/* Leaving gas that is warmer or colder by this much makes films that differ by a few parts in 10^4. */
static const double SPILL_KEEPS_K = 0.25;

static double
nozzle_perimeter (const HeatNozzle *n)
{
  return n->round ? pi * n->length_m : 2 * (n->length_m + n->width_m);
}

static double
target_radius (const HeatScene *scene)
{
  const HeatNozzle *n = &scene->nozzle;
  bool has = scene->target < scene->n_bodies;
  const HeatBody *b = has ? &scene->bodies[scene->target] : NULL;
  double area = has ? (b->round ? pi / 4 * b->length_m * b->length_m : b->length_m * b->width_m)
                    : (n->round ? pi / 4 * n->length_m * n->length_m : n->length_m * n->width_m);
  return sqrt (area / pi);
}

/* Scale of the spill's film. */
static double
spill_scale (const HeatScene *scene)
{
  return scene->scale_nozzle_film * (scene->scale_spill > 0 ? scene->scale_spill : 1);
}

static void
prescribed_gas (const HeatScene *scene, HeatEnvironment *env)
{
  const HeatNozzle *n = &scene->nozzle;
  env->gas_h = env->gas_h_bare = n->prescribed_h_w_m2k * scene->scale_nozzle_film;
  env->gas_out_c = env->gas_c;
  for (size_t k = 0; k < HEAT_SPILL_N; k++) {
    double s = (double) k / (HEAT_SPILL_N - 1), d = HEAT_SPILL_REACH * s * s;
    double fade = n->spill_reach_m > 0 ? exp (-d / n->spill_reach_m) : d > 0 ? 0 : 1;
    env->spill_h[k] = n->spill_h_w_m2k * fade * spill_scale (scene);
    env->spill_c[k] = env->gas_c;
  }
}

static void
fill_spill (const HeatScene *scene, HeatEnvironment *env)
{
  const HeatNozzle *n = &scene->nozzle;
  env->spill_of_c = env->gas_out_c;
  for (size_t k = 0; k < HEAT_SPILL_N; k++) {
    double s = (double) k / (HEAT_SPILL_N - 1);
    HeatSpill spill = heat_spill (nozzle_perimeter (n), n->skirt_gap_m, env->mass_kg_s, env->gas_out_c,
                                  scene->room.air_c, HEAT_SPILL_REACH * s * s);
    env->spill_h[k] = spill.h_w_m2k * spill_scale (scene);
    env->spill_c[k] = scene->room.air_c + spill.excess_share * (env->gas_out_c - scene->room.air_c);
  }
}

/* The films of gas hardly warmer or colder, and its temperatures, which are in proportion. */
static void
take_spill (const HeatScene *scene, const HeatEnvironment *last, HeatEnvironment *env)
{
  double air = scene->room.air_c, out = last->gas_out_c - air;
  double ratio = fabs (out) > 1e-9 ? (env->gas_out_c - air) / out : 0;
  env->spill_of_c = last->spill_of_c;
  for (size_t k = 0; k < HEAT_SPILL_N; k++) {
    env->spill_h[k] = last->spill_h[k];
    env->spill_c[k] = air + ratio * (last->spill_c[k] - air);
  }
}

/* The stream gives up eps (Tgas - Tsurface) on its way out and goes on as spill. */
static void
computed_gas (const HeatScene *scene, const HeatSeen *seen, double flow, HeatEnvironment *env)
{
  const HeatNozzle *n = &scene->nozzle;
  env->film = heat_nozzle_film (n->round, n->length_m, n->width_m, n->height_m, flow, env->gas_c,
                                target_radius (scene));
  env->mass_kg_s = env->film.mass_kg_s;
  env->gas_h_bare = env->film.h_w_m2k * scene->scale_nozzle_film;
  double ntu = env->gas_h_bare * seen->inside_m2 / (env->mass_kg_s * heat_air (env->gas_c).cp);
  env->gas_h = env->gas_h_bare * heat_stream_weakening (ntu);
  env->gas_out_c = env->gas_c - heat_stream_effectiveness (ntu) * (env->gas_c - seen->inside_c);
  if (seen->last && seen->last->mass_kg_s == env->mass_kg_s
      && fabs (env->gas_out_c - seen->last->spill_of_c) < SPILL_KEEPS_K)
    take_spill (scene, seen->last, env);
  else
    fill_spill (scene, env);
}

static bool
has_bath_film (const HeatPreheat *p)
{
  return p->kind == HEAT_PREHEAT_AIR && p->set_c.n > 0 && !(p->prescribed_h_w_m2k > 0);
}

static double
mean_down (const HeatFaces *f)
{
  double sum = 0, area = 0;
  for (size_t c = 0; c < f->n_classes; c++)
    for (size_t i = f->classes[c].from; f->classes[c].kind == HEAT_FACE_DOWN && i < f->classes[c].to;
         i++) {
      sum += f->pre_area[i] * f->area[i] * f->ts[i];
      area += f->pre_area[i] * f->area[i];
    }
  return area > 0 ? sum / area : 0;
}

/* Forced part from the bath, free part from the warmth of its air: third powers add (Bergman et al., 7th
 * ed., section 9.9, mixed convection, n = 3). */
static double
bath_film (const HeatScene *scene, double below_c, double air_c)
{
  const HeatPreheat *p = &scene->preheat;
  double forced
      = heat_preheat_air_film (p->speed_m_s, fmin (p->length_m, p->width_m), p->gap_m, air_c, NULL);
  double length = p->length_m * p->width_m / (2 * (p->length_m + p->width_m));
  /* A cold face over warm air drives it as a hot one below cold air does. */
  double free_h = below_c < air_c ? heat_free_film_up (below_c, air_c, length)
                                  : heat_free_film_down (below_c, air_c, length);
  return cbrt (forced * forced * forced + free_h * free_h * free_h);
}

static void
set_preheat (const HeatScene *scene, const HeatSeen *seen, double t_s, HeatSide side,
             HeatEnvironment *env)
{
  const HeatPreheat *p = &scene->preheat;
  env->pre_on = p->kind != HEAT_PREHEAT_NONE && p->set_c.n > 0;
  if (!env->pre_on)
    return;
  env->pre_c = heat_table_lagged (&p->set_c, p->lag_s, t_s, side) + p->add_k + seen->preheat_add_k;
  env->pre_h = has_bath_film (p) ? bath_film (scene, seen->below_c, env->pre_c) : p->prescribed_h_w_m2k;
  env->pre_h *= scene->scale_preheat_film;
  env->pre_scale = scene->scale_preheat_film;
}

HeatSeen
heat_faces_seen (const HeatScene *scene, const HeatFaces *faces, double inside_c)
{
  return (HeatSeen){ .inside_m2 = faces->inside_m2,
                     .inside_c = inside_c,
                     .below_c = has_bath_film (&scene->preheat) ? mean_down (faces) : 0 };
}

void
heat_environment_at (const HeatScene *scene, const HeatSeen *seen, double t_s, HeatSide side,
                     HeatEnvironment *out)
{
  const HeatNozzle *n = &scene->nozzle;
  HeatEnvironment now = { .gas_c = NAN, .gas_out_c = NAN, .spill_of_c = NAN };
  double flow = n->present && n->set_c.n ? heat_table_at (&n->flow_m3_s, t_s, side) : 0;
  now.gas_on = flow > 0;
  if (now.gas_on) {
    now.gas_c = heat_table_lagged (&n->set_c, n->lag_s, t_s, side) + n->add_k + seen->gas_add_k;
    if (n->prescribed_h_w_m2k > 0)
      prescribed_gas (scene, &now);
    else
      computed_gas (scene, seen, flow, &now);
  }
  set_preheat (scene, seen, t_s, side, &now);
  *out = now; /* which SEEN's last may be */
}

double
heat_spill_value (const double *table, double at)
{
  size_t k = (size_t) at;
  if (k >= HEAT_SPILL_N - 1)
    return table[HEAT_SPILL_N - 1];
  return table[k] + (at - k) * (table[k + 1] - table[k]);
}

/* The room's share of a face: its convective and its radiative part. */
static void
add_room (const HeatScene *scene, const HeatFaceClass *c, HeatFaces *f, size_t i, double open,
          double still, double view)
{
  double h = c->room_h * open;
  f->hl[i] += h;
  f->ht[i] += h * scene->room.air_c;
  f->wc[i] = c->fixed ? 0 : open * still;
  bool dark = c->kind == HEAT_FACE_SIDE && scene->room.prescribed;
  f->er[i] = dark ? 0 : f->eps[i] * view * scene->scale_room_film;
}

/* Upward faces and sides: the spill goes into hl and ht, the nozzle's film is added in the flux. */
static void
refresh_upper (const HeatScene *scene, const HeatEnvironment *env, const HeatFaceClass *c, HeatFaces *f,
               size_t i)
{
  double still = 1, open = 1;
  f->hl[i] = f->ht[i] = 0;
  if (env->gas_on) {
    open = 1 - f->in_area[i];
    if (f->spill[i] > 0) {
      double spill = f->spill[i] * heat_spill_value (env->spill_h, f->spill_at[i]);
      f->hl[i] = spill;
      f->ht[i] = spill * heat_spill_value (env->spill_c, f->spill_at[i]);
      still = spill < open * SPILL_TAKES_OVER ? 1 - spill / (open * SPILL_TAKES_OVER) : 0;
    }
  }
  add_room (scene, c, f, i, open, still, open);
}

/* Downward faces: what clamps and room do; the preheater's film is added in the flux. */
static void
refresh_lower (const HeatScene *scene, const HeatEnvironment *env, const HeatFaceClass *c, HeatFaces *f,
               size_t i)
{
  double open = 1 - f->clamp[i], view = open;
  f->hl[i] = f->clamp_h[i];
  f->ht[i] = f->clamp_ht[i];
  if (env->pre_on) {
    open -= f->pre_area[i];
    view -= f->pre_area[i] + f->view_geo[i];
  }
  add_room (scene, c, f, i, fmax (open, 0), 1, fmax (view, 0));
}

/* Whether the faces of a kind see something else than when they were last refreshed. */
static bool
is_stale (const HeatEnvironment *env, HeatFaceKind kind, const HeatFaces *f)
{
  if (!f->fresh)
    return true;
  if (kind == HEAT_FACE_DOWN)
    return env->pre_on != f->pre_on;
  return env->gas_on != f->gas_on
         || (env->gas_on && (env->gas_out_c != f->gas_out_c || env->spill_h[0] != f->spill_h));
}

void
heat_faces_refresh (const HeatScene *scene, const HeatEnvironment *env, HeatFaces *f)
{
  for (size_t c = 0; c < f->n_classes; c++) {
    const HeatFaceClass *class = &f->classes[c];
    if (!is_stale (env, class->kind, f))
      continue;
    for (size_t i = class->from; i < class->to; i++)
      if (class->kind == HEAT_FACE_DOWN)
        refresh_lower (scene, env, class, f, i);
      else
        refresh_upper (scene, env, class, f, i);
  }
  f->fresh = true;
  f->gas_on = env->gas_on;
  f->pre_on = env->pre_on;
  f->gas_out_c = env->gas_out_c;
  f->spill_h = env->spill_h[0];
}

static double
fourth (double t_c)
{
  double k = t_c + HEAT_KELVIN;
  return (k * k) * (k * k);
}

HEAT_INLINE void
free_flux (const double *table, double ts, double *flux, double *slope)
{
  double at = (ts - HEAT_FLUX_LOW) * (1 / HEAT_FLUX_STEP);
  at = at > 0 ? at : 0;
  at = at < HEAT_FLUX_N - 1 ? at : HEAT_FLUX_N - 1;
  int k = (int) at;
  *slope = (table[k + 1] - table[k]) * (1 / HEAT_FLUX_STEP);
  *flux = table[k] + (ts - HEAT_FLUX_LOW - k * HEAT_FLUX_STEP) * *slope;
}

/* The source a class of faces has besides the room. */
typedef struct {
  const float *share; /* of its film */
  double h, c, room4, source4, see;
} Source;

/* Faces are done in runs: what has to be looked up or widened first, then arithmetic alone, which
 * vectorises. */
enum { RUN = 256 };

typedef struct {
  double t[RUN], free_q[RUN], free_d[RUN];
  double hl[RUN], ht[RUN], wc[RUN], er[RUN], view[RUN], half[RUN], share[RUN];
} Run;

HEAT_INLINE void
widen (double *restrict to, const float *restrict from, size_t n)
{
  for (size_t i = 0; i < n; i++)
    to[i] = from[i];
}

HEAT_INLINE void
look_up (const HeatFaces *f, size_t from, size_t n, const HeatFaceClass *class, const Source *source,
         const double *temperature, Run *run)
{
  for (size_t i = 0; i < n; i++)
    run->t[i] = temperature[f->node[from + i]];
  if (class->fixed)
    for (size_t i = 0; i < n; i++)
      run->free_q[i] = run->free_d[i] = 0;
  else
    for (size_t i = 0; i < n; i++)
      free_flux (class->flux, f->ts[from + i], &run->free_q[i], &run->free_d[i]);
  widen (run->hl, f->hl + from, n);
  widen (run->ht, f->ht + from, n);
  widen (run->wc, f->wc + from, n);
  widen (run->er, f->er + from, n);
  widen (run->view, f->view + from, n);
  widen (run->half, f->half + from, n);
  widen (run->share, source->share + from, n);
}

HEAT_WIDE static void
run_flux (HeatFaces *f, size_t from, size_t n, const HeatFaceClass *class, const Source *source,
          const double *restrict temperature)
{
  Run run;
  look_up (f, from, n, class, source, temperature, &run);
  double *restrict ts = f->ts + from, *restrict q_out = f->q + from, *restrict dq_out = f->dq + from;
  const double h_source = source->h, c_source = source->c, room4 = source->room4;
  const double source4 = source->source4, see = HEAT_SIGMA * source->see;
  for (size_t i = 0; i < n; i++) {
    double kelvin = ts[i] + HEAT_KELVIN, cube = kelvin * kelvin * kelvin, fourth_power = cube * kelvin;
    double r = HEAT_SIGMA * run.er[i], e = see * run.view[i], film = run.share[i] * h_source;
    double q = film * (ts[i] - c_source) + run.hl[i] * ts[i] - run.ht[i] + run.wc[i] * run.free_q[i]
               + r * (fourth_power - room4) + e * (fourth_power - source4);
    double d = film + run.hl[i] + run.wc[i] * run.free_d[i] + 4 * (r + e) * cube;
    double weaken = 1 / (1 + d * run.half[i]);
    q = (q + d * (run.t[i] - ts[i])) * weaken;
    q_out[i] = q;
    dq_out[i] = d * weaken;
    ts[i] = run.t[i] - q * run.half[i];
  }
}

void
heat_faces_flux (const HeatScene *scene, const HeatEnvironment *env, HeatFaces *f,
                 const double *temperature)
{
  double room4 = fourth (scene->room.air_c);
  for (size_t c = 0; c < f->n_classes; c++) {
    const HeatFaceClass *class = &f->classes[c];
    Source source = { .share = f->in_film, .room4 = room4 };
    if (class->kind == HEAT_FACE_DOWN && env->pre_on)
      source
          = (Source){ f->pre_film, env->pre_h, env->pre_c, room4, fourth (env->pre_c), env->pre_scale };
    else if (class->kind != HEAT_FACE_DOWN && env->gas_on)
      source = (Source){ f->in_film, env->gas_h, env->gas_c, room4, 0, 0 };
    for (size_t i = class->from; i < class->to; i += RUN)
      run_flux (f, i, class->to - i < RUN ? class->to - i : RUN, class, &source, temperature);
  }
}

HEAT_WIDE void
heat_faces_follow (HeatFaces *f, const double *temperature)
{
  const uint32_t *restrict node = f->node;
  const float *restrict half = f->half;
  const double *restrict dq = f->dq;
  double *restrict ts = f->ts, *restrict q = f->q;
  for (size_t i = 0; i < f->n; i++) {
    double inner = half[i], t = temperature[node[i]];
    double flux = q[i] + dq[i] * (t - ts[i] - q[i] * inner);
    q[i] = flux;
    ts[i] = t - flux * inner;
  }
}

static double
total_flow (const HeatFaces *f)
{
  return heat_dot (f->area, f->q, f->n);
}

static void
upper_flows (const HeatEnvironment *env, const HeatFaces *f, const HeatFaceClass *c, HeatFlows *flows)
{
  for (size_t i = c->from; i < c->to; i++) {
    if (f->in_film[i] > 0)
      flows->nozzle += f->area[i] * f->in_film[i] * env->gas_h * (f->ts[i] - env->gas_c);
    if (f->spill[i] > 0)
      flows->spill += f->area[i] * f->spill[i] * heat_spill_value (env->spill_h, f->spill_at[i])
                      * (f->ts[i] - heat_spill_value (env->spill_c, f->spill_at[i]));
  }
}

static void
lower_flows (const HeatEnvironment *env, const HeatFaces *f, const HeatFaceClass *c, HeatFlows *flows)
{
  double pre4 = env->pre_on ? fourth (env->pre_c) : 0;
  for (size_t i = c->from; i < c->to; i++) {
    double ts = f->ts[i];
    if (env->pre_on)
      flows->preheat += f->area[i]
                        * (f->pre_film[i] * env->pre_h * (ts - env->pre_c)
                           + HEAT_SIGMA * f->view[i] * env->pre_scale * (fourth (ts) - pre4));
    flows->clamps += f->area[i] * (f->clamp_h[i] * ts - f->clamp_ht[i]);
  }
}

HeatFlows
heat_faces_flows (const HeatEnvironment *env, const HeatFaces *f)
{
  HeatFlows flows = { 0 };
  for (size_t c = 0; c < f->n_classes; c++)
    if (f->classes[c].kind == HEAT_FACE_DOWN)
      lower_flows (env, f, &f->classes[c], &flows);
    else if (env->gas_on && f->classes[c].kind == HEAT_FACE_UP)
      upper_flows (env, f, &f->classes[c], &flows);
  flows.room = total_flow (f) - flows.nozzle - flows.spill - flows.preheat - flows.clamps;
  return flows;
}

double
heat_faces_inside_c (const HeatFaces *f)
{
  double sum = 0;
  for (size_t k = 0; k < f->n_inside; k++) {
    size_t i = f->inside[k];
    sum += f->in_area[i] * f->area[i] * f->ts[i];
  }
  return f->inside_m2 > 0 ? sum / f->inside_m2 : 0;
}

double
heat_faces_preheat_film (const HeatEnvironment *env, const HeatFaces *f)
{
  double heat = 0, drive = 0, pre4 = env->pre_on ? fourth (env->pre_c) : 0;
  for (size_t c = 0; c < f->n_classes; c++)
    for (size_t i = f->classes[c].from; f->classes[c].kind == HEAT_FACE_DOWN && i < f->classes[c].to;
         i++) {
      heat += f->area[i]
              * (f->pre_film[i] * env->pre_h * (env->pre_c - f->ts[i])
                 + HEAT_SIGMA * f->view[i] * env->pre_scale * (pre4 - fourth (f->ts[i])));
      drive += f->area[i] * fmax (f->pre_area[i], f->view_geo[i]) * (env->pre_c - f->ts[i]);
    }
  return env->pre_on && fabs (drive) > 1e-12 ? heat / drive : 0;
}

double
heat_faces_room_film (const HeatScene *scene, const HeatFaces *f, HeatFaceKind kind)
{
  double heat = 0, drive = 0, room = scene->room.air_c;
  for (size_t c = 0; c < f->n_classes; c++)
    for (size_t i = f->classes[c].from; f->classes[c].kind == kind && i < f->classes[c].to; i++) {
      double open = kind == HEAT_FACE_UP ? 1 - f->in_area[i] : 1 - f->pre_area[i] - f->clamp[i];
      double free_q = 0, free_d = 0, ts = f->ts[i];
      free_flux (f->classes[c].flux, ts, &free_q, &free_d);
      heat += f->area[i]
              * (f->wc[i] * free_q + f->classes[c].room_h * open * (ts - room)
                 + HEAT_SIGMA * f->er[i] * (fourth (ts) - fourth (room)));
      drive += f->area[i] * open * (ts - room);
    }
  return fabs (drive) > 1e-12 ? heat / drive : 0;
}
