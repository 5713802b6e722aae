/* Cells and steps are fine enough: with half of either no reported figure moves by more than is promised. */
#include <math.h>

#include "bench.h"
#include "plan/predict.h"

static LwPrediction *
predict (LwJob *job, const LwPredictOptions *options)
{
  g_autoptr (GError) error = NULL;
  LwPrediction *prediction = lw_predict (job, 0, options, NULL, NULL, NULL, &error);

  g_assert_no_error (error);
  return prediction;
}

/* Largest change so far, with a line for each change above the tolerance. */
static double
change_of (const char *what, const char *ref, double a, double b, double worst)
{
  double change = fabs (a - b);

  if (isnan (a) && isnan (b))
    return worst;
  if (!(change <= 0.4))
    g_test_message ("%s %s: %.3f against %.3f", ref, what, a, b);
  return isnan (change) ? INFINITY : fmax (worst, change);
}

/* Half the cell, half the step: no reported figure moves by more than 0.5 K, but for the target's corner
 * joint, which stands in the steep gradient beside the nozzle's wall (0.7 K when halving the cell). */
static void
test_halved (gconstpointer data)
{
  static const LwPredictOptions plain = { .no_doubt = TRUE };
  const LwPredictOptions *options = data;
  g_autoptr (LwJob) job = bench_job (LW_SIDE_TOP, 0, 0);
  g_autoptr (LwPrediction) a = predict (job, &plain), b = predict (job, options);
  double worst = 0, corner = 0;

  for (guint i = 0; i < a->parts->len; i++) {
    const LwPartTrace *p = g_ptr_array_index (a->parts, i), *q = g_ptr_array_index (b->parts, i);
    worst = change_of ("joint peak", p->ref, p->joint_peak_c, q->joint_peak_c, worst);
    if (p->is_target) /* the others have no joint there */
      worst = change_of ("joint centre", p->ref, p->joint_center_peak_c, q->joint_center_peak_c, worst);
    corner = change_of ("joint corner", p->ref, p->joint_corner_peak_c, q->joint_corner_peak_c, corner);
    worst = change_of ("body peak", p->ref, p->body_peak_c, q->body_peak_c, worst);
  }
  for (guint i = 0; i < a->parts->len; i++) {
    const LwPartTrace *p = g_ptr_array_index (a->parts, i), *q = g_ptr_array_index (b->parts, i);
    g_assert_cmpfloat_with_epsilon (p->ramp_up_c_per_s, q->ramp_up_c_per_s, 0.1);
    g_assert_cmpfloat_with_epsilon (p->ramp_down_c_per_s, q->ramp_down_c_per_s, 0.1);
  }
  worst = change_of ("peak", "board", a->board_peak_c, b->board_peak_c, worst);
  g_test_message ("largest change %.3f K, of corner joints %.3f K; %u against %u nodes, %u against %u steps",
                  worst, corner, a->n_nodes, b->n_nodes, a->n_steps, b->n_steps);
  g_assert_cmpfloat (worst, <=, 0.5);
  g_assert_cmpfloat (corner, <=, 1);
}

int
main (int argc, char **argv)
{
  static const LwPredictOptions half_cell = { .cell_mm = 0.5, .no_doubt = TRUE };
  static const LwPredictOptions half_step = { .step_s = 0.25, .no_doubt = TRUE };

  g_test_init (&argc, &argv, NULL);
  g_test_add_data_func ("/halved/cell", &half_cell, test_halved);
  g_test_add_data_func ("/halved/step", &half_step, test_halved);
  return g_test_run ();
}
