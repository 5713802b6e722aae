/* What was read when a board was opened: which file gave what, what they left open, what was odd; in a window of its
 * own that can be opened again. */
#ifndef LW_REMARKS_H
#define LW_REMARKS_H

#include <gtk/gtk.h>

#include "app/session.h"

G_BEGIN_DECLS

/* Over PARENT, with what SESSION has now; closes with PARENT. */
void lw_remarks_show (GtkWindow *parent, LwSession *session);

G_END_DECLS

#endif
