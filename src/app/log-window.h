/* How a logger's table is read: its first lines, each column under what it holds, and what that gives. */
#ifndef LW_LOG_WINDOW_H
#define LW_LOG_WINDOW_H

#include "app/window.h"

G_BEGIN_DECLS

#define LW_TYPE_LOG_WINDOW (lw_log_window_get_type ())
G_DECLARE_FINAL_TYPE (LwLogWindow, lw_log_window, LW, LOG_WINDOW, GtkWindow)

/* For the log in FILE; its answer becomes a run of the plan in hand of PARENT's document. NULL with ERROR when the
 * file cannot be read at all, or there is no plan. */
GtkWidget *lw_log_window_new (LwWindow *parent, GFile *file, GError **error);

G_END_DECLS

#endif
