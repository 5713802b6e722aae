/* How the computation stands: up to date, running (with a bar and Cancel), for an earlier version, failed. */
#ifndef LW_RUN_STATE_H
#define LW_RUN_STATE_H

#include "widgets/desk.h"

G_BEGIN_DECLS

#define LW_TYPE_RUN_STATE (lw_run_state_get_type ())
G_DECLARE_FINAL_TYPE (LwRunState, lw_run_state, LW, RUN_STATE, GtkWidget)

/* Property "desk". Its buttons use the window's "win.cancel-run" and "win.run-again". */
void lw_run_state_set_desk (LwRunState *self, LwDesk *desk);
const char *lw_run_state_text (LwRunState *self);

G_END_DECLS

#endif
