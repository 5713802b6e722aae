/* The attach profile: what soldering asks beyond melting. Time above liquidus, peak, ramps and spread stand in
 * judge-target.c, against the solder of the paste. */
#include <glib/gi18n.h>
#include <math.h>

#include "plan/judge-ready.h"
#include "plan/part-limits.h"
#include "plan/profile.h"
#include "plan/rules.h"

/* J-STD-020 Table 5-2, the profile parts are classed with: soak band, its time, and time from 25 °C to the peak; rev D on. */
typedef struct {
  double low_c, high_c, least_s, most_s, to_peak_s, cold_c;
} Attach;
static const Attach LEAD_FREE = { 150, 200, 60, 120, 480, 230 }, TIN_LEAD = { 100, 150, 60, 120, 360, 205 };
#define TABLE N_("J-STD-020 Table 5-2, rev D on")
#define COLD N_("joint peaks when soldering, 230-250 °C lead-free, 205-225 °C tin-lead: makers’ databooks, from memory")

static void
judge_soak (LwJudge *judge, const Attach *a)
{
  const LwPrediction *p = judge->prediction;
  double time = lw_profile_rise_time (p->t_s, judge->trace->joint_mean, p->n_times, a->low_c, a->high_c);
  gboolean brief = time < a->least_s, within = !brief && time <= a->most_s;

  if (isnan (time))
    return; /* it does not come that far, which is said elsewhere */
  lw_finding_say (lw_judge_add (judge, within ? LW_GRADE_FINE : LW_GRADE_WATCH, "attach-soak", judge->target->ref, time,
                                brief ? a->least_s : a->most_s, !brief, "s", _(TABLE)),
                  g_strdup_printf (_("The joints of %s take %.0f s from %.0f to %.0f °C; %.0f to %.0f s are usual."),
                                   judge->target->ref, time, a->low_c, a->high_c, a->least_s, a->most_s),
                  within  ? ""
                  : brief ? _("Lengthen the soak: the flux needs it, and the spread shrinks. The paste’s own sheet comes first.")
                          : _("Shorten the soak: the flux is spent before the solder melts. The paste’s own sheet comes first."));
}

static double
time_to_peak (const LwJudge *judge)
{
  const LwPrediction *p = judge->prediction;
  guint peak = 0, from = 0;

  lw_profile_peak (judge->trace->joint_mean, p->n_times, &peak);
  while (from < peak && judge->trace->joint_mean[from + 1] <= 25)
    from++;
  return p->t_s[peak] - p->t_s[from];
}

static void
judge_to_peak (LwJudge *judge, const Attach *a)
{
  double time = time_to_peak (judge);
  LwGrade grade = lw_rule_at_most_watch (lw_rule_upper (time, a->to_peak_s, 0));

  lw_finding_say (lw_judge_add (judge, grade, "attach-to-peak", judge->target->ref, time, a->to_peak_s, TRUE, "s", _(TABLE)),
                  g_strdup_printf (_("%s is at its peak after %.0f s; the profile it is classed with takes %.0f s at most."),
                                   judge->target->ref, time, a->to_peak_s),
                  grade == LW_GRADE_FINE ? "" : _("Warm up faster, within the ramps."));
}

static void
judge_cold (LwJudge *judge, const Attach *a)
{
  const LwPrediction *p = judge->prediction;
  guint at = 0;
  double coldest = lw_profile_peak (judge->trace->joint_min, p->n_times, &at);
  LwGrade grade = lw_rule_at_most_watch (lw_rule_lower (coldest, a->cold_c, 0));

  if (!isnan (judge->plan->wanted.joint_min_c))
    return; /* the planner's own figure is judged already */
  LwFinding *finding = lw_judge_add (judge, grade, "attach-cold", judge->target->ref, coldest, a->cold_c, FALSE, "°C", _(COLD));
  finding->moment_s = p->t_s[at];
  lw_finding_say (finding,
                  g_strdup_printf (_("The coldest joint of %s peaks at %.0f °C; %.0f °C make sure that paste and part wet."),
                                   judge->target->ref, coldest, a->cold_c),
                  grade == LW_GRADE_FINE ? "" : _("Lengthen the heating stage, or preheat more."));
}

void
lw_judge_attach (LwJudge *judge)
{
  gboolean solders = judge->plan->operation == LW_OP_REFLOW || judge->plan->operation == LW_OP_PLACE;
  const LwPartTrace *trace = judge->trace;

  if (!solders || judge->target == NULL || trace == NULL || trace->joint_mean == NULL || trace->joint_min == NULL)
    return;
  const Attach *a = lw_limits_lead_free (lw_limits_plan_alloy (judge->job, judge->plan, judge->target)) ? &LEAD_FREE : &TIN_LEAD;
  judge_soak (judge, a);
  judge_to_peak (judge, a);
  judge_cold (judge, a);
}
