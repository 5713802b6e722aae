/* Showing a job to people who learn it: the whole screen, large letters, playing at a chosen speed, what happens in words, a
 * moment's figures on demand, a second plan beside it, and pictures of it all. It shows the answer that is there when it
 * is opened; nothing is edited here. */
#ifndef LW_SHOW_WINDOW_H
#define LW_SHOW_WINDOW_H

#include "widgets/desk.h"

G_BEGIN_DECLS

#define LW_TYPE_SHOW_WINDOW (lw_show_window_get_type ())
G_DECLARE_FINAL_TYPE (LwShowWindow, lw_show_window, LW, SHOW_WINDOW, GtkWindow)

/* Keys: space plays and pauses; left and right go a second back and on (with Shift ten); Home, End; F figures; B turns the
 * board over; F11 the whole screen; Escape leaves the whole screen, then closes. */
GtkWidget *lw_show_window_new (GtkWindow *parent, LwDesk *desk);
double lw_show_window_moment (LwShowWindow *self);
void lw_show_window_go (LwShowWindow *self, double t_s);
gboolean lw_show_window_playing (LwShowWindow *self);
/* Pages painted since it was opened, and the longest of them, ms: for measuring. */
guint lw_show_window_painted (LwShowWindow *self, double *longest_ms, double *mean_ms);

G_END_DECLS

#endif
