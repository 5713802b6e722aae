/* The findings, worst first. Choosing one shows its part, side and moment. */
#ifndef LW_FINDINGS_PANEL_H
#define LW_FINDINGS_PANEL_H

#include "widgets/desk.h"

G_BEGIN_DECLS

#define LW_TYPE_FINDINGS_PANEL (lw_findings_panel_get_type ())
G_DECLARE_FINAL_TYPE (LwFindingsPanel, lw_findings_panel, LW, FINDINGS_PANEL, GtkWidget)

/* Property "desk". Signal "show-part" (int part): the part is to be brought into view. */
void lw_findings_panel_set_desk (LwFindingsPanel *self, LwDesk *desk);
/* The list as shown (LwFindingItem), and its selection. */
GtkSingleSelection *lw_findings_panel_selection (LwFindingsPanel *self);

G_END_DECLS

#endif
