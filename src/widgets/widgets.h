/* The room's start. */
#ifndef LW_WIDGETS_H
#define LW_WIDGETS_H

#include <glib.h>

G_BEGIN_DECLS

/* Registers the window's resources, makes its classes known to templates, and loads its style for the
 * default display. Safe to call again. gtk_init() comes first. */
void lw_widgets_init (void);

G_END_DECLS

#endif
