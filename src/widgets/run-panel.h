/* The recorded runs of the plan in hand: which there are, the chosen one over the plan, its figures. */
#ifndef LW_RUN_PANEL_H
#define LW_RUN_PANEL_H

#include "widgets/desk.h"

G_BEGIN_DECLS

#define LW_TYPE_RUN_PANEL (lw_run_panel_get_type ())
G_DECLARE_FINAL_TYPE (LwRunPanel, lw_run_panel, LW, RUN_PANEL, GtkWidget)

/* Signal "import" (GFile *file or NULL): a log is to be read; NULL = one is to be chosen. */
void lw_run_panel_set_desk (LwRunPanel *self, LwDesk *desk);
/* The chosen run's index in the job, -1 = none. */
int lw_run_panel_run (LwRunPanel *self);
void lw_run_panel_choose (LwRunPanel *self, int run);

G_END_DECLS

#endif
