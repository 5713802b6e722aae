/* Inside of the run's and the profile's pictures. */
#ifndef LW_RUN_CURVES_H
#define LW_RUN_CURVES_H

#include "draw/profile-painter.h"
#include "draw/run-picture.h"

G_BEGIN_DECLS

/* COLUMN stands out, -1 = all alike. ALL: also what belongs to no thermocouple of the plan. */
void lw_run_paint_plan (LwProfilePainter *p, const LwComparison *run, const LwBenchReadings *should, int column);
void lw_run_paint_measured (LwProfilePainter *p, const LwComparison *run, int column, gboolean all);

G_END_DECLS

#endif
