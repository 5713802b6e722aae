/* A recorded run over its plan, to be looked at and dragged along the time. */
#ifndef LW_RUN_VIEW_H
#define LW_RUN_VIEW_H

#include "plan/run-compare.h"
#include "widgets/desk.h"

G_BEGIN_DECLS

#define LW_TYPE_RUN_VIEW (lw_run_view_get_type ())
G_DECLARE_FINAL_TYPE (LwRunView, lw_run_view, LW, RUN_VIEW, GtkWidget)

/* Signals: "shift" (double shift_s, gboolean done): the person drags the run; "column" (int): one was clicked. */
void lw_run_view_set_desk (LwRunView *self, LwDesk *desk);
/* Both are borrowed until the next call; RUN NULL = there is none. */
void lw_run_view_show (LwRunView *self, const LwComparison *run, const LwBenchReadings *should);
/* The column that stands out, -1 = none. */
void lw_run_view_set_column (LwRunView *self, int column);

G_END_DECLS

#endif
