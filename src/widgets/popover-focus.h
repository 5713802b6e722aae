/* The keyboard comes back from menus. */
#ifndef LW_POPOVER_FOCUS_H
#define LW_POPOVER_FOCUS_H

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* For every popover of this program: when it closes with the keyboard still in it, what it belongs to takes it. GTK 4.8 leaves it
 * behind, out of sight, where no key does anything, when an item opens a dialog or changes what is shown. */
void lw_popovers_give_back (void);

G_END_DECLS

#endif
