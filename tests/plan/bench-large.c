/* The board of 10,000 parts without a window: seconds of processor time and memory of every step from file to findings.
 * "full" as argument: the full solution and the doubt too; "doubt": the doubt alone. "save" FILE: writes the job and ends. */
#include <glib/gstdio.h>
#include <stdio.h>
#include <sys/resource.h>
#include <time.h>

#include "board/edits.h"
#include "board/job-check.h"
#include "board/job-file.h"
#include "large-board.h"
#include "plan/doubt-sample.h"
#include "plan/judgement.h"
#include "plan/quick.h"

static double begun;

static double
processor_s (void)
{
  struct timespec t;

  clock_gettime (CLOCK_PROCESS_CPUTIME_ID, &t);
  return (double) t.tv_sec + 1e-9 * (double) t.tv_nsec;
}

static void
print_row (const char *what)
{
  struct rusage usage;

  getrusage (RUSAGE_SELF, &usage);
  printf ("| %s | %.3f | %.0f |\n", what, processor_s () - begun, (double) usage.ru_maxrss / 1e3);
  fflush (stdout);
  begun = processor_s ();
}

static void
bench_file (LwJob *job)
{
  g_autofree char *path = g_build_filename (g_get_tmp_dir (), "leeward-large-XXXXXX", NULL);
  g_autoptr (GFile) file = NULL;
  g_autoptr (GError) error = NULL;
  g_autoptr (LwJob) read = NULL;

  g_assert_true (g_close (g_mkstemp (path), NULL));
  file = g_file_new_for_path (path);
  begun = processor_s ();
  if (!lw_job_save (job, file, NULL, &error))
    g_error ("%s", error->message);
  print_row ("save");
  read = lw_job_load (file, NULL, &error);
  if (read == NULL)
    g_error ("%s", error->message);
  print_row ("open");
  g_file_delete (file, NULL, NULL);
}

static void
judge (LwJob *job, const LwPrediction *prediction)
{
  g_autoptr (GPtrArray) findings = lw_judge (job, 0, prediction);

  g_print ("%u findings\n", findings->len);
  print_row ("judge");
}

/* What an edit costs the window: a part is moved, and what was judged is kept where it still holds. */
static void
bench_edit (LwJob *job, LwPrediction *answer)
{
  g_autoptr (LwJudgement) before = lw_judgement_new (job, 0, answer, NULL, NULL), after = NULL;
  g_autoptr (LwJob) moved = NULL;
  const LwPart *part = g_ptr_array_index (job->parts, 17);

  print_row ("judge, to be kept");
  moved = lw_edit_move_part (job, 17, part->x_mm + 0.5, part->y_mm, NULL);
  print_row ("move a part");
  after = lw_judgement_new (moved, 0, answer, NULL, before);
  print_row ("judge after it");
  printf ("%u parts kept\n", lw_judgement_n_kept (after));
}

static void
bench_quick (LwJob *job)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwQuick) quick = lw_quick_new (job, 0, NULL, NULL, NULL, NULL, &error);
  g_autoptr (LwQuick) next = NULL;
  g_autoptr (LwQuickRun) run = NULL;
  g_autoptr (LwPrediction) answer = NULL;
  LwQuickOptions near = { .near = quick };
  const HeatReducedReport *r;

  if (quick == NULL)
    g_error ("%s", error->message);
  print_row ("reduced model");
  r = heat_reduced_report (lw_quick_model (quick));
  printf ("%zu nodes, %zu vectors, %zu zones, %zu melt, %zu iterations, %.1f MB\n", r->n_nodes, r->n_basis, r->n_zones,
          r->n_melt_zones, r->n_cg_iterations, 1e-6 * (double) r->bytes);
  run = lw_quick_run_new (quick);
  answer = lw_quick_answer (quick, run, job, 0, &error);
  if (answer == NULL)
    g_error ("%s", error->message);
  print_row ("its answer");
  judge (job, answer);
  bench_edit (job, answer);
  next = lw_quick_new (job, 0, &near, NULL, NULL, NULL, &error);
  print_row ("reduced model near");
}

static void
bench_full (LwJob *job)
{
  g_autoptr (GError) error = NULL;
  LwPredictOptions options = { .no_doubt = TRUE };
  g_autoptr (LwPrediction) full = lw_predict (job, 0, &options, NULL, NULL, NULL, &error);

  if (full == NULL)
    g_error ("%s", error->message);
  print_row ("full solution");
  printf ("%u steps\n", full->n_steps);
  judge (job, full);
}

static void
bench_doubt (LwJob *job)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwDoubt) doubt = lw_doubt_of_plan (job, 0, TRUE, NULL, NULL, &error);

  if (doubt == NULL)
    g_error ("%s", error->message);
  print_row ("doubt");
  printf ("%u samples\n", lw_doubt_n_samples (doubt));
}

int
main (int argc, char **argv)
{
  g_autoptr (LwJob) job = NULL;

  begun = processor_s ();
  job = large_job ();
  if (argc > 2) {
    g_autoptr (GFile) file = g_file_new_for_path (argv[2]);
    return lw_job_save (job, file, NULL, NULL) ? 0 : 1;
  }
  printf ("| %u parts | processor, s | most memory, MB |\n|---|---|---|\n", job->parts->len);
  print_row ("made");
  bench_file (job);
  g_ptr_array_unref (lw_job_check (job));
  print_row ("check");
  lw_case_free (lw_case_new (job, 0, NULL));
  print_row ("compile");
  if (g_strcmp0 (argc > 1 ? argv[1] : NULL, "doubt") == 0) {
    bench_doubt (job);
    return 0;
  }
  bench_quick (job);
  if (argc > 1) {
    bench_full (job);
    bench_doubt (job);
  }
  return 0;
}
