/* The full solution of this project on the job of against-case.h.
 * usage: full OUT SLICES [CELL_MM COARSE_MM]; without sizes the default mesh; SLICES as against_cut() reads them. */
#define _POSIX_C_SOURCE 200809L
#include <stdlib.h>

#include "against-case.h"
#include "against-report.h"

static HeatResult *
march (HeatSolver *solver)
{
  HeatResult *result = NULL;
  HeatStatus status = heat_solver_run (solver, &result);
  if (status != HEAT_OK) {
    fprintf (stderr, "%s: %s\n", heat_status_text (status), heat_solver_detail (solver));
    exit (EXIT_FAILURE);
  }
  return result;
}

int
main (int argc, char **argv)
{
  static BenchJob job;
  AgainstCut cut = argc > 2 ? against_cut (argv[2]) : (AgainstCut){ 0 };
  if (cut.n == 0)
    return EXIT_FAILURE;
  against_job (&job, cut);
  against_set (&job, 0);
  HeatOptions options = { .step_s = 0.5, .frame_s = 10 };
  if (argc > 4) {
    options.cell_m = atof (argv[3]) * 1e-3;
    options.coarse_m = atof (argv[4]) * 1e-3;
  }
  FILE *out = fopen (argv[1], "w");
  HeatSolver *solver = NULL;
  if (!out || heat_solver_new (&job.scene, &options, &solver) != HEAT_OK)
    return EXIT_FAILURE;
  double built = against_cpu_s ();
  HeatResult *first = march (solver);
  double done = against_cpu_s ();
  against_set (&job, 1);
  HeatResult *second = march (solver);
  double again = against_cpu_s ();
  printf ("unknowns %zu\nset_up_s %.6f\nfirst_s %.6f\nagain_s %.6f\n", first->n_nodes, built, done, again - done);
  printf ("steps %zu\n", first->n_steps);
  against_store (out, 0, first);
  against_store (out, 1, second);
  heat_solver_free (solver);
  return fclose (out) ? EXIT_FAILURE : EXIT_SUCCESS;
}
