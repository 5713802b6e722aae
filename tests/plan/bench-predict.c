/* Prints what a whole prediction of the demo's plans costs: mesh, steps, processor seconds, without and with doubt. */
#include <stdio.h>
#include <time.h>

#include "board/operations.h"
#include "board/job-file.h"
#include "plan/findings.h"
#include "plan/predict.h"

static double
processor_seconds (void)
{
  return (double) clock () / CLOCKS_PER_SEC;
}

static void
measure (const LwJob *job, guint plan, gboolean no_doubt)
{
  LwPredictOptions options = { .no_doubt = no_doubt };
  g_autoptr (GError) error = NULL;
  double start = processor_seconds ();
  g_autoptr (LwPrediction) prediction = lw_predict (job, plan, &options, NULL, NULL, NULL, &error);
  double seconds = processor_seconds () - start;

  if (prediction == NULL)
    g_error ("%s", error->message);
  start = processor_seconds ();
  g_autoptr (GPtrArray) findings = lw_judge (job, plan, prediction);
  double judged = 1e3 * (processor_seconds () - start);
  const LwPlan *which = g_ptr_array_index (job->plans, plan);
  printf ("%-4s %-14s %7u nodes %5u steps %7.2f s   judged %5.1f ms, %u findings\n", which->ref,
          no_doubt ? "without doubt" : "with doubt", prediction->n_nodes, prediction->n_steps, seconds, judged,
          findings->len);
}

int
main (int argc, char **argv)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GFile) file = g_file_new_for_path (argv[argc - 1]);
  LwJob *job = lw_job_load (file, NULL, &error);

  if (job == NULL)
    g_error ("%s", error->message);
  for (guint plan = 0; plan < job->plans->len; plan++) {
    if (!lw_plan_heats (job->plans->pdata[plan]))
      continue;
    measure (job, plan, TRUE);
    measure (job, plan, FALSE);
  }
  lw_job_unref (job);
  return 0;
}
