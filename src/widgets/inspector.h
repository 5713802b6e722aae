/* What is selected, in figures: what it is, what was predicted of it, and what can be changed. */
#ifndef LW_INSPECTOR_H
#define LW_INSPECTOR_H

#include "widgets/desk.h"

G_BEGIN_DECLS

#define LW_TYPE_INSPECTOR (lw_inspector_get_type ())
G_DECLARE_FINAL_TYPE (LwInspector, lw_inspector, LW, INSPECTOR, GtkWidget)

/* Property "desk". Actions it offers in its menus belong to the window: "win.rework-part" (s ref). */
void lw_inspector_set_desk (LwInspector *self, LwDesk *desk);
/* The row that edits PATH now, or NULL (LwFieldRow or LwChoiceRow). */
GtkWidget *lw_inspector_row (LwInspector *self, const char *path);
/* Puts the keyboard on the first row; FALSE when there is none. */
gboolean lw_inspector_enter (LwInspector *self);

G_END_DECLS

#endif
