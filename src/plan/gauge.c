#include "plan/gauge.h"

#include <math.h>

#include "plan/judge.h"
#include "plan/part-limits.h"
#include "plan/target-limits.h"

/* Smallest step of a temperature: limits are never held closer than a thermocouple reads. Type K, class 1:
 * 1.5 K up to 375 C (IEC 60584-1). */
#define LEAST_STEP_K 1.5

typedef struct {
  LwGauge *gauge;
  const LwCase *compiled;
  const LwPrediction *doubts;
} Maker;

static void
add (Maker *m, const char *kind, LwFigure figure, guint body, double limit, double unit, gboolean upper,
     gboolean soft)
{
  LwGaugeRule rule = { figure, body, kind, limit, unit, upper, soft };
  if (!isnan (limit) && unit > 0)
    g_array_append_val (m->gauge->rules, rule);
}

static double
doubt_of (const Maker *m, guint body, gboolean joint)
{
  if (m->doubts == NULL || body >= m->doubts->parts->len)
    return NAN;
  const LwPartTrace *trace = g_ptr_array_index (m->doubts->parts, body);
  return joint ? trace->joint_doubt_k : trace->body_doubt_k;
}

/* A step of a temperature: its doubt, or the share the judgement holds for little. */
static double
step_k (const Maker *m, double limit, double doubt)
{
  double share = LW_MARGIN_TEMPERATURE * fabs (limit - m->compiled->job->ambient_c);
  return fmax (LEAST_STEP_K, isnan (doubt) ? share : doubt);
}

static void
add_temperature (Maker *m, const char *kind, LwFigure figure, guint body, double limit, gboolean soft)
{
  double doubt = doubt_of (m, body, figure != LW_FIGURE_BODY_PEAK);
  add (m, kind, figure, body, limit, step_k (m, limit, doubt), TRUE, soft);
}

static const LwPart *
part_of (const Maker *m, guint body)
{
  return g_ptr_array_index (m->compiled->job->parts, m->compiled->body_of[body].part);
}

static void
add_cautions (Maker *m, guint body)
{
  const char *source;
  double at_body = lw_limits_caution_body_c (m->compiled->job, part_of (m, body), &source);
  double at_joint = lw_limits_caution_joint_c (m->compiled->job, part_of (m, body), &source);
  add_temperature (m, "body-caution", LW_FIGURE_BODY_PEAK, body, at_body, TRUE);
  add_temperature (m, "joint-caution", LW_FIGURE_JOINT_PEAK, body, at_joint, TRUE);
}

static void
add_neighbour (Maker *m, guint body)
{
  g_autoptr (GArray) limits = lw_limits_of (m->compiled->job, part_of (m, body));
  for (guint i = 0; i < limits->len; i++) {
    const LwLimit *l = &g_array_index (limits, LwLimit, i);
    double ramp = LW_MARGIN_RAMP * l->value;
    if (l->kind == LW_LIMIT_BODY_PEAK_C)
      add_temperature (m, "body-peak", LW_FIGURE_BODY_PEAK, body, l->value, FALSE);
    else if (l->kind == LW_LIMIT_JOINT_PEAK_C)
      add_temperature (m, "joint-peak", LW_FIGURE_JOINT_PEAK, body, l->value, FALSE);
    else if (l->kind == LW_LIMIT_JOINT_CENTER_PEAK_C)
      add_temperature (m, "joint-center", LW_FIGURE_JOINT_CENTER, body, l->value, l->alarm);
    else if (l->kind == LW_LIMIT_JOINT_CORNER_PEAK_C)
      add_temperature (m, "joint-corner", LW_FIGURE_JOINT_CORNER, body, l->value, l->alarm);
    else if (l->kind == LW_LIMIT_RAMP_UP_C_PER_S)
      add (m, "ramp-up", LW_FIGURE_RAMP_UP, body, l->value, ramp, TRUE, FALSE);
    else if (l->kind == LW_LIMIT_RAMP_DOWN_C_PER_S)
      add (m, "ramp-down", LW_FIGURE_RAMP_DOWN, body, l->value, ramp, TRUE, FALSE);
  }
  add_cautions (m, body);
}

static double
wish_or (double wish, double standard)
{
  return isnan (wish) ? standard : wish;
}

/* What the joints of the reworked part are asked for. */
static void
add_target_joints (Maker *m, guint body)
{
  const LwWanted *w = &lw_case_plan (m->compiled)->wanted;
  const char *alloy = lw_limits_plan_alloy (m->compiled->job, lw_case_plan (m->compiled), part_of (m, body));
  double hot = lw_limits_lead_free (alloy) ? LW_HOT_LEAD_FREE_C : LW_HOT_TIN_LEAD_C;
  double doubt = doubt_of (m, body, TRUE);
  double melt = wish_or (w->joint_min_c, m->compiled->body_of[body].liquidus_c);
  double spread = wish_or (w->spread_max_k, LW_SPREAD_STOP_K);
  double longest = wish_or (w->above_liquidus_max_s, LW_LONG_STOP_S);
  double shortest = wish_or (w->above_liquidus_min_s, LW_SHORT_S);
  double ramp = wish_or (w->ramp_max_c_per_s, LW_RAMP_C_PER_S);

  add (m, "target-liquid", LW_FIGURE_COLD_MARK, body, melt,
       fmax (LW_MELT_MARGIN_K, isnan (doubt) ? 0 : doubt), FALSE, FALSE);
  add_temperature (m, "target-joint-peak", LW_FIGURE_JOINT_PEAK, body, wish_or (w->joint_max_c, hot), TRUE);
  add (m, "target-spread", LW_FIGURE_SPREAD, body, spread, spread * (1 - LW_SPREAD_WATCH_K / LW_SPREAD_STOP_K),
       TRUE, FALSE);
  add (m, "target-long", LW_FIGURE_ABOVE_LIQUIDUS_HOT, body, longest,
       isnan (w->above_liquidus_max_s) ? LW_LONG_STOP_S - LW_LONG_WATCH_S : LW_MARGIN_TIME * longest, TRUE, FALSE);
  add (m, "target-short", LW_FIGURE_ABOVE_LIQUIDUS, body, shortest, LW_MARGIN_TIME * shortest, FALSE,
       isnan (w->above_liquidus_min_s));
  add (m, "target-ramp", LW_FIGURE_FASTEST_RAMP_UP, body, ramp, LW_MARGIN_RAMP * ramp, TRUE, FALSE);
}

static void
add_target (Maker *m, guint body)
{
  g_autoptr (GArray) limits = lw_limits_of (m->compiled->job, part_of (m, body));
  const LwLimit *peak = lw_limits_find (limits, LW_LIMIT_BODY_PEAK_C);
  const LwLimit *down = lw_limits_find (limits, LW_LIMIT_RAMP_DOWN_C_PER_S);
  if (peak != NULL)
    add_temperature (m, "target-body", LW_FIGURE_BODY_PEAK, body, peak->value, FALSE);
  if (!(m->compiled->body_of[body].liquidus_c > 0) || m->compiled->bodies[body].n_joints == 0)
    return;
  add_target_joints (m, body);
  if (down != NULL)
    add (m, "target-cooling", LW_FIGURE_RAMP_DOWN, body, down->value, LW_MARGIN_RAMP * down->value, TRUE, FALSE);
}

LwGauge *
lw_gauge_new (const LwCase *compiled, const LwPrediction *doubts)
{
  LwGauge *self = g_new0 (LwGauge, 1);
  Maker m = { self, compiled, doubts };
  double board = isnan (compiled->td_c) ? LW_LAMINATE_C : fmin (compiled->td_c, LW_LAMINATE_C);

  self->rules = g_array_new (FALSE, FALSE, sizeof (LwGaugeRule));
  self->target = compiled->scene.target < compiled->n_bodies ? (guint) compiled->scene.target : G_MAXUINT;
  for (guint body = 0; body < compiled->n_bodies; body++)
    if (body == self->target)
      add_target (&m, body);
    else
      add_neighbour (&m, body);
  add (&m, "laminate-peak", LW_FIGURE_BOARD_PEAK, 0, board, step_k (&m, board, NAN), TRUE, FALSE);
  return self;
}

LwGauge *
lw_gauge_copy (const LwGauge *self)
{
  LwGauge *copy = g_new0 (LwGauge, 1);

  copy->rules = g_array_copy (self->rules);
  copy->target = self->target;
  return copy;
}

void
lw_gauge_leave_out (LwGauge *self, guint body)
{
  for (guint i = self->rules->len; i > 0; i--) {
    const LwGaugeRule *rule = &g_array_index (self->rules, LwGaugeRule, i - 1);
    if (rule->body == body && rule->figure != LW_FIGURE_BOARD_PEAK)
      g_array_remove_index (self->rules, i - 1);
  }
}

void
lw_gauge_free (LwGauge *self)
{
  if (self == NULL)
    return;
  g_array_unref (self->rules);
  g_free (self);
}

/* A joint that never melts has been liquid for no time at all. */
static double
or_never (double seconds)
{
  return isnan (seconds) ? 0 : seconds;
}

double
lw_gauge_figure (const LwGaugeRule *rule, const HeatFigures *figures, double board_peak_c)
{
  const HeatFigures *f = &figures[rule->body];
  switch (rule->figure) {
  case LW_FIGURE_JOINT_PEAK:
    return f->joint_peak_c;
  case LW_FIGURE_JOINT_CENTER:
    return f->joint_center_peak_c;
  case LW_FIGURE_JOINT_CORNER:
    return f->joint_corner_peak_c;
  case LW_FIGURE_BODY_PEAK:
    return f->body_peak_c;
  case LW_FIGURE_RAMP_UP:
    return f->ramp_up_k_s;
  case LW_FIGURE_RAMP_DOWN:
    return f->ramp_down_k_s;
  case LW_FIGURE_FASTEST_RAMP_UP:
    return fmax (f->ramp_up_k_s, f->joint_ramp_up_k_s);
  case LW_FIGURE_COLD_MARK:
    return f->joint_cold_mark_c;
  case LW_FIGURE_SPREAD:
    return f->spread_k;
  case LW_FIGURE_ABOVE_LIQUIDUS:
    return or_never (f->above_liquidus_s);
  case LW_FIGURE_ABOVE_LIQUIDUS_HOT:
    return or_never (f->above_liquidus_hot_s);
  case LW_FIGURE_BOARD_PEAK:
  default:
    return board_peak_c;
  }
}

static double
headroom_at (const LwGaugeRule *rule, double value)
{
  return rule->upper ? rule->limit - value : value - rule->limit;
}

double
lw_gauge_headroom (const LwGaugeRule *rule, const HeatFigures *figures, double board_peak_c)
{
  return headroom_at (rule, lw_gauge_figure (rule, figures, board_peak_c));
}

double
lw_gauge_steps_at (const LwGaugeRule *rule, double figure)
{
  double steps = headroom_at (rule, figure) / rule->unit;
  if (!rule->soft)
    return steps;
  return 1 + (steps < 0 ? steps / LW_SOFT_STEPS : steps);
}

double
lw_gauge_steps (const LwGaugeRule *rule, const HeatFigures *figures, double board_peak_c)
{
  return lw_gauge_steps_at (rule, lw_gauge_figure (rule, figures, board_peak_c));
}

double
lw_plan_heating_end_s (const LwPlan *plan)
{
  double t = 0, end = NAN, hottest = -INFINITY;

  if (plan->table != NULL) {
    for (guint i = 0; i < plan->table->len; i++) {
      const LwKnot *knot = &g_array_index (plan->table, LwKnot, i);
      if (!(knot->gas_c >= hottest))
        continue;
      hottest = knot->gas_c;
      end = knot->t_s;
    }
    return end;
  }
  for (guint i = 0; i < plan->stages->len; i++) {
    const LwStage *stage = g_ptr_array_index (plan->stages, i);
    t += stage->duration_s;
    if (!(stage->gas_c >= hottest) || !(stage->flow_l_per_min > 0))
      continue;
    hottest = stage->gas_c;
    end = t;
  }
  return end;
}
