/* Units of every window, as the person prefers; all metric at first. As a locale, they are the program's: set before
 * the first window and by the preferences, in the main thread. */
#ifndef LW_SHOWN_UNITS_H
#define LW_SHOWN_UNITS_H

#include <gtk/gtk.h>

#include "draw/units.h"

G_BEGIN_DECLS

/* As they are now. */
LwUnits lw_shown_units (void);
/* Every desk tells its widgets anew. */
void lw_set_shown_units (LwUnits units);
/* Emits "changed" after the units have changed (transfer none). Widgets of a desk need not listen: their desk's
 * "job-changed" and "answer-changed" follow. */
GObject *lw_shown_units_signal (void);

/* A column with TITLE, a msgid of the context "column" whose unit is shown as the person prefers, now and
 * whenever that changes. (transfer full) */
GtkColumnViewColumn *lw_column_new (const char *title, GtkListItemFactory *factory);

G_END_DECLS

#endif
