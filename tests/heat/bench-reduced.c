/* Prints what the reduced model costs, step by step and beside what it may, and how far it is from the full solution. */
#define _POSIX_C_SOURCE 200809L
#include <glib.h>
#include <stdio.h>
#include <string.h>
#include <sys/resource.h>
#include <time.h>

#include "bench-job.h"
#include "compare.h"
#include "heat/reduced.h"

static double
cpu_ms (void)
{
  struct timespec t;
  clock_gettime (CLOCK_PROCESS_CPUTIME_ID, &t);
  return 1e3 * t.tv_sec + 1e-6 * t.tv_nsec;
}

static double
clock_s (void)
{
  return 1e-3 * cpu_ms ();
}

/* ---- two threads ---- */

typedef struct {
  void (*job) (void *data, size_t i);
  void *data;
  size_t n;
  gint next;
} Order;

static gpointer
help (gpointer data)
{
  Order *o = data;
  for (size_t i; (i = (size_t) g_atomic_int_add (&o->next, 1)) < o->n;)
    o->job (o->data, i);
  return NULL;
}

static void
on_two (void *pool, size_t n, void (*job) (void *data, size_t i), void *data)
{
  Order o = { job, data, n, 0 };
  GThread *other = g_thread_new ("two", help, &o);
  help (&o);
  g_thread_join (other);
}

/* ---- from an edit to an answer ---- */

static double
wall_s (void)
{
  return 1e-6 * g_get_monotonic_time ();
}

static double
resident_mb (void)
{
  struct rusage used;
  getrusage (RUSAGE_SELF, &used);
  return used.ru_maxrss * 1e-3;
}

static void
print_limit (const char *what, double value, double limit, double aim, const char *unit)
{
  printf ("  %-28s %8.1f %s: limit %g%s", what, value, unit, limit, value <= limit ? ", met" : ", NOT MET");
  if (aim > 0)
    printf ("; aim %g%s", aim, value <= aim ? ", met" : ", not met");
  printf ("\n");
}

/* What is asked for once a model is there. */
static void
ask (const HeatReduced *model, const HeatScene *scene)
{
  HeatResult *result = NULL;
  HeatReducedRun *run = heat_reduced_run_new (model);
  HeatDrive drive = heat_drive_of (scene);
  if (heat_reduced_solve (model, run, &drive, NULL) != HEAT_OK)
    g_error ("%s", heat_reduced_detail (run));
  heat_reduced_result (model, run, &result);
  heat_result_free (result);
  heat_reduced_run_free (run);
}

/* Everything anew: mesh, network, films, basis, march, traces. WALL and CPU: the quickest of a few times, ms. */
static void
answer (const HeatScene *scene, double cell, double coarse, const HeatParallel *parallel, double *wall, double *cpu)
{
  *wall = *cpu = INFINITY;
  double best[7] = { 0 };
  for (int k = 0; k < 5; k++) {
    HeatReduced *model = NULL;
    HeatResult *result = NULL;
    HeatReducedOptions o = { .cell_m = cell, .coarse_m = coarse, .clock_s = wall_s, .parallel = parallel };
    double c0 = cpu_ms (), w0 = wall_s ();
    if (heat_reduced_new (scene, &o, &model) != HEAT_OK)
      g_error ("model");
    HeatReducedRun *run = heat_reduced_run_new (model);
    HeatDrive drive = heat_drive_of (scene);
    double w1 = wall_s ();
    if (heat_reduced_solve (model, run, &drive, NULL) != HEAT_OK)
      g_error ("%s", heat_reduced_detail (run));
    double w2 = wall_s ();
    heat_reduced_result (model, run, &result);
    double w3 = wall_s ();
    const HeatReducedReport *r = heat_reduced_report (model);
    *cpu = fmin (*cpu, cpu_ms () - c0);
    if (1e3 * (w3 - w0) < *wall) {
      *wall = 1e3 * (w3 - w0);
      const double now[7] = { r->mesh_s, r->responses_s, r->projection_s, r->marches_s, r->readers_s, w2 - w1, w3 - w2 };
      memcpy (best, now, sizeof best);
    }
    heat_result_free (result);
    heat_reduced_run_free (run);
    heat_reduced_free (model);
  }
  printf ("  wall time on %s: mesh and network %.1f, responses %.1f, projection %.1f, rough marches %.1f, readers %.1f, "
          "march %.1f, traces %.1f ms\n", parallel ? "two threads" : "one thread", 1e3 * best[0], 1e3 * best[1], 1e3 * best[2],
          1e3 * best[3], 1e3 * best[4], 1e3 * best[5], 1e3 * best[6]);
}

typedef enum { NOZZLE, HEIGHT, PREHEAT, SHIELD, PART, N_EDITS } Edit;
static const char *const EDITS[] = { "nozzle moved by 2 mm", "nozzle raised by 1 mm", "preheat area made smaller", "shield set up",
                                     "part moved by 1 mm" };

static void
make_edit (BenchJob *j, Edit what, HeatShield *shield, HeatXY corners[4])
{
  HeatScene *s = &j->scene;
  HeatXY c = s->nozzle.center;
  if (what == NOZZLE)
    s->nozzle.center.x += 2e-3;
  else if (what == HEIGHT)
    s->nozzle.height_m += 1e-3;
  else if (what == PREHEAT)
    s->preheat.length_m = 0.12;
  else if (what == PART)
    j->bodies[0] = bench_array (j, (HeatXY){ c.x + 1e-3, c.y });
  else {
    const HeatXY at[4] = { { c.x + 20e-3, c.y }, { c.x + 30e-3, c.y }, { c.x + 30e-3, c.y + 15e-3 }, { c.x + 20e-3, c.y + 15e-3 } };
    memcpy (corners, at, sizeof at);
    *shield = (HeatShield){ { corners, 4 }, 0.2 };
    s->shields = shield;
    s->n_shields = 1;
  }
}

/* An edit and back again, each time near the model before and in its memory: the quickest once memory goes round. */
static double
edit_near (Edit what, double cell, double coarse, const HeatParallel *parallel)
{
  enum { ROUNDS = 8, FIRST = 3 };
  BenchJob *jobs[2] = { g_new0 (BenchJob, 1), g_new0 (BenchJob, 1) };
  HeatShield shield;
  HeatXY corners[4];
  HeatReduced *was = NULL;
  HeatReducedOptions o = { .cell_m = cell, .coarse_m = coarse, .parallel = parallel, .workspace = heat_workspace_new (0) };
  double wall = INFINITY, cpu = INFINITY;
  size_t iterations = 0;
  for (int i = 0; i < 2; i++)
    bench_job (jobs[i], 0.2, 0.15, false);
  make_edit (jobs[1], what, &shield, corners);
  for (int k = 0; k < ROUNDS; k++) {
    HeatReduced *model = NULL;
    o.near = was;
    double c0 = cpu_ms (), w0 = wall_s ();
    if (heat_reduced_new (&jobs[k % 2]->scene, &o, &model) != HEAT_OK)
      g_error ("model");
    ask (model, &jobs[k % 2]->scene);
    if (k >= FIRST) {
      wall = fmin (wall, 1e3 * (wall_s () - w0));
      cpu = fmin (cpu, cpu_ms () - c0);
    }
    iterations = heat_reduced_report (model)->n_cg_iterations;
    heat_reduced_free (was);
    was = model;
  }
  printf ("  near the model before, %-26s wall %6.1f ms, processor %6.1f ms, %zu cg\n", EDITS[what], wall, cpu, iterations);
  heat_reduced_free (was);
  heat_workspace_free (o.workspace);
  g_free (jobs[0]);
  g_free (jobs[1]);
  return wall;
}

static void
edit (const char *name, const HeatScene *scene, double cell, double coarse, double limit, double aim)
{
  const HeatParallel two = { on_two, NULL };
  double wall, cpu;
  printf ("from an edit to an answer, %s\n", name);
  answer (scene, cell, coarse, NULL, &wall, &cpu);
  printf ("  from nothing, one thread: wall %.1f ms, processor %.1f ms\n", wall, cpu);
  answer (scene, cell, coarse, &two, &wall, &cpu);
  printf ("  from nothing, two threads: wall %.1f ms, processor %.1f ms\n", wall, cpu);
  print_limit ("wall time from nothing", wall, limit, aim, "ms");
  double slowest = 0;
  for (Edit what = 0; what < N_EDITS; what++)
    slowest = fmax (slowest, edit_near (what, cell, coarse, &two));
  print_limit ("wall time of the slowest edit", slowest, limit, aim, "ms");
  print_limit ("peak memory of all so far", resident_mb (), 250, 0, "MB");
}

/* ---- against the full solution ---- */

static HeatResult *
full (const HeatScene *scene, double cell, double coarse)
{
  HeatSolver *solver = NULL;
  HeatResult *result = NULL;
  HeatOptions o = { .cell_m = cell, .coarse_m = coarse };
  double start = cpu_ms ();
  if (heat_solver_new (scene, &o, &solver) != HEAT_OK || heat_solver_run (solver, &result) != HEAT_OK)
    g_error ("full: %s", solver ? heat_solver_detail (solver) : "");
  printf ("  full solution            %8.1f ms, %zu steps\n", cpu_ms () - start, result->n_steps);
  heat_solver_free (solver);
  return result;
}

static void
print_apart (const char *what, Apart apart)
{
  printf ("  %-24s %8.3f K: %s of %zu at %.2f s\n", what, apart.most_k, apart.series, apart.body, apart.t_s);
}

static void
job (const char *name, const HeatScene *scene, double cell, double coarse)
{
  printf ("%s\n", name);
  HeatReduced *model = NULL;
  HeatReducedOptions o = { .cell_m = cell, .coarse_m = coarse, .clock_s = clock_s };
  double t0 = cpu_ms ();
  HeatStatus status = heat_reduced_new (scene, &o, &model);
  if (status != HEAT_OK)
    g_error ("%s", heat_status_text (status));
  double t1 = cpu_ms ();
  const HeatReducedReport *r = heat_reduced_report (model);
  printf ("  model                    %8.1f ms: %zu nodes, %zu vectors, %zu zones, %zu melting, %zu solves, %zu cg, "
          "%.1f MB; mesh %.1f responses %.1f marches %.1f projection %.1f readers %.1f ms\n",
          t1 - t0, r->n_nodes, r->n_basis, r->n_zones, r->n_melt_zones, r->n_solves, r->n_cg_iterations,
          r->bytes * 1e-6, 1e3 * r->mesh_s, 1e3 * r->responses_s, 1e3 * r->marches_s, 1e3 * r->projection_s, 1e3 * r->readers_s);
  HeatReducedRun *run = heat_reduced_run_new (model);
  HeatDrive drive = heat_drive_of (scene);
  for (int k = 0; k < 2; k++) {
    t0 = cpu_ms ();
    status = heat_reduced_solve (model, run, &drive, NULL);
    if (status != HEAT_OK)
      g_error ("%s %s", heat_status_text (status), heat_reduced_detail (run));
    printf ("  march                    %8.3f ms\n", cpu_ms () - t0);
  }
  print_limit ("march, processor time", cpu_ms () - t0, 5, 0, "ms");
  HeatResult *reduced = NULL;
  t0 = cpu_ms ();
  if (heat_reduced_result (model, run, &reduced) != HEAT_OK)
    g_error ("result");
  printf ("  result                   %8.3f ms, %zu times, imbalance %.2g\n", cpu_ms () - t0, reduced->n_times, reduced->energy.imbalance_share);
  HeatResult *whole = full (scene, cell, coarse);
  print_apart ("apart", compare_results (whole, reduced, 0));
  print_apart ("apart, 0.25 s slack", compare_results (whole, reduced, 0.25));
  for (size_t i = 0; i < scene->n_bodies; i++) {
    Apart most = { -1, 0, 0, "" };
    compare_body (whole, reduced, i, 0.25, &most);
    print_apart ("  body", most);
  }
  heat_result_free (whole);
  heat_result_free (reduced);
  heat_reduced_run_free (run);
  heat_reduced_free (model);
}

int
main (int argc, char **argv)
{
  BenchJob *j = g_new0 (BenchJob, 1);
  bench_job (j, 0.2, 0.15, false);
  edit ("default mesh", &j->scene, 0, 0, 150, 60);
  edit ("uniform 1 mm", &j->scene, 1e-3, 1e-3, 400, 150);
  job ("standard job, default mesh", &j->scene, 0, 0);
  bench_job (j, 0.2, 0.15, true);
  job ("standard job with neighbours, default mesh", &j->scene, 0, 0);
  bench_job (j, 0.06, 0.05, true);
  j->gas_v[0] = 420;
  j->flow_t[0] = j->flow_t[1] = 5;
  j->flow_v[1] = 60e-3 / 60;
  j->scene.end_s = 100;
  job ("short job that melts", &j->scene, 0, 0);
  if (argc < 2 || g_strcmp0 (argv[1], "--short")) {
    bench_job (j, 0.2, 0.15, false);
    job ("standard job, uniform 1 mm", &j->scene, 1e-3, 1e-3);
  }
  g_free (j);
  return 0;
}
