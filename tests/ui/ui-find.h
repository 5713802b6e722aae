/* Finding what stands in a window, as a test names it. */
#ifndef LW_UI_FIND_H
#define LW_UI_FIND_H

#include <gtk/gtk.h>

/* The first window of a type; NULL when none is open. Message dialogs are of GTK_TYPE_MESSAGE_DIALOG. */
gpointer ui_top_of_type (GType type);
/* The N-th widget of a type below ROOT, depth first, and the first with a style class; NULL when there is none. */
GtkWidget *ui_child_of_type (GtkWidget *root, GType type, guint n);
GtkWidget *ui_of_class (GtkWidget *root, const char *class);
/* The button with that label, shown or not; NULL when there is none. */
GtkWidget *ui_button (GtkWidget *root, const char *label);
/* Every message dialog, unanswered. */
void ui_close_dialogs (void);

#endif
