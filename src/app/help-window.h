/* The help: how a job goes, what the words mean, and the cautions. */
#ifndef LW_HELP_WINDOW_H
#define LW_HELP_WINDOW_H

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define LW_TYPE_HELP_WINDOW (lw_help_window_get_type ())
G_DECLARE_FINAL_TYPE (LwHelpWindow, lw_help_window, LW, HELP_WINDOW, GtkWindow)

GtkWidget *lw_help_window_new (GtkWindow *parent);

G_END_DECLS

#endif
