/* Edits of set points answered by a compact model, against the quick model it learned from. */
#include <math.h>

#include "bench.h"
#include "plan/compact.h"
#include "plan/findings.h"

/* What a rough answer may be off by at a peak, K; the program's own choice. */
static const double ROUGH_K = 1.5;

static LwQuick *
coarse (LwJob *job)
{
  LwQuickOptions options = { .cell_mm = 3, .coarse_mm = 10, .scout = TRUE };
  g_autoptr (GError) error = NULL;
  LwQuick *quick = lw_quick_new (job, 0, &options, NULL, NULL, NULL, &error);

  g_assert_no_error (error);
  return quick;
}

/* The job with its third stage hotter, longer, and blown harder. */
static LwJob *
edited (LwJob *job, double gas_k, double longer_s, double flow)
{
  LwJob *copy = lw_job_copy (job);
  LwPlan *plan = lw_job_edit_plan (copy, 0);
  LwStage *stage = lw_stage_copy (g_ptr_array_index (plan->stages, 2));

  stage->gas_c += gas_k;
  stage->duration_s += longer_s;
  stage->flow_l_per_min += flow;
  lw_stage_unref (g_ptr_array_index (plan->stages, 2));
  plan->stages->pdata[2] = stage;
  return copy;
}

static double
peaks_apart (const LwPrediction *a, const LwPrediction *b)
{
  double most = 0;

  g_assert_cmpuint (a->parts->len, ==, b->parts->len);
  for (guint i = 0; i < a->parts->len; i++) {
    const LwPartTrace *p = g_ptr_array_index (a->parts, i), *q = g_ptr_array_index (b->parts, i);
    most = fmax (most, fabs (p->body_peak_c - q->body_peak_c));
    if (!isnan (q->joint_peak_c))
      most = fmax (most, fabs (p->joint_peak_c - q->joint_peak_c));
  }
  return fmax (most, fabs (a->board_peak_c - b->board_peak_c));
}

/* Each side's field in the middle of the heating, root mean square. */
static double
fields_apart (const LwPrediction *a, const LwPrediction *b)
{
  guint n = a->nx * a->ny, counted = 0;
  g_autofree float *p = g_new (float, n), *q = g_new (float, n);
  double sum = 0, t_s = 0.7 * a->t_s[a->n_times - 1];

  for (LwSide side = LW_SIDE_TOP; side <= LW_SIDE_BOTTOM; side++) {
    lw_prediction_field (a, side, t_s, p);
    lw_prediction_field (b, side, t_s, q);
    for (guint i = 0; i < n; i++)
      if (!isnan (q[i])) {
        sum += (p[i] - q[i]) * (p[i] - q[i]);
        counted++;
      }
  }
  return sqrt (sum / MAX (counted, 1));
}

static void
test_edits (void)
{
  static const double edits[][3] = { { 0, 0, 0 }, { 15, 0, 0 }, { -20, 10, 0 }, { 5, -8, 2 } };
  g_autoptr (LwJob) job = bench_job (LW_SIDE_TOP, 0, 0);
  g_autoptr (LwQuick) quick = coarse (job);
  g_autoptr (LwQuickRun) run = lw_quick_run_new (quick);
  g_autoptr (GError) error = NULL;
  g_autoptr (LwCompact) compact = lw_compact_new_live (quick, NULL, &error);

  g_assert_no_error (error);
  HeatCompactRun *guess = heat_compact_run_new (lw_compact_model (compact));
  for (guint i = 0; i < G_N_ELEMENTS (edits); i++) {
    g_autoptr (LwJob) other = edited (job, edits[i][0], edits[i][1], edits[i][2]);
    g_autoptr (LwPrediction) sure = lw_quick_answer (quick, run, other, 0, &error);
    g_assert_no_error (error);
    g_autoptr (LwPrediction) rough = lw_compact_answer (compact, guess, other, 0, &error);
    g_assert_no_error (error);
    g_autoptr (GPtrArray) findings = lw_judge (other, 0, rough);
    g_test_message ("edit %u: peaks %.2f K apart, fields %.2f K", i, peaks_apart (rough, sure), fields_apart (rough, sure));
    g_assert_true (rough->rough && !rough->full);
    g_assert_cmpfloat (rough->t_s[rough->n_times - 1], ==, sure->t_s[sure->n_times - 1]);
    g_assert_cmpfloat (peaks_apart (rough, sure), <, ROUGH_K);
    g_assert_cmpfloat (fields_apart (rough, sure), <, ROUGH_K);
    g_assert_cmpuint (findings->len, >, 0);
  }
  heat_compact_run_free (guess);
}

/* A moved part is another model's; a plan that follows a table has nothing to vary. */
static void
test_refusals (void)
{
  g_autoptr (LwJob) job = bench_job (LW_SIDE_TOP, 0, 0), moved = lw_job_copy (job), tabled = lw_job_copy (job);
  g_autoptr (LwQuick) quick = coarse (job);
  g_autoptr (GCancellable) cancelled = g_cancellable_new ();
  g_autoptr (GError) error = NULL;

  g_cancellable_cancel (cancelled);
  g_assert_null (lw_compact_new_live (quick, cancelled, &error));
  g_assert_error (error, G_IO_ERROR, G_IO_ERROR_CANCELLED);
  g_clear_error (&error);
  g_autoptr (LwCompact) compact = lw_compact_new_live (quick, NULL, &error);
  g_assert_no_error (error);
  HeatCompactRun *guess = heat_compact_run_new (lw_compact_model (compact));
  lw_job_edit_part (moved, 1)->x_mm += 1;
  g_assert_null (lw_compact_answer (compact, guess, moved, 0, &error));
  g_assert_error (error, LW_PREDICT_ERROR, LW_PREDICT_ERROR_JOB);
  g_clear_error (&error);
  heat_compact_run_free (guess);

  LwKnot knots[] = { { 0, NAN, 150 }, { 100, 300, 150 } };
  LwPlan *plan = lw_job_edit_plan (tabled, 0);
  plan->table = g_array_new (FALSE, FALSE, sizeof (LwKnot));
  g_array_append_vals (plan->table, knots, 2);
  g_autoptr (LwQuick) follows = coarse (tabled);
  g_assert_null (lw_compact_new_live (follows, NULL, &error));
  g_assert_error (error, LW_PREDICT_ERROR, LW_PREDICT_ERROR_JOB);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/live/edits", test_edits);
  g_test_add_func ("/live/refusals", test_refusals);
  return g_test_run ();
}
