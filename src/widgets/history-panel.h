/* What a job keeps of its past besides the runs: revisions of the plan in hand, and fits. */
#ifndef LW_HISTORY_PANEL_H
#define LW_HISTORY_PANEL_H

#include "widgets/desk.h"

G_BEGIN_DECLS

#define LW_TYPE_HISTORY_PANEL (lw_history_panel_get_type ())
G_DECLARE_FINAL_TYPE (LwHistoryPanel, lw_history_panel, LW, HISTORY_PANEL, GtkWidget)

/* NULL = none. */
void lw_history_panel_set_desk (LwHistoryPanel *self, LwDesk *desk);

G_END_DECLS

#endif
