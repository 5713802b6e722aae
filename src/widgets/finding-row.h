/* A finding in the list: its grade by shape and word, the part, the figures, and what would help. */
#ifndef LW_FINDING_ROW_H
#define LW_FINDING_ROW_H

#include <gtk/gtk.h>

#include "widgets/finding-item.h"

G_BEGIN_DECLS

#define LW_TYPE_FINDING_ROW (lw_finding_row_get_type ())
G_DECLARE_FINAL_TYPE (LwFindingRow, lw_finding_row, LW, FINDING_ROW, GtkWidget)

/* Empty. */
GtkWidget *lw_finding_row_new (void);
/* Signal "fold-changed": the person opens or folds a group. */
/* FINDING NULL empties the row; it is read at once and not kept. */
void lw_finding_row_set (LwFindingRow *self, const LwFinding *finding);
/* The same for an item of the list: a head has its members' names and a button that opens it. */
void lw_finding_row_set_item (LwFindingRow *self, LwFindingItem *item);

G_END_DECLS

#endif
