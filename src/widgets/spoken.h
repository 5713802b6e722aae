/* Names for those who hear the window instead of seeing it. */
#ifndef LW_SPOKEN_H
#define LW_SPOKEN_H

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* Gives everything under ROOT that can be worked, shows no word and has no spoken name yet one: what its tooltip says, or
 * the label whose mnemonic leads to it, or what an empty entry asks for. */
void lw_spoken_name_all (GtkWidget *root);
/* The same for every window of this program, each time it comes up; and whatever is labelled with a mnemonic is heard by its words, once. */
void lw_spoken_watch (void);
/* A button that shows an icon and gets another; GTK says that a button is named by what it shows, an icon too. */
void lw_spoken_name_icon (GtkWidget *button, const char *text);
/* TEXT is said once, whatever has the focus: what has come or changed on the screen without the keyboard going there. In a window that
 * is not in front when it is; of several texts then the last. */
void lw_spoken_tell (GtkWidget *within, const char *text);
/* What is said for a row of a list; from "bind" of its factory. */
void lw_spoken_name_row (GtkListItem *item, const char *text);

G_END_DECLS

#endif
