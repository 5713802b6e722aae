/* Parts found by reference, side, kind or limit, and selected on the board as they are found. */
#ifndef LW_FIND_BAR_H
#define LW_FIND_BAR_H

#include "widgets/desk.h"

G_BEGIN_DECLS

#define LW_TYPE_FIND_BAR (lw_find_bar_get_type ())
G_DECLARE_FINAL_TYPE (LwFindBar, lw_find_bar, LW, FIND_BAR, GtkWidget)

/* Property "desk". Signal "show-part" (int part): the first one found. */
GtkWidget *lw_find_bar_new (LwDesk *desk);
void lw_find_bar_open (LwFindBar *self);

G_END_DECLS

#endif
