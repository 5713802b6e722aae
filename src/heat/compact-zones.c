/* The zones' true laws, all at once: loops without branches over arrays of single precision. */
#include "heat/compact-internal.h"

#include <math.h>
#include <string.h>

#include "heat/films.h"
#include "heat/wide.h"

enum { N = HEAT_COMPACT_N, LANES = HEAT_COMPACT_LANES, TABLE = HEAT_COMPACT_TABLE };
/* A face whose spill film reaches this is swept by the jet alone: see environment.c. */
static const float SPILL_TAKES_OVER = 10;

typedef float Eight __attribute__ ((vector_size (LANES * sizeof (float))));

/* ---- the model's ---- */

static bool
take_zones (HeatArena *arena, HeatCompactZones *z)
{
  float **all[] = { &z->half,     &z->eps,   &z->in_film, &z->in_area,  &z->view,   &z->view_geo, &z->pre_film, &z->pre_area,
                    &z->clamp,    &z->clamp_h, &z->clamp_ht, &z->upper, &z->inside, &z->below,    &z->free,     &z->room_h,
                    &z->dark };
  for (size_t i = 0; i < sizeof all / sizeof all[0]; i++)
    if (!(*all[i] = HEAT_TAKE (arena, float, z->padded)))
      return false;
  for (size_t i = 0; i < HEAT_N_FACE_TERMS; i++)
    if (!(z->slope[i] = HEAT_TAKE (arena, float, z->padded)))
      return false;
  for (size_t i = 0; i < HEAT_N_SOURCES; i++)
    if (!(z->source[i] = HEAT_TAKE (arena, float, z->padded)))
      return false;
  z->read = HEAT_TAKE (arena, float, N * z->padded);
  z->force = HEAT_TAKE (arena, float, N * z->padded);
  z->table = HEAT_TAKE (arena, int, z->padded);
  z->tables = HEAT_TAKE (arena, float, z->n_tables * TABLE);
  return z->read && z->force && z->table && z->tables;
}

static void
fill_class (const HeatReduced *m, size_t class, HeatCompactZones *z)
{
  const HeatFaceClass *c = &m->zones.faces.classes[class];
  const size_t every = (size_t) (HEAT_COMPACT_TABLE_K / HEAT_FLUX_STEP);
  for (size_t k = 0; k < TABLE && !c->fixed; k++)
    z->tables[class * TABLE + k] = (float) c->flux[k * every < HEAT_FLUX_N ? k * every : HEAT_FLUX_N];
  for (size_t i = c->from; i < c->to; i++) {
    z->upper[i] = c->kind != HEAT_FACE_DOWN;
    z->free[i] = !c->fixed;
    z->room_h[i] = (float) c->room_h;
    z->dark[i] = c->kind == HEAT_FACE_SIDE && m->scene->room.prescribed;
    z->table[i] = (int) (class * TABLE);
  }
}

static void
fill_zones (const HeatReduced *m, HeatCompactZones *z)
{
  const HeatFaces *f = &m->zones.faces;
  const float *from[] = { f->half,     f->eps,      f->in_film, f->in_area, f->view,    f->view_geo,
                          f->pre_film, f->pre_area, f->clamp,   f->clamp_h, f->clamp_ht };
  float *to[] = { z->half,     z->eps,      z->in_film, z->in_area, z->view,    z->view_geo,
                  z->pre_film, z->pre_area, z->clamp,   z->clamp_h, z->clamp_ht };
  double below = 0;
  for (size_t i = 0; i < sizeof to / sizeof to[0]; i++)
    memcpy (to[i], from[i], z->n * sizeof (float));
  for (size_t t = 0; t < HEAT_N_FACE_TERMS; t++)
    for (size_t i = 0; i < z->n; i++)
      z->slope[t][i] = (float) m->zones.laws.slope[t][i];
  for (size_t s = 0; s < HEAT_N_SOURCES; s++)
    for (size_t i = 0; i < z->n; i++)
      z->source[s][i] = (float) m->zones.laws.source[s][i];
  for (size_t c = 0; c < f->n_classes; c++)
    fill_class (m, c, z);
  for (size_t k = 0; k < f->n_inside && f->inside_m2 > 0; k++)
    z->inside[f->inside[k]] = (float) (f->in_area[f->inside[k]] * f->area[f->inside[k]] / f->inside_m2);
  for (size_t i = 0; i < z->n; i++)
    below += z->upper[i] > 0 ? 0 : f->pre_area[i] * f->area[i];
  for (size_t i = 0; i < z->n && below > 0; i++)
    z->below[i] = z->upper[i] > 0 ? 0 : (float) (f->pre_area[i] * f->area[i] / below);
}

bool
heat_compact_zones_new (HeatCompact *c)
{
  HeatCompactZones *z = &c->zones;
  z->n = c->of->zones.faces.n;
  z->padded = (z->n + LANES - 1) / LANES * LANES;
  z->n_tables = c->of->zones.faces.n_classes;
  if (!take_zones (&c->arena, z))
    return false;
  fill_zones (c->of, z);
  return true;
}

/* ---- the drive's ---- */

bool
heat_compact_zones_take (HeatCompactRun *run)
{
  const HeatCompactZones *z = &run->model->zones;
  float **all[] = { &run->eps,     &run->view, &run->clamp_ht, &run->room_h, &run->open,     &run->per_open, &run->rays,
                    &run->base,    &run->base_in, &run->film_up, &run->film_low, &run->slope, &run->t,        &run->ts,
                    &run->lin,     &run->in,   &run->still,    &run->rad,    &run->rad_in,   &run->free_q,   &run->free_d,
                    &run->excess };
  for (size_t i = 0; i < sizeof all / sizeof all[0]; i++)
    if (!(*all[i] = HEAT_TAKE (&run->arena, float, z->padded)))
      return false;
  run->tables = HEAT_TAKE (&run->arena, float, z->n_tables * TABLE);
  return run->tables != NULL;
}

/* As in reduced-drive.c: in another room free convection's table is moved along. */
static void
set_tables (HeatCompactRun *run, double ratio, double move)
{
  const HeatCompactZones *z = &run->model->zones;
  for (size_t c = 0; c < z->n_tables; c++)
    for (size_t k = 0; k < TABLE; k++) {
      const float *table = z->tables + c * TABLE;
      double at = (double) k - move / (double) HEAT_COMPACT_TABLE_K;
      size_t i = at <= 0 ? 0 : at >= TABLE - 2 ? TABLE - 2 : (size_t) at;
      run->tables[c * TABLE + k] = (float) (ratio * (table[i] + (at - (double) i) * (table[i + 1] - table[i])));
    }
}

void
heat_compact_zones_drive (HeatCompactRun *run)
{
  const HeatCompactZones *z = &run->model->zones;
  const HeatScene *scene = run->model->of->scene;
  const HeatDrive *d = &run->drive;
  double ratio = scene->scale_room_film > 0 ? d->scale_room_film / scene->scale_room_film : 0;
  double move = d->air_c - scene->room.air_c, scale = d->scale_emissivity, emitter = scene->preheat.emissivity;
  if (ratio == 1 && move == 0)
    memcpy (run->tables, z->tables, z->n_tables * TABLE * sizeof (float));
  else
    set_tables (run, ratio, move);
  for (size_t i = 0; i < z->n; i++) {
    double eps = fmin (z->eps[i] * scale, 1);
    run->eps[i] = (float) eps;
    run->view[i] = z->view[i];
    run->room_h[i] = (float) ratio * z->room_h[i];
    run->clamp_ht[i] = (float) (z->clamp_ht[i] + z->clamp_h[i] * move);
    if (scale != 1 && z->view[i] > 0 && z->view_geo[i] > 0) {
      double was = heat_grey_pair (z->eps[i], emitter, z->view_geo[i]);
      run->view[i] *= (float) (was > 0 ? heat_grey_pair (eps, emitter, z->view_geo[i]) / was : 0);
    }
  }
}

/* ---- the regime's ---- */

void
heat_compact_zones_regime (HeatCompactRun *run)
{
  const HeatCompactZones *z = &run->model->zones;
  float gas = run->now.gas_on, pre = run->now.pre_on, air = (float) run->drive.air_c;
  float rays = (float) run->drive.scale_room_film;
  for (size_t i = 0; i < z->n; i++) {
    bool up = z->upper[i] > 0;
    float open = up ? 1 - gas * z->in_area[i] : 1 - z->clamp[i] - pre * z->pre_area[i];
    float view = up ? open : open - pre * z->view_geo[i];
    open = fmaxf (open, 0);
    run->open[i] = open * z->free[i];
    run->per_open[i] = open > 0 ? 1 / (open * SPILL_TAKES_OVER) : 0;
    run->rays[i] = z->dark[i] > 0 ? 0 : run->eps[i] * fmaxf (view, 0) * rays;
    run->base[i] = run->room_h[i] * open + (up ? 0 : z->clamp_h[i]);
    run->base_in[i] = run->room_h[i] * open * air + (up ? 0 : run->clamp_ht[i]);
    run->film_up[i] = up ? gas * z->in_film[i] : 0;
    run->film_low[i] = up ? 0 : pre * z->pre_film[i];
    run->slope[i] = 0;
    for (size_t t = 0; t < HEAT_N_FACE_TERMS; t++)
      run->slope[i] += (float) run->weight[HEAT_FIRST_FACE_TERM + t] * z->slope[t][i];
  }
}

/* ---- now ---- */

static float
fourth (double t_c)
{
  double k = t_c + HEAT_KELVIN;
  return (float) ((k * k) * (k * k));
}

/* Coefficients of all zones' laws: lin T - in + still q_free (T) + rad T4 - rad_in. */
HEAT_WIDE static void
refresh (HeatCompactRun *run)
{
  const HeatCompactZones *z = &run->model->zones;
  const HeatCompactNow *now = &run->now;
  const float *low = run->spill_t, *high = run->spill_t, sigma = (float) HEAT_SIGMA;
  float share = 0, spill = now->gas_on ? (float) run->drive.scale_spill_film : 0;
  if (now->gas_on)
    heat_compact_spill (run, &low, &high, &share);
  float air = (float) run->drive.air_c, over = (float) (now->gas_out_c - run->drive.air_c);
  float up = (float) now->gas_h, up_in = (float) (now->gas_h * now->gas_c);
  float down = (float) now->pre_h, down_in = (float) (now->pre_h * now->pre_c), see = (float) now->pre_scale;
  float room4 = fourth (run->drive.air_c), pre4 = fourth (now->pre_c);
  const size_t n = z->padded;
  const float *restrict base = run->base, *restrict base_in = run->base_in, *restrict view = run->view;
  const float *restrict film_up = run->film_up, *restrict film_low = run->film_low, *restrict rays = run->rays;
  const float *restrict open = run->open, *restrict per_open = run->per_open;
  float *restrict lin = run->lin, *restrict in = run->in, *restrict still = run->still;
  float *restrict rad = run->rad, *restrict rad_in = run->rad_in;
  for (size_t i = 0; i < n; i++) {
    float h = spill * (low[i] + share * (high[i] - low[i]));
    float warm = air + (low[n + i] + share * (high[n + i] - low[n + i])) * over;
    float calm = 1 - h * per_open[i];
    lin[i] = base[i] + h + film_up[i] * up + film_low[i] * down;
    in[i] = base_in[i] + h * warm + film_up[i] * up_in + film_low[i] * down_in;
    still[i] = open[i] * (calm > 0 ? calm : 0);
    rad[i] = sigma * (rays[i] + see * view[i]);
    rad_in[i] = sigma * (rays[i] * room4 + see * view[i] * pre4);
  }
}

HEAT_WIDE static void
read_zones (const HeatCompactRun *run)
{
  const HeatCompactZones *z = &run->model->zones;
  const size_t n = z->padded;
  const float *restrict y = run->y;
  float air = (float) run->drive.air_c;
  for (size_t i = 0; i < n; i += LANES) {
    Eight sum = { 0 }, row;
    const float *read = z->read + i;
    for (size_t k = 0; k < N; k++) {
      memcpy (&row, read + k * n, sizeof row);
      sum += row * y[k];
    }
    sum += air;
    memcpy (run->t + i, &sum, sizeof sum);
  }
}

HEAT_WIDE static void
look_up (HeatCompactRun *run)
{
  const HeatCompactZones *z = &run->model->zones;
  const float *restrict tables = run->tables, *restrict ts = run->ts;
  const int *restrict table = z->table;
  float *restrict q = run->free_q, *restrict d = run->free_d;
  for (size_t i = 0; i < z->padded; i++) {
    float at = (ts[i] - (float) HEAT_FLUX_LOW) * (1 / HEAT_COMPACT_TABLE_K);
    at = at > 0 ? at : 0;
    at = at < TABLE - 2 ? at : TABLE - 2;
    int k = (int) at;
    float low = tables[table[i] + k], high = tables[table[i] + k + 1];
    d[i] = (high - low) * (1 / HEAT_COMPACT_TABLE_K);
    q[i] = low + (at - (float) k) * (high - low);
  }
}

/* One Newton step of the surfaces; what flows beyond the linear laws goes to RUN->excess, W/m2. */
HEAT_WIDE static void
flux (HeatCompactRun *run)
{
  const HeatCompactZones *z = &run->model->zones;
  const double *strength = run->now.moment.strength;
  const float s0 = (float) strength[0], s1 = (float) strength[1], s2 = (float) strength[2], s3 = (float) strength[3];
  const float *restrict in0 = z->source[0], *restrict in1 = z->source[1], *restrict in2 = z->source[2],
              *restrict in3 = z->source[3], *restrict half = z->half;
  const float *restrict t = run->t, *restrict lin = run->lin, *restrict in = run->in, *restrict still = run->still;
  const float *restrict rad = run->rad, *restrict rad_in = run->rad_in, *restrict q = run->free_q;
  const float *restrict d = run->free_d, *restrict slope = run->slope;
  float *restrict ts = run->ts, *restrict excess = run->excess, air = (float) run->drive.air_c;
  for (size_t i = 0; i < z->padded; i++) {
    float kelvin = ts[i] + (float) HEAT_KELVIN, square = kelvin * kelvin;
    float out = lin[i] * ts[i] - in[i] + still[i] * q[i] + rad[i] * square * square - rad_in[i];
    float steep = lin[i] + still[i] * d[i] + 4 * rad[i] * square * kelvin;
    out = (out + steep * (t[i] - ts[i])) / (1 + steep * half[i]);
    ts[i] = t[i] - out * half[i];
    excess[i] = out - slope[i] * (t[i] - air) + s0 * in0[i] + s1 * in1[i] + s2 * in2[i] + s3 * in3[i];
  }
}

HEAT_WIDE static void
push (const HeatCompactRun *run, float *force)
{
  const HeatCompactZones *z = &run->model->zones;
  Eight sum[N / LANES] = { { 0 } }, row;
  for (size_t i = 0; i < z->n; i++)
    for (size_t k = 0; k < N / LANES; k++) {
      memcpy (&row, z->force + i * N + k * LANES, sizeof row);
      sum[k] -= row * run->excess[i];
    }
  memcpy (force, sum, sizeof sum);
}

static void
look_inside (HeatCompactRun *run)
{
  const HeatCompactZones *z = &run->model->zones;
  float inside = 0, below = 0;
  for (size_t i = 0; i < z->n; i++) {
    inside += z->inside[i] * run->ts[i];
    below += z->below[i] * run->ts[i];
  }
  run->inside_c = inside;
  run->below_c = below;
}

void
heat_compact_zones_force (HeatCompactRun *run, int rounds, float *force)
{
  refresh (run);
  read_zones (run);
  for (int k = 0; k < rounds; k++) {
    look_up (run);
    flux (run);
  }
  push (run, force);
  look_inside (run);
}
