/* The fit of uncertain figures to recorded runs: which runs and which figures, how far it is, what came of it; the outcome is kept
 * as one edit, or dropped. */
#ifndef LW_FIT_WINDOW_H
#define LW_FIT_WINDOW_H

#include "widgets/desk.h"

G_BEGIN_DECLS

#define LW_TYPE_FIT_WINDOW (lw_fit_window_get_type ())
G_DECLARE_FINAL_TYPE (LwFitWindow, lw_fit_window, LW, FIT_WINDOW, GtkWindow)

/* For the plan in hand of DESK's job; RUN (index in the job, -1 = none) is ticked. Closing the window ends a fit in flight and drops
 * what was not kept. */
GtkWidget *lw_fit_window_new (GtkWindow *parent, LwDesk *desk, int run);

G_END_DECLS

#endif
