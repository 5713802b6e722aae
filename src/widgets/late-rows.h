/* Lists and tables that are not looked at hold no rows: a hundred rows of a dozen cells cost more than all the rest
 * of a window. */
#ifndef LW_LATE_ROWS_H
#define LW_LATE_ROWS_H

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* Gives VIEW, a GtkListView or GtkColumnView, its MODEL the first time it is shown. */
void lw_late_rows (GtkWidget *view, GtkSelectionModel *model);

G_END_DECLS

#endif
