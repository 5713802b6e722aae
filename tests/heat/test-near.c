/* Models built one after the other, as edits of a job make them: what one leaves to the next changes nothing that
 * shows. */
#include "plain-scene.h"

#include "bench-job.h"
#include "compare.h"
#include "heat/reduced-internal.h"

typedef struct {
  HeatReduced *model;
  HeatReducedRun *run;
  HeatResult *result;
} Quick;

static Quick
quick_solve (const HeatScene *scene, const HeatReducedOptions *options)
{
  Quick q = { 0 };
  HeatDrive own = heat_drive_of (scene);
  g_assert_cmpint (heat_reduced_new (scene, options, &q.model), ==, HEAT_OK);
  q.run = heat_reduced_run_new (q.model);
  HeatStatus status = heat_reduced_solve (q.model, q.run, &own, NULL);
  if (status != HEAT_OK)
    g_error ("%s: %s", heat_status_text (status), heat_reduced_detail (q.run));
  g_assert_cmpint (heat_reduced_result (q.model, q.run, &q.result), ==, HEAT_OK);
  return q;
}

static void
quick_free (Quick *q)
{
  heat_result_free (q->result);
  heat_reduced_run_free (q->run);
  heat_reduced_free (q->model);
  *q = (Quick){ 0 };
}

static void
assert_same (const Quick *a, const Quick *b)
{
  g_assert_cmpuint (a->result->n_times, ==, b->result->n_times);
  g_assert_cmpmem (a->result->joints, a->result->n_times * 289 * sizeof (double), b->result->joints,
                   b->result->n_times * 289 * sizeof (double));
  g_assert_cmpmem (a->result->board_max, a->result->n_times * sizeof (double), b->result->board_max,
                   b->result->n_times * sizeof (double));
}

/* ---- memory used again ---- */

/* What lay in the memory before does not show: bit by bit the same, first and later. */
static void
test_workspace (void)
{
  BenchJob *small = g_new0 (BenchJob, 1), *large = g_new0 (BenchJob, 1);
  HeatWorkspace *workspace = heat_workspace_new (0);
  HeatReducedOptions o = { .cell_m = 4e-3 }, w = { .cell_m = 4e-3, .workspace = workspace };
  bench_job (small, 0.05, 0.04, true);
  bench_job (large, 0.08, 0.06, true);
  small->scene.end_s = large->scene.end_s = 140;
  Quick plain = quick_solve (&small->scene, &o);
  for (int k = 0; k < 2; k++) {
    Quick first = quick_solve (&small->scene, &w), other = quick_solve (&large->scene, &w);
    assert_same (&plain, &first);
    quick_free (&first);
    quick_free (&other); /* has written all over what comes next */
  }
#if !defined(__SANITIZE_ADDRESS__)
  g_assert_cmpuint (heat_workspace_idle (workspace), >, heat_reduced_report (plain.model)->bytes);
#endif
  Quick last = quick_solve (&small->scene, &w);
  heat_workspace_free (workspace); /* what is in use stays */
  assert_same (&plain, &last);
  quick_free (&last);
  quick_free (&plain);
  g_free (small);
  g_free (large);
}

/* It holds no more than it may, and what it holds is used. */
static void
test_workspace_limit (void)
{
  BenchJob *j = g_new0 (BenchJob, 1);
  HeatReduced *model = NULL;
  const size_t most = 1 << 20;
  HeatWorkspace *workspace = heat_workspace_new (most);
  HeatReducedOptions w = { .cell_m = 4e-3, .workspace = workspace };
  bench_job (j, 0.05, 0.04, false);
  j->scene.end_s = 20;
  g_assert_cmpuint (heat_workspace_idle (workspace), ==, 0);
  for (int k = 0; k < 3; k++) {
    g_assert_cmpint (heat_reduced_new (&j->scene, &w, &model), ==, HEAT_OK);
    heat_reduced_free (model);
    g_assert_cmpuint (heat_workspace_idle (workspace), <=, most);
  }
#if !defined(__SANITIZE_ADDRESS__)
  g_assert_cmpuint (heat_workspace_idle (workspace), >, most / 4);
#endif
  heat_workspace_free (workspace);
  g_free (j);
}

/* Two threads build with one workspace, and free each other's models. */
typedef struct {
  const HeatScene *scene;
  HeatWorkspace *workspace;
  GAsyncQueue *models;
} Shop;

static gpointer
build_and_free (gpointer data)
{
  Shop *shop = data;
  HeatReducedOptions w = { .cell_m = 6e-3, .workspace = shop->workspace };
  for (int k = 0; k < 3; k++) {
    HeatReduced *model = NULL;
    g_assert_cmpint (heat_reduced_new (shop->scene, &w, &model), ==, HEAT_OK);
    g_async_queue_push (shop->models, model);
    heat_reduced_free (g_async_queue_pop (shop->models));
  }
  return NULL;
}

static void
test_workspace_threads (void)
{
  BenchJob *j = g_new0 (BenchJob, 1);
  bench_job (j, 0.05, 0.04, false);
  j->scene.end_s = 20;
  Shop shop = { &j->scene, heat_workspace_new (0), g_async_queue_new () };
  GThread *other = g_thread_new ("other", build_and_free, &shop);
  build_and_free (&shop);
  g_thread_join (other);
  heat_workspace_free (shop.workspace);
  g_async_queue_unref (shop.models);
  g_free (j);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/near/workspace", test_workspace);
  g_test_add_func ("/near/workspace-limit", test_workspace_limit);
  g_test_add_func ("/near/workspace-threads", test_workspace_threads);
  return g_test_run ();
}
