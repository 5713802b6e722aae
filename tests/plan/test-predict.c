/* From a job to temperatures, whole: exact solutions through the document's door, identities, energy. */
#include <math.h>
#include <string.h>

#include "bench.h"
#include "plan/predict.h"

static LwPrediction *
predict (LwJob *job, const LwPredictOptions *options)
{
  static const LwPredictOptions plain = { .no_doubt = TRUE };
  g_autoptr (GError) error = NULL;
  LwPrediction *prediction
      = lw_predict (job, 0, options != NULL ? options : &plain, NULL, NULL, NULL, &error);

  g_assert_no_error (error);
  return prediction;
}

static const LwPartTrace *
trace_of (const LwPrediction *prediction, const char *ref)
{
  for (guint i = 0; i < prediction->parts->len; i++) {
    const LwPartTrace *trace = g_ptr_array_index (prediction->parts, i);
    if (g_str_equal (trace->ref, ref))
      return trace;
  }
  g_assert_not_reached ();
}

/* ---- exact solutions ---- */

/* Two masses, films to two baths each; integrated by the classical Runge-Kutta rule in steps so small
 * (1 ms against time constants of seconds) that its error is far below the tolerance. */
typedef struct {
  double c1, c2, g;
  double g1, t1;  /* film and bath of the first */
  double g2, t2, g3, t3; /* of the second */
} TwoNodes;

static void
slope (const TwoNodes *p, const double x[2], double out[2])
{
  double flow = p->g * (x[1] - x[0]);

  out[0] = (flow + p->g1 * (p->t1 - x[0])) / p->c1;
  out[1] = (-flow + p->g2 * (p->t2 - x[1]) + p->g3 * (p->t3 - x[1])) / p->c2;
}

static void
march (const TwoNodes *p, double x[2], double seconds)
{
  int n = (int) lround (seconds / 1e-3);
  double h = 1e-3, a[2], b[2], c[2], d[2], y[2];

  for (int i = 0; i < n; i++) {
    slope (p, x, a);
    for (int k = 0; k < 2; k++)
      y[k] = x[k] + h / 2 * a[k];
    slope (p, y, b);
    for (int k = 0; k < 2; k++)
      y[k] = x[k] + h / 2 * b[k];
    slope (p, y, c);
    for (int k = 0; k < 2; k++)
      y[k] = x[k] + h * c[k];
    slope (p, y, d);
    for (int k = 0; k < 2; k++)
      x[k] += h / 6 * (a[k] + 2 * b[k] + 2 * c[k] + d[k]);
  }
}

/* The prescribed bench with the best conductor a document allows is two lumps: body 0.81 J/K, board
 * 4.8 J/K. */
static void
test_lumps (void)
{
  g_autoptr (LwJob) job = bench_prescribed (5000, 800);
  g_autoptr (LwPrediction) prediction = predict (job, NULL);
  const LwPartTrace *u1 = trace_of (prediction, "U1");
  double foot = 20e-3 * 15e-3, board = 40e-3 * 30e-3, x[2] = { 25, 25 };
  TwoNodes p = { .c1 = 1.8e6 * foot * 1.5e-3, .c2 = 2e6 * board * 2e-3, .g = 800 * foot,
                 .g1 = 20 * foot, .t1 = 25, .g2 = 30 * board, .t2 = 150, .g3 = 20 * (board - foot),
                 .t3 = 25 };

  march (&p, x, 60);
  g_test_message ("60 s: body %.3f exact %.3f, board %.3f exact %.3f",
                  lw_prediction_at (prediction, u1->body_top, 60), x[0],
                  lw_prediction_at (prediction, prediction->board_mean, 60), x[1]);
  g_assert_cmpfloat_with_epsilon (lw_prediction_at (prediction, u1->body_top, 60), x[0], 0.1);
  g_assert_cmpfloat_with_epsilon (lw_prediction_at (prediction, prediction->board_mean, 60), x[1], 0.1);
  p.g1 = 80 * foot;
  p.t1 = 300;
  march (&p, x, 60);
  g_test_message ("120 s: body %.3f exact %.3f, board %.3f exact %.3f",
                  lw_prediction_at (prediction, u1->body_top, 120), x[0],
                  lw_prediction_at (prediction, prediction->board_mean, 120), x[1]);
  g_assert_cmpfloat_with_epsilon (lw_prediction_at (prediction, u1->body_top, 120), x[0], 0.1);
  g_assert_cmpfloat_with_epsilon (lw_prediction_at (prediction, prediction->board_mean, 120), x[1], 0.1);
}

/* C1 2.6, C2 8.0 J/K, G 0.35, gas 0.06 W/K at 350 C, board 0.05 W/K to 150 C, both from 120 C: closed form
 * by eigenvalues (time constants 5.061 and 99.036 s). The problem is linear, so all is computed 20 K lower,
 * where a document's room may be. */
static void
test_two_nodes (void)
{
  static const double expected[][3] = { { 10, 149.651, 127.959 }, { 30, 173.129, 149.825 },
                                        { 60, 197.352, 176.308 }, { 120, 228.392, 210.340 } };
  g_autoptr (LwJob) job = bench_prescribed (5000, 0.35 / 3e-4);
  LwPart *part = g_ptr_array_index (job->parts, 0);
  LwPlan *plan = g_ptr_array_index (job->plans, 0);
  LwPrescribedFilms *films = &job->station->films;

  job->ambient_c = 100;
  g_ptr_array_set_size (job->board->outline, 0);
  g_ptr_array_add (job->board->outline, lw_loop_new_rectangle (-5, -5, 45, 35));
  job->board->thickness_mm = 10; /* so thick a conductor evens itself out */
  job->board->prescribed_heat_capacity_j_per_m3k = 8 / (50e-3 * 40e-3 * 10e-3);
  part->prescribed_body_heat_capacity_j_per_m3k = 2.6 / (3e-4 * 1.5e-3);
  films->nozzle_w_per_m2k = 0.06 / 3e-4;
  films->preheater_w_per_m2k = 0.05 / (50e-3 * 40e-3);
  films->room_up_w_per_m2k = films->room_down_w_per_m2k = 0;
  g_array_set_size (plan->table, 0);
  g_array_append_vals (plan->table, (LwKnot[]){ { 0, 330, 130 }, { 120, 330, 130 } }, 2);

  g_autoptr (LwPrediction) prediction = predict (job, NULL);
  const LwPartTrace *u1 = trace_of (prediction, "U1");
  for (guint i = 0; i < G_N_ELEMENTS (expected); i++) {
    double body = lw_prediction_at (prediction, u1->body_top, expected[i][0]) + 20;
    double board = lw_prediction_at (prediction, prediction->board_mean, expected[i][0]) + 20;
    g_test_message ("%g s: %.3f (%.3f), %.3f (%.3f)", expected[i][0], body, expected[i][1], board,
                    expected[i][2]);
    g_assert_cmpfloat_with_epsilon (body, expected[i][1], 0.05);
    g_assert_cmpfloat_with_epsilon (board, expected[i][2], 0.05);
  }
}

/* ---- identities ---- */

static void
assert_same_series (const double *a, const double *b, guint n, double tolerance)
{
  g_assert_true ((a == NULL) == (b == NULL));
  for (guint i = 0; a != NULL && i < n; i++)
    g_assert_cmpfloat_with_epsilon (a[i], b[i], tolerance);
}

static void
assert_same_parts (const LwPrediction *a, const LwPrediction *b, double tolerance)
{
  g_assert_cmpuint (a->n_times, ==, b->n_times);
  g_assert_cmpuint (a->parts->len, ==, b->parts->len);
  for (guint i = 0; i < a->parts->len; i++) {
    const LwPartTrace *p = g_ptr_array_index (a->parts, i), *q = g_ptr_array_index (b->parts, i);
    assert_same_series (p->joint_min, q->joint_min, a->n_times, tolerance);
    assert_same_series (p->joint_max, q->joint_max, a->n_times, tolerance);
    assert_same_series (p->body_top, q->body_top, a->n_times, tolerance);
    double sky[2], preheat[2];
    lw_prediction_hidden (a, i, &sky[0], &preheat[0]);
    lw_prediction_hidden (b, i, &sky[1], &preheat[1]);
    g_assert_cmpfloat_with_epsilon (sky[0], sky[1], 1e-6);
    g_assert_cmpfloat_with_epsilon (preheat[0], preheat[1], 1e-6);
    g_assert_cmpfloat_with_epsilon (p->spill_sheltered, q->spill_sheltered, 1e-6);
  }
}

static void
test_mirror_twin (void)
{
  g_autoptr (LwJob) top = bench_job (LW_SIDE_TOP, 0, 0), bottom = bench_job (LW_SIDE_BOTTOM, 0, 0);
  g_autoptr (LwPrediction) a = predict (top, NULL), b = predict (bottom, NULL);

  g_assert_false (a->flipped);
  g_assert_true (b->flipped);
  assert_same_parts (a, b, 0.05); /* rounding moves mesh lines by micrometres */
  for (double x = 3; x < 100; x += 9)
    for (double y = 2; y < 80; y += 11) {
      double here = lw_prediction_board_c (a, LW_SIDE_TOP, x, y, 170);
      double twin = lw_prediction_board_c (b, LW_SIDE_BOTTOM, 100 - x, y, 170);
      g_assert_cmpfloat_with_epsilon (here, twin, 0.05);
    }
  g_assert_cmpfloat_with_epsilon (a->board_peak_at.x_mm, 100 - b->board_peak_at.x_mm, 1e-6);
  g_assert_cmpfloat (b->x_edges_mm[0], <, b->x_edges_mm[b->nx]);
}

static void
test_moved (void)
{
  g_autoptr (LwJob) here = bench_job (LW_SIDE_TOP, 0, 0), there = bench_job (LW_SIDE_TOP, -317.3, 1044.9);
  g_autoptr (LwPrediction) a = predict (here, NULL), b = predict (there, NULL);

  assert_same_parts (a, b, 0.05); /* rounding moves mesh lines by micrometres */
  g_assert_cmpfloat_with_epsilon (a->board_peak_at.x_mm, b->board_peak_at.x_mm + 317.3, 1e-6);
  g_assert_cmpfloat_with_epsilon (a->board_peak_at.y_mm, b->board_peak_at.y_mm - 1044.9, 1e-6);
}

/* ---- the ordinary job ---- */

static void
test_energy (void)
{
  g_autoptr (LwJob) job = bench_job (LW_SIDE_TOP, 0, 0);
  g_autoptr (LwPrediction) prediction = predict (job, NULL);
  const LwPartTrace *u1 = trace_of (prediction, "U1");
  double most = 0;

  for (guint i = 0; i < prediction->n_times; i++)
    most = fmax (most, u1->liquid_share[i]);
  g_test_message ("%u nodes, %u steps, %.2f s; imbalance %.2e; joints %.1f, above liquidus %.1f s, melted %.2f",
                  prediction->n_nodes, prediction->n_steps, prediction->seconds,
                  prediction->energy_imbalance, u1->joint_peak_c, u1->above_liquidus_s, most);
  g_assert_cmpfloat (most, >, 0.99); /* the balance is worth little unless something melts */
  g_assert_cmpfloat (prediction->energy_imbalance, <, 1e-3);
}

static void
test_doubt (void)
{
  static const LwPredictOptions with = { .no_doubt = FALSE };
  g_autoptr (LwJob) job = bench_job (LW_SIDE_TOP, 0, 0);
  g_autoptr (LwPrediction) bare = predict (job, NULL), prediction = predict (job, &with);

  g_test_message ("without doubt %.2f s, with %.2f s", bare->seconds, prediction->seconds);
  for (guint i = 0; i < prediction->parts->len; i++) {
    const LwPartTrace *trace = g_ptr_array_index (prediction->parts, i);
    const LwPartTrace *plain = g_ptr_array_index (bare->parts, i);
    g_test_message ("%s: joints %.1f +- %.1f, body %.1f +- %.1f", trace->ref, trace->joint_peak_c,
                    trace->joint_doubt_k, trace->body_peak_c, trace->body_doubt_k);
    g_assert_true (isnan (plain->joint_doubt_k) && isnan (plain->body_doubt_k));
    g_assert_cmpfloat (trace->body_doubt_k, >, 0.5);
    g_assert_cmpfloat (trace->body_doubt_k, <, 80);
    g_assert_cmpfloat (trace->body_peak_c, ==, plain->body_peak_c);
  }
}

/* ---- watching ---- */

typedef struct {
  double last;
  guint n;
  GCancellable *cancellable;
} Seen;

static void
on_progress (double done, gpointer user)
{
  Seen *seen = user;

  g_assert_cmpfloat (done, >=, seen->last);
  g_assert_cmpfloat (done, <=, 1);
  seen->last = done;
  seen->n++;
  if (seen->cancellable != NULL && done > 0.05)
    g_cancellable_cancel (seen->cancellable);
}

static void
test_progress (void)
{
  static const LwPredictOptions with = { .no_doubt = FALSE };
  g_autoptr (LwJob) job = bench_job (LW_SIDE_TOP, 0, 0);
  g_autoptr (GError) error = NULL;
  Seen seen = { 0, 0, NULL };
  g_autoptr (LwPrediction) prediction = lw_predict (job, 0, &with, NULL, on_progress, &seen, &error);

  g_assert_no_error (error);
  g_assert_nonnull (prediction);
  g_assert_cmpuint (seen.n, >, 20);
  g_assert_cmpfloat (seen.last, ==, 1);
}

static void
test_cancel (void)
{
  g_autoptr (LwJob) job = bench_job (LW_SIDE_TOP, 0, 0);
  g_autoptr (GCancellable) cancellable = g_cancellable_new ();
  g_autoptr (GError) error = NULL;
  Seen seen = { 0, 0, cancellable };

  g_assert_null (lw_predict (job, 0, NULL, cancellable, on_progress, &seen, &error));
  g_assert_error (error, G_IO_ERROR, G_IO_ERROR_CANCELLED);
  g_assert_cmpfloat (seen.last, <, 0.5);
}

typedef struct {
  GMainLoop *loop;
  LwPrediction *prediction;
  GError *error;
  GThread *thread;
  guint told;
} Waiting;

static void
on_done (GObject *source, GAsyncResult *result, gpointer user)
{
  Waiting *waiting = user;

  waiting->prediction = lw_predict_finish (result, &waiting->error);
  g_main_loop_quit (waiting->loop);
}

static void
on_async_progress (double done, gpointer user)
{
  Waiting *waiting = user;

  g_assert_true (g_thread_self () == waiting->thread);
  g_assert_null (waiting->prediction);
  waiting->told++;
}

static void
test_async (void)
{
  static const LwPredictOptions quick = { .no_doubt = TRUE, .cell_mm = 2 };
  g_autoptr (LwJob) job = bench_job (LW_SIDE_TOP, 0, 0);
  g_autoptr (GMainLoop) loop = g_main_loop_new (NULL, FALSE);
  g_autoptr (LwPrediction) same = predict (job, &quick);
  Waiting waiting = { .loop = loop, .thread = g_thread_self () };

  lw_predict_async (job, 0, &quick, NULL, on_async_progress, &waiting, on_done, &waiting);
  g_clear_pointer (&job, lw_job_unref); /* the run holds its own */
  g_main_loop_run (loop);
  g_assert_no_error (waiting.error);
  g_assert_cmpuint (waiting.told, >, 5);
  assert_same_parts (same, waiting.prediction, 1e-12);
  lw_prediction_unref (waiting.prediction);
}

static void
test_async_refused (void)
{
  g_autoptr (LwJob) job = bench_job (LW_SIDE_TOP, 0, 0);
  g_autoptr (GMainLoop) loop = g_main_loop_new (NULL, FALSE);
  Waiting waiting = { .loop = loop, .thread = g_thread_self () };

  lw_predict_async (job, 7, NULL, NULL, NULL, NULL, on_done, &waiting);
  g_main_loop_run (loop);
  g_assert_null (waiting.prediction);
  g_assert_error (waiting.error, LW_PREDICT_ERROR, LW_PREDICT_ERROR_JOB);
  g_clear_error (&waiting.error);
}

/* ---- reading ---- */

static void
test_fields (void)
{
  static const LwPredictOptions quick = { .no_doubt = TRUE, .cell_mm = 2 };
  g_autoptr (LwJob) job = bench_job (LW_SIDE_TOP, 0, 0);
  g_autoptr (LwPrediction) p = predict (job, &quick);
  g_autofree float *at = g_new (float, p->nx * p->ny);
  const LwField *first = g_ptr_array_index (p->fields, 0), *second = g_ptr_array_index (p->fields, 1);
  double x = 0.5 * (p->x_edges_mm[3] + p->x_edges_mm[4]), y = 0.5 * (p->y_edges_mm[5] + p->y_edges_mm[6]);
  double middle = 0.5 * (first->t_s + second->t_s);
  gsize cell = 5 * p->nx + 3;

  lw_prediction_field (p, LW_SIDE_TOP, middle, at);
  g_assert_cmpfloat_with_epsilon (at[cell], 0.5 * (first->top[cell] + second->top[cell]), 1e-3);
  g_assert_cmpfloat_with_epsilon (lw_prediction_board_c (p, LW_SIDE_TOP, x, y, middle), at[cell], 1e-3);
  g_assert_true (isnan (lw_prediction_board_c (p, LW_SIDE_TOP, -1, 5, middle)));
  g_assert_cmpfloat_with_epsilon (p->x_edges_mm[0], 0, 1e-9);
  g_assert_cmpfloat_with_epsilon (p->x_edges_mm[p->nx], 100, 1e-9);
}

/* Two predictions of one job lie apart by what one value was moved, at that part, less what half a second of slack hides:
 * the chip changes by less than 2 K/s there. On other cells they lie apart by little. */
static void
test_apart (void)
{
  static const LwPredictOptions quick = { .no_doubt = TRUE, .cell_mm = 2 };
  static const LwPredictOptions finer = { .no_doubt = TRUE, .cell_mm = 1.5, .step_s = 0.7 };
  g_autoptr (LwJob) job = bench_job (LW_SIDE_TOP, 0, 0);
  g_autoptr (LwPrediction) a = predict (job, &quick), b = predict (job, &quick), c = predict (job, &finer);
  LwPartTrace *last = g_ptr_array_index (b->parts, b->parts->len - 1);
  const char *ref = NULL;
  double apart;

  g_assert_cmpfloat (lw_prediction_apart_k (a, b, &ref), ==, 0);
  last->body_top[b->n_times / 2] += 7.5;
  apart = lw_prediction_apart_k (a, b, &ref);
  g_assert_cmpfloat (apart, <=, 7.5 + 1e-9);
  g_assert_cmpfloat (apart, >, 7.5 - 1);
  g_assert_cmpstr (ref, ==, last->ref);
  g_assert_cmpfloat (fabs (lw_prediction_apart_k (b, a, NULL) - apart), <, 1);
  apart = lw_prediction_apart_k (a, c, NULL); /* other cells, other moments */
  g_assert_cmpfloat (apart, >, 0);
  g_assert_cmpfloat (apart, <, 6);
  g_ptr_array_set_size (b->parts, 0);
  g_assert_true (isnan (lw_prediction_apart_k (a, b, &ref)));
  g_assert_null (ref);
}

/* Target joints stand where the document says, and their extremes are the trace's. */
static void
test_target_joints (void)
{
  static const LwPredictOptions quick = { .no_doubt = TRUE, .cell_mm = 2 };
  g_autoptr (LwJob) job = bench_job (LW_SIDE_BOTTOM, 5, 5);
  g_autoptr (LwPrediction) p = predict (job, &quick);
  const LwPart *part = g_ptr_array_index (job->parts, 0);
  g_autoptr (GArray) joints = lw_part_joints (part, lw_job_package_of (job, part));
  const LwPartTrace *u1 = g_ptr_array_index (p->parts, p->target);
  guint last = p->n_times - 1;
  double least = INFINITY;

  g_assert_cmpuint (p->target_joint_at->len, ==, joints->len);
  for (guint i = 0; i < joints->len; i++) {
    const LwPoint *a = &g_array_index (joints, LwPoint, i), *b = &g_array_index (p->target_joint_at, LwPoint, i);
    g_assert_cmpfloat_with_epsilon (a->x_mm, b->x_mm, 1e-9);
    g_assert_cmpfloat_with_epsilon (a->y_mm, b->y_mm, 1e-9);
    least = fmin (least, p->target_joints[last * joints->len + i]);
  }
  g_assert_cmpfloat_with_epsilon (least, u1->joint_min[last], 1e-9);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/predict/exact/lumps", test_lumps);
  g_test_add_func ("/predict/exact/two-nodes", test_two_nodes);
  g_test_add_func ("/predict/same/mirror-twin", test_mirror_twin);
  g_test_add_func ("/predict/same/moved", test_moved);
  g_test_add_func ("/predict/energy", test_energy);
  g_test_add_func ("/predict/doubt", test_doubt);
  g_test_add_func ("/predict/watch/progress", test_progress);
  g_test_add_func ("/predict/watch/cancel", test_cancel);
  g_test_add_func ("/predict/async/same", test_async);
  g_test_add_func ("/predict/async/refused", test_async_refused);
  g_test_add_func ("/predict/read/fields", test_fields);
  g_test_add_func ("/predict/read/target-joints", test_target_joints);
  g_test_add_func ("/predict/read/apart", test_apart);
  return g_test_run ();
}
