/* A plan's headroom in a few comparisons: every limit the judgement knows, ready to be held against the
 * figures of a run, without words. What lw_judge() finds, this measures (tests/plan/test-gauge.c); it leaves
 * out what is not a figure of a body: time above a temperature other than liquidus, the time above the
 * laminate's Tg, the evenness of the preheat. Inside plan/. */
#ifndef LW_GAUGE_H
#define LW_GAUGE_H

#include "heat/reduced.h"
#include "plan/compile.h"
#include "plan/figure.h"

G_BEGIN_DECLS

/* One limit. UNIT is what counts as one step of headroom: the figure's doubt, where it is known, but not less
 * than the share that the judgement counts as little (judge.h). A SOFT limit (an alarm, a caution, common
 * practice) never stops a job: LW_SOFT_STEPS beyond it weigh as much as another limit just reached; the program's
 * own choice. */
#define LW_SOFT_STEPS 4.0
typedef struct {
  LwFigure figure;
  guint body;
  const char *kind; /* of the finding, static */
  double limit, unit;
  gboolean upper, soft;
} LwGaugeRule;

typedef struct {
  GArray *rules; /* LwGaugeRule */
  guint target;  /* body, or G_MAXUINT */
} LwGauge;

/* DOUBTS: a prediction of the same job whose doubts are taken, or NULL. */
LwGauge *lw_gauge_new (const LwCase *compiled, const LwPrediction *doubts);
LwGauge *lw_gauge_copy (const LwGauge *self);
/* Asks nothing of a body any more. */
void lw_gauge_leave_out (LwGauge *self, guint body);
void lw_gauge_free (LwGauge *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwGauge, lw_gauge_free)

/* The figure a rule is about; NaN when a run has none. */
double lw_gauge_figure (const LwGaugeRule *rule, const HeatFigures *figures, double board_peak_c);
/* Distance to the limit on the safe side, in the figure's unit; negative = passed. NaN without a figure. */
double lw_gauge_headroom (const LwGaugeRule *rule, const HeatFigures *figures, double board_peak_c);
/* The same in steps, a soft limit's one higher and, beyond it, LW_SOFT_STEPS times as many. */
double lw_gauge_steps_at (const LwGaugeRule *rule, double figure);
double lw_gauge_steps (const LwGaugeRule *rule, const HeatFigures *figures, double board_peak_c);

/* The last moment at which the plan asks for its hottest gas, when the part moves; NaN without gas. */
double lw_plan_heating_end_s (const LwPlan *plan);

G_END_DECLS

#endif
