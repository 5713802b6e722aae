/* What the plan asks of the station: gas, flow, preheater. */
#include "board/apart.h"
#include "plan/judge.h"

#include <glib/gi18n.h>
#include <math.h>

#define STATION_SOURCE N_("the station’s own range")

/* Lowest and highest of one set point over the plan; both NaN when it is never on. */
typedef struct {
  double lowest, highest;
} Span;

static void
widen (Span *span, double value)
{
  if (isnan (value))
    return;
  span->lowest = isnan (span->lowest) ? value : fmin (span->lowest, value);
  span->highest = isnan (span->highest) ? value : fmax (span->highest, value);
}

static void
spans_of (const LwPlan *plan, Span *gas, Span *flow, Span *preheat)
{
  *gas = *flow = *preheat = (Span){ NAN, NAN };
  if (plan->table != NULL)
    for (guint i = 0; i < plan->table->len; i++) {
      const LwKnot *knot = &g_array_index (plan->table, LwKnot, i);
      widen (gas, knot->gas_c);
      widen (preheat, knot->preheat_c);
    }
  for (guint i = 0; i < plan->stages->len; i++) {
    const LwStage *stage = g_ptr_array_index (plan->stages, i);
    if (plan->table == NULL) {
      widen (gas, stage->gas_c);
      widen (preheat, stage->preheat_c);
    }
    if (!isnan (stage->gas_c) && stage->flow_l_per_min > 0)
      widen (flow, stage->flow_l_per_min);
  }
}

/* The last three take value and limit as texts: "The plan asks for gas of %s °C; ...". DECIMALS: theirs, at least. */
static void
check (LwJudge *judge, const char *kind, Span span, double low, double high, const char *unit, int decimals,
       const char *too_much, const char *too_little, const char *within)
{
  if (isnan (span.highest))
    return;
  gboolean below = span.lowest < low && span.highest <= high;
  double value = below ? span.lowest : span.highest, limit = below ? low : high;
  gboolean bad = below || span.highest > high;
  LwFinding *finding = lw_judge_add (judge, bad ? LW_GRADE_STOP : LW_GRADE_FINE, kind, "", value, limit,
                                     !below, unit, _(STATION_SOURCE));
  LwApart told = lw_apart (value, limit, decimals);

  lw_finding_say (finding,
                  g_strdup_printf (below ? too_little
                                   : bad ? too_much
                                         : within,
                                   told.value, told.limit),
                  bad ? _("Choose a value the station can give, or another station.") : "");
}

static void
check_area (LwJudge *judge)
{
  const LwPlan *plan = judge->plan;
  const LwPreheater *preheater = &judge->job->station->preheater;
  double over_l = plan->preheat_length_mm - preheater->max_length_mm;
  double over_w = plan->preheat_width_mm - preheater->max_width_mm;
  gboolean along_x = over_l >= over_w;
  double value = along_x ? plan->preheat_length_mm : plan->preheat_width_mm;
  double limit = along_x ? preheater->max_length_mm : preheater->max_width_mm;
  gboolean bad = value > limit;

  if (preheater->kind == LW_PREHEATER_NONE)
    return;
  LwFinding *finding = lw_judge_add (judge, bad ? LW_GRADE_STOP : LW_GRADE_FINE, "preheat-size", "",
                                     value, limit, TRUE, "mm", _(STATION_SOURCE));
  LwApart told = lw_apart (value, limit, 0);

  lw_finding_say (finding,
                  g_strdup_printf (
                      bad ? _("The preheat area measures %s mm one way; the preheater gives %s mm.")
                          : _("The preheater is large enough for the area (%s of %s mm)."),
                      told.value, told.limit),
                  bad ? _("Make the area smaller.") : "");
}

void
lw_judge_station (LwJudge *judge)
{
  const LwStation *station = judge->job->station;
  const LwPreheater *preheater = &station->preheater;
  Span gas, flow, preheat;

  spans_of (judge->plan, &gas, &flow, &preheat);
  check (judge, "gas-range", gas, station->gas_min_c, station->gas_max_c, "°C", 0,
         _("The plan asks for gas of %s °C; the station gives at most %s °C."),
         _("The plan asks for gas of %s °C; the station gives at least %s °C."),
         _("Gas of %s °C is within the station’s range, which ends at %s °C."));
  check (judge, "flow-range", flow, station->flow_min_l_per_min, station->flow_max_l_per_min, "L/min", 1,
         _("The plan asks for %s L/min of gas; the station gives at most %s L/min."),
         _("The plan asks for %s L/min of gas; the station gives at least %s L/min."),
         _("A flow of %s L/min is within the station’s range, which ends at %s L/min."));
  if (preheater->kind == LW_PREHEATER_NONE) {
    if (isnan (preheat.highest))
      return;
    LwFinding *finding = lw_judge_add (judge, LW_GRADE_STOP, "preheat-range", "", preheat.highest, NAN,
                                       TRUE, "°C", _(STATION_SOURCE));
    lw_finding_say (finding, g_strdup (_("The plan preheats, but the station has no preheater.")), "");
    return;
  }
  check (judge, "preheat-range", preheat, preheater->min_c, preheater->max_c, "°C", 0,
         _("The plan sets the preheater to %s °C; it reaches at most %s °C."),
         _("The plan sets the preheater to %s °C; it starts at %s °C."),
         _("A preheater setting of %s °C is within its range, which ends at %s °C."));
  check_area (judge);
}
