#include "plan/seek-trial.h"

#include <math.h>

/* GAUGE goes to the trial. */
static LwTrial *
trial_new (LwQuick *quick, const LwSeekSpace *space, LwGauge *gauge)
{
  LwTrial *self = g_new0 (LwTrial, 1);

  self->quick = lw_quick_ref (quick);
  self->space = space;
  self->gauge = gauge;
  self->plan = lw_seek_plan_own (lw_case_plan (lw_quick_case (quick)));
  self->room = g_new (double, lw_set_tables_room (self->plan));
  self->figures = g_new0 (HeatFigures, MAX (lw_quick_n_bodies (quick), 1));
  return self;
}

LwTrial *
lw_trial_new (LwQuick *quick, const LwSeekSpace *space, const LwPrediction *doubts)
{
  LwGauge *gauge = lw_gauge_new (lw_quick_case (quick), doubts);

  for (guint i = 0; i < space->left_out->len; i++)
    lw_gauge_leave_out (gauge, g_array_index (space->left_out, guint, i));
  return trial_new (quick, space, gauge);
}

LwTrial *
lw_trial_twin (const LwTrial *self)
{
  LwTrial *twin = trial_new (self->quick, self->space, lw_gauge_copy (self->gauge));

  twin->compact = self->compact != NULL ? lw_compact_ref (self->compact) : NULL;
  if (self->shift != NULL)
    twin->shift = g_memdup2 (self->shift, self->gauge->rules->len * sizeof (double));
  return twin;
}

void
lw_trial_free (LwTrial *self)
{
  if (self == NULL)
    return;
  lw_quick_run_free (self->run);
  heat_compact_run_free (self->guess);
  lw_compact_unref (self->compact);
  lw_quick_unref (self->quick);
  lw_gauge_free (self->gauge);
  lw_plan_unref (self->plan);
  g_free (self->room);
  g_free (self->figures);
  g_free (self->shift);
  g_free (self);
}

HeatDrive
lw_trial_drive (LwTrial *self, const double *shares, gboolean round)
{
  const LwCase *compiled = lw_quick_case (self->quick);
  LwSetBench bench = { compiled->job->station, compiled->job->ambient_c, compiled->scene.nozzle.lag_s,
                       compiled->scene.preheat.lag_s };
  HeatDrive drive = heat_drive_of (&compiled->scene);

  if (shares != NULL)
    lw_seek_space_put (self->space, shares, round, self->plan);
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
  HeatDrive drive = lw_trial_drive (self, shares, round);

  if (self->run == NULL)
    self->run = lw_quick_run_new (self->quick);
  self->n_tried++;
  self->guessed = FALSE;
  if (!lw_quick_run (self->quick, self->run, &drive, NULL, NULL))
    return FALSE;
  lw_quick_figures (self->quick, self->run, self->figures);
  self->board_peak_c = lw_quick_board_peak (self->quick, self->run);
  return TRUE;
}

gboolean
lw_trial_guess (LwTrial *self, const double *shares)
{
  if (self->compact == NULL)
    return lw_trial_march (self, shares, FALSE);
  const HeatCompact *model = lw_compact_model (self->compact);
  HeatDrive drive = lw_trial_drive (self, shares, FALSE);

  if (self->guess == NULL)
    self->guess = heat_compact_run_new (model);
  if (self->guess == NULL)
    g_error ("out of memory for a run of the compact model");
  self->n_tried++;
  self->guessed = TRUE;
  if (heat_compact_solve (model, self->guess, &drive, NULL) != HEAT_OK)
    return FALSE;
  heat_compact_figures (model, self->guess, self->figures);
  self->board_peak_c = heat_compact_board_peak (model, self->guess);
  return TRUE;
}

static double
figure_of (const LwTrial *self, guint rule)
{
  return lw_gauge_figure (&g_array_index (self->gauge->rules, LwGaugeRule, rule), self->figures, self->board_peak_c);
}

/* A time above liquidus that was guessed as none at all says nothing of how far the guess was off. */
static gboolean
has_jumped (const LwGaugeRule *rule, double off, double guess)
{
  return (rule->figure == LW_FIGURE_ABOVE_LIQUIDUS || rule->figure == LW_FIGURE_ABOVE_LIQUIDUS_HOT) && off > 0 && guess == 0;
}

void
lw_trial_correct (LwTrial *self, const LwTrial *sure)
{
  guint n = self->gauge->rules->len;

  g_return_if_fail (n == sure->gauge->rules->len);
  g_free (self->shift);
  self->shift = g_new0 (double, MAX (n, 1));
  for (guint i = 0; i < n; i++) {
    double off = figure_of (sure, i) - figure_of (self, i);
    self->shift[i] = isfinite (off) && !has_jumped (&g_array_index (self->gauge->rules, LwGaugeRule, i), off, figure_of (self, i))
                         ? off : 0;
  }
}

double
lw_trial_steps (const LwTrial *self, guint rule)
{
  double shift = self->guessed && self->shift != NULL ? self->shift[rule] : 0;
  return lw_gauge_steps_at (&g_array_index (self->gauge->rules, LwGaugeRule, rule), figure_of (self, rule) + shift);
}

double
lw_trial_least (const LwTrial *self, guint *rule)
{
  double least = INFINITY;
  for (guint i = 0; i < self->gauge->rules->len; i++) {
    double steps = lw_trial_steps (self, i);
    if (!(steps < least))
      continue; /* also when there is no figure */
    least = steps;
    if (rule != NULL)
      *rule = i;
  }
  return least;
}
