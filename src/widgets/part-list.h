/* All parts as an equal of the board: the same selection, found by typing, sorted by any column. */
#ifndef LW_PART_LIST_H
#define LW_PART_LIST_H

#include "widgets/desk.h"

G_BEGIN_DECLS

#define LW_TYPE_PART_LIST (lw_part_list_get_type ())
G_DECLARE_FINAL_TYPE (LwPartList, lw_part_list, LW, PART_LIST, GtkWidget)

/* Property "desk". Signal "show-part" (int part): Enter or a double click on a part. */
void lw_part_list_set_desk (LwPartList *self, LwDesk *desk);
/* Puts the keyboard into the search field. */
void lw_part_list_search (LwPartList *self);
/* The parts as shown (LwPartItem): filtered, sorted. */
GtkSelectionModel *lw_part_list_selection (LwPartList *self);

G_END_DECLS

#endif
