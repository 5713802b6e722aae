/* Words that a window cuts: labels that are narrower or lower than what they say, cut short without a tooltip that says the
 * rest, or that stick out of what holds them. Each fault is told with the widget's ancestors; a run of checks fails at its end. */
#ifndef LW_UI_CUT_H
#define LW_UI_CUT_H

#include <gtk/gtk.h>

/* Before a run of checks, and after it: the test fails when there was a fault, or nothing to look at. */
void ui_cut_begin (void);
void ui_cut_end (void);
/* Whatever can be seen of WINDOW, once it has settled; NAME says what is on the screen. */
void ui_cut_words (GtkWidget *window, const char *name);
/* WINDOW needs no more than 1024 x 700. */
void ui_cut_fits (GtkWidget *window, const char *name);

#endif
