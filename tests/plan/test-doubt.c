/* What is kept of samples and what it answers: bands, chances, dependences, curves; and grades by chance. The
 * samples are hand-made, so every answer is known. */
#include <locale.h>
#include <glib.h>
#include <gsl/gsl_cdf.h>
#include <math.h>
#include <string.h>

#include "board/library.h"
#include "plan/doubt-sample.h"
#include "plan/doubt.h"
#include "plan/findings.h"
#include "plan/prediction.h"
#include "plan/rules.h"
#include "plan/weigh.h"

#define N 1001

/* Body peaks of body 0 shifted by -10 .. +10 K in even steps; ramps by -1 .. +1. */
static LwDoubt *
even_doubt (guint n_bodies)
{
  static const double t[] = { 0, 10, 20 };
  static const double low[] = { 0, -4, -2 }, high[] = { 0, 6, 2 };
  LwUnsureSpreads spreads;
  LwDoubt *doubt;

  lw_unsure_defaults (&spreads);
  doubt = lw_doubt_new (N, n_bodies, t, 3, &spreads);
  for (guint i = 0; i < N; i++) {
    double share = (i * 5 % N) / (double) (N - 1); /* out of order */
    for (guint body = 0; body < n_bodies; body++) {
      lw_doubt_put (doubt, i, body, LW_FIGURE_BODY_PEAK, 20 * share - 10);
      lw_doubt_put (doubt, i, body, LW_FIGURE_RAMP_UP, 2 * share - 1);
      lw_doubt_put (doubt, i, body, LW_FIGURE_COLD_MARK, 20 * share - 10);
    }
  }
  for (guint i = 0; i < LW_N_UNSURE; i++)
    for (guint end = 0; end < 2; end++)
      lw_doubt_put_swing (doubt, i, end, 0, LW_FIGURE_BODY_PEAK,
                          i == LW_UNSURE_GAS           ? (end ? 4 : -4)
                          : i == LW_UNSURE_CONDUCTIVITY ? (end ? -3 : 3)
                                                        : 0);
  lw_doubt_put_curve (doubt, 0, LW_CURVE_BODY_TOP, low, high);
  lw_doubt_seal (doubt);
  return doubt;
}

/* Of a uniform distribution on -10 .. 10: 5 % at -9, 95 % at 9. */
static void
test_bands (void)
{
  g_autoptr (LwDoubt) doubt = even_doubt (2);
  LwBand band = lw_doubt_band (doubt, 0, LW_FIGURE_BODY_PEAK, 200);
  LwBand ramp = lw_doubt_band (doubt, 0, LW_FIGURE_RAMP_UP, 0.5);
  LwBand none = lw_doubt_band (doubt, 0, LW_FIGURE_SPREAD, 5), off = lw_doubt_band (doubt, 9, LW_FIGURE_RAMP_UP, 1);

  g_assert_cmpfloat_with_epsilon (band.low, 191, 1e-3);
  g_assert_cmpfloat_with_epsilon (band.mid, 200, 1e-3);
  g_assert_cmpfloat_with_epsilon (band.high, 209, 1e-3);
  g_assert_cmpfloat_with_epsilon (lw_doubt_half (doubt, 0, LW_FIGURE_BODY_PEAK), 9, 1e-3);
  g_assert_cmpfloat (ramp.low, ==, 0); /* a part does not heat by less than nothing */
  g_assert_cmpfloat_with_epsilon (ramp.high, 1.4, 1e-3);
  g_assert_true (isnan (none.low) && isnan (none.high) && isnan (off.mid));
  g_assert_true (isnan (lw_doubt_half (doubt, 0, LW_FIGURE_SPREAD)));
}

/* P (value + U (-10, 10) >= limit) = (10 - room) / 20. */
static void
test_chances (void)
{
  g_autoptr (LwDoubt) doubt = even_doubt (1);
  LwFigure peak = LW_FIGURE_BODY_PEAK;

  g_assert_cmpfloat_with_epsilon (lw_doubt_chance (doubt, 0, peak, 200, 205, TRUE), 0.25, 1e-3);
  g_assert_cmpfloat_with_epsilon (lw_doubt_chance (doubt, 0, peak, 200, 205, FALSE), 0.75, 1e-3);
  g_assert_cmpfloat_with_epsilon (lw_doubt_chance (doubt, 0, peak, 207, 205, TRUE), 0.6, 1e-3);
  g_assert_cmpfloat (lw_doubt_chance (doubt, 0, peak, 200, 300, TRUE), ==, 0);
  g_assert_cmpfloat (lw_doubt_chance (doubt, 0, peak, 400, 300, TRUE), ==, 1);
  g_assert_true (isnan (lw_doubt_chance (doubt, 0, LW_FIGURE_SPREAD, 5, 10, TRUE)));
  g_assert_true (isnan (lw_doubt_chance (doubt, 0, peak, NAN, 10, TRUE)));
}

/* Swings of 8 and 6: shares 64 and 36 of 100. */
static void
test_depends (void)
{
  g_autoptr (LwDoubt) doubt = even_doubt (1);
  LwDependence out[LW_N_UNSURE];

  g_assert_cmpuint (lw_doubt_depends (doubt, 0, LW_FIGURE_BODY_PEAK, out), ==, 2);
  g_assert_cmpint (out[0].input, ==, LW_UNSURE_GAS);
  g_assert_cmpfloat_with_epsilon (out[0].low, -4, 1e-6);
  g_assert_cmpfloat_with_epsilon (out[0].high, 4, 1e-6);
  g_assert_cmpfloat_with_epsilon (out[0].share, 0.64, 1e-6);
  g_assert_cmpint (out[1].input, ==, LW_UNSURE_CONDUCTIVITY);
  g_assert_cmpfloat_with_epsilon (out[1].low, 3, 1e-6);
  g_assert_cmpfloat_with_epsilon (out[1].share, 0.36, 1e-6);
  g_assert_cmpuint (lw_doubt_depends (doubt, 0, LW_FIGURE_RAMP_UP, out), ==, 0);
}

static void
test_curves (void)
{
  g_autoptr (LwDoubt) doubt = even_doubt (1);
  double low, high;

  g_assert_true (lw_doubt_curve (doubt, 0, LW_CURVE_BODY_TOP, 5, &low, &high));
  g_assert_cmpfloat_with_epsilon (low, -2, 1e-6);
  g_assert_cmpfloat_with_epsilon (high, 3, 1e-6);
  g_assert_true (lw_doubt_curve (doubt, 0, LW_CURVE_BODY_TOP, 15, &low, &high));
  g_assert_cmpfloat_with_epsilon (low, -3, 1e-6);
  g_assert_true (lw_doubt_curve (doubt, 0, LW_CURVE_BODY_TOP, 99, &low, &high)); /* as at the end */
  g_assert_cmpfloat_with_epsilon (high, 2, 1e-6);
  g_assert_false (lw_doubt_curve (doubt, 0, LW_CURVE_JOINT_MAX, 5, &low, &high));
}

/* Mastrandrea and others, guidance note for the IPCC's authors (2010), table 1. */
static void
test_words (void)
{
  static const struct {
    double chance;
    const char *word, *number;
  } rows[] = {
    { 0, "exceptionally unlikely", "less than 0.1 %" }, { 0.005, "exceptionally unlikely", "0.5 %" },
    { 0.05, "very unlikely", "5 %" },                   { 0.2, "unlikely", "20 %" },
    { 0.5, "about as likely as not", "50 %" },          { 0.7, "likely", "70 %" },
    { 0.95, "very likely", "95 %" },                    { 1, "virtually certain", "more than 99.9 %" },
  };

  setlocale (LC_NUMERIC, "C"); /* as the words above have their figures */
  for (guint i = 0; i < G_N_ELEMENTS (rows); i++) {
    g_autofree char *number = lw_chance_number (rows[i].chance);
    g_assert_cmpstr (lw_chance_word (rows[i].chance), ==, rows[i].word);
    g_assert_cmpstr (number, ==, rows[i].number);
  }
  setlocale (LC_NUMERIC, "");
}

/* ---- grades ---- */

/* U1 is reworked; C1, a ceramic capacitor (260 C, Samsung CL10; 2 C/s asked for, 4 at most, TDK FAQ). */
static LwJob *
new_job (void)
{
  LwJob *job = lw_job_new ();
  LwPlan *plan = lw_plan_new ();

  g_ptr_array_add (job->board->outline, lw_loop_new_rectangle (0, 0, 120, 100));
  for (guint i = 0; i < 2; i++) {
    LwPart *part = lw_part_new ();
    g_free (part->ref);
    part->ref = g_strdup (i == 0 ? "U1" : "C1");
    g_free (part->package);
    part->package = g_strdup (i == 0 ? "BGA-484-23x23-1.00" : "C0402");
    part->x_mm = 60 + 40 * i;
    part->y_mm = 50;
    g_ptr_array_add (job->parts, part);
  }
  g_free (plan->ref);
  plan->ref = g_strdup ("U1");
  g_ptr_array_add (job->plans, plan);
  return job;
}

static LwPrediction *
new_prediction (const LwJob *job, double body_peak_c, double ramp)
{
  LwPrediction *p = lw_prediction_new ();

  for (guint i = 0; i < 2; i++) {
    LwPartTrace *trace = g_new0 (LwPartTrace, 1);
    trace->ref = g_strdup (((LwPart *) job->parts->pdata[i])->ref);
    trace->part = i;
    trace->is_target = i == 0;
    trace->body_peak_c = i == 0 ? 200 : body_peak_c;
    trace->joint_peak_c = trace->joint_doubt_k = trace->body_doubt_k = NAN;
    trace->ramp_up_c_per_s = ramp;
    trace->ramp_down_c_per_s = 0.5;
    g_ptr_array_add (p->parts, trace);
  }
  p->target = 0;
  p->board_peak_c = 200;
  return p;
}

static const LwFinding *
find (const GPtrArray *findings, const char *kind, const char *ref)
{
  for (guint i = 0; i < findings->len; i++) {
    const LwFinding *f = g_ptr_array_index (findings, i);
    if (strcmp (f->kind, kind) == 0 && strcmp (f->ref, ref) == 0)
      return f;
  }
  g_assert_not_reached ();
}

/* The grade of C1's body (limit 260 C) or ramp when predicted so; checks the sentence against the grade. */
static LwGrade
grade_of (const char *kind, double body_peak_c, double ramp, gboolean doubtful, const LwChances *chances)
{
  g_autoptr (LwJob) job = new_job ();
  g_autoptr (LwPrediction) p = new_prediction (job, body_peak_c, ramp);
  g_autoptr (LwDoubt) doubt = even_doubt (2);
  g_autoptr (GPtrArray) findings = NULL;
  const LwFinding *f;

  if (doubtful)
    g_assert_true (lw_prediction_set_doubt (p, doubt));
  findings = lw_judge_at (job, 0, p, chances);
  f = find (findings, kind, "C1");
  g_test_message ("%s %.1f: %s", kind, f->value, f->text);
  g_assert_cmpint (isnan (f->chance), ==, !doubtful);
  g_assert_cmpint (strstr (f->text, "Chance of passing it") != NULL, ==,
                   f->chance >= (chances != NULL ? chances->watch : LW_CHANCE_WATCH));
  return f->grade;
}

static void
test_grades (void)
{
  const LwChances strict = { 0.2, 0.01 };

  /* 260 C, uniform 10 K about the prediction: 45 %, 55 %, 10 %, 2.5 % */
  g_assert_cmpint (grade_of ("body-peak", 259, 1, TRUE, NULL), ==, LW_GRADE_WATCH);
  g_assert_cmpint (grade_of ("body-peak", 261, 1, TRUE, NULL), ==, LW_GRADE_STOP);
  g_assert_cmpint (grade_of ("body-peak", 252, 1, TRUE, NULL), ==, LW_GRADE_WATCH);
  g_assert_cmpint (grade_of ("body-peak", 250.5, 1, TRUE, NULL), ==, LW_GRADE_FINE);
  g_assert_cmpint (grade_of ("body-peak", 259, 1, TRUE, &strict), ==, LW_GRADE_STOP);
  g_assert_cmpint (grade_of ("body-peak", 250.5, 1, TRUE, &strict), ==, LW_GRADE_WATCH);
  /* without a doubt the present rule: 5 % of the way from room to limit is 11.8 K */
  g_assert_cmpint (grade_of ("body-peak", 250.5, 1, FALSE, NULL), ==, LW_GRADE_WATCH);
  g_assert_cmpint (grade_of ("body-peak", 240, 1, FALSE, NULL), ==, LW_GRADE_FINE);
  /* 2 C/s is asked for: watched when that is as likely as not passed */
  g_assert_cmpint (grade_of ("ramp-up", 200, 2.1, TRUE, NULL), ==, LW_GRADE_WATCH);
  g_assert_cmpint (grade_of ("ramp-up", 200, 1.9, TRUE, NULL), ==, LW_GRADE_FINE);
}

static void
test_finding_members (void)
{
  g_autoptr (LwJob) job = new_job ();
  g_autoptr (LwPrediction) p = new_prediction (job, 255, 1);
  g_autoptr (LwDoubt) doubt = even_doubt (2), other = even_doubt (3);
  g_autoptr (GPtrArray) findings = NULL;
  const LwFinding *f;

  g_assert_false (lw_prediction_set_doubt (p, other));
  g_assert_null (p->doubt);
  g_assert_true (lw_prediction_set_doubt (p, doubt));
  g_assert_cmpfloat_with_epsilon (((LwPartTrace *) p->parts->pdata[1])->body_doubt_k, 9, 1e-3);
  findings = lw_judge (job, 0, p);
  f = find (findings, "body-peak", "C1");
  g_assert_cmpfloat_with_epsilon (f->chance, 0.25, 1e-3);
  g_assert_cmpfloat_with_epsilon (f->low, 246, 1e-3);
  g_assert_cmpfloat_with_epsilon (f->high, 264, 1e-3);
  g_assert_cmpfloat_with_epsilon (f->doubt, 9, 1e-3);
  g_assert_cmpint (f->body, ==, 1);
  g_assert_cmpint (f->figure, ==, LW_FIGURE_BODY_PEAK);
  g_assert_true (f->upper);
  g_assert_nonnull (strstr (f->text, "Chance of passing it: 25 %, unlikely."));
}

/* A prediction that is being shown stays as it is; the other has its figures, and outlives it. Half of what lies
 * between 5 % and 95 % of a uniform distribution on -10 .. 10 is 9. */
static void
test_shared (void)
{
  g_autoptr (LwDoubt) doubt = even_doubt (1), other = even_doubt (3);
  LwPrediction *shown = lw_prediction_new (), *sure;
  LwPartTrace *trace = g_new0 (LwPartTrace, 1), *of;

  shown->n_times = 1;
  trace->ref = g_strdup ("U1");
  trace->body_doubt_k = NAN;
  trace->body_peak_c = 211;
  trace->body_top = g_memdup2 (&(double){ 25 }, sizeof (double));
  g_ptr_array_add (shown->parts, trace);
  shown->apart_ref = g_strdup ("U1");
  g_assert_null (lw_prediction_with_doubt (shown, other));
  sure = lw_prediction_with_doubt (shown, doubt);
  g_assert_nonnull (sure);
  g_assert_true (isnan (trace->body_doubt_k));
  g_assert_null (shown->doubt);
  lw_prediction_unref (shown);
  of = g_ptr_array_index (sure->parts, 0);
  g_assert_true (sure->doubt == doubt);
  g_assert_cmpfloat_with_epsilon (of->body_doubt_k, 9, 1e-3);
  g_assert_cmpfloat (of->body_peak_c, ==, 211);
  g_assert_cmpfloat (of->body_top[0], ==, 25);
  g_assert_cmpstr (of->ref, ==, "U1");
  g_assert_cmpstr (sure->apart_ref, ==, "U1");
  lw_prediction_unref (sure);
}

/* Boards of up to 2,000 parts are sampled as always; nobody's odds rest on fewer than 256. */
static void
test_sample_counts (void)
{
  g_assert_cmpuint (lw_doubt_samples_for (0), ==, 1000);
  g_assert_cmpuint (lw_doubt_samples_for (162), ==, 1000);
  g_assert_cmpuint (lw_doubt_samples_for (2000), ==, 1000);
  g_assert_cmpuint (lw_doubt_samples_for (4000), ==, 500);
  g_assert_cmpuint (lw_doubt_samples_for (10000), ==, 256);
  g_assert_cmpuint (lw_doubt_samples_for (100000), ==, 256);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/doubt/bands", test_bands);
  g_test_add_func ("/doubt/chances", test_chances);
  g_test_add_func ("/doubt/depends", test_depends);
  g_test_add_func ("/doubt/curves", test_curves);
  g_test_add_func ("/doubt/words", test_words);
  g_test_add_func ("/doubt/grades", test_grades);
  g_test_add_func ("/doubt/finding-members", test_finding_members);
  g_test_add_func ("/doubt/shared", test_shared);
  g_test_add_func ("/doubt/sample-counts", test_sample_counts);
  return g_test_run ();
}
