/* Cells side by side, for rows whose columns are tied by size groups. A box asks for the width at its own height, and the group then
 * answers with that of the longest words of any row on one line: columns of words that wrap would push the others out. */
#ifndef LW_CELL_ROW_H
#define LW_CELL_ROW_H

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* A horizontal box without any cell; room left over goes to those that expand. */
GtkWidget *lw_cell_row_new (void);

G_END_DECLS

#endif
