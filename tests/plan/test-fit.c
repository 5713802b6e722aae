/* Fits: the linear algebra against closed forms, and runs made by the full solution (another solver than the one that
 * fits: marched in its own steps over every node, with noise and thermocouples off within their tolerance) whose figures
 * are known. */
#include <gsl/gsl_linalg.h>
#include <math.h>

#include "bench.h"
#include "fit-jobs.h"
#include "plan/bench.h"
#include "plan/fit-inside.h"
#include "plan/fit-suggest.h"

/* One unknown, prior 0 +- 1, n readings r = 1 +- 1 of it: the mean is n / (n + 1) and least chi-square n / (n + 1)
 * (conjugate normal prior, any textbook). */
static void
test_linear (void)
{
  gsl_matrix *j = gsl_matrix_alloc (4, 1);
  double r[4] = { -1, -1, -1, -1 }, u = 0;

  gsl_matrix_set_all (j, 1);
  g_assert_cmpfloat_with_epsilon (lw_fit_linear (j, r, &u), 0.8, 1e-12);
  gsl_matrix_free (j);
}

/* Two unknowns against numpy.linalg.lstsq of the stacked rows (NumPy 1.24.2): J = [[1, 2], [0, 1], [3, 1]], r = [1, -1, 2],
 * u = [0.5, -0.25]; least sum of squares 1.1069711538. */
static void
test_linear_two (void)
{
  double rows[] = { 1, 2, 0, 1, 3, 1 }, r[] = { 1, -1, 2 }, u[] = { 0.5, -0.25 };
  gsl_matrix_view j = gsl_matrix_view_array (rows, 3, 2);

  g_assert_cmpfloat_with_epsilon (lw_fit_linear (&j.matrix, r, u), 1.1069711538, 1e-8);
}

/* Second differences of normal noise on a ramp and a parabola give its deviation back. */
static void
test_noise (void)
{
  g_autofree double *c = g_new (double, 4000);
  GRand *rand = g_rand_new_with_seed (5);

  for (guint i = 0; i < 4000; i++) {
    double sum = 0; /* of 12 uniform numbers: variance 1 */
    for (guint k = 0; k < 12; k++)
      sum += g_rand_double (rand) - 0.5;
    c[i] = i % 97 == 0 ? NAN : 25 + 0.05 * i + 1e-5 * i * i + 0.4 * sum;
  }
  g_assert_cmpfloat_with_epsilon (lw_fit_noise_k (c, 4000), 0.4, 0.03);
  g_rand_free (rand);
}

/* The covariance's root squared is the covariance: noise, a tolerance of 1.5 K as a uniform distribution (variance a
 * third of its square, JCGM 100:2008, 4.3.7), the model's error fading. */
static void
test_root (void)
{
  double t[] = { 0, 30 }, c[] = { 100, 120 };
  gsl_matrix *root = lw_fit_root (t, c, 2, 0.2, 1);
  double a = gsl_matrix_get (root, 0, 0), b = gsl_matrix_get (root, 1, 0), d = gsl_matrix_get (root, 1, 1);

  g_assert_cmpfloat_with_epsilon (a * a, 0.75 + 1 + 0.04 + LW_FIT_ROUGH_K * LW_FIT_ROUGH_K, 1e-9);
  g_assert_cmpfloat_with_epsilon (a * b, 0.75 + exp (-30 / LW_FIT_MODEL_S), 1e-9);
  g_assert_cmpfloat_with_epsilon (b * b + d * d, a * a, 1e-9);
  gsl_matrix_free (root);
}

/* ---- runs made by the full solution ---- */

static const double truth[LW_N_FIT] = { 0.8, 0.9, -0.7, 0.4, 0.7, -0.4, 0.5, 0, 0.3, 0.5, -0.5, 0, 1.2, -0.5 };

typedef struct {
  LwJob *job;
  FitRecord *record;
  LwFitAnswer *answer;
} Bench;

static void
set_up (Bench *bench)
{
  g_autoptr (GError) error = NULL;

  bench->job = bench_job (LW_SIDE_TOP, 0, 0);
  fit_add_couples (bench->job);
  bench->record = fit_record_new (bench->job, 0, truth, 0.9, 0.5);
  fit_record_shake (bench->record, 11, 0.3, TRUE);
  bench->answer = lw_fit (&bench->record->run, 1, NULL, NULL, NULL, NULL, &error);
  g_assert_no_error (error);
}

static void
tear_down (Bench *bench)
{
  lw_fit_answer_free (bench->answer);
  fit_record_free (bench->record);
  lw_job_unref (bench->job);
}

/* What was put in comes out: the figures the run tells within their range (99.9 %, so that the test does not depend on
 * luck), and what it cannot tell is not claimed. One truth and one seed: how
 * often it holds over many has not been counted. */
static void
test_recovers (gconstpointer data)
{
  const Bench *bench = data;
  guint told = 0;

  for (guint i = 0; i < LW_N_FIT; i++) {
    const LwFitted *figure = &bench->answer->figures[i];
    double deviation = figure->sigma / figure->before_sigma, middle;
    if (figure->verdict != LW_VERDICT_TOLD)
      continue;
    middle = figure->is_factor ? log (figure->value) / figure->before_sigma : figure->value / figure->before_sigma;
    g_test_message ("%s: %.2f, put in %.2f, deviation %.2f", lw_fit_figure_key (i), middle, truth[i], deviation);
    g_assert_cmpfloat (fabs (middle - truth[i]), <, 3.29 * deviation);
    told++;
  }
  g_assert_cmpuint (told, >=, 5);
  g_assert_cmpint (bench->answer->figures[LW_UNSURE_EMISSIVITY].verdict, ==, LW_VERDICT_UNTOLD);
  g_assert_cmpuint (bench->answer->remarks->len, ==, 0);
  g_assert_true (bench->answer->usable);
  for (guint i = 0; i < bench->answer->channels->len; i++) {
    const LwFitChannel *channel = g_ptr_array_index (bench->answer->channels, i);
    g_assert_cmpfloat (channel->rms_after_k, <, 2); /* a thermocouple's tolerance, and some noise */
    g_assert_cmpfloat_with_epsilon (channel->noise_k, 0.3, 0.12);
  }
}

/* Two plugs changed about: noticed, named, and not kept. */
static void
test_swapped (gconstpointer data)
{
  const Bench *bench = data;
  LwThermocouple *couples[5];
  LwFitRecord run = bench->record->run;
  g_autoptr (GError) error = NULL;
  g_autoptr (LwFitAnswer) answer = NULL;

  for (guint i = 0; i < 5; i++)
    couples[i] = run.couples[i == 3 ? 4 : i == 4 ? 3 : i];
  run.couples = couples;
  answer = lw_fit (&run, 1, NULL, NULL, NULL, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (answer->remarks->len, >=, 1);
  const LwFitRemark *remark = g_ptr_array_index (answer->remarks, 0);
  g_test_message ("%s", remark->text);
  g_assert_cmpint (remark->kind, ==, LW_FIT_SWAPPED);
  g_assert_cmpint (remark->a + remark->b, ==, 7);
  g_assert_null (lw_fit_keep (answer, bench->job, NULL, 0, &error));
  g_assert_error (error, LW_FIT_ERROR, LW_FIT_ERROR_REFUSED);
}

/* A clock that is 6 s out: said, or, where the fit does not settle for it, refused. */
static void
test_shifted (gconstpointer data)
{
  const Bench *bench = data;
  LwFitRecord run = bench->record->run;
  g_autofree double *t = g_memdup2 (run.t_s, run.n_moments * sizeof *t);
  g_autoptr (GError) error = NULL;
  g_autoptr (LwFitAnswer) answer = NULL;

  for (guint i = 0; i < run.n_moments; i++)
    t[i] += 6;
  run.t_s = t;
  answer = lw_fit (&run, 1, NULL, NULL, NULL, NULL, &error);
  if (answer == NULL) {
    g_assert_error (error, LW_FIT_ERROR, LW_FIT_ERROR_DIVERGED);
    return;
  }
  g_assert_cmpuint (answer->remarks->len, >=, 1);
  const LwFitRemark *remark = g_ptr_array_index (answer->remarks, 0);
  g_test_message ("%s", remark->text);
  g_assert_cmpint (remark->kind, ==, LW_FIT_SHIFTED);
  g_assert_cmpfloat_with_epsilon (remark->shift_s, 6, 3);
}

/* Kept, the next prediction is nearer to what was measured, and its figures are surer. */
static void
test_kept (gconstpointer data)
{
  const Bench *bench = data;
  g_autoptr (GError) error = NULL;
  g_autoptr (LwJob) next = lw_fit_keep (bench->answer, bench->job, NULL, 0, &error);
  LwJob *jobs[2] = { bench->job, next };
  double away[2] = { 0, 0 };
  LwUnsureSpreads spreads[2];

  g_assert_no_error (error);
  g_assert_cmpuint (next->fits->len, ==, 1);
  for (guint k = 0; k < 2; k++) {
    g_autoptr (LwCase) of = lw_case_new (jobs[k], 0, &error);
    LwPredictOptions options = { .cell_mm = 2, .no_doubt = TRUE };
    g_autoptr (LwPrediction) p = lw_predict (jobs[k], 0, &options, NULL, NULL, NULL, &error);
    g_assert_no_error (error);
    lw_doubt_spreads (of, FALSE, &spreads[k]);
    for (guint i = 0; i < bench->record->n; i++) {
      double d = lw_bench_reading_c (jobs[k], p, bench->record->run.couples[0], i) - bench->record->clean_c[i];
      away[k] += d * d / bench->record->n;
    }
  }
  g_test_message ("body of U1, root mean square: %.2f K before, %.2f K after", sqrt (away[0]), sqrt (away[1]));
  g_assert_cmpfloat (sqrt (away[1]), <, 0.5 * sqrt (away[0]));
  g_assert_cmpfloat (spreads[1].spread[LW_UNSURE_NOZZLE_FILM], <, 0.5 * spreads[0].spread[LW_UNSURE_NOZZLE_FILM]);
  g_assert_cmpfloat (spreads[1].spread[LW_UNSURE_AMBIENT], ==, spreads[0].spread[LW_UNSURE_AMBIENT]);
}

/* Each further thermocouple leaves less of the doubt than those before it. */
static void
test_suggests (gconstpointer data)
{
  const Bench *bench = data;
  g_autoptr (LwSuggestions) s = lw_fit_suggest (bench->answer->senses, 3);

  g_assert_nonnull (s);
  g_test_message ("%s of %s: %.2f, %.2f after the run", s->kind, s->ref, s->half_before, s->half_now);
  g_assert_cmpfloat (s->half_now, <, s->half_before);
  double left = s->half_now;
  for (guint i = 0; i < s->next->len; i++) {
    const LwSuggestion *next = g_ptr_array_index (s->next, i);
    g_test_message ("%s: %.2f", next->text, next->half);
    g_assert_cmpfloat (next->half, <, left);
    left = next->half;
  }
}

/* A fit that may take one round only does not settle: an error, and nothing else. */
static void
test_refusals (gconstpointer data)
{
  const Bench *bench = data;
  LwFitRecord run = bench->record->run;
  g_autofree double *t = g_memdup2 (run.t_s, run.n_moments * sizeof *t);
  g_autofree double *c = g_memdup2 (run.c, (gsize) run.n_moments * run.n_channels * sizeof *c);
  g_autoptr (GError) error = NULL;
  LwFitOptions options = { .rounds = 1 };

  g_assert_null (lw_fit (&run, 1, &options, NULL, NULL, NULL, &error));
  g_assert_error (error, LW_FIT_ERROR, LW_FIT_ERROR_DIVERGED);
  g_clear_error (&error);
  g_assert_null (lw_fit (&run, 0, NULL, NULL, NULL, NULL, &error));
  g_assert_error (error, LW_FIT_ERROR, LW_FIT_ERROR_RUN);
  g_clear_error (&error);
  t[50] = 3;
  run.t_s = t;
  g_assert_null (lw_fit (&run, 1, NULL, NULL, NULL, NULL, &error));
  g_assert_error (error, LW_FIT_ERROR, LW_FIT_ERROR_RUN);
  g_clear_error (&error);
  run = bench->record->run;
  for (gsize i = 0; i < (gsize) run.n_moments * run.n_channels; i++)
    c[i] = NAN;
  run.c = c;
  g_assert_null (lw_fit (&run, 1, NULL, NULL, NULL, NULL, &error));
  g_assert_error (error, LW_FIT_ERROR, LW_FIT_ERROR_RUN);
}

int
main (int argc, char **argv)
{
  Bench bench;
  int status;

  g_test_init (&argc, &argv, NULL);
  set_up (&bench);
  g_test_add_func ("/fit/linear", test_linear);
  g_test_add_func ("/fit/linear-two", test_linear_two);
  g_test_add_func ("/fit/noise", test_noise);
  g_test_add_func ("/fit/root", test_root);
  g_test_add_data_func ("/fit/recovers", &bench, test_recovers);
  g_test_add_data_func ("/fit/swapped", &bench, test_swapped);
  g_test_add_data_func ("/fit/shifted", &bench, test_shifted);
  g_test_add_data_func ("/fit/kept", &bench, test_kept);
  g_test_add_data_func ("/fit/suggests", &bench, test_suggests);
  g_test_add_data_func ("/fit/refusals", &bench, test_refusals);
  status = g_test_run ();
  tear_down (&bench);
  return status;
}
