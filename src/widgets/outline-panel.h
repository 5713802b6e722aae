/* The board's edge, cut-outs, copper regions and via fields as figures: what can be drawn can be typed here. */
#ifndef LW_OUTLINE_PANEL_H
#define LW_OUTLINE_PANEL_H

#include "widgets/desk.h"
#include "widgets/edit-table.h"

G_BEGIN_DECLS

#define LW_TYPE_OUTLINE_PANEL (lw_outline_panel_get_type ())
G_DECLARE_FINAL_TYPE (LwOutlinePanel, lw_outline_panel, LW, OUTLINE_PANEL, GtkWidget)

/* Property "desk". Actions "outline.insert", "outline.remove", "outline.remove-shape". */
void lw_outline_panel_set_desk (LwOutlinePanel *self, LwDesk *desk);

G_END_DECLS

#endif
