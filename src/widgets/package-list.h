/* Packages to put on the board: found by typing, dragged onto it, or placed by figures with Enter. */
#ifndef LW_PACKAGE_LIST_H
#define LW_PACKAGE_LIST_H

#include "widgets/desk.h"

G_BEGIN_DECLS

#define LW_TYPE_PACKAGE_LIST (lw_package_list_get_type ())
G_DECLARE_FINAL_TYPE (LwPackageList, lw_package_list, LW, PACKAGE_LIST, GtkWidget)

/* Property "desk". Signal "chosen" (char *name): Enter or a double click. What is dragged is the name, as text
 * behind LW_PACKAGE_DRAG. */
void lw_package_list_set_desk (LwPackageList *self, LwDesk *desk);
GtkWidget *lw_package_list_search (LwPackageList *self);

#define LW_PACKAGE_DRAG "leeward-package:"

G_END_DECLS

#endif
