/* The table beside a run: for each column what it is, and the trade's figures of plan and run. */
#ifndef LW_RUN_FIGURES_H
#define LW_RUN_FIGURES_H

#include "plan/run-compare.h"
#include "widgets/desk.h"

G_BEGIN_DECLS

#define LW_TYPE_RUN_FIGURES (lw_run_figures_get_type ())
G_DECLARE_FINAL_TYPE (LwRunFigures, lw_run_figures, LW, RUN_FIGURES, GtkWidget)

/* Signal "mapped" (guint column, char *thermocouple, "" = none). RUN NULL empties it. */
void lw_run_figures_show (LwRunFigures *self, const LwPlan *plan, const LwComparison *run);

G_END_DECLS

#endif
