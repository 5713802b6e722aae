/* Prints what a fit costs: five thermocouples and 300 s of data, the model's build included.
 *   bench-fit */
#include <math.h>
#include <stdio.h>
#include <time.h>

#include "bench.h"
#include "fit-jobs.h"

/* As long as a run of the fit may take, s, on two cores. */
#define LIMIT_S 2.0

static double
processor_s (void)
{
  struct timespec t;

  clock_gettime (CLOCK_PROCESS_CPUTIME_ID, &t);
  return t.tv_sec + 1e-9 * t.tv_nsec;
}

static void
print_fit (const LwFitAnswer *fit)
{
  static const char *const words[] = { "given", "held", "told", "tied", "untold" };

  for (guint i = 0; i < LW_N_FIT; i++) {
    const LwFitted *f = &fit->figures[i];
    if (f->verdict != LW_VERDICT_GIVEN)
      printf ("  %-14s %8.3f (%.3f to %.3f), was %.3f to %.3f: %s%s%s\n", lw_fit_figure_key (i), f->value, f->low, f->high,
              f->before_low, f->before_high, words[f->verdict], f->teller != NULL ? ", would be told by: " : "",
              f->teller != NULL ? f->teller : "");
  }
  for (guint i = 0; i < fit->channels->len; i++) {
    const LwFitChannel *c = g_ptr_array_index (fit->channels, i);
    printf ("  %s (%s): %u means, noise %.2f K, rms %.2f K before, %.2f K after\n", c->name, c->place, c->n, c->noise_k,
            c->rms_before_k, c->rms_after_k);
  }
  printf ("  chi-square %.1f for %u readings, %u steps, %u marches\n", fit->chi2, fit->n_data, fit->n_steps, fit->n_marches);
  for (guint i = 0; i < fit->remarks->len; i++)
    printf ("  ! %s\n", ((LwFitRemark *) g_ptr_array_index (fit->remarks, i))->text);
}

int
main (void)
{
  g_autoptr (LwJob) job = bench_job (LW_SIDE_TOP, 0, 0);
  LwPlan *plan = lw_job_edit_plan (job, 0);
  double z[LW_N_FIT] = { 0.8, 0.3, -1, 0.5, 0.7, -0.6, 0.5, 0, 0.3, 0.5, -0.5, 0, 0.8, -0.5 };
  g_autoptr (GError) error = NULL;

  ((LwStage *) g_ptr_array_index (plan->stages, 0))->duration_s = 160; /* 300 s in all */
  fit_add_couples (job);
  FitRecord *record = fit_record_new (job, 0, z, 1, 0.5);
  fit_record_shake (record, 1, 0.3, TRUE);
  printf ("full solution: %.2f s processor\n", record->seconds);
  for (guint i = 0; i < 3; i++) {
    double cpu = processor_s ();
    g_autoptr (LwFitAnswer) fit = lw_fit (&record->run, 1, NULL, NULL, NULL, NULL, &error);
    if (fit == NULL) {
      fprintf (stderr, "%s\n", error->message);
      return 1;
    }
    cpu = processor_s () - cpu;
    if (i == 0)
      print_fit (fit);
    printf ("fit: %.2f s processor on all cores, %.2f s by the clock (of it the model %.2f s); limit %.1f s by the clock on "
            "two cores: %s at %.2f s\n",
            cpu, fit->seconds, fit->build_seconds, LIMIT_S, cpu / 2 < LIMIT_S ? "within" : "beyond", cpu / 2);
  }
  fit_record_free (record);
  return 0;
}
