/* A recorded run laid over its plan: the trade's figures of both by the same code (profile.h), and the difference at
 * each thermocouple.
 *
 *   LwBenchReadings *should = lw_run_readings (job, plan, prediction);      once for a prediction
 *   LwComparison *comparison = lw_run_compare (job, plan, should, run);     again for each shift */
#ifndef LW_RUN_COMPARE_H
#define LW_RUN_COMPARE_H

#include "plan/bench.h"

G_BEGIN_DECLS

/* Ramps are means over this long, as for the plan's bodies. */
#define LW_RUN_RAMP_WINDOW_S 5.0

/* Figures of one curve; NaN where it has none. */
typedef struct {
  double first_c, peak_c, peak_s;
  double ramp_up_c_per_s, ramp_up_s, ramp_down_c_per_s, ramp_down_s;
  double soak_s;           /* from first passing soak_low_c upward to first passing soak_high_c */
  double above_liquidus_s;
} LwCurveFigures;

typedef struct {
  guint column;        /* of the run */
  char *name;          /* the column's heading */
  int couple;          /* thermocouple of the plan, -1 = none */
  char *couple_name;   /* "" = none */
  double *plan_c;      /* what the plan has at each moment of the run; NaN = outside it, or not known */
  const double *run_c; /* borrowed from the run, which the comparison holds */
  LwCurveFigures plan, run;
  /* Plan minus run, over the moments that both have. */
  guint n;
  double mean_k, rms_k, most_k, most_s; /* most_k has its sign */
} LwCompared;

typedef struct LwComparison {
  LwRun *run;
  double shift_s;        /* plan's time minus the log's, as used */
  double ramp_shift_s;   /* the same by the start of the ramp; NaN = no ramp was found */
  gboolean by_hand;      /* the run says its shift */
  guint n;
  double *t_s;           /* moments of the run on the plan's clock */
  GPtrArray *columns;    /* LwCompared, one for each column of the run */
  double soak_low_c, soak_high_c, liquidus_c;
  double plan_spread_k, run_spread_k; /* of the peaks at thermocouples of the target (of all, when fewer than two) */
  double rms_k;          /* of all differences */
  GPtrArray *remarks;    /* char *, translated: names that seem swapped, a clock that seems shifted, ... */
} LwComparison;

/* Readings fine enough to lay a run over: LwBenchReadings of the plan's thermocouples. */
LwBenchReadings *lw_run_readings (const LwJob *job, const LwPlan *plan, const LwPrediction *prediction);

/* SHOULD may be NULL: then only the run's own figures are there, and its shift is 0 unless it says one. RUN is kept. */
LwComparison *lw_run_compare (const LwJob *job, guint plan, const LwBenchReadings *should, LwRun *run);
void lw_comparison_free (LwComparison *self); /* NULL allowed */
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwComparison, lw_comparison_free)

/* What the run's column shows at a moment of the plan; NaN outside. */
double lw_comparison_run_c (const LwComparison *self, guint column, double t_s);

/* Figures of a curve of N samples, gaps (NaN) left out; curves are straight lines between samples. */
void lw_curve_figures (const double *t_s, const double *c, guint n, double soak_low_c, double soak_high_c,
                       double liquidus_c, LwCurveFigures *figures);
/* When a curve begins to rise, found by carrying its rise between a twentieth and a seventh of the whole back to where
 * it starts; spikes and noise do not count. NaN when it does not rise by 15 K. */
double lw_curve_ramp_start (const double *t_s, const double *c, guint n);

G_END_DECLS

#endif
