/* A run laid over its plan. The curves checked by arithmetic are straight lines, whose figures anyone can draw on
 * paper; synthetic runs are the program's own answers with noise, an offset in time and slips put in, which must be
 * found again. */
#include <math.h>
#include <string.h>

#include "bench.h"
#include "plan/quick.h"
#include "plan/run-compare.h"

#define NOISE_K 0.3
#define LATE_S 17.3 /* the log begins so long before the plan */

typedef struct {
  LwJob *job;
  LwPrediction *quick;
  LwBenchReadings *should;
} Bench;

static void
add_couple (LwJob *job, const char *name, const char *ref, double x_mm, double y_mm, LwSide side)
{
  LwThermocouple *couple = lw_thermocouple_new ();

  g_free (couple->name);
  couple->name = g_strdup (name);
  g_free (couple->ref);
  couple->ref = g_strdup (ref);
  couple->x_mm = x_mm;
  couple->y_mm = y_mm;
  couple->side = side;
  g_ptr_array_add (lw_job_edit_plan (job, 0)->thermocouples, couple);
}

static Bench bench;

static void
set_up_bench (void)
{
  g_autoptr (GError) error = NULL;
  LwQuickOptions how = { .cell_mm = 3 };

  bench.job = bench_job (LW_SIDE_TOP, 0, 0);
  add_couple (bench.job, "joints", "U1", 50, 40, LW_SIDE_BOTTOM);
  add_couple (bench.job, "body", "U1", 50, 40, LW_SIDE_TOP);
  add_couple (bench.job, "board", "", 20, 20, LW_SIDE_TOP);
  g_autoptr (LwQuick) quick = lw_quick_new (bench.job, 0, &how, NULL, NULL, NULL, &error);
  g_assert_no_error (error);
  g_autoptr (LwQuickRun) run = lw_quick_run_new (quick);
  bench.quick = lw_quick_answer (quick, run, bench.job, 0, &error);
  g_assert_no_error (error);
  bench.should = lw_run_readings (bench.job, bench.job->plans->pdata[0], bench.quick);
}

static void
tear_down_bench (void)
{
  lw_bench_readings_free (bench.should);
  lw_prediction_unref (bench.quick);
  lw_job_unref (bench.job);
}

/* What three thermocouples would have recorded: WHICH tells which reading goes under which name. */
static LwRun *
recorded (const LwBenchReadings *from, const guint which[3], guint32 seed)
{
  static const char *const names[] = { "joints", "body", "board" };
  g_autoptr (GRand) random = g_rand_new_with_seed (seed);
  LwRun *run = lw_run_new ();
  double end = from->t_s[from->n_moments - 1];

  run->ref = (g_free (run->ref), g_strdup ("U1"));
  run->name = (g_free (run->name), g_strdup ("r"));
  for (double t = 0; t < end + LATE_S; t += 0.5)
    g_array_append_val (run->t_s, t);
  for (guint k = 0; k < 3; k++) {
    LwRunColumn *column = lw_run_column_new ();

    column->thermocouple = (g_free (column->thermocouple), g_strdup (names[k]));
    column->name = (g_free (column->name), g_strdup_printf ("Ch %u", k + 1));
    for (guint i = 0; i < run->t_s->len; i++) {
      double sum = -6; /* twelve uniform numbers: near enough to normal */
      for (guint n = 0; n < 12; n++)
        sum += g_rand_double (random);
      double c = lw_bench_readings_at (from, which[k], g_array_index (run->t_s, double, i) - LATE_S) + NOISE_K * sum;
      g_array_append_val (column->c, c);
    }
    g_ptr_array_add (run->columns, column);
  }
  return run;
}

static const guint straight[3] = { 0, 1, 2 };

static const LwCompared *
column_at (const LwComparison *c, guint k)
{
  g_assert_cmpuint (k, <, c->columns->len);
  return c->columns->pdata[k];
}

static gboolean
remarks (const LwComparison *c, const char *text)
{
  for (guint i = 0; i < c->remarks->len; i++)
    if (strstr (c->remarks->pdata[i], text) != NULL)
      return TRUE;
  return FALSE;
}

/* ---- straight lines ---- */

/* 25 C for 20 s, up by 1 C/s to 225 C at 220 s, 10 s there, down by 2 C/s to 25 C at 330 s. */
static guint
trapeze (double *t, double *c)
{
  guint n = 0;

  for (double s = 0; s <= 330; s += 0.5, n++) {
    t[n] = s;
    c[n] = s < 20 ? 25 : s < 220 ? 25 + (s - 20) : s < 230 ? 225 : 225 - 2 * (s - 230);
  }
  return n;
}

static void
test_figures (void)
{
  double t[700], c[700];
  guint n = trapeze (t, c);
  LwCurveFigures f;

  c[100] = c[101] = NAN; /* a gap */
  lw_curve_figures (t, c, n, 150, 200, 217, &f);
  g_assert_cmpfloat_with_epsilon (f.peak_c, 225, 1e-9);
  g_assert_cmpfloat_with_epsilon (f.peak_s, 220, 1e-9);
  g_assert_cmpfloat_with_epsilon (f.ramp_up_c_per_s, 1, 1e-9);
  g_assert_cmpfloat_with_epsilon (f.ramp_down_c_per_s, 2, 1e-9);
  g_assert_cmpfloat_with_epsilon (f.soak_s, 50, 1e-9);
  g_assert_cmpfloat_with_epsilon (f.above_liquidus_s, 8 + 10 + 4, 1e-9);
  lw_curve_figures (t, c, n, 150, 240, 230, &f);
  g_assert_true (isnan (f.soak_s));
  g_assert_cmpfloat (f.above_liquidus_s, ==, 0);
}

static void
test_ramp_start (void)
{
  double t[700], c[700];
  guint n = trapeze (t, c);

  g_assert_cmpfloat_with_epsilon (lw_curve_ramp_start (t, c, n), 20, 0.3);
  c[11] = 90; /* a spike before */
  c[12] = -40;
  g_assert_cmpfloat_with_epsilon (lw_curve_ramp_start (t, c, n), 20, 0.3);
  for (guint i = 0; i < n; i++)
    c[i] = 25 + i % 3;
  g_assert_true (isnan (lw_curve_ramp_start (t, c, n)));
}

/* ---- runs ---- */

static void
test_same (void)
{
  g_autoptr (LwRun) run = recorded (bench.should, straight, 1);
  g_autoptr (LwComparison) c = lw_run_compare (bench.job, 0, bench.should, run);

  g_assert_cmpfloat_with_epsilon (c->shift_s, -LATE_S, 1.0);
  g_assert_false (c->by_hand);
  for (guint k = 0; k < 3; k++) {
    const LwCompared *column = column_at (c, k);

    g_assert_cmpint (column->couple, ==, (int) k);
    g_assert_cmpuint (column->n, >, 400);
    g_assert_cmpfloat_with_epsilon (column->mean_k, 0, 0.7);
    g_assert_cmpfloat_with_epsilon (column->run.peak_c, column->plan.peak_c, 4 * NOISE_K);
    g_assert_cmpfloat_with_epsilon (column->run.above_liquidus_s, column->plan.above_liquidus_s, 3);
  }
  g_assert_cmpfloat_with_epsilon (c->run_spread_k, c->plan_spread_k, 8 * NOISE_K);
  g_assert_cmpuint (c->remarks->len, ==, 0);
}

/* Moved by hand to where it truly lies, only the noise is left. */
static void
test_by_hand (void)
{
  g_autoptr (LwRun) run = recorded (bench.should, straight, 2);

  run->shift_s = -LATE_S;
  g_autoptr (LwComparison) c = lw_run_compare (bench.job, 0, bench.should, run);
  g_assert_true (c->by_hand);
  g_assert_cmpfloat (c->shift_s, ==, -LATE_S);
  g_assert_cmpfloat_with_epsilon (c->rms_k, NOISE_K, 0.05);
  g_assert_cmpfloat_with_epsilon (lw_comparison_run_c (c, 1, 100), lw_bench_readings_at (bench.should, 1, 100), 4 * NOISE_K);
  g_assert_true (isnan (lw_comparison_run_c (c, 1, 1e5)));
}

static void
test_swapped (void)
{
  static const guint swapped[3] = { 2, 1, 0 };
  g_autoptr (LwRun) run = recorded (bench.should, swapped, 3);
  g_autoptr (LwComparison) c = lw_run_compare (bench.job, 0, bench.should, run);

  g_assert_true (remarks (c, "joints and board seem to be under each other’s names"));
  g_assert_false (remarks (c, "body"));
}

static void
test_stranger (void)
{
  static const guint wrong[3] = { 2, 1, 0 };
  g_autoptr (LwRun) run = recorded (bench.should, wrong, 4);

  g_ptr_array_set_size (run->columns, 2); /* "joints", which shows the board; nothing is taken for the board */
  g_autoptr (LwComparison) c = lw_run_compare (bench.job, 0, bench.should, run);
  g_assert_true (remarks (c, "“Ch 1” looks more like board than joints"));
}

static void
test_clock (void)
{
  g_autoptr (LwRun) run = recorded (bench.should, straight, 5);

  run->shift_s = -LATE_S + 25;
  g_autoptr (LwComparison) c = lw_run_compare (bench.job, 0, bench.should, run);
  g_assert_true (remarks (c, "The clock seems to be off: moved by -25"));
}

static void
test_slack (void)
{
  g_autoptr (LwRun) run = recorded (bench.should, straight, 6);
  GArray *c = ((LwRunColumn *) run->columns->pdata[1])->c;

  for (guint i = 0; i < c->len; i++)
    g_array_index (c, double, i) = 25 + 0.1 * (g_array_index (c, double, i) - 25);
  g_autoptr (LwComparison) comparison = lw_run_compare (bench.job, 0, bench.should, run);
  g_assert_true (remarks (comparison, "body rises by"));
}

/* Everything a fifth hotter is no mistake of names or clock; nor is what the full solution says of the same plan. */
static void
test_no_false_alarm (void)
{
  g_autoptr (GError) error = NULL;
  LwPredictOptions how = { .no_doubt = TRUE, .cell_mm = 3 };
  g_autoptr (LwPrediction) full = lw_predict (bench.job, 0, &how, NULL, NULL, NULL, &error);
  g_autoptr (LwBenchReadings) readings = lw_run_readings (bench.job, bench.job->plans->pdata[0], full);

  g_assert_no_error (error);
  for (guint32 seed = 10; seed < 20; seed++) {
    g_autoptr (LwRun) run = recorded (readings, straight, seed);
    g_autoptr (LwComparison) c = NULL;

    for (guint k = 0; k < 3 && seed % 2 == 0; k++) {
      GArray *values = ((LwRunColumn *) run->columns->pdata[k])->c;
      for (guint i = 0; i < values->len; i++)
        g_array_index (values, double, i) = 25 + 1.2 * (g_array_index (values, double, i) - 25);
    }
    c = lw_run_compare (bench.job, 0, bench.should, run);
    for (guint i = 0; i < c->remarks->len; i++)
      g_error ("seed %u: %s", seed, (char *) c->remarks->pdata[i]);
    g_assert_cmpfloat_with_epsilon (c->shift_s, -LATE_S, 2.0);
  }
}

/* A recording that began when the ramp was on its way: nothing is made up, and where it fits is said. */
static void
test_late (void)
{
  g_autoptr (LwRun) run = recorded (bench.should, straight, 30);
  const guint cut = 200; /* 100 s */

  g_array_remove_range (run->t_s, 0, cut);
  for (guint k = 0; k < 3; k++)
    g_array_remove_range (((LwRunColumn *) run->columns->pdata[k])->c, 0, cut);
  for (guint i = 0; i < run->t_s->len; i++)
    g_array_index (run->t_s, double, i) -= 100 - 20;
  g_autoptr (LwComparison) c = lw_run_compare (bench.job, 0, bench.should, run);
  g_assert_true (isnan (c->ramp_shift_s));
  g_assert_true (remarks (c, "No start of a ramp was found"));
}

/* Places of the plan's thermocouples are read with the march; a hair beside them the field is made: the same. */
static void
test_watched (void)
{
  const LwThermocouple *board = ((const LwPlan *) bench.job->plans->pdata[0])->thermocouples->pdata[2];

  for (double t = 0; t < bench.should->t_s[bench.should->n_moments - 1]; t += 7.3) {
    double watched = lw_prediction_board_c (bench.quick, board->side, board->x_mm, board->y_mm, t);
    double made = lw_prediction_board_c (bench.quick, board->side, board->x_mm + 1e-6, board->y_mm, t);

    g_assert_cmpfloat_with_epsilon (watched, made, 0.02);
  }
}

/* Without a prediction, without times in common, with columns nobody knows: said, not swallowed. */
static void
test_odd (void)
{
  g_autoptr (LwRun) run = recorded (bench.should, straight, 7), far = recorded (bench.should, straight, 8), stranger = recorded (bench.should, straight, 9);
  g_autoptr (LwComparison) alone = lw_run_compare (bench.job, 0, NULL, run);

  g_assert_true (isnan (column_at (alone, 0)->plan.peak_c));
  g_assert_cmpfloat (column_at (alone, 0)->run.peak_c, >, 100);
  g_assert_cmpuint (column_at (alone, 0)->n, ==, 0);
  far->shift_s = 5000;
  g_autoptr (LwComparison) apart = lw_run_compare (bench.job, 0, bench.should, far);
  g_assert_true (remarks (apart, "do not overlap"));
  for (guint k = 0; k < 3; k++) {
    LwRunColumn *column = stranger->columns->pdata[k];
    column->thermocouple = (g_free (column->thermocouple), g_strdup ("elsewhere"));
  }
  g_autoptr (LwComparison) unknown = lw_run_compare (bench.job, 0, bench.should, stranger);
  g_assert_true (remarks (unknown, "No column is taken"));
}

int
main (int argc, char **argv)
{
  int status;

  g_test_init (&argc, &argv, NULL);
  set_up_bench ();
  g_test_add_func ("/plan/run-compare/figures", test_figures);
  g_test_add_func ("/plan/run-compare/ramp-start", test_ramp_start);
  g_test_add_func ("/plan/run-compare/same", test_same);
  g_test_add_func ("/plan/run-compare/by-hand", test_by_hand);
  g_test_add_func ("/plan/run-compare/swapped", test_swapped);
  g_test_add_func ("/plan/run-compare/stranger", test_stranger);
  g_test_add_func ("/plan/run-compare/clock", test_clock);
  g_test_add_func ("/plan/run-compare/slack", test_slack);
  g_test_add_func ("/plan/run-compare/no-false-alarm", test_no_false_alarm);
  g_test_add_func ("/plan/run-compare/late", test_late);
  g_test_add_func ("/plan/run-compare/watched", test_watched);
  g_test_add_func ("/plan/run-compare/odd", test_odd);
  status = g_test_run ();
  tear_down_bench ();
  return status;
}
