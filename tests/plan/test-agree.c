/* The reduced model and the full solution of the same mesh agree over the whole profile at every joint and body
 * of every part: on the demo, on three real boards, and on generated jobs. */
#include "../heat/compare.h"
#include "agree-jobs.h"
#include "heat/reduced.h"
#include "board/operations.h"
#include "plan/compile.h"

/* At every joint and body, over the whole profile. */
static const double LIMIT_K = 0.5;
/* Moments at which two marches meet a jump: by the full solution's own step, and as much as the small difference between
 * both makes on a plateau. At every other moment they are no farther apart. */
static const double SLACK_S = 0.4, STEP_S = 0.25;

/* Under a sanitizer everything takes many times as long. */
#if defined(__SANITIZE_ADDRESS__)
enum { MADE = 3, COARSER = 2 };
#else
enum { MADE = 30, COARSER = 1 };
#endif

static double largest_k;

static void
agree (const char *name, const LwJob *job, guint plan, double cell_m)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwCase) compiled = lw_case_new (job, plan, &error);
  g_assert_no_error (error);
  HeatOptions how = { .cell_m = cell_m * COARSER, .step_s = STEP_S };
  HeatReducedOptions quickly = { .cell_m = cell_m * COARSER };
  HeatSolver *solver = NULL;
  HeatReduced *model = NULL;
  HeatResult *full = NULL, *quick = NULL;
  g_assert_cmpint (heat_solver_new (&compiled->scene, &how, &solver), ==, HEAT_OK);
  g_assert_cmpint (heat_solver_run (solver, &full), ==, HEAT_OK);
  g_assert_cmpint (heat_reduced_new (&compiled->scene, &quickly, &model), ==, HEAT_OK);
  HeatReducedRun *run = heat_reduced_run_new (model);
  HeatDrive drive = heat_drive_of (&compiled->scene);
  g_assert_cmpint (heat_reduced_solve (model, run, &drive, NULL), ==, HEAT_OK);
  g_assert_cmpint (heat_reduced_result (model, run, &quick), ==, HEAT_OK);
  Apart most = { -1, 0, 0, "" };
  for (size_t i = 0; i < full->n_bodies; i++)
    compare_body (full, quick, i, SLACK_S, &most);
  const LwPart *part = g_ptr_array_index (job->parts, compiled->body_of[most.body].part);
  for (size_t k = 0; k < full->n_joints; k++)
    compare_series (full, full->joints + k, quick, quick->joints + k, full->n_joints, SLACK_S,
                    compiled->scene.target, "joint of the target", &most);
  g_test_message ("%s: %.3f K apart at most, %s, %s, at %.2f s; %zu bodies, %zu nodes", name, most.most_k,
                  part->ref, most.series, most.t_s, full->n_bodies, full->n_nodes);
  largest_k = MAX (largest_k, most.most_k);
  heat_result_free (full);
  heat_result_free (quick);
  heat_reduced_run_free (run);
  heat_reduced_free (model);
  heat_solver_free (solver);
}

static void
assert_limit (void)
{
  g_test_message ("largest difference %.3f K", largest_k);
  g_assert_cmpfloat (largest_k, <, LIMIT_K);
  largest_k = 0;
}

static void
test_demo (void)
{
  LwJob *job = agree_demo ();
  for (guint i = 0; i < job->plans->len; i++)
    if (lw_plan_heats (job->plans->pdata[i]))
      agree (i ? "demo, second plan" : "demo, first plan", job, i, 3e-3);
  lw_job_unref (job);
  assert_limit ();
}

static void
test_boards (void)
{
  static const char *const boards[][2] = { { "coldfire_kit/coldfire.emn", "U301" },
                                           { "ecc83_v2/ecc83v2.emn", "R1" },
                                           { "parallella_gen0/parallella_gen0.emn", "U26" } };
  for (guint i = 0; i < G_N_ELEMENTS (boards); i++) {
    LwJob *job = agree_board (boards[i][0], boards[i][1]);
    agree (boards[i][0], job, 0, 3e-3);
    lw_job_unref (job);
  }
  assert_limit ();
}

static void
test_made (void)
{
  for (guint i = 0; i < MADE; i++) {
    g_autofree char *name = g_strdup_printf ("made %u", i);
    LwJob *job = agree_made (i);
    agree (name, job, 0, 2.5e-3);
    lw_job_unref (job);
  }
  assert_limit ();
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/agree/demo", test_demo);
  g_test_add_func ("/agree/boards", test_boards);
  g_test_add_func ("/agree/made", test_made);
  return g_test_run ();
}
