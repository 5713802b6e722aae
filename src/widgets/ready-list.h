/* What stands before heat, in the inspector: the findings of readiness with their grades and sources, and the schedule. */
#ifndef LW_READY_LIST_H
#define LW_READY_LIST_H

#include "widgets/desk.h"

G_BEGIN_DECLS

#define LW_TYPE_READY_LIST (lw_ready_list_get_type ())
G_DECLARE_FINAL_TYPE (LwReadyList, lw_ready_list, LW, READY_LIST, GtkWidget)

/* Follows the desk's findings. */
GtkWidget *lw_ready_list_new (LwDesk *desk);
/* How many findings it shows now. */
guint lw_ready_list_count (LwReadyList *self);

G_END_DECLS

#endif
