#include "plan/compile.h"

#include <glib/gi18n.h>
#include <math.h>
#include <stdint.h>

#include "board/job-file.h"
#include "board/names.h"
#include "board/operations.h"

G_DEFINE_QUARK (lw - predict - error - quark, lw_predict_error)

/* ---- frame ---- */

HeatXY
lw_case_point (const LwCase *self, double x_mm, double y_mm)
{
  double x = self->flipped ? self->box.x1_mm - x_mm : x_mm - self->box.x0_mm;

  return (HeatXY){ x * 1e-3, (y_mm - self->box.y0_mm) * 1e-3 };
}

LwPoint
lw_case_point_mm (const LwCase *self, HeatXY at)
{
  double x = at.x * 1e3;

  return (LwPoint){ self->flipped ? self->box.x1_mm - x : self->box.x0_mm + x,
                    self->box.y0_mm + at.y * 1e3 };
}

double
lw_case_angle (const LwCase *self, double deg)
{
  return (self->flipped ? -deg : deg) * G_PI / 180;
}

gboolean
lw_case_below (const LwCase *self, LwSide side)
{
  return (side == LW_SIDE_BOTTOM) != self->flipped;
}

HeatLoop
lw_case_loop (LwCase *self, const LwLoop *loop)
{
  g_autoptr (GArray) points = lw_loop_flatten (loop, 0.05);
  HeatXY *xy = lw_case_alloc (self, points->len, sizeof (HeatXY));

  for (guint i = 0; i < points->len; i++) {
    const LwPoint *p = &g_array_index (points, LwPoint, i);
    xy[i] = lw_case_point (self, p->x_mm, p->y_mm);
  }
  return (HeatLoop){ xy, points->len };
}

/* ---- what the case owns ---- */

gpointer
lw_case_alloc (LwCase *self, gsize n, gsize size)
{
  gpointer block = g_malloc0_n (MAX (n, 1), size);

  g_ptr_array_add (self->owned, block);
  return block;
}

void
lw_case_note (LwCase *self, char *text)
{
  for (guint i = 0; i < self->notes->len; i++)
    if (g_str_equal (g_ptr_array_index (self->notes, i), text)) {
      g_free (text);
      return;
    }
  g_ptr_array_add (self->notes, text);
}

const LwPlan *
lw_case_plan (const LwCase *self)
{
  return g_ptr_array_index (self->job->plans, self->plan);
}

void
lw_case_free (LwCase *self)
{
  if (self == NULL)
    return;
  lw_package_unref (self->unknown);
  g_ptr_array_unref (self->notes);
  g_ptr_array_unref (self->owned);
  g_free (self);
}

/* ---- refusals ---- */

/* A fault of the job that no computation may pass over. */
static gboolean
check_job (const LwJob *job, GError **error)
{
  g_autoptr (GPtrArray) faults = lw_job_check (job);

  for (guint i = 0; i < faults->len; i++) {
    const LwFault *fault = g_ptr_array_index (faults, i);
    if (fault->fatal) {
      g_set_error (error, LW_PREDICT_ERROR, LW_PREDICT_ERROR_JOB, "%s: %s", fault->path, fault->text);
      return FALSE;
    }
  }
  return TRUE;
}

/* Index of the part to rework, or -1. */
static int
find_target (const LwJob *job, guint plan_index, GError **error)
{
  const LwPlan *plan;
  int part;

  if (plan_index >= job->plans->len) {
    g_set_error (error, LW_PREDICT_ERROR, LW_PREDICT_ERROR_JOB, _("The job has no such plan."));
    return -1;
  }
  plan = g_ptr_array_index (job->plans, plan_index);
  part = lw_job_find_part (job, plan->ref);
  if (!lw_plan_heats (plan)) {
    g_set_error (error, LW_PREDICT_ERROR, LW_PREDICT_ERROR_JOB, _("The plan “%s” for %s brings no heat: there is nothing to predict."),
                 lw_operation_label (plan->operation), plan->ref);
    return -1;
  }
  if (part < 0)
    g_set_error (error, LW_PREDICT_ERROR, LW_PREDICT_ERROR_JOB,
                 _("The plan reworks “%s”, which the board does not have."), plan->ref);
  else if (!((const LwPart *) g_ptr_array_index (job->parts, part))->placed) {
    g_set_error (error, LW_PREDICT_ERROR, LW_PREDICT_ERROR_JOB,
                 _("%s is listed but not placed on the board."), plan->ref);
    part = -1;
  }
  return part;
}

static gboolean
check_bench (const LwJob *job, GError **error)
{
  if (job->station == NULL)
    g_set_error (error, LW_PREDICT_ERROR, LW_PREDICT_ERROR_JOB, _("The job has no station."));
  else if (job->board == NULL || job->board->outline->len == 0)
    g_set_error (error, LW_PREDICT_ERROR, LW_PREDICT_ERROR_JOB, _("The board has no outline."));
  else if (!(job->board->thickness_mm > 0))
    g_set_error (error, LW_PREDICT_ERROR, LW_PREDICT_ERROR_JOB, _("The board has no thickness."));
  else
    return TRUE;
  return FALSE;
}

/* A heater that is never on is not there; a plan's table is followed without lag. */
static void
add_set_points (LwCase *self)
{
  const LwPlan *plan = lw_case_plan (self);
  HeatScene *scene = &self->scene;
  LwSetBench bench
      = { self->job->station, self->job->ambient_c, scene->nozzle.lag_s, scene->preheat.lag_s };
  double *room = lw_case_alloc (self, lw_set_tables_room (plan), sizeof (double));

  lw_set_tables_fill (&self->set, room, plan, &bench);
  scene->end_s = self->set.end_s;
  scene->nozzle.set_c = self->set.gas_c;
  scene->nozzle.flow_m3_s = self->set.flow_m3_s;
  scene->preheat.set_c = self->set.preheat_c;
  if (self->set.followed)
    scene->nozzle.lag_s = scene->preheat.lag_s = 0;
  if (!lw_set_points_on (&self->set.gas_asked))
    scene->nozzle.present = FALSE;
  if (!lw_set_points_on (&self->set.preheat_asked))
    scene->preheat.kind = HEAT_PREHEAT_NONE;
}

/* What a fit has told, on top of what was computed. */
static void
apply_kept (LwCase *self)
{
  HeatScene *scene = &self->scene;
  const double *value = self->kept.value;
  double emissivity = value[LW_UNSURE_EMISSIVITY];

  scene->scale_nozzle_film = value[LW_UNSURE_NOZZLE_FILM];
  scene->scale_spill = value[LW_UNSURE_SPILL_FILM] / value[LW_UNSURE_NOZZLE_FILM];
  scene->scale_preheat_film = value[LW_UNSURE_PREHEAT_FILM];
  scene->scale_room_film = value[LW_UNSURE_ROOM_FILM];
  scene->scale_conductivity = value[LW_UNSURE_CONDUCTIVITY];
  scene->scale_capacity = value[LW_UNSURE_CAPACITY];
  scene->nozzle.add_k = value[LW_UNSURE_GAS] + value[LW_UNSURE_THERMOCOUPLE];
  scene->preheat.add_k = value[LW_UNSURE_PREHEAT] + value[LW_UNSURE_THERMOCOUPLE];
  scene->nozzle.lag_s *= value[LW_FIT_GAS_LAG];
  scene->preheat.lag_s *= value[LW_FIT_PREHEAT_LAG];
  scene->board.emissivity = fmin (scene->board.emissivity * emissivity, 1);
  for (guint i = 0; i < self->n_bodies; i++)
    self->bodies[i].emissivity = fmin (self->bodies[i].emissivity * emissivity, 1);
  if (scene->target < self->n_bodies) {
    HeatBody *target = &self->bodies[scene->target];
    target->joint_g_w_k *= value[LW_UNSURE_JOINT];
    target->lead_g_w_k *= value[LW_UNSURE_JOINT];
    target->gap_h_w_m2k *= value[LW_UNSURE_JOINT];
    target->prescribed_h_w_m2k *= value[LW_UNSURE_JOINT];
  }
}

LwCase *
lw_case_new (const LwJob *job, guint plan, GError **error)
{
  g_autoptr (LwCase) self = NULL;
  HeatScene *scene;
  int target;

  if (!check_bench (job, error) || !check_job (job, error))
    return NULL;
  target = find_target (job, plan, error);
  if (target < 0)
    return NULL;

  self = g_new0 (LwCase, 1);
  self->notes = g_ptr_array_new_with_free_func (g_free);
  self->owned = g_ptr_array_new_with_free_func (g_free);
  self->job = job;
  self->plan = plan;
  self->box = lw_loop_box (g_ptr_array_index (job->board->outline, 0));
  self->flipped = ((const LwPart *) g_ptr_array_index (job->parts, target))->side == LW_SIDE_BOTTOM;

  scene = &self->scene;
  scene->target = SIZE_MAX;
  scene->start_c = job->ambient_c;
  scene->scale_nozzle_film = scene->scale_preheat_film = scene->scale_room_film = 1;
  scene->scale_conductivity = scene->scale_capacity = 1;
  lw_case_add_board (self);
  if (!lw_case_add_bodies (self, target, error) || !lw_case_add_station (self, error))
    return NULL;
  lw_kept_find (job, plan, &self->kept);
  apply_kept (self);
  add_set_points (self);
  if (!(scene->end_s > 0)) {
    g_set_error (error, LW_PREDICT_ERROR, LW_PREDICT_ERROR_JOB, _("The plan for %s has no stages."),
                 lw_case_plan (self)->ref);
    return NULL;
  }
  return g_steal_pointer (&self);
}
