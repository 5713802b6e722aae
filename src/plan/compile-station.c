#include "plan/compile.h"

#include <glib/gi18n.h>
#include <math.h>

/* A film the station prescribes, else 0 (= compute it). */
static double
film_or_0 (const LwPrescribedFilms *films, double value)
{
  return films->given && value > 0 ? value : 0;
}

/* ---- nozzle ---- */

static gboolean
gas_is_used (const LwPlan *plan)
{
  if (plan->table != NULL && plan->table->len > 0) {
    for (guint i = 0; i < plan->table->len; i++)
      if (!isnan (g_array_index (plan->table, LwKnot, i).gas_c))
        return TRUE;
    return FALSE;
  }
  for (guint i = 0; i < plan->stages->len; i++)
    if (!isnan (((const LwStage *) g_ptr_array_index (plan->stages, i))->gas_c))
      return TRUE;
  return FALSE;
}

static gboolean
add_nozzle (LwCase *self, GError **error)
{
  const LwStation *station = self->job->station;
  const LwPlan *plan = lw_case_plan (self);
  const LwNozzle *nozzle = lw_station_find_nozzle (station, plan->nozzle);
  const LwPart *part = g_ptr_array_index (self->job->parts, self->body_of[self->scene.target].part);
  LwPoint center = lw_part_body_center (part, lw_job_package_of (self->job, part));
  HeatNozzle *out = &self->scene.nozzle;

  if (!gas_is_used (plan))
    return TRUE;
  if (nozzle == NULL) {
    g_set_error (error, LW_PREDICT_ERROR, LW_PREDICT_ERROR_JOB,
                 _("The station has no nozzle “%s”, which the plan for %s asks for."), plan->nozzle,
                 plan->ref);
    return FALSE;
  }
  out->present = !(station->films.given && station->films.nozzle_w_per_m2k == 0);
  out->round = nozzle->round;
  out->center = lw_case_point (self, center.x_mm + plan->nozzle_dx_mm, center.y_mm + plan->nozzle_dy_mm);
  out->angle_rad = lw_case_angle (self, lw_part_turn_deg (part) + plan->nozzle_turn_deg);
  out->length_m = nozzle->length_mm * 1e-3;
  out->width_m = (nozzle->round ? nozzle->length_mm : nozzle->width_mm) * 1e-3;
  out->wall_m = fmax (nozzle->wall_mm, 0) * 1e-3;
  out->height_m = plan->nozzle_height_mm * 1e-3;
  out->skirt_gap_m = nozzle->skirt_gap_mm * 1e-3;
  out->lag_s = fmax (station->gas_lag_s, 0);
  out->prescribed_h_w_m2k = film_or_0 (&station->films, station->films.nozzle_w_per_m2k);
  out->spill_h_w_m2k = film_or_0 (&station->films, station->films.spill_w_per_m2k);
  out->spill_reach_m = film_or_0 (&station->films, station->films.spill_reach_mm) * 1e-3;
  return TRUE;
}

/* ---- preheater, holder, room ---- */

static HeatPreheatKind
preheat_kind (const LwStation *station)
{
  switch (station->preheater.kind) {
  case LW_PREHEATER_WARM_AIR:
    return HEAT_PREHEAT_AIR;
  case LW_PREHEATER_INFRARED:
    return HEAT_PREHEAT_INFRARED;
  case LW_PREHEATER_NONE:
  default:
    return film_or_0 (&station->films, station->films.preheater_w_per_m2k) > 0 ? HEAT_PREHEAT_AIR
                                                                               : HEAT_PREHEAT_NONE;
  }
}

static void
add_preheater (LwCase *self)
{
  const LwStation *station = self->job->station;
  const LwPreheater *preheater = &station->preheater;
  const LwPlan *plan = lw_case_plan (self);
  HeatPreheat *out = &self->scene.preheat;

  out->kind = preheat_kind (station);
  if (station->films.given && station->films.preheater_w_per_m2k == 0)
    out->kind = HEAT_PREHEAT_NONE;
  if (!(plan->preheat_length_mm > 0) || !(plan->preheat_width_mm > 0))
    out->kind = HEAT_PREHEAT_NONE;
  out->center = lw_case_point (self, plan->preheat_x_mm, plan->preheat_y_mm);
  out->length_m = plan->preheat_length_mm * 1e-3;
  out->width_m = plan->preheat_width_mm * 1e-3;
  out->gap_m = preheater->gap_mm * 1e-3;
  out->emissivity = isnan (preheater->emissivity) ? 0.9 : preheater->emissivity;
  out->speed_m_s = isnan (preheater->air_speed_m_per_s) ? 0 : preheater->air_speed_m_per_s;
  out->lag_s = fmax (preheater->lag_s, 0);
  out->prescribed_h_w_m2k = film_or_0 (&station->films, station->films.preheater_w_per_m2k);
}

/* Strips along the two longer edges of the outline's box. */
static void
add_holder (LwCase *self)
{
  const LwHolder *holder = &self->job->station->holder;
  double w = self->box.x1_mm - self->box.x0_mm, h = self->box.y1_mm - self->box.y0_mm;
  double rail = fmin (holder->rail_width_mm, 0.5 * fmin (w, h)) * 1e-3;
  HeatClamp *clamps;

  if (!holder->present || !(rail > 0) || !(holder->contact_w_per_m2k > 0))
    return;
  clamps = lw_case_alloc (self, 2, sizeof (HeatClamp));
  w *= 1e-3;
  h *= 1e-3;
  for (int i = 0; i < 2; i++) {
    HeatXY *xy = lw_case_alloc (self, 4, sizeof (HeatXY));
    double x0 = 0, x1 = w, y0 = 0, y1 = h;
    if (w >= h) {
      y0 = i == 0 ? 0 : h - rail;
      y1 = i == 0 ? rail : h;
    } else {
      x0 = i == 0 ? 0 : w - rail;
      x1 = i == 0 ? rail : w;
    }
    xy[0] = (HeatXY){ x0, y0 };
    xy[1] = (HeatXY){ x1, y0 };
    xy[2] = (HeatXY){ x1, y1 };
    xy[3] = (HeatXY){ x0, y1 };
    clamps[i] = (HeatClamp){ { xy, 4 }, holder->contact_w_per_m2k, fmax (holder->rail_rise_k, 0) };
  }
  self->scene.clamps = clamps;
  self->scene.n_clamps = 2;
}

/* With films given, faces up and down take them and sides are adiabatic unless a side film is given; a
 * film left out is still computed, which the scene allows for one at a time only. */
static void
add_room (LwCase *self)
{
  const LwPrescribedFilms *films = &self->job->station->films;
  HeatRoom *out = &self->scene.room;

  out->air_c = self->job->ambient_c;
  if (!films->given)
    return;
  out->prescribed_up_w_m2k = film_or_0 (films, films->room_up_w_per_m2k);
  out->prescribed_down_w_m2k = film_or_0 (films, films->room_down_w_per_m2k);
  out->prescribed_side_w_m2k = film_or_0 (films, films->room_side_w_per_m2k);
  out->prescribed = !isnan (films->room_up_w_per_m2k) && !isnan (films->room_down_w_per_m2k);
}

/* ---- shields ---- */

static double
shield_share (const LwShield *shield)
{
  const LwShieldMaterial *material;

  if (!isnan (shield->share))
    return CLAMP (shield->share, 0, 1);
  material = lw_library_shield (shield->material);
  return material != NULL ? CLAMP (material->share, 0, 1) : 0.3; /* from memory: most of a film is cut */
}

static void
add_shields (LwCase *self)
{
  const GPtrArray *shields = lw_case_plan (self)->shields;
  HeatShield *out = lw_case_alloc (self, shields->len, sizeof (HeatShield));

  for (guint i = 0; i < shields->len; i++) {
    const LwShield *shield = g_ptr_array_index (shields, i);
    out[i] = (HeatShield){ lw_case_loop (self, shield->loop), shield_share (shield) };
  }
  self->scene.shields = out;
  self->scene.n_shields = shields->len;
}

gboolean
lw_case_add_station (LwCase *self, GError **error)
{
  double error_c = self->job->station->gas_set_error_c;

  self->gas_set_error_c = isnan (error_c) ? 5 : error_c; /* 5 K: common practice, no source */
  add_preheater (self);
  add_holder (self);
  add_room (self);
  add_shields (self);
  return add_nozzle (self, error);
}
