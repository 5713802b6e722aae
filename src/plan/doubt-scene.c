#include "plan/doubt-scene.h"

#include <math.h>

static double
emissivity (double value, double scale)
{
  return fmin (value * scale, 1);
}

static void
move_bodies (LwMovedScene *self, const LwCase *of, const HeatDrive *drive)
{
  self->bodies = g_memdup2 (of->scene.bodies, MAX (of->scene.n_bodies, 1) * sizeof (HeatBody));
  for (size_t i = 0; i < of->scene.n_bodies; i++)
    self->bodies[i].emissivity = emissivity (self->bodies[i].emissivity, drive->scale_emissivity);
  if (of->scene.target < of->scene.n_bodies) {
    HeatBody *target = &self->bodies[of->scene.target];
    target->joint_g_w_k *= drive->scale_joint;
    target->lead_g_w_k *= drive->scale_joint;
    target->gap_h_w_m2k *= drive->scale_joint;
    target->prescribed_h_w_m2k *= drive->scale_joint;
  }
  self->scene.bodies = self->bodies;
}

/* What is delivered differs from what is asked for as long as there is anything to deliver. */
static double *
moved_set (const HeatTable *set, const HeatTable *flow, double air_c, double add_k)
{
  double *out = g_new (double, MAX (set->n, 1));

  for (size_t i = 0; i < set->n; i++) {
    gboolean on = flow != NULL && flow->n == set->n ? flow->v[i] > 0 : set->v[i] > air_c + 1;
    out[i] = set->v[i] + (on ? add_k : 0);
  }
  return out;
}

LwMovedScene *
lw_moved_scene_new (const LwCase *of, const HeatDrive *drive)
{
  LwMovedScene *self = g_new0 (LwMovedScene, 1);
  HeatScene *scene = &self->scene;
  double air_c = of->scene.room.air_c;

  *scene = of->scene;
  move_bodies (self, of, drive);
  self->gas_c = moved_set (&scene->nozzle.set_c, &scene->nozzle.flow_m3_s, air_c, drive->gas_add_k);
  self->preheat_c = moved_set (&scene->preheat.set_c, NULL, air_c, drive->preheat_add_k);
  scene->nozzle.set_c.v = self->gas_c;
  scene->preheat.set_c.v = self->preheat_c;
  scene->board.emissivity = emissivity (scene->board.emissivity, drive->scale_emissivity);
  scene->nozzle.lag_s = drive->gas_lag_s;
  scene->preheat.lag_s = drive->preheat_lag_s;
  scene->room.air_c = drive->air_c;
  scene->start_c = drive->start_c;
  scene->scale_nozzle_film = drive->scale_nozzle_film;
  scene->scale_spill = drive->scale_nozzle_film > 0 ? drive->scale_spill_film / drive->scale_nozzle_film : 0;
  scene->scale_preheat_film = drive->scale_preheat_film;
  scene->scale_room_film = drive->scale_room_film;
  scene->scale_conductivity = drive->scale_conductivity;
  scene->scale_capacity = drive->scale_capacity;
  return self;
}

void
lw_moved_scene_free (LwMovedScene *self)
{
  if (self == NULL)
    return;
  g_free (self->bodies);
  g_free (self->gas_c);
  g_free (self->preheat_c);
  g_free (self);
}
