/* Taking a template widget down. */
#ifndef LW_TEMPLATE_H
#define LW_TEMPLATE_H

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* For dispose: gtk_widget_dispose_template() lets go of the children bound by name only; this also
 * unparents the others. May be called again. */
void lw_template_dispose (GtkWidget *widget, GType type);

/* As gtk_widget_set_tooltip_text(), which asks the display about the pointer each time it is told the same. */
void lw_widget_set_tooltip (GtkWidget *widget, const char *text);

G_END_DECLS

#endif
