/* What there is no room for, in a tooltip. */
#ifndef LW_WHOLE_TEXT_H
#define LW_WHOLE_TEXT_H

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* WIDGET, a GtkLabel that ellipsizes, a GtkEntry or a GtkSearchEntry, tells its whole text (an empty entry: its placeholder) to a pointer that
 * rests on it, as long as there is no room for it. The widget needs no other tooltip then. */
void lw_tell_whole_text (GtkWidget *widget);

G_END_DECLS

#endif
