/* The operations of the part in hand, in the order of the work: one is chosen, which opens its plan; they are added, taken
 * away and moved. By keyboard: Enter opens, Alt with an arrow moves, Delete takes away. */
#ifndef LW_OPERATION_LIST_H
#define LW_OPERATION_LIST_H

#include "widgets/desk.h"

G_BEGIN_DECLS

#define LW_TYPE_OPERATION_LIST (lw_operation_list_get_type ())
G_DECLARE_FINAL_TYPE (LwOperationList, lw_operation_list, LW, OPERATION_LIST, GtkWidget)

/* Holds DESK. */
GtkWidget *lw_operation_list_new (LwDesk *desk);
/* The rows themselves, for whoever gives them the focus (transfer none). */
GtkListBox *lw_operation_list_rows (LwOperationList *self);

G_END_DECLS

#endif
