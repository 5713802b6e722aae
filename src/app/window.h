/* The window of one document. */
#ifndef LW_WINDOW_H
#define LW_WINDOW_H

#include "app/session.h"

G_BEGIN_DECLS

#define LW_TYPE_WINDOW (lw_window_get_type ())
G_DECLARE_FINAL_TYPE (LwWindow, lw_window, LW, WINDOW, GtkApplicationWindow)

/* With an empty session of its own, not shown yet. */
LwWindow *lw_window_new (GtkApplication *app);
/* What is in hand here (transfer none). */
LwSession *lw_window_session (LwWindow *self);
/* Reads FILE (PARTNER or NULL: the second file of a pair) and shows it here when nothing is open here yet,
 * else in a window of its own. A file that cannot be read is reported; what is open stays as it is. */
void lw_window_open (LwWindow *self, GFile *file, GFile *partner);
/* Several at once: jobs open one by one, all else is taken for the files of one board. */
void lw_window_open_many (LwWindow *self, GFile *const *files, guint n);
void lw_window_open_demo (LwWindow *self);
/* Whether a file is being read. */
gboolean lw_window_reading (LwWindow *self);
/* Why the last file could not be read or written; NULL = it could. */
const char *lw_window_last_problem (LwWindow *self);

G_END_DECLS

#endif
