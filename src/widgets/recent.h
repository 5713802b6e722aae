/* Files that were opened lately, as the desktop keeps them. */
#ifndef LW_RECENT_H
#define LW_RECENT_H

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* This program's, newest first, those that are still there: at most MOST of GtkRecentInfo (transfer full). */
GPtrArray *lw_recent_files (guint most);

G_END_DECLS

#endif
