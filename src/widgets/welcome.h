/* What a window shows while nothing is open: one sentence, four ways on, recent files, and the cautions. */
#ifndef LW_WELCOME_H
#define LW_WELCOME_H

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define LW_TYPE_WELCOME (lw_welcome_get_type ())
G_DECLARE_FINAL_TYPE (LwWelcome, lw_welcome, LW, WELCOME, GtkWidget)

G_END_DECLS

#endif
