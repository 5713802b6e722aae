/* Prints how far the reduced model is from the full solution, part by part. */
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "../heat/compare.h"
#include "agree-jobs.h"
#include "heat/reduced.h"
#include "board/operations.h"
#include "plan/compile.h"

static double
now (void)
{
  return 1e3 * (double) clock () / CLOCKS_PER_SEC;
}

static void
measure (const char *name, const LwJob *job, guint plan, double cell_m, double step_s)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwCase) compiled = lw_case_new (job, plan, &error);
  if (compiled == NULL)
    g_error ("%s", error->message);
  HeatSolver *solver = NULL;
  HeatResult *whole = NULL, *quick = NULL;
  HeatReduced *model = NULL;
  HeatOptions o = { .cell_m = cell_m, .step_s = step_s };
  HeatReducedOptions ro = { .cell_m = cell_m };
  double t0 = now ();
  if (heat_solver_new (&compiled->scene, &o, &solver) != HEAT_OK || heat_solver_run (solver, &whole) != HEAT_OK)
    g_error ("%s: full", name);
  double t1 = now ();
  if (heat_reduced_new (&compiled->scene, &ro, &model) != HEAT_OK)
    g_error ("%s: reduced", name);
  double t2 = now ();
  HeatReducedRun *run = heat_reduced_run_new (model);
  HeatDrive drive = heat_drive_of (&compiled->scene);
  if (heat_reduced_solve (model, run, &drive, NULL) != HEAT_OK)
    g_error ("%s: %s", name, heat_reduced_detail (run));
  double t3 = now ();
  heat_reduced_result (model, run, &quick);
  double t4 = now ();
  const HeatReducedReport *r = heat_reduced_report (model);
  Apart strict = compare_results (whole, quick, 0), apart = compare_results (whole, quick, 0.25);
  printf ("%s plan %u: %zu bodies %zu nodes %zu vectors %zu zones %zu cells; full %.0f model %.0f march %.1f result %.1f ms, %zu steps, %.0f MB\n",
          name, plan, whole->n_bodies, r->n_nodes, r->n_basis, r->n_zones, r->n_melt_zones, t1 - t0, t2 - t1, t3 - t2, t4 - t3, quick->n_steps, r->bytes * 1e-6);
  printf ("  left %.3f K\n", r->error_k); printf ("  strict %.3f K %s of %zu at %.2f; slack %.3f K %s of %zu at %.2f; board %.3f\n", strict.most_k, strict.series, strict.body, strict.t_s,
          apart.most_k, apart.series, apart.body, apart.t_s, 0.0);
  int shown = 0, show = g_getenv ("SHOW") ? atoi (g_getenv ("SHOW")) : 10;
  const char *trace = g_getenv ("TRACE");
  for (size_t i = 0; trace && i < whole->n_bodies; i++) {
    const LwPart *part = g_ptr_array_index (job->parts, compiled->body_of[i].part);
    if (g_strcmp0 (part->ref, trace))
      continue;
    for (size_t k = 0; k < quick->n_times; k++)
      if (quick->t_s[k] > atof (g_getenv ("FROM")) && quick->t_s[k] < atof (g_getenv ("TO")))
        printf ("%8.3f top %8.3f %8.3f mean %8.3f %8.3f\n", quick->t_s[k], quick->bodies[i].body_top[k], compare_at (whole, whole->bodies[i].body_top, 1, quick->t_s[k]), quick->bodies[i].body_mean[k], compare_at (whole, whole->bodies[i].body_mean, 1, quick->t_s[k]));
  }
  for (size_t i = 0; i < whole->n_bodies; i++) {
    Apart most = { -1, 0, 0, "" };
    compare_body (whole, quick, i, 0.25, &most);
    if (most.most_k < 0.45 || shown++ >= show)
      continue;
    const HeatBody *b = &compiled->scene.bodies[i];
    const LwPart *part = g_ptr_array_index (job->parts, compiled->body_of[i].part);
    double liquid = 0, peak = 0;
    for (size_t k = 0; k < whole->n_times; k++) {
      peak = MAX (peak, whole->bodies[i].body_max[k]);
      if (whole->bodies[i].liquid_share) liquid = MAX (liquid, whole->bodies[i].liquid_share[k]);
    }
    printf ("    %-6s %.3f K %s at %.2f: %s%s%s %.1fx%.1fx%.1f mm at %.1f,%.1f from target, %zu joints, peak %.1f C, liquid %.2f\n", part->ref, most.most_k, most.series, most.t_s,
            i == compiled->scene.target ? "target " : "", b->meshed ? "meshed " : "", b->below ? "below " : "", b->length_m * 1e3, b->width_m * 1e3, b->height_m * 1e3,
            1e3 * (b->center.x - compiled->scene.nozzle.center.x), 1e3 * (b->center.y - compiled->scene.nozzle.center.y), b->n_joints, peak, liquid);
  }
  fflush (stdout);
  heat_result_free (whole);
  heat_result_free (quick);
  heat_reduced_run_free (run);
  heat_reduced_free (model);
  heat_solver_free (solver);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  double cell = argc > 1 ? atof (argv[1]) * 1e-3 : 0, step = argc > 2 ? atof (argv[2]) : 0;
  const char *only = argc > 3 ? argv[3] : "";
  LwJob *demo = agree_demo ();
  for (guint i = 0; i < demo->plans->len; i++) {
    g_autofree char *n = g_strdup_printf ("demo%u", i);
    if (strstr (n, only) && lw_plan_heats (demo->plans->pdata[i]))
      measure ("demo", demo, i, cell, step);
  }
  lw_job_unref (demo);
  for (guint i = 0; i < 30; i++) {
    g_autofree char *n = g_strdup_printf ("made%u", i);
    if (strcmp (n, only))
      continue;
    LwJob *job = agree_made (i);
    measure (n, job, 0, cell, step);
    lw_job_unref (job);
  }
  static const char *const boards[][3]
      = { { "coldfire_kit/coldfire.emn", "U301", "cold" }, { "ecc83_v2/ecc83v2.emn", NULL, "ecc" }, { "parallella_gen0/parallella_gen0.emn", NULL, "para" } };
  for (int i = 0; i < 3; i++)
    if (boards[i][1] && strstr (boards[i][2], only)) {
      LwJob *job = agree_board (boards[i][0], boards[i][1]);
      measure (boards[i][2], job, 0, cell, step);
      lw_job_unref (job);
    }
  return 0;
}
