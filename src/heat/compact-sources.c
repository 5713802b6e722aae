/* What nozzle and preheater do, from tables: their correlations cost more than the rest of a step. */
#include "heat/compact-internal.h"

#include <math.h>

#include "heat/films.h"
#include "heat/reduced-laws.h"

enum { FLOWS = HEAT_GAS_FLOWS, TEMPS = HEAT_GAS_TEMPS };

/* ---- tables ---- */

static void
spread_of (const HeatDrive *drives, size_t n, double *low, double *high)
{
  *low = INFINITY;
  *high = 0;
  for (size_t i = 0; i < n; i++)
    for (size_t k = 0; k < drives[i].flow_m3_s.n; k++)
      if (drives[i].flow_m3_s.v[k] > 0) {
        *low = fmin (*low, drives[i].flow_m3_s.v[k]);
        *high = fmax (*high, drives[i].flow_m3_s.v[k]);
      }
}

/* One knot: gas of T_C that flows out as warm as it came in. */
static void
fill_knot (HeatCompact *c, const HeatScene *scene, double flow, double t_c, size_t i, size_t j)
{
  const HeatFaces *f = &c->of->zones.faces;
  HeatCompactGas *g = &c->gas;
  const double zero = 0;
  HeatScene still = *scene;
  still.nozzle.set_c = (HeatTable){ &zero, &t_c, 1 };
  still.nozzle.flow_m3_s = (HeatTable){ &zero, &flow, 1 };
  still.nozzle.lag_s = 0;
  HeatSeen seen = { .inside_m2 = f->inside_m2, .inside_c = t_c };
  HeatEnvironment env;
  heat_environment_at (&still, &seen, 1, HEAT_AFTER, &env);
  double over = t_c - scene->room.air_c;
  g->h[i][j] = env.gas_h_bare;
  g->hold[i][j] = env.mass_kg_s * heat_air (t_c).cp;
  g->spill0[i][j] = env.spill_h[0];
  float *h = g->spill + (i * TEMPS + j) * 2 * c->zones.padded, *share = h + c->zones.padded;
  for (size_t z = 0; z < f->n; z++) {
    h[z] = f->spill[z] > 0 ? f->spill[z] * (float) heat_spill_value (env.spill_h, f->spill_at[z]) : 0;
    share[z] = (float) ((heat_spill_value (env.spill_c, f->spill_at[z]) - scene->room.air_c) / over);
  }
}

static bool
fill_gas (HeatCompact *c, const HeatDrive *drives, size_t n)
{
  HeatCompactGas *g = &c->gas;
  HeatScene scene = *c->of->scene;
  double low, high;
  spread_of (drives, n, &low, &high);
  g->any = scene.nozzle.present && high > 0;
  g->given = scene.nozzle.prescribed_h_w_m2k > 0;
  g->spill = HEAT_TAKE (&c->arena, float, g->any ? FLOWS * TEMPS * 2 * c->zones.padded : 1);
  if (!g->spill || !g->any)
    return g->spill != NULL;
  low *= 0.8;
  high *= 1.25;
  g->log_low = log (low);
  g->log_step = (log (high) - g->log_low) / (FLOWS - 1);
  scene.scale_nozzle_film = 1;
  scene.scale_spill = 0; /* both are the drive's */
  for (size_t i = 0; i < FLOWS; i++)
    for (size_t j = 0; j < TEMPS; j++) {
      double t_c = HEAT_GAS_LOW_C + (double) j * HEAT_GAS_STEP_K;
      if (fabs (t_c - scene.room.air_c) < 1)
        t_c = scene.room.air_c + 1; /* a share needs an excess */
      fill_knot (c, &scene, exp (g->log_low + (double) i * g->log_step), t_c, i, j);
    }
  return true;
}

static void
fill_bath (HeatCompact *c)
{
  HeatScene scene = *c->of->scene;
  const HeatPreheat *p = &scene.preheat;
  const double zero = 0;
  c->bath.any = p->kind == HEAT_PREHEAT_AIR && p->set_c.n > 0 && !(p->prescribed_h_w_m2k > 0);
  scene.scale_preheat_film = 1;
  scene.nozzle.present = false;
  scene.preheat.lag_s = 0;
  for (size_t i = 0; i < HEAT_BATH_N && c->bath.any; i++)
    for (size_t j = 0; j < HEAT_BATH_N; j++) {
      double air = HEAT_BATH_LOW_C + (double) j * HEAT_BATH_STEP_K;
      HeatSeen seen = { .below_c = HEAT_BATH_LOW_C + (double) i * HEAT_BATH_STEP_K };
      HeatEnvironment env;
      scene.preheat.set_c = (HeatTable){ &zero, &air, 1 };
      heat_environment_at (&scene, &seen, 1, HEAT_AFTER, &env);
      c->bath.h[i][j] = env.pre_h;
    }
}

bool
heat_compact_sources_new (HeatCompact *c, const HeatDrive *drives, size_t n)
{
  fill_bath (c);
  return fill_gas (c, drives, n);
}

/* ---- reading them ---- */

/* Knot below AT among N, and how far AT is on the way to the next; beyond the ends straight on. */
static size_t
knot (double at, size_t n, double *share)
{
  size_t k = at > 0 ? (size_t) at : 0;
  k = k < n - 2 ? k : n - 2;
  *share = at - (double) k;
  return k;
}

static double
between (const double *v, size_t k, double share)
{
  return v[k] + share * (v[k + 1] - v[k]);
}

/* The tables at one flow. */
static void
set_flow (HeatCompactRun *run, double flow)
{
  const HeatCompactGas *g = &run->model->gas;
  size_t n = 2 * run->model->zones.padded;
  double share;
  size_t i = knot ((log (flow) - g->log_low) / g->log_step, FLOWS, &share);
  share = fmin (fmax (share, -2), 3);
  for (size_t j = 0; j < TEMPS; j++) {
    run->film_t[j] = g->h[i][j] + share * (g->h[i + 1][j] - g->h[i][j]);
    run->hold_t[j] = g->hold[i][j] + share * (g->hold[i + 1][j] - g->hold[i][j]);
    run->spill0_t[j] = g->spill0[i][j] + share * (g->spill0[i + 1][j] - g->spill0[i][j]);
    const float *a = g->spill + (i * TEMPS + j) * n, *b = g->spill + ((i + 1) * TEMPS + j) * n;
    float *to = run->spill_t + j * n;
    for (size_t z = 0; z < n; z++)
      to[z] = a[z] + (float) share * (b[z] - a[z]);
  }
  run->flow = flow;
}

void
heat_compact_spill (const HeatCompactRun *run, const float **low, const float **high, float *share)
{
  double s;
  size_t n = 2 * run->model->zones.padded;
  size_t j = knot ((run->now.gas_out_c - HEAT_GAS_LOW_C) / HEAT_GAS_STEP_K, TEMPS, &s);
  *low = run->spill_t + j * n;
  *high = *low + n;
  *share = (float) s;
}

/* ---- heaters ---- */

/* As heat_table_lagged(), but from where it stood the last time. */
static double
follow (HeatFollowed *f, double t_s, HeatSide side)
{
  const HeatTable *table = f->table;
  if (!table->n || f->lag <= 0)
    return heat_table_at (table, t_s, side);
  while (f->t_s < t_s) {
    double to = fmin (t_s, heat_table_next (table, f->t_s)), dt = to - f->t_s;
    double s0 = heat_table_at (table, f->t_s, HEAT_AFTER), s1 = heat_table_at (table, to, HEAT_BEFORE);
    double slope = (s1 - s0) / dt;
    f->value = s1 - slope * f->lag + (f->value - s0 + slope * f->lag) * exp (-dt / f->lag);
    f->t_s = to;
  }
  return f->value;
}

void
heat_compact_sources_start (HeatCompactRun *run)
{
  const HeatDrive *d = &run->drive;
  run->scene = *run->model->of->scene;
  run->scene.room.air_c = d->air_c;
  run->gas = (HeatFollowed){ &run->drive.gas_set_c, d->gas_lag_s, 0, 0 };
  run->pre = (HeatFollowed){ &run->drive.preheat_set_c, d->preheat_lag_s, 0, 0 };
  run->gas.value = d->gas_set_c.n ? d->gas_set_c.v[0] : 0;
  run->pre.value = d->preheat_set_c.n ? d->preheat_set_c.v[0] : 0;
  if (d->gas_set_c.n)
    run->gas.t_s = fmin (0, d->gas_set_c.t_s[0]);
  if (d->preheat_set_c.n)
    run->pre.t_s = fmin (0, d->preheat_set_c.t_s[0]);
  run->flow = 0;
}

static void
set_gas (HeatCompactRun *run, double flow, double inside_c)
{
  const HeatCompactGas *g = &run->model->gas;
  HeatCompactNow *now = &run->now;
  double share;
  if (fabs (flow - run->flow) > 1e-3 * run->flow)
    set_flow (run, flow);
  size_t j = knot ((now->gas_c - HEAT_GAS_LOW_C) / HEAT_GAS_STEP_K, TEMPS, &share);
  double bare = between (run->film_t, j, share) * run->drive.scale_nozzle_film;
  double hold = between (run->hold_t, j, share);
  double ntu = g->given || !(hold > 0) ? 0 : bare * run->model->of->zones.faces.inside_m2 / hold;
  double eff = heat_stream_effectiveness (ntu);
  now->gas_h = bare * (ntu > 1e-12 ? eff / ntu : 1);
  now->gas_out_c = now->gas_c - eff * (now->gas_c - inside_c);
  j = knot ((now->gas_out_c - HEAT_GAS_LOW_C) / HEAT_GAS_STEP_K, TEMPS, &share);
  now->spill0 = between (run->spill0_t, j, share) * run->drive.scale_spill_film;
}

static double
bath_film (const HeatCompactBath *bath, double below_c, double air_c)
{
  double s, t;
  size_t i = knot ((below_c - HEAT_BATH_LOW_C) / HEAT_BATH_STEP_K, HEAT_BATH_N, &s);
  size_t j = knot ((air_c - HEAT_BATH_LOW_C) / HEAT_BATH_STEP_K, HEAT_BATH_N, &t);
  double a = between (bath->h[i], j, t), b = between (bath->h[i + 1], j, t);
  return a + s * (b - a);
}

static void
set_preheat (HeatCompactRun *run, double t_s, HeatSide side)
{
  const HeatPreheat *p = &run->model->of->scene->preheat;
  HeatCompactNow *now = &run->now;
  now->pre_on = p->kind != HEAT_PREHEAT_NONE && run->drive.preheat_set_c.n > 0;
  now->pre_c = now->pre_h = now->pre_scale = 0;
  if (!now->pre_on)
    return;
  now->pre_c = follow (&run->pre, t_s, side) + run->drive.preheat_add_k;
  now->pre_h = run->model->bath.any ? bath_film (&run->model->bath, run->below_c, now->pre_c) : p->prescribed_h_w_m2k;
  now->pre_h *= run->drive.scale_preheat_film;
  now->pre_scale = run->drive.scale_preheat_film;
}

void
heat_compact_sources_at (HeatCompactRun *run, double t_s, HeatSide side, double inside_c)
{
  HeatCompactNow *now = &run->now;
  double flow = run->model->gas.any && run->drive.gas_set_c.n ? heat_table_at (&run->drive.flow_m3_s, t_s, side) : 0;
  now->gas_c = follow (&run->gas, t_s, side) + run->drive.gas_add_k;
  now->gas_on = flow > 0;
  now->gas_h = now->spill0 = 0;
  now->gas_out_c = now->gas_c;
  if (now->gas_on)
    set_gas (run, flow, inside_c);
  set_preheat (run, t_s, side);
  HeatEnvironment env;
  env.gas_on = now->gas_on;
  env.pre_on = now->pre_on;
  env.gas_c = now->gas_c;
  env.gas_out_c = now->gas_out_c;
  env.gas_h = now->gas_h;
  env.spill_h[0] = now->spill0;
  env.pre_c = now->pre_c;
  env.pre_h = now->pre_h;
  env.pre_scale = now->pre_scale;
  heat_moment_of (run->model->of, &run->scene, &run->drive, &env, &now->moment);
}
