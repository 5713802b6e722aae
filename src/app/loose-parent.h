/* Windows that a computation may hold past the end of the window they stand before. */
#ifndef LW_LOOSE_PARENT_H
#define LW_LOOSE_PARENT_H

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* When PARENT (may be NULL) goes, what RUNNING points to then (NULL: nothing) is cancelled and SELF no longer stands before it: GTK 4.8
 * would ask for a freed parent when SELF is freed at last. RUNNING is a field of SELF. */
void lw_hold_parent_loosely (GtkWindow *self, GtkWindow *parent, GCancellable **running);

G_END_DECLS

#endif
