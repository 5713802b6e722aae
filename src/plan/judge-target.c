/* The part that is reworked: do all its joints melt, evenly, for long enough and not too long, without
 * spoiling the body. */
#include <glib/gi18n.h>
#include <math.h>

#include "board/apart.h"
#include "board/library.h"
#include "plan/judge.h"
#include "plan/part-limits.h"
#include "plan/profile.h"
#include "plan/rules.h"
#include "plan/target-limits.h"

#define OWN_WISH N_("asked for in the plan")
#define RAMP_WINDOW_S 5.0

static double
wish_or (double wish, double standard)
{
  return isnan (wish) ? standard : wish;
}

static LwWeighing
weighing (const LwJudge *judge, LwFigure figure, double value, double limit)
{
  return (LwWeighing){ .figure = figure,
                       .trace = judge->trace,
                       .value = value,
                       .limit = limit,
                       .watch_level = NAN,
                       .upper = TRUE };
}

static const char *
source_of (double wish, const char *standard)
{
  return isnan (wish) ? _(standard) : _(OWN_WISH);
}

/* Samples up to the end of the heating, at least one. */
static guint
samples_of_heating (const LwJudge *judge)
{
  const LwPrediction *p = judge->prediction;
  guint n = 0;
  while (n < p->n_times && !(p->t_s[n] > judge->heating_end_s + 1e-6))
    n++;
  return MAX (n, 1);
}

static double
liquidus_of (const LwJudge *judge)
{
  const LwAlloy *alloy;
  if (!isnan (judge->trace->joint_liquidus_c) && judge->trace->joint_liquidus_c > 0)
    return judge->trace->joint_liquidus_c;
  alloy = lw_library_alloy (lw_limits_plan_alloy (judge->job, judge->plan, judge->target));
  return alloy != NULL ? alloy->liquidus_c : NAN;
}

static void
judge_melting (LwJudge *judge, double liquidus)
{
  const LwPartTrace *trace = judge->trace;
  const LwPrediction *p = judge->prediction;
  double wish = judge->plan->wanted.joint_min_c, limit = wish_or (wish, liquidus);
  guint at = 0;
  double coldest = lw_profile_peak (trace->joint_min, samples_of_heating (judge), &at);
  LwWeighing w = weighing (judge, LW_FIGURE_COLD_MARK, coldest, limit);
  double doubt = lw_judge_doubt_of (judge, &w);
  double margin = isnan (doubt) ? LW_MELT_MARGIN_K : fmax (LW_MELT_MARGIN_K, doubt);
  w.upper = FALSE;
  LwFinding *finding = lw_judge_add_weighed (judge, &w, lw_rule_lower (coldest, limit, margin), "target-liquid",
                                             "°C", source_of (wish, LW_MELT_SOURCE));
  LwGrade grade = finding->grade;
  const char *format
      = coldest < limit ? _("Not every joint of %s is liquid when the heating ends: the coldest "
                                    "reaches %s °C and needs %s °C.")
        : grade != LW_GRADE_FINE
            ? _("The coldest joint of %s reaches %s °C, hardly more than the %s °C it needs.")
            : _("The coldest joint of %s reaches %s °C; it needs %s °C.");
  LwApart told = lw_apart (coldest, limit, 0);

  finding->moment_s = p->t_s[at];
  lw_finding_say (
      finding, g_strdup_printf (format, trace->ref, told.value, told.limit),
      grade == LW_GRADE_FINE ? "" : _("Lengthen the heating stage, raise the gas, or preheat more."));
}

static void
judge_hottest_joint (LwJudge *judge)
{
  const LwPartTrace *trace = judge->trace;
  gboolean lead_free = lw_limits_lead_free (lw_limits_plan_alloy (judge->job, judge->plan, judge->target));
  double wish = judge->plan->wanted.joint_max_c;
  double limit = wish_or (wish, lead_free ? LW_HOT_LEAD_FREE_C : LW_HOT_TIN_LEAD_C);
  LwWeighing w = weighing (judge, LW_FIGURE_JOINT_PEAK, trace->joint_peak_c, limit);
  LwGrade plain = lw_rule_upper (trace->joint_peak_c, limit, lw_judge_doubt_of (judge, &w));
  w.soft = TRUE;
  LwFinding *finding = lw_judge_add_weighed (judge, &w, lw_rule_at_most_watch (plain), "target-joint-peak", "°C",
                                             source_of (wish, LW_HOT_SOURCE));
  LwApart told = lw_apart (trace->joint_peak_c, limit, 0);

  finding->moment_s = trace->joint_peak_s;
  lw_finding_say (
      finding,
      g_strdup_printf (_("The hottest joint of %s reaches %s °C; %s °C is the most wanted."),
                       trace->ref, told.value, told.limit),
      finding->grade == LW_GRADE_FINE ? "" : _("Lower the gas or end the heating stage sooner."));
}

/* Largest spread while everything is liquid, up to the end of the heating; when it never is, at the
 * coldest joint's best moment. */
static double
spread_of (const LwJudge *judge, double liquidus, double *moment)
{
  const LwPartTrace *trace = judge->trace;
  guint n = samples_of_heating (judge), at = 0;
  double most = NAN;

  for (guint i = 0; i < n; i++)
    if (trace->joint_min[i] >= liquidus && !(trace->joint_max[i] - trace->joint_min[i] <= most)) {
      most = trace->joint_max[i] - trace->joint_min[i];
      at = i;
    }
  if (isnan (most)) {
    lw_profile_peak (trace->joint_min, n, &at);
    most = trace->joint_max[at] - trace->joint_min[at];
  }
  *moment = judge->prediction->t_s[at];
  return most;
}

static void
judge_spread (LwJudge *judge, double liquidus)
{
  double wish = judge->plan->wanted.spread_max_k, limit = wish_or (wish, LW_SPREAD_STOP_K), moment = NAN;
  double spread = spread_of (judge, liquidus, &moment);
  LwWeighing w = weighing (judge, LW_FIGURE_SPREAD, spread, limit);
  w.watch_level = limit * LW_SPREAD_WATCH_K / LW_SPREAD_STOP_K;
  LwFinding *finding = lw_judge_add_weighed (judge, &w, lw_rule_upper (spread, limit, limit - w.watch_level),
                                             "target-spread", "K", source_of (wish, LW_SPREAD_SOURCE));
  LwApart told = lw_apart (spread, limit, 1);

  finding->moment_s = moment;
  lw_finding_say (finding,
                  g_strdup_printf (_("The joints of %s differ by %s K; %s K is the limit."),
                                   judge->trace->ref, told.value, told.limit),
                  finding->grade == LW_GRADE_FINE
                      ? ""
                      : _("Heat more slowly with more preheat, and check that the nozzle is centred."));
}

static void
judge_long (LwJudge *judge, double liquidus)
{
  const LwPrediction *p = judge->prediction;
  double wish = judge->plan->wanted.above_liquidus_max_s, limit = wish_or (wish, LW_LONG_STOP_S);
  double time = lw_profile_time_above (p->t_s, judge->trace->joint_max, p->n_times, liquidus);
  double margin = isnan (wish) ? LW_LONG_STOP_S - LW_LONG_WATCH_S : LW_MARGIN_TIME * limit;
  LwWeighing w = weighing (judge, LW_FIGURE_ABOVE_LIQUIDUS_HOT, time, limit);
  w.watch_level = isnan (wish) ? LW_LONG_WATCH_S : NAN;
  LwFinding *finding = lw_judge_add_weighed (judge, &w, lw_rule_upper (time, limit, margin), "target-long", "s",
                                             source_of (wish, LW_LONG_SOURCE));
  LwApart told = lw_apart (time, limit, 0);

  lw_finding_say (
      finding,
      g_strdup_printf (_("The first joints of %s are liquid for %s s; %s s is the limit."),
                       judge->trace->ref, told.value, told.limit),
      finding->grade == LW_GRADE_FINE
          ? ""
          : _("Shorten the heating stage, or make the joints’ temperatures more even."));
}

static void
judge_short (LwJudge *judge)
{
  double wish = judge->plan->wanted.above_liquidus_min_s, limit = wish_or (wish, LW_SHORT_S);
  double time = judge->trace->above_liquidus_s;
  LwGrade plain = lw_rule_lower (time, limit, 0);
  LwWeighing w = weighing (judge, LW_FIGURE_ABOVE_LIQUIDUS, time, limit);
  w.upper = FALSE;
  w.soft = isnan (wish);
  LwFinding *finding = lw_judge_add_weighed (judge, &w, w.soft ? lw_rule_at_most_watch (plain) : plain,
                                             "target-short", "s", source_of (wish, LW_SHORT_SOURCE));
  LwApart told = lw_apart (time, limit, 0);

  lw_finding_say (
      finding,
      g_strdup_printf (_("The coldest joint of %s is liquid for %s s; at least %s s are wanted."),
                       judge->trace->ref, told.value, told.limit),
      finding->grade == LW_GRADE_FINE ? "" : _("Lengthen the heating stage."));
}

static void
judge_body (LwJudge *judge, const GArray *limits)
{
  const LwPartTrace *trace = judge->trace;
  const LwLimit *limit = lw_limits_find (limits, LW_LIMIT_BODY_PEAK_C);
  if (limit == NULL)
    return;
  LwWeighing w = weighing (judge, LW_FIGURE_BODY_PEAK, trace->body_peak_c, limit->value);
  LwGrade plain = lw_rule_upper (trace->body_peak_c, limit->value, lw_judge_doubt_of (judge, &w));
  LwFinding *finding = lw_judge_add_weighed (judge, &w, plain, "target-body", "°C", limit->source);
  g_autofree char *advice
      = finding->grade == LW_GRADE_FINE ? g_strdup ("") : lw_advice_hot (judge, judge->target);
  LwApart told = lw_apart (trace->body_peak_c, limit->value, 0);

  finding->moment_s = trace->body_peak_s;
  lw_finding_say (
      finding,
      g_strdup_printf (trace->body_peak_c >= limit->value
                           ? _("The body of %s reaches %s °C at %.0f s; it is classed for %s °C.")
                           : _("The body of %s reaches %s °C at %.0f s, classed for %s °C."),
                       trace->ref, told.value, trace->body_peak_s, told.limit),
      advice);
}

static void
judge_heating (LwJudge *judge)
{
  const LwPrediction *p = judge->prediction;
  double wish = judge->plan->wanted.ramp_max_c_per_s, limit = wish_or (wish, LW_RAMP_C_PER_S), at = NAN;
  double joints = lw_profile_ramp_up (p->t_s, judge->trace->joint_mean, p->n_times, RAMP_WINDOW_S, &at);
  gboolean body_faster = judge->trace->ramp_up_c_per_s > joints;
  double value = body_faster ? judge->trace->ramp_up_c_per_s : joints;
  LwWeighing w = weighing (judge, LW_FIGURE_FASTEST_RAMP_UP, value, limit);
  LwFinding *finding
      = lw_judge_add_weighed (judge, &w, lw_rule_upper (value, limit, LW_MARGIN_RAMP * limit), "target-ramp",
                              "°C/s", source_of (wish, LW_RAMP_SOURCE));
  g_autofree char *advice
      = finding->grade == LW_GRADE_FINE ? g_strdup ("") : lw_advice_ramp (judge, judge->target);

  LwApart told = lw_apart (value, limit, 1);

  finding->moment_s = body_faster ? judge->trace->ramp_up_s : at;
  lw_finding_say (finding,
                  g_strdup_printf (_("%s heats by %s °C/s at most; %s °C/s is the limit."),
                                   judge->trace->ref, told.value, told.limit),
                  advice);
}

static void
judge_cooling (LwJudge *judge, const GArray *limits)
{
  const LwLimit *down = lw_limits_find (limits, LW_LIMIT_RAMP_DOWN_C_PER_S);
  double value = judge->trace->ramp_down_c_per_s;

  if (down == NULL)
    return;
  LwWeighing w = weighing (judge, LW_FIGURE_RAMP_DOWN, value, down->value);
  LwFinding *finding
      = lw_judge_add_weighed (judge, &w, lw_rule_upper (value, down->value, LW_MARGIN_RAMP * down->value),
                              "target-cooling", "°C/s", down->source);
  LwApart told = lw_apart (value, down->value, 1);

  finding->moment_s = judge->trace->ramp_down_s;
  lw_finding_say (finding,
                  g_strdup_printf (_("%s cools by %s °C/s at most; %s °C/s is the limit."),
                                   judge->trace->ref, told.value, told.limit),
                  finding->grade == LW_GRADE_FINE ? "" : _("Let the gas and the preheater down more slowly."));
}

void
lw_judge_target (LwJudge *judge)
{
  if (judge->trace == NULL || judge->target == NULL)
    return;
  g_autoptr (GArray) limits = lw_limits_of (judge->job, judge->target);
  judge_body (judge, limits);
  if (judge->trace->joint_min == NULL || judge->trace->joint_max == NULL
      || judge->trace->joint_mean == NULL)
    return;
  double liquidus = liquidus_of (judge);
  if (isnan (liquidus))
    return;
  judge_melting (judge, liquidus);
  judge_hottest_joint (judge);
  judge_spread (judge, liquidus);
  judge_long (judge, liquidus);
  judge_short (judge);
  judge_heating (judge);
  judge_cooling (judge, limits);
}
