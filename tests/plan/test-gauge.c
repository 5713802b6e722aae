/* The gauge against the judgement: the same limits, held against the same run, leave the same headroom. */
#include <math.h>
#include <string.h>

#include "bench.h"
#include "plan/gauge.h"
#include "plan/judge.h"
#include "plan/quick.h"

static const LwFinding *
finding_of (const GPtrArray *findings, const char *kind, const char *ref)
{
  for (guint i = 0; i < findings->len; i++) {
    const LwFinding *finding = g_ptr_array_index (findings, i);
    if (strcmp (finding->kind, kind) == 0 && strcmp (finding->ref, ref) == 0)
      return finding;
  }
  return NULL;
}

static double
tolerance_of (const char *unit)
{
  return g_str_equal (unit, "°C/s") ? 0.1 : g_str_equal (unit, "s") ? 1.5 : 0.5;
}

/* Cautions are found only when they are passed; all else is found always. */
static gboolean
always_found (const LwGaugeRule *rule)
{
  return !g_str_has_suffix (rule->kind, "-caution");
}

static guint
compare (const LwQuick *quick, const LwGauge *gauge, const HeatFigures *figures, double board_peak,
         const GPtrArray *findings)
{
  guint n = 0;

  for (guint i = 0; i < gauge->rules->len; i++) {
    const LwGaugeRule *rule = &g_array_index (gauge->rules, LwGaugeRule, i);
    const LwCase *compiled = lw_quick_case (quick);
    const LwPart *part = g_ptr_array_index (compiled->job->parts, compiled->body_of[rule->body].part);
    const char *ref = rule->figure == LW_FIGURE_BOARD_PEAK ? "" : part->ref;
    const LwFinding *finding = finding_of (findings, rule->kind, ref);
    double headroom = lw_gauge_headroom (rule, figures, board_peak);

    if (finding == NULL && (isnan (headroom) || !always_found (rule)))
      continue;
    g_test_message ("%s %s: gauge %.3f, finding %.3f", rule->kind, ref, headroom,
                    finding != NULL ? finding->headroom : NAN);
    g_assert_nonnull (finding);
    g_assert_cmpfloat (fabs (headroom - finding->headroom), <, tolerance_of (finding->unit));
    n++;
  }
  return n;
}

static void
check_job (LwJob *job)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwQuick) quick = lw_quick_new (job, 0, NULL, NULL, NULL, NULL, &error);
  g_assert_no_error (error);
  g_autoptr (LwQuickRun) run = lw_quick_run_new (quick);
  g_auto (LwQuickDrive) drive = LW_QUICK_DRIVE_INIT;
  g_autofree HeatFigures *figures = g_new0 (HeatFigures, lw_quick_n_bodies (quick));
  g_autoptr (LwGauge) gauge = lw_gauge_new (lw_quick_case (quick), NULL);

  g_assert_true (lw_quick_drive (quick, job, 0, &drive, &error));
  drive.heat.mark_s = lw_plan_heating_end_s (g_ptr_array_index (job->plans, 0));
  g_assert_true (lw_quick_run (quick, run, &drive.heat, NULL, &error));
  lw_quick_figures (quick, run, figures);
  g_autoptr (LwPrediction) prediction = lw_quick_predict (quick, run, &drive, &error);
  g_assert_no_error (error);
  g_autoptr (GPtrArray) findings = lw_judge (job, 0, prediction);
  g_assert_cmpuint (compare (quick, gauge, figures, lw_quick_board_peak (quick, run), findings), >, 15);
}

static void
test_agrees (void)
{
  g_autoptr (LwJob) top = bench_job (LW_SIDE_TOP, 0, 0), bottom = bench_job (LW_SIDE_BOTTOM, 10, 20);
  LwPlan *plan = lw_job_edit_plan (bottom, 0);

  check_job (top);
  for (guint i = 0; i < plan->stages->len; i++) /* hotter, so that joints melt and limits are passed */
    {
      LwStage *hot = lw_stage_copy (g_ptr_array_index (plan->stages, i));
      if (!isnan (hot->gas_c))
        hot->gas_c += 40;
      lw_stage_unref (plan->stages->pdata[i]);
      plan->stages->pdata[i] = hot;
    }
  check_job (bottom);
}

/* Units: the doubt where it is known, else 5 % of the way from the room (judge.h), never below the 1.5 K of
 * a class 1 type K thermocouple (IEC 60584-1). A soft limit passed by four units counts as one just reached. */
static void
test_steps (void)
{
  LwGaugeRule hard = { LW_FIGURE_BODY_PEAK, 0, "body-peak", 260, 10, TRUE, FALSE }, soft = hard;
  HeatFigures figures = { .body_peak_c = 245 };

  soft.soft = TRUE;
  g_assert_cmpfloat_with_epsilon (lw_gauge_steps (&hard, &figures, NAN), 1.5, 1e-12);
  g_assert_cmpfloat_with_epsilon (lw_gauge_steps (&soft, &figures, NAN), 2.5, 1e-12);
  figures.body_peak_c = 300;
  g_assert_cmpfloat_with_epsilon (lw_gauge_steps (&hard, &figures, NAN), -4, 1e-12);
  g_assert_cmpfloat_with_epsilon (lw_gauge_steps (&soft, &figures, NAN), 0, 1e-12);
  figures.body_peak_c = NAN;
  g_assert_true (isnan (lw_gauge_steps (&hard, &figures, NAN)));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/gauge/agrees", test_agrees);
  g_test_add_func ("/gauge/steps", test_steps);
  return g_test_run ();
}
