/* Which place in the manual tells of what has the keyboard. */
#ifndef LW_HELP_TOPICS_H
#define LW_HELP_TOPICS_H

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* A topic for lw_manual_window_open(). WINDOW may be NULL. */
char *lw_help_topic (GtkWindow *window);

G_END_DECLS

#endif
