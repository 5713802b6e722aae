/* Every part that is not the target: joints, body, ramps, time at temperature, on both sides. */
#include <glib/gi18n.h>
#include <math.h>

#include "board/apart.h"
#include "plan/judge.h"
#include "plan/part-limits.h"
#include "plan/profile.h"
#include "plan/rules.h"

/* Sentences for a temperature that passes, comes near to, or keeps off a level; each takes the part, the
 * figure, the moment and the level, in this order, and all of them; figure and level are texts (apart.h). */
typedef struct {
  const char *passes, *near, *keeps;
} Sentences;

static void
add_temperature (LwJudge *judge, const LwWeighing *w, LwGrade plain, const char *kind, double moment,
                 const char *source, const Sentences *say, const LwPart *part)
{
  LwFinding *finding = lw_judge_add_weighed (judge, w, plain, kind, "°C", source);
  gboolean fine = finding->grade == LW_GRADE_FINE;
  g_autofree char *advice = fine ? g_strdup ("") : lw_advice_hot (judge, part);
  const char *format = w->value >= w->limit ? say->passes : fine ? say->keeps : say->near;

  LwApart told = lw_apart (w->value, w->limit, 0);

  finding->moment_s = moment;
  lw_finding_say (finding, g_strdup_printf (format, w->trace->ref, told.value, moment, told.limit), advice);
}

/* A limit from above. */
static LwWeighing
weighing (const LwPartTrace *trace, LwFigure figure, double value, double limit)
{
  return (LwWeighing){
    .figure = figure, .trace = trace, .value = value, .limit = limit, .watch_level = NAN, .upper = TRUE
  };
}

static LwGrade
plain_grade (const LwJudge *judge, const LwWeighing *w)
{
  return lw_rule_upper (w->value, w->limit, lw_judge_margin_k (judge, w->limit, lw_judge_doubt_of (judge, w)));
}

/* ---- body ---- */

static void
judge_body (LwJudge *judge, const LwPart *part, const LwPartTrace *trace, const GArray *limits)
{
  const LwLimit *limit = lw_limits_find (limits, LW_LIMIT_BODY_PEAK_C);
  Sentences say = {
    _("%s reaches %s °C at %.0f s; its limit is %s °C."),
    _("%s reaches %s °C at %.0f s, close to its limit of %s °C."),
    _("%s stays at %s °C or below (at %.0f s); its limit is %s °C."),
  };
  if (limit == NULL || isnan (trace->body_peak_c))
    return;
  LwWeighing w = weighing (trace, LW_FIGURE_BODY_PEAK, trace->body_peak_c, limit->value);
  add_temperature (judge, &w, plain_grade (judge, &w), "body-peak", trace->body_peak_s, limit->source, &say, part);
}

/* Levels that are less than limits are reported only when they are passed. */
static void
judge_cautions (LwJudge *judge, const LwPart *part, const LwPartTrace *trace)
{
  const char *source = "";
  double body = lw_limits_caution_body_c (judge->job, part, &source);
  Sentences say = {
    _("%s reaches %s °C at %.0f s, more than the %s °C that such parts are known to stand."),
    "",
    "",
  };
  Sentences say_joint = {
    _("The joints of %s reach %s °C at %.0f s, more than the %s °C asked of neighbours."),
    "",
    "",
  };
  LwWeighing w = weighing (trace, LW_FIGURE_BODY_PEAK, trace->body_peak_c, body);
  w.soft = TRUE;
  if (trace->body_peak_c >= body)
    add_temperature (judge, &w, LW_GRADE_WATCH, "body-caution", trace->body_peak_s, source, &say, part);
  double joint = lw_limits_caution_joint_c (judge->job, part, &source);
  w = weighing (trace, LW_FIGURE_JOINT_PEAK, trace->joint_peak_c, joint);
  w.soft = TRUE;
  if (trace->joint_peak_c >= joint)
    add_temperature (judge, &w, LW_GRADE_WATCH, "joint-caution", trace->joint_peak_s, source, &say_joint, part);
}

static void
judge_body_time (LwJudge *judge, const LwPart *part, const LwPartTrace *trace, const GArray *limits)
{
  const LwLimit *limit = lw_limits_find (limits, LW_LIMIT_BODY_TIME_ABOVE_S);
  const LwPrediction *p = judge->prediction;
  if (limit == NULL || trace->body_max == NULL)
    return;
  double time = lw_profile_time_above (p->t_s, trace->body_max, p->n_times, limit->at_c);
  LwGrade grade = lw_rule_upper (time, limit->value, LW_MARGIN_TIME * limit->value);
  LwFinding *finding = lw_judge_add (judge, grade, "body-time", trace->ref, time, limit->value, TRUE,
                                     "s", limit->source);
  g_autofree char *advice = grade == LW_GRADE_FINE ? g_strdup ("") : lw_advice_hot (judge, part);
  LwApart told = lw_apart (time, limit->value, 0);

  lw_finding_say (finding,
                  g_strdup_printf (_("%s spends %s s above %.0f °C; %s s are allowed."), trace->ref,
                                   told.value, limit->at_c, told.limit),
                  advice);
}

/* ---- joints ---- */

static void
judge_joints (LwJudge *judge, const LwPart *part, const LwPartTrace *trace, const GArray *limits)
{
  const LwLimit *limit = lw_limits_find (limits, LW_LIMIT_JOINT_PEAK_C);
  gboolean under = judge->target != NULL && part->side != judge->target->side;
  Sentences say = {
    under ? _(
        "The joints of %s, underneath, soften: %s °C at %.0f s, and the solder melts from %s °C. "
        "The part may drop off.")
          : _("The joints of %s soften: %s °C at %.0f s, and the solder melts from %s °C."),
    _("The joints of %s come close to melting: %s °C at %.0f s, and the solder melts from %s °C."),
    _("The joints of %s stay at %s °C or below (at %.0f s); the solder melts from %s °C."),
  };
  if (limit == NULL || trace->joint_max == NULL || isnan (trace->joint_peak_c))
    return;
  LwWeighing w = weighing (trace, LW_FIGURE_JOINT_PEAK, trace->joint_peak_c, limit->value);
  add_temperature (judge, &w, plain_grade (judge, &w), "joint-peak", trace->joint_peak_s, limit->source, &say, part);
}

static void
judge_array_joints (LwJudge *judge, const LwPart *part, const LwPartTrace *trace, const GArray *limits,
                    LwLimitKind which)
{
  const LwLimit *limit = lw_limits_find (limits, which);
  gboolean center = which == LW_LIMIT_JOINT_CENTER_PEAK_C;
  double peak = center ? trace->joint_center_peak_c : trace->joint_corner_peak_c;
  Sentences say = {
    center
        ? _("The joints in the middle of %s reach %s °C at %.0f s; above %s °C such joints crack.")
        : _("A corner joint of %s reaches %s °C at %.0f s; above %s °C such joints crack."),
    center
        ? _("The joints in the middle of %s reach %s °C at %.0f s, close to the %s °C above which "
             "such joints crack.")
        : _("A corner joint of %s reaches %s °C at %.0f s, close to the %s °C above which such "
             "joints crack."),
    center ? _(
        "The joints in the middle of %s stay at %s °C or below (at %.0f s); the alarm is %s °C.")
           : _("The corner joints of %s stay at %s °C or below (at %.0f s); the alarm is %s °C."),
  };
  if (limit == NULL || trace->joint_max == NULL || isnan (peak))
    return;
  LwWeighing w = weighing (trace, center ? LW_FIGURE_JOINT_CENTER : LW_FIGURE_JOINT_CORNER, peak, limit->value);
  w.soft = limit->alarm;
  LwGrade plain = plain_grade (judge, &w);
  add_temperature (judge, &w, w.soft ? lw_rule_at_most_watch (plain) : plain,
                   center ? "joint-center" : "joint-corner", trace->joint_peak_s, limit->source, &say, part);
}

/* ---- ramps ---- */

static void
judge_ramp (LwJudge *judge, const LwPart *part, const LwPartTrace *trace, const GArray *limits,
            LwLimitKind which)
{
  const LwLimit *limit = lw_limits_find (limits, which);
  const LwPackage *package = lw_judge_package (judge, part);
  gboolean up = which == LW_LIMIT_RAMP_UP_C_PER_S;
  double value = up ? trace->ramp_up_c_per_s : trace->ramp_down_c_per_s;
  if (limit == NULL || isnan (value))
    return;
  /* the makers' figure for ceramics is twofold: 2 °C/s asked for, 4 at most */
  gboolean ceramic = up && package != NULL && package->kind == LW_KIND_CERAMIC_CAPACITOR;
  LwGrade plain = lw_rule_upper (value, limit->value, (ceramic ? 0.5 : LW_MARGIN_RAMP) * limit->value);
  LwWeighing w = weighing (trace, up ? LW_FIGURE_RAMP_UP : LW_FIGURE_RAMP_DOWN, value, limit->value);
  w.watch_level = ceramic ? 0.5 * limit->value : NAN;
  LwFinding *finding
      = lw_judge_add_weighed (judge, &w, plain, up ? "ramp-up" : "ramp-down", "°C/s", limit->source);
  g_autofree char *advice = finding->grade == LW_GRADE_FINE ? g_strdup ("")
                            : up                   ? lw_advice_ramp (judge, part)
                                 : g_strdup (_("Let the gas and the preheater down more slowly."));
  LwApart told = lw_apart (value, limit->value, 1);

  finding->moment_s = up ? trace->ramp_up_s : trace->ramp_down_s;
  lw_finding_say (finding,
                  g_strdup_printf (up ? _("%s heats by %s °C/s at most; %s °C/s is the limit.")
                                      : _("%s cools by %s °C/s at most; %s °C/s is the limit."),
                                   trace->ref, told.value, told.limit),
                  advice);
}

void
lw_judge_part (LwJudge *judge, guint number)
{
  const LwPartTrace *trace = g_ptr_array_index (judge->prediction->parts, number);
  const LwPart *part = lw_judge_part_of (judge, trace);
  g_autoptr (GArray) limits = NULL;

  if (trace->is_target || part == NULL)
    return;
  limits = lw_limits_of (judge->job, part);
  judge_body (judge, part, trace, limits);
  judge_body_time (judge, part, trace, limits);
  judge_joints (judge, part, trace, limits);
  judge_array_joints (judge, part, trace, limits, LW_LIMIT_JOINT_CENTER_PEAK_C);
  judge_array_joints (judge, part, trace, limits, LW_LIMIT_JOINT_CORNER_PEAK_C);
  judge_cautions (judge, part, trace);
  judge_ramp (judge, part, trace, limits, LW_LIMIT_RAMP_UP_C_PER_S);
  judge_ramp (judge, part, trace, limits, LW_LIMIT_RAMP_DOWN_C_PER_S);
}

void
lw_judge_parts (LwJudge *judge)
{
  for (guint i = 0; i < judge->prediction->parts->len; i++)
    lw_judge_part (judge, i);
}
