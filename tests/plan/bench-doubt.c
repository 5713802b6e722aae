/* Prints what the doubt of a job's plans costs: the reduced model on coarse cells, what the compact model learns from it,
 * and the samples, each by processor time and by the clock, beside the limit.
 *   bench-doubt JOB */
#include <math.h>
#include <stdio.h>
#include <time.h>

#include "board/operations.h"
#include "board/job-file.h"
#include "plan/doubt-sample.h"

/* Asked: 1,000 samples of every figure in at most this long. */
#define LIMIT_S 1.0

typedef struct {
  double cpu_s, clock_s;
} Moment;

static Moment
now (void)
{
  struct timespec t;

  clock_gettime (CLOCK_PROCESS_CPUTIME_ID, &t);
  return (Moment){ t.tv_sec + 1e-9 * t.tv_nsec, (double) g_get_monotonic_time () * 1e-6 };
}

static Moment
since (Moment from)
{
  Moment to = now ();

  return (Moment){ to.cpu_s - from.cpu_s, to.clock_s - from.clock_s };
}

static Moment
timed (LwQuick *quick, guint samples, guint n_curves)
{
  LwDoubtOptions options = { .samples = samples, .curves = n_curves };
  Moment from = now ();
  g_autoptr (LwDoubt) doubt = lw_doubt_sample (quick, NULL, TRUE, &options, NULL, NULL);

  return doubt == NULL ? (Moment){ NAN, NAN } : since (from);
}

int
main (int argc, char **argv)
{
  LwQuickOptions coarse = { .cell_mm = 3, .coarse_mm = 10, .scout = TRUE, .vary_conductance = TRUE };
  g_autoptr (GFile) file = g_file_new_for_path (argc > 1 ? argv[1] : "");
  g_autoptr (GError) error = NULL;
  g_autoptr (LwJob) job = lw_job_load (file, NULL, &error);

  for (guint plan = 0; job != NULL && plan < job->plans->len; plan++) {
    Moment from = now (), build, few, all;
    if (!lw_plan_heats (job->plans->pdata[plan]))
      continue;
    g_autoptr (LwQuick) quick = lw_quick_new (job, plan, &coarse, NULL, NULL, NULL, &error);

    if (quick == NULL)
      break;
    build = since (from);
    few = timed (quick, 1, 1);
    all = timed (quick, 1000, argc > 2 ? 1 : 0);
    printf ("plan %u, %u bodies: model %.2f s (%.2f by the clock), learning %.2f (%.2f), 1000 samples %.2f (%.2f; limit "
            "%.1f)\n",
            plan, lw_quick_n_bodies (quick), build.cpu_s, build.clock_s, few.cpu_s, few.clock_s, all.cpu_s - few.cpu_s,
            all.clock_s - few.clock_s, LIMIT_S);
  }
  if (error != NULL)
    fprintf (stderr, "%s\n", error->message);
  return error != NULL;
}
