/* Into a panel by the keyboard. */
#ifndef LW_PANEL_FOCUS_H
#define LW_PANEL_FOCUS_H

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* Puts the keyboard where work in PANEL begins: on a row of its list or table when that has one, else on the first thing
 * that takes it. What has the keyboard in there already keeps it. FALSE when nothing in PANEL takes it. */
gboolean lw_panel_enter (GtkWidget *panel);

G_END_DECLS

#endif
