/* Prints time and memory of the full solution: the standard job, uniform and graded, and cost against
 * size. */
#define _POSIX_C_SOURCE 200809L
#include <glib.h>
#include <stdio.h>
#include <sys/resource.h>
#include <time.h>

#include "bench-job.h"

static double
cpu_seconds (void)
{
  struct timespec t;
  clock_gettime (CLOCK_PROCESS_CPUTIME_ID, &t);
  return t.tv_sec + 1e-9 * t.tv_nsec;
}

static HeatResult *
solve (const char *name, const HeatScene *scene, const HeatOptions *options)
{
  HeatSolver *solver = NULL;
  HeatResult *result = NULL;
  double start = cpu_seconds ();
  HeatStatus status = heat_solver_new (scene, options, &solver);
  double built = cpu_seconds ();
  if (status == HEAT_OK)
    status = heat_solver_run (solver, &result);
  double done = cpu_seconds ();
  if (status != HEAT_OK)
    g_error ("%s: %s (%s)", name, heat_status_text (status), solver ? heat_solver_detail (solver) : "");
  struct rusage use;
  getrusage (RUSAGE_SELF, &use);
  printf ("%-34s %8zu nodes %4zu steps %5zu solves %6zu cg  build %6.3f s  march %7.3f s  peak %4ld MB  "
          "imbalance %.1e  residual %.1e\n",
          name, result->n_nodes, result->n_steps, result->n_linear_solves, result->n_cg_iterations,
          built - start, done - built, use.ru_maxrss / 1024, result->energy.imbalance_share,
          result->worst_residual);
  heat_solver_free (solver);
  return result;
}

static double
largest_joint_difference (const HeatResult *a, const HeatResult *b)
{
  double most = 0;
  for (size_t i = 0; i < a->n_joints * MIN (a->n_times, b->n_times); i++)
    most = MAX (most, fabs (a->joints[i] - b->joints[i]));
  return most;
}

static void
standard_job (void)
{
  BenchJob *job = g_new0 (BenchJob, 1);
  bench_job (job, 0.2, 0.15, false);
  HeatOptions uniform = { .cell_m = 1e-3, .coarse_m = 1e-3 };
  HeatResult *graded = solve ("standard job, default mesh", &job->scene, NULL);
  HeatResult *fine = solve ("standard job, uniform 1 mm", &job->scene, &uniform);
  printf ("  largest difference at any joint and time: %.3f K\n",
          largest_joint_difference (graded, fine));
  const HeatTrace *t = &fine->bodies[0];
  size_t last = fine->n_times - 1;
  printf ("  end: joints %.1f .. %.1f, body top %.1f C, board mean %.1f C; h %.1f W/m2K, Re %.0f\n",
          t->joint_min[last], t->joint_max[last], t->body_top[last], fine->board_mean[last],
          fine->films.nozzle_h_w_m2k, fine->films.nozzle_reynolds);
  heat_result_free (graded);
  heat_result_free (fine);
  g_free (job);
}

static void
cost_against_size (void)
{
  const double cells[] = { 3e-3, 2e-3, 1e-3, 0.5e-3, 0.3e-3 };
  BenchJob *job = g_new0 (BenchJob, 1);
  bench_job (job, 0.2, 0.15, false);
  job->scene.end_s = 30;
  job->flow_t[0] = job->flow_t[1] = 10;
  for (size_t i = 0; i < G_N_ELEMENTS (cells); i++) {
    HeatOptions o = { .cell_m = cells[i], .coarse_m = cells[i], .frame_s = 10 };
    char name[64];
    snprintf (name, sizeof name, "30 s, uniform %.1f mm", cells[i] * 1e3);
    heat_result_free (solve (name, &job->scene, &o));
  }
  g_free (job);
}

int
main (int argc, char **argv)
{
  standard_job ();
  if (argc < 2 || g_strcmp0 (argv[1], "--short"))
    cost_against_size ();
  return 0;
}
