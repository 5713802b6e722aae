/* Prints what the doubt of a job's plans costs: how many runs, their processor seconds, and what sampling adds.
 *   bench-doubt JOB */
#include <stdio.h>
#include <time.h>

#include "board/job-file.h"
#include "plan/doubt-surface.h"

typedef struct {
  LwCase *of;
  gint runs;
  double seconds; /* processor, of all runs */
  GMutex lock;
} Count;

static double
thread_seconds (void)
{
  struct timespec t;

  clock_gettime (CLOCK_THREAD_CPUTIME_ID, &t);
  return t.tv_sec + 1e-9 * t.tv_nsec;
}

static double
process_seconds (void)
{
  struct timespec t;

  clock_gettime (CLOCK_PROCESS_CPUTIME_ID, &t);
  return t.tv_sec + 1e-9 * t.tv_nsec;
}

static HeatResult *
counted (gpointer user, guint worker, const HeatDrive *drive, GError **error)
{
  Count *count = user;
  double start = thread_seconds ();
  HeatResult *result = lw_doubt_run_full (count->of, worker, drive, error);

  g_mutex_lock (&count->lock);
  count->runs++;
  count->seconds += thread_seconds () - start;
  g_mutex_unlock (&count->lock);
  return result;
}

int
main (int argc, char **argv)
{
  g_autoptr (GFile) file = g_file_new_for_path (argc > 1 ? argv[1] : "");
  g_autoptr (GError) error = NULL;
  g_autoptr (LwJob) job = lw_job_load (file, NULL, &error);

  if (job == NULL) {
    fprintf (stderr, "%s\n", error->message);
    return 1;
  }
  for (guint plan = 0; plan < job->plans->len; plan++) {
    g_autoptr (LwCase) of = lw_case_new (job, plan, NULL);
    Count count = { .of = of };
    gint64 wall = g_get_monotonic_time ();
    double cpu = process_seconds ();
    g_autoptr (LwDoubt) doubt = lw_doubt_surface (of, TRUE, NULL, counted, &count, NULL, &error);

    if (doubt == NULL) {
      fprintf (stderr, "%s\n", error->message);
      return 1;
    }
    cpu = process_seconds () - cpu;
    printf ("plan %u: %u bodies, %d runs of %.2f s, %u samples of every figure and curve in %.2f s (processor); "
            "%.2f s by the clock\n",
            plan, lw_doubt_n_bodies (doubt), count.runs, count.seconds / count.runs, lw_doubt_n_samples (doubt),
            cpu - count.seconds, (double) (g_get_monotonic_time () - wall) * 1e-6);
  }
  return 0;
}
