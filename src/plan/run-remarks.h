/* What looks wrong about a run laid over its plan. Inside the room. */
#ifndef LW_RUN_REMARKS_H
#define LW_RUN_REMARKS_H

#include "plan/run-compare.h"

G_BEGIN_DECLS

/* Adds to SELF's remarks. */
void lw_run_find_remarks (LwComparison *self, const LwPlan *plan, const LwBenchReadings *should);

/* The curve C over rising moments T, a straight line between them; NaN outside. */
double lw_run_curve_at (const double *t, const double *c, guint n, double t_s);

G_END_DECLS

#endif
