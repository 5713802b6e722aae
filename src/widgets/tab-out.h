/* Tab leaves a list, arrows go through it. This version of GTK makes Tab stop at each row, of which there may be hundreds. */
#ifndef LW_TAB_OUT_H
#define LW_TAB_OUT_H

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* From now on, as long as LIST lives. */
void lw_tab_out_of (GtkWidget *list);

G_END_DECLS

#endif
