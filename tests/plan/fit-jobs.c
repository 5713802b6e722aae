#include "fit-jobs.h"

#include "bench.h"

#include <gsl/gsl_randist.h>
#include <math.h>
#include <time.h>

#include "plan/bench.h"
#include "plan/doubt-scene.h"
#include "plan/doubt-sample.h"
#include "plan/fit-inside.h"
#include "plan/map-result.h"

static void
add_couple (LwJob *job, const char *name, const char *ref, double x_mm, double y_mm, LwSide side)
{
  LwThermocouple *couple = lw_thermocouple_new ();

  g_free (couple->name);
  g_free (couple->ref);
  couple->name = g_strdup (name);
  couple->ref = g_strdup (ref);
  couple->x_mm = x_mm;
  couple->y_mm = y_mm;
  couple->side = side;
  g_ptr_array_add (((LwPlan *) g_ptr_array_index (job->plans, 0))->thermocouples, couple);
}

void
fit_add_couples (LwJob *job)
{
  add_couple (job, "TC1", "U1", 46, 38, LW_SIDE_TOP);
  add_couple (job, "TC2", "U1", 38.5, 30.5, LW_SIDE_BOTTOM);
  add_couple (job, "TC3", "K1", 72, 40, LW_SIDE_TOP);
  add_couple (job, "TC4", "", 46, 56, LW_SIDE_TOP);
  add_couple (job, "TC5", "", 46, 8, LW_SIDE_BOTTOM);
}

LwJob *
fit_small_job (void)
{
  LwJob *job = bench_job (LW_SIDE_TOP, 0, 0);
  LwBoard *board = lw_job_edit_board (job);
  LwPlan *plan = lw_job_edit_plan (job, 0);

  g_ptr_array_set_size (board->outline, 0);
  g_ptr_array_add (board->outline, lw_loop_new_rectangle (20, 12, 84, 64));
  g_ptr_array_remove_index (job->parts, 2); /* J1 would hang over */
  plan->preheat_length_mm = plan->preheat_width_mm = 50;
  fit_add_couples (job);
  ((LwThermocouple *) g_ptr_array_index (plan->thermocouples, 4))->y_mm = 18;
  return job;
}

static double
processor_s (void)
{
  struct timespec t;

  clock_gettime (CLOCK_THREAD_CPUTIME_ID, &t);
  return t.tv_sec + 1e-9 * t.tv_nsec;
}

static LwPrediction *
solve (LwJob *job, guint plan, const double *z, double cell_mm, double step_s)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwCase) of = lw_case_new (job, plan, &error);
  g_assert_no_error (error);
  HeatDrive drive = heat_drive_of (&of->scene);
  LwUnsureSpreads spreads;
  HeatOptions options = { .cell_m = cell_mm * 1e-3, .step_s = step_s, .adaptive = TRUE, .frame_s = 1 };
  LwWatch quiet = { 0 };
  g_autoptr (LwLee) lee = lw_lee_new (of);

  lw_doubt_spreads (of, FALSE, &spreads);
  lw_doubt_move (&drive, &spreads, z);
  drive.gas_lag_s *= lw_fit_value (&spreads, LW_FIT_GAS_LAG, z[LW_FIT_GAS_LAG]);
  drive.preheat_lag_s *= lw_fit_value (&spreads, LW_FIT_PREHEAT_LAG, z[LW_FIT_PREHEAT_LAG]);
  g_autoptr (LwMovedScene) moved = lw_moved_scene_new (of, &drive);
  g_autoptr (HeatResult) result = lw_solve_scene (&moved->scene, &options, &quiet, &error);
  g_assert_no_error (error);
  g_assert_false (result->films.nozzle_in_range);
  return lw_map_result (of, g_steal_pointer (&result), lee);
}

FitRecord *
fit_record_new (LwJob *job, guint plan, const double *z, double cell_mm, double step_s)
{
  FitRecord *self = g_new0 (FitRecord, 1);
  double start = processor_s ();
  g_autoptr (LwPrediction) p = solve (job, plan, z, cell_mm, step_s);
  GPtrArray *couples = ((LwPlan *) g_ptr_array_index (job->plans, plan))->thermocouples;

  self->seconds = processor_s () - start;
  self->job = lw_job_ref (job);
  self->n = (guint) p->t_s[p->n_times - 1] + 1;
  self->n_channels = couples->len;
  self->t_s = g_new (double, self->n);
  self->clean_c = g_new (double, self->n * self->n_channels);
  self->c = g_new (double, self->n * self->n_channels);
  for (guint i = 0; i < self->n; i++) {
    self->t_s[i] = i;
    for (guint k = 0; k < self->n_channels; k++)
      self->c[k * self->n + i] = self->clean_c[k * self->n + i]
          = lw_bench_reading_c (job, p, g_ptr_array_index (couples, k), i);
  }
  self->run = (LwFitRecord){ job, plan, self->n, self->t_s, self->n_channels, (LwThermocouple *const *) couples->pdata, self->c };
  return self;
}

void
fit_record_shake (FitRecord *self, guint64 seed, double noise_k, gboolean tolerances)
{
  gsl_rng *rng = gsl_rng_alloc (gsl_rng_mt19937);

  gsl_rng_set (rng, seed);
  for (guint k = 0; k < self->n_channels; k++) {
    double share = tolerances ? gsl_ran_flat (rng, -1, 1) : 0;
    for (guint i = 0; i < self->n; i++) {
      double c = self->clean_c[k * self->n + i];
      self->c[k * self->n + i] = c + share * lw_unsure_thermocouple_k (c) + gsl_ran_gaussian (rng, noise_k);
    }
  }
  gsl_rng_free (rng);
}

void
fit_record_free (FitRecord *self)
{
  lw_job_unref (self->job);
  g_free (self->t_s);
  g_free (self->clean_c);
  g_free (self->c);
  g_free (self);
}
