/* Fits: the linear algebra against closed forms, and runs made by the full solution (another solver than the one that
 * fits: marched in its own steps over every node, with noise and thermocouples off within their tolerance) whose figures
 * are known. */
#include <gsl/gsl_linalg.h>
#include <math.h>
#include <string.h>

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
  gsl_matrix *root = lw_fit_root (t, c, 2, 0.2, 1, NULL);
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
 * luck), and what it cannot tell is not claimed. How often it holds is counted by test-fit-proof. */
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

/* A clock that is out, early or late: said, by how much, and not kept. */
static void
check_shifted (const Bench *bench, double by_s)
{
  LwFitRecord run = bench->record->run;
  g_autofree double *t = g_memdup2 (run.t_s, run.n_moments * sizeof *t);
  g_autoptr (GError) error = NULL;
  g_autoptr (LwFitAnswer) answer = NULL;

  for (guint i = 0; i < run.n_moments; i++)
    t[i] += by_s;
  run.t_s = t;
  answer = lw_fit (&run, 1, NULL, NULL, NULL, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (answer->remarks->len, >=, 1);
  const LwFitRemark *remark = g_ptr_array_index (answer->remarks, 0);
  g_test_message ("%s", remark->text);
  g_assert_cmpint (remark->kind, ==, LW_FIT_SHIFTED);
  g_assert_cmpfloat_with_epsilon (remark->shift_s, by_s, 2);
  g_assert_null (lw_fit_keep (answer, bench->job, NULL, 0, &error));
  g_assert_error (error, LW_FIT_ERROR, LW_FIT_ERROR_REFUSED);
}

static void
test_shifted (gconstpointer data)
{
  check_shifted (data, 8);
  check_shifted (data, -6);
}

/* The body's plug and the can's changed about: as given the fit settles on nothing; the names that explain it are found all the same. */
static void
test_swapped_badly (gconstpointer data)
{
  const Bench *bench = data;
  LwThermocouple *couples[5];
  LwFitRecord run = bench->record->run;
  g_autoptr (GError) error = NULL;
  g_autoptr (LwFitAnswer) answer = NULL;

  for (guint i = 0; i < 5; i++)
    couples[i] = run.couples[i == 0 ? 2 : i == 2 ? 0 : i];
  run.couples = couples;
  answer = lw_fit (&run, 1, NULL, NULL, NULL, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (answer->remarks->len, >=, 1);
  const LwFitRemark *remark = g_ptr_array_index (answer->remarks, 0);
  g_test_message ("settled as given: %d; %s", answer->settled, remark->text);
  g_assert_cmpint (remark->kind, ==, LW_FIT_SWAPPED);
  g_assert_cmpint (remark->a + remark->b, ==, 2);
  g_assert_null (lw_fit_keep (answer, bench->job, NULL, 0, &error));
  g_assert_error (error, LW_FIT_ERROR, LW_FIT_ERROR_REFUSED);
}

/* Two thermocouples a fifth of a millimetre from each other: changed about or not, no pair is named that was not changed. */
static void
check_twins (FitRecord *record, gboolean changed)
{
  LwThermocouple *couples[5];
  LwFitRecord run = record->run;
  g_autoptr (GError) error = NULL;
  g_autoptr (LwFitAnswer) answer = NULL;

  for (guint i = 0; i < 5; i++)
    couples[i] = run.couples[changed && i == 3 ? 4 : changed && i == 4 ? 3 : i];
  run.couples = couples;
  answer = lw_fit (&run, 1, NULL, NULL, NULL, NULL, &error);
  g_assert_no_error (error);
  for (guint i = 0; i < answer->remarks->len; i++) {
    const LwFitRemark *remark = g_ptr_array_index (answer->remarks, i);
    g_test_message ("changed %d: %s", changed, remark->text);
    g_assert_cmpint (remark->kind, !=, LW_FIT_SHIFTED);
    g_assert_true (remark->kind != LW_FIT_SWAPPED || (changed && remark->a + remark->b == 7));
  }
}

static void
test_twins (gconstpointer data)
{
  g_autoptr (LwJob) job = bench_job (LW_SIDE_TOP, 0, 0);

  fit_add_couples (job);
  LwThermocouple *twin = g_ptr_array_index (((LwPlan *) g_ptr_array_index (job->plans, 0))->thermocouples, 4);
  twin->side = LW_SIDE_TOP;
  twin->y_mm = 56.2;
  FitRecord *record = fit_record_new (job, 0, truth, 0.9, 0.5);
  fit_record_shake (record, 12, 0.3, TRUE);
  check_twins (record, FALSE);
  check_twins (record, TRUE);
  fit_record_free (record);
}

/* Thermocouples 0 to 2 on their own, 3 and 4 in one place, 5 and 6 in another that is warmer: IS says at which
 * of them each channel is said to have been. */
static LwFitAnswer *
fit_as (const FitRecord *record, const guint is[7])
{
  LwThermocouple *couples[7];
  LwFitRecord run = record->run;
  LwFitOptions options = { .cell_mm = 1.5 };
  g_autoptr (GError) error = NULL;
  LwFitAnswer *answer;

  for (guint i = 0; i < 7; i++)
    couples[i] = run.couples[is[i]];
  run.couples = couples;
  for (guint i = 0; i < LW_N_FIT; i++) /* a few figures are enough, and quicker */
    options.hold[i] = i != LW_UNSURE_NOZZLE_FILM && i != LW_UNSURE_ROOM_FILM && i != LW_UNSURE_CONDUCTIVITY;
  answer = lw_fit (&run, 1, &options, NULL, NULL, NULL, &error);
  g_assert_no_error (error);
  return answer;
}

static FitRecord *
pairs_record (void)
{
  g_autoptr (LwJob) job = fit_small_job ();
  GPtrArray *couples = ((LwPlan *) g_ptr_array_index (job->plans, 0))->thermocouples;
  const double few[LW_N_FIT] = { [LW_UNSURE_NOZZLE_FILM] = 0.8, [LW_UNSURE_ROOM_FILM] = 0.5 };
  FitRecord *record;

  for (guint k = 0; k < 2; k++) {
    LwThermocouple *second = lw_thermocouple_copy (g_ptr_array_index (couples, 3 + 2 * k));

    g_free (second->name);
    second->name = g_strdup_printf ("TC%ub", 4 + k);
    g_ptr_array_insert (couples, (int) (4 + 2 * k), second);
  }
  record = fit_record_new (job, 0, few, 1.5, 1);
  fit_record_shake (record, 14, 0.05, FALSE); /* little: two in one place read nearly the same */
  return record;
}

/* Two pairs of thermocouples, each pair in one place, and both plugs of the one taken for those of the other: whichever two names are
 * exchanged explains half of it, so the run cannot tell which, and that is what is said. With names that are right, or with only two of
 * them exchanged, it is not said. */
static void
test_unclear (gconstpointer data)
{
  FitRecord *record = pairs_record ();
  g_autoptr (LwFitAnswer) right = fit_as (record, (const guint[]){ 0, 1, 2, 3, 4, 5, 6 });
  g_autoptr (LwFitAnswer) swapped = fit_as (record, (const guint[]){ 0, 1, 2, 5, 4, 3, 6 });
  g_autoptr (LwFitAnswer) unclear = fit_as (record, (const guint[]){ 0, 1, 2, 5, 6, 3, 4 });
  const LwFitRemark *remark;
  g_autoptr (GError) error = NULL;

  g_assert_cmpuint (right->remarks->len, ==, 0);
  g_assert_cmpuint (swapped->remarks->len, >=, 1);
  remark = g_ptr_array_index (swapped->remarks, 0);
  g_test_message ("one of each: %s", remark->text);
  g_assert_cmpint (remark->kind, ==, LW_FIT_SWAPPED);
  g_assert_cmpint (remark->a, ==, 3);
  g_assert_cmpint (remark->b, ==, 5);
  g_assert_cmpuint (unclear->remarks->len, >=, 1);
  remark = g_ptr_array_index (unclear->remarks, 0);
  g_test_message ("both: %s", remark->text);
  g_assert_cmpint (remark->kind, ==, LW_FIT_UNCLEAR);
  g_assert_nonnull (strstr (remark->text, "; or "));
  g_assert_null (lw_fit_keep (unclear, record->job, NULL, 0, &error));
  g_assert_error (error, LW_FIT_ERROR, LW_FIT_ERROR_REFUSED);
  fit_record_free (record);
}

/* A second run under other set points makes everything that was told surer, and no figure moves out of what the first allowed. */
static void
test_two_runs (gconstpointer data)
{
  const Bench *bench = data;
  g_autoptr (LwJob) other = lw_job_copy (bench->job);
  LwPlan *plan = lw_job_edit_plan (other, 0);
  g_autoptr (GError) error = NULL;
  g_autoptr (LwFitAnswer) both = NULL;
  guint told = 0;

  for (guint i = 0; i < plan->stages->len; i++) {
    LwStage *own = lw_stage_copy (g_ptr_array_index (plan->stages, i)); /* jobs share their stages */

    own->preheat_c -= 20; /* NAN stays NAN */
    g_ptr_array_remove_index (plan->stages, i);
    g_ptr_array_insert (plan->stages, (int) i, own);
  }
  FitRecord *second = fit_record_new (other, 0, truth, 0.9, 0.5);
  fit_record_shake (second, 13, 0.3, TRUE);
  LwFitRecord runs[2] = { bench->record->run, second->run };
  both = lw_fit (runs, 2, NULL, NULL, NULL, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (both->channels->len, ==, 10);
  g_assert_cmpuint (both->clock_s->len, ==, 2);
  g_assert_cmpuint (both->remarks->len, ==, 0);
  for (guint i = 0; i < LW_N_FIT; i++) {
    const LwFitted *one = &bench->answer->figures[i], *two = &both->figures[i];
    if (one->verdict != LW_VERDICT_TOLD)
      continue;
    g_test_message ("%s: deviation %.3f by one run, %.3f by two", lw_fit_figure_key (i), one->sigma, two->sigma);
    g_assert_cmpfloat (two->sigma, <, 1.02 * one->sigma);
    g_assert_cmpfloat (fabs (two->is_factor ? log (two->value / one->value) : two->value - one->value), <, 3 * one->sigma);
    told++;
  }
  g_assert_cmpuint (told, >=, 5);
  fit_record_free (second);
}

/* What is held stays as stated, is not kept, and the rest is fitted without it. */
static void
test_held (gconstpointer data)
{
  const Bench *bench = data;
  g_autoptr (GError) error = NULL;
  LwFitOptions options = { .hold = { [LW_UNSURE_ROOM_FILM] = TRUE, [LW_FIT_PREHEAT_LAG] = TRUE } };
  g_autoptr (LwFitAnswer) answer = lw_fit (&bench->record->run, 1, &options, NULL, NULL, NULL, &error);

  g_assert_no_error (error);
  g_assert_cmpint (answer->figures[LW_UNSURE_ROOM_FILM].verdict, ==, LW_VERDICT_HELD);
  g_assert_cmpfloat (answer->figures[LW_UNSURE_ROOM_FILM].value, ==, 1);
  g_assert_cmpint (answer->figures[LW_UNSURE_NOZZLE_FILM].verdict, ==, LW_VERDICT_TOLD);
  g_assert_cmpint (answer->figures[LW_UNSURE_NOZZLE_FILM].told_by, ==, 0); /* the body under the nozzle */
  g_autoptr (LwJob) next = lw_fit_keep (answer, bench->job, NULL, 0, &error);
  g_assert_no_error (error);
  const LwFit *kept = g_ptr_array_index (next->fits, 0);
  for (guint i = 0; i < kept->figures->len; i++)
    g_assert_cmpstr (((LwFitFigure *) g_ptr_array_index (kept->figures, i))->key, !=, lw_fit_figure_key (LW_UNSURE_ROOM_FILM));
}

/* What was kept holds where it was measured: films of the nozzle for that nozzle, joints for that part, the rest for all; the room's
 * temperature for nothing. */
static void
test_other_nozzle (gconstpointer data)
{
  const Bench *bench = data;
  g_autoptr (GError) error = NULL;
  g_autoptr (LwJob) next = lw_fit_keep (bench->answer, bench->job, NULL, 0, &error);
  LwKeptFigures same, other;

  g_assert_no_error (error);
  lw_kept_find (next, 0, &same);
  g_assert_true (same.known[LW_UNSURE_NOZZLE_FILM] && same.known[LW_UNSURE_JOINT] && same.known[LW_UNSURE_CONDUCTIVITY]);
  LwPlan *plan = lw_job_edit_plan (next, 0);
  g_free (plan->nozzle);
  plan->nozzle = g_strdup ("another");
  g_free (plan->ref);
  plan->ref = g_strdup ("J1");
  lw_kept_find (next, 0, &other);
  g_assert_false (other.known[LW_UNSURE_NOZZLE_FILM] || other.known[LW_UNSURE_SPILL_FILM] || other.known[LW_UNSURE_JOINT]);
  g_assert_cmpfloat (other.value[LW_UNSURE_NOZZLE_FILM], ==, 1);
  g_assert_true (other.known[LW_UNSURE_CONDUCTIVITY] && other.known[LW_FIT_PREHEAT_LAG]);
  g_assert_cmpfloat (other.value[LW_UNSURE_CONDUCTIVITY], ==, same.value[LW_UNSURE_CONDUCTIVITY]);
  g_assert_false (same.known[LW_UNSURE_AMBIENT] || other.known[LW_UNSURE_AMBIENT]);
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
    LwPredictOptions options = { .no_doubt = TRUE };
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
  for (guint i = 0; i < s->next->len; i++) /* each at a place of its own */
    for (guint k = 0; k < i; k++) {
      const LwThermocouple *a = ((LwSuggestion *) g_ptr_array_index (s->next, i))->couple;
      const LwThermocouple *b = ((LwSuggestion *) g_ptr_array_index (s->next, k))->couple;
      g_assert_true (a->side != b->side || hypot (a->x_mm - b->x_mm, a->y_mm - b->y_mm) >= 15);
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
  g_test_add_data_func ("/fit/swapped-badly", &bench, test_swapped_badly);
  g_test_add_data_func ("/fit/twins", &bench, test_twins);
  g_test_add_data_func ("/fit/unclear", &bench, test_unclear);
  g_test_add_data_func ("/fit/two-runs", &bench, test_two_runs);
  g_test_add_data_func ("/fit/held", &bench, test_held);
  g_test_add_data_func ("/fit/other-nozzle", &bench, test_other_nozzle);
  g_test_add_data_func ("/fit/kept", &bench, test_kept);
  g_test_add_data_func ("/fit/suggests", &bench, test_suggests);
  g_test_add_data_func ("/fit/refusals", &bench, test_refusals);
  status = g_test_run ();
  tear_down (&bench);
  return status;
}
