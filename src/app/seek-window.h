/* The search for a plan with more headroom: what may change, how far it is, what it found and why; the outcome is
 * taken over as one edit. */
#ifndef LW_SEEK_WINDOW_H
#define LW_SEEK_WINDOW_H

#include "widgets/desk.h"

G_BEGIN_DECLS

#define LW_TYPE_SEEK_WINDOW (lw_seek_window_get_type ())
G_DECLARE_FINAL_TYPE (LwSeekWindow, lw_seek_window, LW, SEEK_WINDOW, GtkWindow)

/* For the active plan of DESK's job. Closing the window ends a search in flight. */
GtkWidget *lw_seek_window_new (GtkWindow *parent, LwDesk *desk);

G_END_DECLS

#endif
