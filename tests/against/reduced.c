/* The reduced model on the job of against-case.h: built once, then run with either pair of set points.
 * usage: reduced OUT SLICES [CELL_MM COARSE_MM]; without sizes the default mesh; SLICES as against_cut() reads them. */
#define _POSIX_C_SOURCE 200809L
#include <stdlib.h>

#include "against-case.h"
#include "against-model.h"
#include "against-report.h"

enum { REPEATS = 20 }; /* one run is too short for the clock */

static HeatResult *
answer (const HeatReduced *model, HeatReducedRun *run, const HeatDrive *drive)
{
  HeatResult *result = NULL;
  if (heat_reduced_solve (model, run, drive, NULL) != HEAT_OK || heat_reduced_result (model, run, &result) != HEAT_OK) {
    fprintf (stderr, "%s\n", heat_reduced_detail (run));
    exit (EXIT_FAILURE);
  }
  return result;
}

/* Mean processor time of a run that ends with every joint's trace, s; and of the march alone. */
static void
time_again (const HeatReduced *model, HeatReducedRun *run, const HeatDrive *drive)
{
  double start = against_cpu_s ();
  for (int i = 0; i < REPEATS; i++)
    heat_result_free (answer (model, run, drive));
  printf ("again_s %.9f\n", (against_cpu_s () - start) / REPEATS);
  start = against_cpu_s ();
  for (int i = 0; i < REPEATS; i++)
    heat_reduced_solve (model, run, drive, NULL);
  printf ("march_s %.9f\n", (against_cpu_s () - start) / REPEATS);
}

int
main (int argc, char **argv)
{
  static BenchJob job;
  AgainstCut cut = argc > 2 ? against_cut (argv[2]) : (AgainstCut){ 0 };
  FILE *out = argc > 2 ? fopen (argv[1], "w") : NULL;
  if (!out || cut.n == 0)
    return EXIT_FAILURE;
  against_job (&job, cut);
  against_set (&job, 0);
  HeatReduced *model = against_reduced (&job.scene, argc, argv);
  HeatReducedRun *run = heat_reduced_run_new (model);
  HeatDrive drive = heat_drive_of (&job.scene);
  if (!run)
    return EXIT_FAILURE;
  double built = against_cpu_s ();
  HeatResult *first = answer (model, run, &drive);
  double done = against_cpu_s ();
  const HeatReducedReport *report = heat_reduced_report (model);
  printf ("unknowns %zu\nbasis %zu\nset_up_s %.6f\nfirst_s %.6f\n", report->n_nodes, report->n_basis, built, done);
  printf ("steps %zu\n", first->n_times - 1);
  against_store (out, 0, first);
  against_set (&job, 1);
  against_store (out, 1, answer (model, run, &drive));
  time_again (model, run, &drive);
  heat_reduced_run_free (run);
  heat_reduced_free (model);
  return fclose (out) ? EXIT_FAILURE : EXIT_SUCCESS;
}
