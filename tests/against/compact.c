/* The compact model on the job of against-case.h: learned from marches of the reduced model at other set points than those asked
 * for, as the window does for edits of set points, then run with either pair.
 * usage: compact OUT SLICES [CELL_MM COARSE_MM]; without sizes the default mesh; SLICES as against_cut() reads them. */
#define _POSIX_C_SOURCE 200809L
#include <stdlib.h>

#include "against-case.h"
#include "against-model.h"
#include "against-report.h"
#include "heat/compact.h"

enum { REPEATS = 200, N_LESSONS = 7 }; /* one run is too short for the clock */
/* Lessons: the first pair, and six others round what a planner may try; the second pair is none of them. */
static const double lesson_c[N_LESSONS][2] = { { 240, 150 }, { 200, 130 }, { 320, 190 }, { 320, 130 }, { 200, 190 }, { 260, 140 },
                                               { 280, 180 } };

/* Each lesson's tables borrow from VALUES, as the job's do from its own. */
static HeatCompact *
learn (const HeatReduced *model, const BenchJob *job, double values[N_LESSONS][2])
{
  HeatDrive drives[N_LESSONS];
  HeatCompact *compact = NULL;
  for (size_t i = 0; i < N_LESSONS; i++) {
    drives[i] = heat_drive_of (&job->scene);
    values[i][0] = lesson_c[i][0];
    values[i][1] = lesson_c[i][1];
    drives[i].gas_set_c.v = &values[i][0];
    drives[i].preheat_set_c.v = &values[i][1];
  }
  if (heat_compact_new (model, drives, N_LESSONS, &(HeatCompactOptions){ .whole = true }, &compact) != HEAT_OK)
    exit (EXIT_FAILURE);
  return compact;
}

static HeatResult *
answer (const HeatCompact *compact, HeatCompactRun *run, const HeatDrive *drive)
{
  HeatResult *result = NULL;
  if (heat_compact_solve (compact, run, drive, NULL) != HEAT_OK || heat_compact_result (compact, run, &result) != HEAT_OK)
    exit (EXIT_FAILURE);
  return result;
}

/* Mean processor time of a run that ends with every joint's trace, s; and of the march alone. */
static void
time_again (const HeatCompact *compact, HeatCompactRun *run, const HeatDrive *drive)
{
  double start = against_cpu_s ();
  for (int i = 0; i < REPEATS; i++)
    heat_result_free (answer (compact, run, drive));
  printf ("again_s %.9f\n", (against_cpu_s () - start) / REPEATS);
  start = against_cpu_s ();
  for (int i = 0; i < REPEATS; i++)
    heat_compact_solve (compact, run, drive, NULL);
  printf ("march_s %.9f\n", (against_cpu_s () - start) / REPEATS);
}

int
main (int argc, char **argv)
{
  static BenchJob job;
  double values[N_LESSONS][2];
  AgainstCut cut = argc > 2 ? against_cut (argv[2]) : (AgainstCut){ 0 };
  FILE *out = argc > 2 ? fopen (argv[1], "w") : NULL;
  if (!out || cut.n == 0)
    return EXIT_FAILURE;
  against_job (&job, cut);
  against_set (&job, 0);
  HeatReduced *model = against_reduced (&job.scene, argc, argv);
  HeatCompact *compact = learn (model, &job, values);
  HeatCompactRun *run = heat_compact_run_new (compact);
  HeatDrive drive = heat_drive_of (&job.scene);
  if (!run)
    return EXIT_FAILURE;
  double built = against_cpu_s ();
  HeatResult *first = answer (compact, run, &drive);
  printf ("unknowns %zu\nbasis %zu\nset_up_s %.6f\nfirst_s %.6f\n", heat_reduced_report (model)->n_nodes,
          heat_compact_report (compact)->n_vectors, built, against_cpu_s ());
  printf ("steps %zu\n", first->n_times - 1);
  against_store (out, 0, first);
  against_set (&job, 1);
  against_store (out, 1, answer (compact, run, &drive));
  time_again (compact, run, &drive);
  heat_compact_run_free (run);
  heat_compact_free (compact);
  heat_reduced_free (model);
  return fclose (out) ? EXIT_FAILURE : EXIT_SUCCESS;
}
