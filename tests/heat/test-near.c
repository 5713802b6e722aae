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

/* ---- a row of edits ---- */

/* A job that melts two parts, with a shield; it points into itself. */
typedef struct {
  BenchJob job;
  HeatXY corners[4];
  HeatShield shield;
} Edited;

static Edited *
edited_new (void)
{
  Edited *e = g_new0 (Edited, 1);
  bench_job (&e->job, 0.06, 0.05, true);
  e->job.gas_v[0] = 420;
  e->job.flow_t[0] = e->job.flow_t[1] = 5;
  e->job.flow_v[1] = 60e-3 / 60;
  e->job.scene.end_s = 60;
  return e;
}

static void
set_shield (Edited *e, HeatXY at, double share)
{
  const HeatXY corners[4] = { at, { at.x + 6e-3, at.y }, { at.x + 6e-3, at.y + 9e-3 }, { at.x, at.y + 9e-3 } };
  memcpy (e->corners, corners, sizeof corners);
  e->shield = (HeatShield){ { e->corners, 4 }, share };
  e->job.scene.shields = &e->shield;
  e->job.scene.n_shields = 1;
}

/* One thing is moved, as by a hand: a few millimetres from where it was in the first place. */
static const char *
edit (Edited *e, int number)
{
  HeatScene *s = &e->job.scene;
  g_autoptr (GRand) rand = g_rand_new_with_seed ((guint32) number);
  double dx = g_rand_double_range (rand, -2e-3, 2e-3), dy = g_rand_double_range (rand, -2e-3, 2e-3);
  HeatXY middle = { 0.03, 0.025 };
  switch ((number * 3 + number / 5) % 5) { /* each kind after other kinds */
  case 0:
    s->nozzle.center = (HeatXY){ middle.x + dx, middle.y + dy };
    return "nozzle";
  case 1:
    s->nozzle.height_m = 3e-3 + fabs (dx);
    return "nozzle's height";
  case 2:
    s->preheat.center.x = middle.x + 10 * dx;
    s->preheat.length_m = 0.06 + 10 * dy;
    return "preheat area";
  case 3:
    set_shield (e, (HeatXY){ 0.045 + dx, 0.02 + dy }, 0.2);
    return "shield";
  default:
    e->job.bodies[3].center = (HeatXY){ middle.x + 4e-3 + dx, middle.y - 20e-3 + dy };
    e->job.bodies[1].center.y = middle.y + 3e-3 + dy;
    return "parts";
  }
}

/* Where a joint leaves its plateau, its moment may be another by the longest step while joints melt. */
static const double MOMENT_S = 0.5;

/* What a model built near another answers against what one built from nothing does: no more apart than the errors that both
 * report. */
static double
apart_from_anew (const char *what, const HeatScene *scene, const Quick *near, double cell_m)
{
  HeatReducedOptions o = { .cell_m = cell_m };
  Quick anew = quick_solve (scene, &o);
  Apart apart = compare_results (anew.result, near->result, MOMENT_S);
  g_test_message ("%s: %.4f K apart, %s of %zu at %.2f s; errors %.3f and %.3f K; %zu and %zu iterations", what, apart.most_k,
                  apart.series, apart.body, apart.t_s, heat_reduced_report (anew.model)->error_k,
                  heat_reduced_report (near->model)->error_k, heat_reduced_report (anew.model)->n_cg_iterations,
                  heat_reduced_report (near->model)->n_cg_iterations);
  g_assert_cmpfloat (apart.most_k, <, heat_reduced_report (anew.model)->error_k + heat_reduced_report (near->model)->error_k);
  quick_free (&anew);
  return apart.most_k;
}

/* The scene after so many edits: one is never changed under its model. */
static Edited *
edited (int n, const char **last)
{
  Edited *e = edited_new ();
  for (int i = 0; i < n; i++)
    *last = edit (e, i);
  return e;
}

static void
test_edits (void)
{
  enum { EDITS = 8 };
  HeatWorkspace *workspace = heat_workspace_new (0);
  const char *what = "";
  Edited *now = edited (0, &what);
  HeatReducedOptions o = { .cell_m = 2.5e-3, .workspace = workspace };
  Quick was = quick_solve (&now->job.scene, &o);
  double most = 0;
  for (int k = 1; k <= EDITS; k++) {
    Edited *next = edited (k, &what);
    o.near = was.model;
    Quick quick = quick_solve (&next->job.scene, &o);
    most = MAX (most, apart_from_anew (what, &next->job.scene, &quick, o.cell_m));
    quick_free (&was);
    g_free (now);
    was = quick;
    now = next;
  }
  g_test_message ("at most %.4f K apart", most);
  g_assert_cmpfloat (most, <, 0.2); /* twice the wanted error */
  quick_free (&was);
  g_free (now);
  heat_workspace_free (workspace);
}

/* Nothing was edited: every response is there already, and one look tells. */
static void
test_no_edit (void)
{
  Edited *e = edited_new ();
  HeatWorkspace *workspace = heat_workspace_new (0);
  HeatReducedOptions o = { .cell_m = 2.5e-3, .workspace = workspace };
  Quick first = quick_solve (&e->job.scene, &o);
  o.near = first.model;
  Quick second = quick_solve (&e->job.scene, &o);
  const HeatReducedReport *a = heat_reduced_report (first.model), *b = heat_reduced_report (second.model);
  g_test_message ("%zu iterations, then %zu", a->n_cg_iterations, b->n_cg_iterations);
  g_assert_cmpuint (10 * b->n_cg_iterations, <, 8 * a->n_cg_iterations);
  g_assert_cmpfloat (compare_results (first.result, second.result, MOMENT_S).most_k, <, 0.1);
  quick_free (&first);
  quick_free (&second);
  heat_workspace_free (workspace);
  g_free (e);
}

/* Another mesh, another gas, another number of bodies: what does not suit is left, and the answer is what it is. */
static void
test_strangers (void)
{
  Edited *e = edited_new (), *fewer = edited_new (), *still = edited_new ();
  HeatWorkspace *workspace = heat_workspace_new (0);
  HeatReducedOptions o = { .cell_m = 2.5e-3, .workspace = workspace };
  fewer->job.scene.n_bodies = 3;
  still->job.flow_v[0] = still->job.flow_v[1] = 0;
  Quick first = quick_solve (&e->job.scene, &o);
  const struct {
    const char *what;
    const HeatScene *scene;
    double cell_m;
  } others[] = { { "fewer bodies", &fewer->job.scene, 2.5e-3 },
                 { "no gas", &still->job.scene, 2.5e-3 },
                 { "larger cells", &e->job.scene, 3e-3 } };
  o.near = first.model;
  for (size_t i = 0; i < G_N_ELEMENTS (others); i++) {
    o.cell_m = others[i].cell_m;
    Quick quick = quick_solve (others[i].scene, &o);
    g_assert_cmpfloat (apart_from_anew (others[i].what, others[i].scene, &quick, o.cell_m), <, 0.2);
    quick_free (&quick);
  }
  quick_free (&first);
  heat_workspace_free (workspace);
  g_free (e);
  g_free (fewer);
  g_free (still);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/near/workspace", test_workspace);
  g_test_add_func ("/near/workspace-limit", test_workspace_limit);
  g_test_add_func ("/near/workspace-threads", test_workspace_threads);
  g_test_add_func ("/near/edits", test_edits);
  g_test_add_func ("/near/no-edit", test_no_edit);
  g_test_add_func ("/near/strangers", test_strangers);
  return g_test_run ();
}
