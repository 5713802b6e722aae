#include "heat/reduced-laws.h"

#include <math.h>

/* Of all surfaces until a first march tells more: between start and end of a job. Only the spread of
 * temperatures inside a zone is left to the laws' slopes, so this need not be exact (our choice). */
static const double REFERENCE_C = 130;
/* Surfaces inside the nozzle and over the preheater, on which the leaving gas and a bath's free convection
 * depend a little. */
static const double REFERENCE_INSIDE_C = 180, REFERENCE_BELOW_C = 110;

/* Whether a preheater acts by a film. */
static bool
is_film (const HeatPreheat *p)
{
  return p->kind == HEAT_PREHEAT_AIR || p->prescribed_h_w_m2k > 0;
}

/* The moment of the table's largest value, the last of equals, and on which side of a jump it lies. */
static double
largest_at (const HeatTable *table, HeatSide *side)
{
  size_t best = 0;
  for (size_t i = 1; i < table->n; i++)
    if (table->v[i] >= table->v[best])
      best = i;
  *side = best + 1 < table->n && table->t_s[best + 1] <= table->t_s[best] ? HEAT_BEFORE : HEAT_AFTER;
  return table->n ? table->t_s[best] : 0;
}

void
heat_reference_find (const HeatScene *scene, double inside_m2, HeatReference *ref)
{
  HeatSeen seen = { inside_m2, REFERENCE_INSIDE_C, REFERENCE_BELOW_C, 0, 0 };
  HeatSide side;
  double at = largest_at (&scene->nozzle.flow_m3_s, &side);
  *ref = (HeatReference){ 0 };
  heat_environment_at (scene, &seen, at, side, &ref->on);
  at = largest_at (&scene->preheat.set_c, &side);
  heat_environment_at (scene, &seen, at, side, &ref->pre);
  ref->gas_h = ref->on.gas_on ? ref->on.gas_h : 0;
  ref->spill_h = ref->on.gas_on ? ref->on.spill_h[0] : 0;
  ref->pre_h = ref->pre.pre_on ? ref->pre.pre_h : 0;
}

bool
heat_laws_new (HeatArena *arena, size_t n, HeatLaws *laws)
{
  for (size_t i = 0; i < HEAT_N_FACE_TERMS; i++)
    if (!(laws->slope[i] = HEAT_TAKE (arena, double, n)))
      return false;
  for (size_t i = 0; i < HEAT_N_SOURCES; i++)
    if (!(laws->source[i] = HEAT_TAKE (arena, double, n)))
      return false;
  laws->temp_c = HEAT_TAKE (arena, double, n);
  for (size_t i = 0; laws->temp_c && i < n; i++)
    laws->temp_c[i] = REFERENCE_C;
  return laws->temp_c != NULL;
}

static double *
slope_of (HeatLaws *laws, HeatTerm term)
{
  return laws->slope[term - HEAT_FIRST_FACE_TERM];
}

static double
free_slope (const HeatFaceClass *class, double t_c)
{
  if (class->fixed)
    return 0;
  size_t k = (size_t) ((t_c - HEAT_FLUX_LOW) / HEAT_FLUX_STEP);
  return (class->flux[k + 1] - class->flux[k]) / HEAT_FLUX_STEP;
}

static double
cube_of (double t_c)
{
  double kelvin = t_c + HEAT_KELVIN;
  return kelvin * kelvin * kelvin;
}

/* Slope in surface temperature of what a face exchanges by hl, wc and er. */
static double
open_slope (const HeatFaces *f, size_t i, const HeatFaceClass *class, double t_c)
{
  return f->hl[i] + f->wc[i] * free_slope (class, t_c) + 4 * HEAT_SIGMA * f->er[i] * cube_of (t_c);
}

static double
weaken (const HeatFaces *f, size_t i, double slope)
{
  return 1 / (1 + slope * f->half[i]);
}

static void
fill_off (const HeatScene *scene, HeatFaces *f, const HeatFaceClass *class, HeatLaws *laws)
{
  for (size_t i = class->from; i < class->to; i++) {
    double d = open_slope (f, i, class, laws->temp_c[i]), w = weaken (f, i, d);
    slope_of (laws, HEAT_TERM_ROOM)[i] = d * w;
    laws->source[HEAT_SOURCE_FIXED][i] = (f->clamp_ht[i] - f->clamp_h[i] * scene->room.air_c) * w;
  }
}

static void
fill_gas (const HeatScene *scene, const HeatReference *ref, HeatFaces *f, const HeatFaceClass *class,
          HeatLaws *laws)
{
  const HeatEnvironment *env = &ref->on;
  double excess = env->gas_out_c - scene->room.air_c;
  for (size_t i = class->from; i < class->to; i++) {
    double film = f->in_film[i] * env->gas_h;
    double spill = f->spill[i] * heat_spill_value (env->spill_h, f->spill_at[i]);
    double spill_k = heat_spill_value (env->spill_c, f->spill_at[i]) - scene->room.air_c;
    double d = film + open_slope (f, i, class, laws->temp_c[i]), w = weaken (f, i, d);
    slope_of (laws, HEAT_TERM_NOZZLE)[i] = film * w;
    slope_of (laws, HEAT_TERM_SPILL)[i] = spill * w;
    slope_of (laws, HEAT_TERM_GAS_ROOM)[i] = (d - film - spill) * w - slope_of (laws, HEAT_TERM_ROOM)[i];
    laws->source[HEAT_SOURCE_NOZZLE][i] = film * w;
    laws->source[HEAT_SOURCE_SPILL][i] = fabs (excess) > 1e-6 ? spill * w * spill_k / excess : 0;
  }
}

static void
fill_preheat (const HeatScene *scene, const HeatReference *ref, HeatFaces *f,
              const HeatFaceClass *class, HeatLaws *laws)
{
  const HeatEnvironment *env = &ref->pre;
  for (size_t i = class->from; i < class->to; i++) {
    double film = f->pre_film[i] * env->pre_h, rays = f->view[i] * env->pre_scale * 4 * HEAT_SIGMA * cube_of (laws->temp_c[i]);
    double d = film + rays + open_slope (f, i, class, laws->temp_c[i]), w = weaken (f, i, d);
    slope_of (laws, HEAT_TERM_PRE)[i] = (film + rays) * w;
    slope_of (laws, HEAT_TERM_PRE_ROOM)[i]
        = (d - film - rays) * w - slope_of (laws, HEAT_TERM_ROOM)[i];
    laws->source[HEAT_SOURCE_PRE][i] = is_film (&scene->preheat) ? film * w : f->view[i] * w;
  }
}

void
heat_laws_fill (const HeatScene *scene, const HeatReference *ref, HeatFaces *f, HeatLaws *laws)
{
  HeatEnvironment off = { 0 }, on = ref->on;
  on.pre_on = ref->pre.pre_on;
  f->fresh = false;
  heat_faces_refresh (scene, &off, f);
  for (size_t c = 0; c < f->n_classes; c++)
    fill_off (scene, f, &f->classes[c], laws);
  f->fresh = false;
  heat_faces_refresh (scene, &on, f);
  for (size_t c = 0; c < f->n_classes; c++)
    if (f->classes[c].kind != HEAT_FACE_DOWN && ref->on.gas_on)
      fill_gas (scene, ref, f, &f->classes[c], laws);
    else if (f->classes[c].kind == HEAT_FACE_DOWN && ref->pre.pre_on)
      fill_preheat (scene, ref, f, &f->classes[c], laws);
  f->fresh = false;
}

static double
ratio (double now, double then)
{
  return then > 0 ? now / then : 0;
}

static double
fourth (double t_c)
{
  double k = t_c + HEAT_KELVIN;
  return (k * k) * (k * k);
}

void
heat_moment_of (const HeatReduced *m, const HeatScene *scene, const HeatDrive *drive,
                const HeatEnvironment *env, HeatMoment *now)
{
  const HeatReference *ref = &m->reference;
  double air = scene->room.air_c;
  *now = (HeatMoment){ .gas_on = env->gas_on && ref->on.gas_on, .pre_on = env->pre_on && ref->pre.pre_on };
  now->weight[HEAT_TERM_CORE] = now->weight[HEAT_TERM_ROOM] = now->strength[HEAT_SOURCE_FIXED] = 1;
  now->weight[HEAT_TERM_CONDUCTIVITY] = drive->scale_conductivity - m->scene->scale_conductivity;
  now->weight[HEAT_TERM_JOINT] = drive->scale_joint - 1;
  if (now->gas_on) {
    now->weight[HEAT_TERM_GAS_ROOM] = 1;
    now->weight[HEAT_TERM_NOZZLE] = ratio (env->gas_h, ref->gas_h);
    now->weight[HEAT_TERM_SPILL] = ratio (env->spill_h[0], ref->spill_h);
    now->strength[HEAT_SOURCE_NOZZLE] = now->weight[HEAT_TERM_NOZZLE] * (env->gas_c - air);
    now->strength[HEAT_SOURCE_SPILL] = now->weight[HEAT_TERM_SPILL] * (env->gas_out_c - air);
  }
  if (now->pre_on) {
    bool film = is_film (&scene->preheat);
    double weight = film ? ratio (env->pre_h, ref->pre_h) : ratio (env->pre_scale, ref->pre.pre_scale);
    now->weight[HEAT_TERM_PRE_ROOM] = 1;
    now->weight[HEAT_TERM_PRE] = weight;
    now->strength[HEAT_SOURCE_PRE] = film ? weight * (env->pre_c - air)
                                          : env->pre_scale * HEAT_SIGMA * (fourth (env->pre_c) - fourth (air));
  }
}

double
heat_law_slope (const HeatLaws *laws, size_t i, const HeatMoment *now)
{
  double slope = 0;
  for (size_t t = 0; t < HEAT_N_FACE_TERMS; t++)
    slope += laws->slope[t][i] * now->weight[HEAT_FIRST_FACE_TERM + t];
  return slope;
}

double
heat_law_flux (const HeatLaws *laws, size_t i, const HeatMoment *now, double over_k)
{
  double slope = heat_law_slope (laws, i, now), in = 0;
  for (size_t s = 0; s < HEAT_N_SOURCES; s++)
    in += laws->source[s][i] * now->strength[s];
  return slope * over_k - in;
}
