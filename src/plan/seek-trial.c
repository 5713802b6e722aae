#include "plan/seek-trial.h"

LwTrial *
lw_trial_new (LwQuick *quick, const LwSeekSpace *space, const LwPrediction *doubts)
{
  LwTrial *self = g_new0 (LwTrial, 1);
  const LwCase *compiled = lw_quick_case (quick);

  self->quick = lw_quick_ref (quick);
  self->run = lw_quick_run_new (quick);
  self->space = space;
  self->gauge = lw_gauge_new (compiled, doubts);
  for (guint i = 0; i < space->left_out->len; i++)
    lw_gauge_leave_out (self->gauge, g_array_index (space->left_out, guint, i));
  self->plan = lw_seek_plan_own (lw_case_plan (compiled));
  self->room = g_new (double, lw_set_tables_room (self->plan));
  self->figures = g_new0 (HeatFigures, MAX (lw_quick_n_bodies (quick), 1));
  return self;
}

void
lw_trial_free (LwTrial *self)
{
  if (self == NULL)
    return;
  lw_quick_run_free (self->run);
  lw_quick_unref (self->quick);
  lw_gauge_free (self->gauge);
  lw_plan_unref (self->plan);
  g_free (self->room);
  g_free (self->figures);
  g_free (self);
}

static HeatDrive
drive_of (LwTrial *self)
{
  const LwCase *compiled = lw_quick_case (self->quick);
  LwSetBench bench = { compiled->job->station, compiled->job->ambient_c, compiled->scene.nozzle.lag_s,
                       compiled->scene.preheat.lag_s };
  HeatDrive drive = heat_drive_of (&compiled->scene);

  lw_set_tables_fill (&self->tables, self->room, self->plan, &bench);
  self->heating_end_s = lw_plan_heating_end_s (self->plan);
  drive.gas_set_c = self->tables.gas_c;
  drive.flow_m3_s = self->tables.flow_m3_s;
  drive.preheat_set_c = self->tables.preheat_c;
  drive.end_s = self->tables.end_s;
  drive.mark_s = self->heating_end_s;
  return drive;
}

gboolean
lw_trial_march (LwTrial *self, const double *shares, gboolean round)
{
  if (shares != NULL)
    lw_seek_space_put (self->space, shares, round, self->plan);
  HeatDrive drive = drive_of (self);

  self->n_tried++;
  if (!lw_quick_run (self->quick, self->run, &drive, NULL, NULL))
    return FALSE;
  lw_quick_figures (self->quick, self->run, self->figures);
  self->board_peak_c = lw_quick_board_peak (self->quick, self->run);
  return TRUE;
}

double
lw_trial_least (const LwTrial *self, guint *rule)
{
  return lw_gauge_least (self->gauge, self->figures, self->board_peak_c, rule);
}
