/* A plan as the operator at the bench needs it: stages by the clock, what thermocouples should show, when to stop,
 * what to do before heat. */
#ifndef LW_BENCH_H
#define LW_BENCH_H

#include "plan/findings.h"

G_BEGIN_DECLS

/* A stage by the clock; NaN = off. Of a prescribed table one from knot to knot. */
typedef struct {
  char *name;
  double t0_s, t1_s;
  double gas_c, flow_l_per_min, preheat_c; /* flow NaN where the table leaves it out */
  gboolean ramp;
} LwBenchStage;

/* GArray of LwBenchStage (transfer full), in order; empty for a plan without any. */
GArray *lw_bench_stages (const LwPlan *plan);

/* What a thermocouple touches: a body when it is fixed to a part of its own side, joints when it is fixed to a part
 * from the other side of the board, else the board's surface. */
typedef enum { LW_TOUCH_BOARD, LW_TOUCH_BODY, LW_TOUCH_JOINTS } LwTouch;
LwTouch lw_bench_touch (const LwJob *job, const LwThermocouple *couple);

/* What it should show at a moment, C; NaN where the prediction knows nothing there. Joints of the target: the one
 * nearest to it; of another part: their mean. A body: its hottest point. */
double lw_bench_reading_c (const LwJob *job, const LwPrediction *prediction, const LwThermocouple *couple, double t_s);
/* Readings of all of a plan's thermocouples over the run, made once: where a prediction makes its fields on demand,
 * at the ends of the stages and a few dozen moments between. */
typedef struct {
  guint n_couples, n_moments;
  double *t_s; /* rising */
  double *c;   /* [couple * n_moments + moment]; NaN = not known */
} LwBenchReadings;

/* What each thermocouple of PLAN shows, from start to end with the stages' ends and the moments between that the sheet
 * prints (transfer full). */
LwBenchReadings *lw_bench_readings_new (const LwJob *job, const LwPlan *plan, const LwPrediction *prediction);
/* The same with so many moments between start and end where fields are made. */
LwBenchReadings *lw_bench_readings_new_fine (const LwJob *job, const LwPlan *plan, const LwPrediction *prediction,
                                             guint between);
void lw_bench_readings_free (LwBenchReadings *self); /* NULL allowed */
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwBenchReadings, lw_bench_readings_free)
double lw_bench_readings_at (const LwBenchReadings *self, guint couple, double t_s);
double lw_bench_readings_highest (const LwBenchReadings *self, guint couple); /* C */

/* When to stop or to act, one sentence each. */
typedef struct {
  int thermocouple; /* index in the plan, -1 = by the clock or by eye */
  double level_c;   /* NaN = none */
  char *ref;        /* part it protects, "" = none in particular */
  LwGrade grade;    /* STOP: the plan's own prediction passes the level */
  char *text;       /* translated */
} LwBenchStop;

/* From the plan's findings (of PREDICTION) and their limits. A thermocouple on a part is held against that part's
 * limit; one on the board against the limit that is reached first when everything gets hotter in proportion. The
 * thermocouple's own error is taken off. GPtrArray of LwBenchStop (transfer full). */
GPtrArray *lw_bench_stops (const LwJob *job, guint plan, const LwPrediction *prediction, const GPtrArray *findings,
                           const LwBenchReadings *readings);

/* What is to be done or measured before heat, as findings: parts to take off, heights and outlines nobody knows.
 * FINDINGS may be NULL. GPtrArray of LwFinding (transfer full). */
GPtrArray *lw_bench_before (const LwJob *job, guint plan, const GPtrArray *findings);

/* The usual cautions of the work, translated sentences, NULL after the last (transfer none). */
const char *lw_bench_caution (guint index);

/* Distance of a part's body centre or any point from the edge of the target's body, in common words "near". */
gboolean lw_bench_is_near (const LwJob *job, const LwPlan *plan, LwPoint at);

G_END_DECLS

#endif
