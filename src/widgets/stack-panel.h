/* The stack-up: its layers as a table, its section as a picture, and what both conduct. */
#ifndef LW_STACK_PANEL_H
#define LW_STACK_PANEL_H

#include "widgets/desk.h"
#include "widgets/edit-table.h"

G_BEGIN_DECLS

#define LW_TYPE_STACK_PANEL (lw_stack_panel_get_type ())
G_DECLARE_FINAL_TYPE (LwStackPanel, lw_stack_panel, LW, STACK_PANEL, GtkWidget)

/* Property "desk". Actions "stack.start" (u: copper layers), "stack.add" (i: LwLayerKind), "stack.remove",
 * "stack.raise", "stack.lower", "stack.thickness". */
void lw_stack_panel_set_desk (LwStackPanel *self, LwDesk *desk);

G_END_DECLS

#endif
