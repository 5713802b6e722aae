/* How a placement table is read: its first lines, each column under what it holds, and what that gives. */
#ifndef LW_TABLE_WINDOW_H
#define LW_TABLE_WINDOW_H

#include "app/window.h"

G_BEGIN_DECLS

#define LW_TYPE_TABLE_WINDOW (lw_table_window_get_type ())
G_DECLARE_FINAL_TYPE (LwTableWindow, lw_table_window, LW, TABLE_WINDOW, GtkWindow)

/* For the table in FILE, starting from what the program made of it; its answer takes the place of PARENT's
 * document. NULL with ERROR when the file cannot be read again. */
GtkWidget *lw_table_window_new (LwWindow *parent, GFile *file, GError **error);

G_END_DECLS

#endif
