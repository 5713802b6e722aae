#include "heat/reduced-drive.h"

#include <math.h>
#include <string.h>

#include "heat/films.h"
#include "heat/reduced-march.h"
#include "heat/table.h"

static void
set_scene (HeatReducedRun *run)
{
  HeatScene *s = &run->scene;
  const HeatDrive *d = &run->drive;
  *s = *run->model->scene;
  s->nozzle.set_c = d->gas_set_c;
  s->nozzle.flow_m3_s = d->flow_m3_s;
  s->preheat.set_c = d->preheat_set_c;
  s->nozzle.lag_s = d->gas_lag_s;
  s->preheat.lag_s = d->preheat_lag_s;
  s->end_s = d->end_s;
  s->room.air_c = d->air_c;
  s->start_c = d->start_c;
  s->scale_nozzle_film = d->scale_nozzle_film;
  s->scale_spill = 0; /* the march scales the spill by the drive's own */
  s->scale_preheat_film = d->scale_preheat_film;
  s->scale_room_film = d->scale_room_film;
}

/* Value of a class's table at a surface temperature, straight between knots and beyond its ends. */
static double
flux_at (const double *table, double t_c)
{
  double at = (t_c - HEAT_FLUX_LOW) / HEAT_FLUX_STEP;
  size_t k = at <= 0 ? 0 : at >= HEAT_FLUX_N - 1 ? HEAT_FLUX_N - 1 : (size_t) at;
  return table[k] + (at - k) * (table[k + 1] - table[k]);
}

/* Free convection hangs on the difference from air, its properties but little on the mean: in another room
 * the table is moved along. */
static bool
set_class (HeatReducedRun *run, HeatFaceClass *class, const HeatFaceClass *of, double **own)
{
  const HeatScene *scene = run->model->scene;
  double ratio = run->drive.scale_room_film / scene->scale_room_film;
  double move = run->drive.air_c - scene->room.air_c;
  *class = *of;
  class->room_h = of->room_h * ratio;
  if (of->fixed || (ratio == 1 && move == 0))
    return true;
  if (!*own)
    *own = HEAT_TAKE (&run->arena, double, HEAT_FLUX_N + 1);
  if (!*own)
    return false;
  for (size_t i = 0; i <= HEAT_FLUX_N; i++)
    (*own)[i] = ratio * flux_at (of->flux, HEAT_FLUX_LOW + i * HEAT_FLUX_STEP - move);
  class->flux = *own;
  return true;
}

/* What faces see, as the drive has it; OF: as the scene has it. */
static void
set_faces (HeatReducedRun *run, const HeatFaces *of, HeatFaces *faces)
{
  const HeatReduced *m = run->model;
  double scale = run->drive.scale_emissivity, emitter = m->scene->preheat.emissivity;
  double move = run->drive.air_c - m->scene->room.air_c;
  for (size_t i = 0; i < of->n; i++) {
    double eps = fmin (of->eps[i] * scale, 1);
    faces->eps[i] = (float) eps;
    faces->clamp_ht[i] = (float) (of->clamp_ht[i] + of->clamp_h[i] * move);
    faces->view[i] = of->view[i];
    if (scale != 1 && of->view[i] > 0 && of->view_geo[i] > 0) {
      double was = heat_grey_pair (of->eps[i], emitter, of->view_geo[i]);
      faces->view[i] *= (float) (was > 0 ? heat_grey_pair (eps, emitter, of->view_geo[i]) / was : 0);
    }
  }
  for (size_t c = 0; c < of->n_classes; c++) {
    faces->classes[c].room_h = run->faces.classes[c].room_h;
    faces->classes[c].flux = run->faces.classes[c].flux;
  }
  faces->fresh = false;
}

/* Makes RUN's scene and faces what its drive says; false when memory is short. */
static bool
apply (HeatReducedRun *run)
{
  const HeatFaces *z = &run->model->zones.faces;
  set_scene (run);
  for (size_t c = 0; c < z->n_classes; c++)
    if (!set_class (run, &run->faces.classes[c], &z->classes[c], &run->tables[c]))
      return false;
  set_faces (run, z, &run->faces);
  set_faces (run, &run->model->lumps.faces, &run->lump_faces);
  return true;
}

static bool
table_is_bad (const HeatTable *t)
{
  for (size_t i = 0; i < t->n; i++)
    if (!isfinite (t->t_s[i]) || !isfinite (t->v[i]) || (i && t->t_s[i] < t->t_s[i - 1]))
      return true;
  return false;
}

const char *
heat_drive_fault (const HeatReduced *m, const HeatDrive *d)
{
  const double scales[] = { d->scale_nozzle_film, d->scale_spill_film, d->scale_preheat_film,
                            d->scale_room_film,   d->scale_emissivity };
  const double firm[] = { d->scale_conductivity, d->scale_capacity, d->scale_joint, d->end_s };
  const double finite[] = { d->air_c, d->start_c, d->gas_add_k, d->preheat_add_k };
  const double lags[] = { d->gas_lag_s, d->preheat_lag_s };
  if (table_is_bad (&d->gas_set_c) || table_is_bad (&d->flow_m3_s) || table_is_bad (&d->preheat_set_c))
    return "a table is not finite or runs backwards";
  for (size_t i = 0; i < sizeof scales / sizeof scales[0]; i++)
    if (!(scales[i] >= 0 && isfinite (scales[i])))
      return "a scale is negative or not finite";
  for (size_t i = 0; i < sizeof firm / sizeof firm[0]; i++)
    if (!(firm[i] > 0 && isfinite (firm[i])))
      return "a scale or the length of the job is not positive";
  for (size_t i = 0; i < sizeof finite / sizeof finite[0]; i++)
    if (!isfinite (finite[i]))
      return "a temperature is not finite";
  for (size_t i = 0; i < sizeof lags / sizeof lags[0]; i++)
    if (!(lags[i] >= 0 && isfinite (lags[i])))
      return "a lag is negative or not finite";
  if (!m->options.vary_conductance
      && (d->scale_conductivity != m->scene->scale_conductivity || d->scale_joint != 1))
    return "the model was built for fixed conductances";
  return NULL;
}

HeatStatus
heat_reduced_solve (const HeatReduced *model, HeatReducedRun *run, const HeatDrive *drive,
                    const HeatReducedWants *wants)
{
  const char *fault = heat_drive_fault (model, drive);
  run->solved = run->read = false;
  run->detail[0] = '\0';
  if (fault) {
    strncpy (run->detail, fault, sizeof run->detail - 1);
    return HEAT_BAD_SCENE;
  }
  run->drive = *drive;
  run->wants = wants ? *wants : (HeatReducedWants){ 0 };
  if (!apply (run))
    return HEAT_NO_MEMORY;
  HeatStatus status = heat_reduced_march (run);
  if (status == HEAT_OK && !run->rough && !run->wants.no_figures && !heat_reduced_make_room (run))
    status = HEAT_NO_MEMORY; /* now, since reading the answer later has no way to say so */
  run->solved = status == HEAT_OK;
  return status;
}
