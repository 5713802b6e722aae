/* Files that were opened lately, as the desktop keeps them. */
#ifndef LW_RECENT_H
#define LW_RECENT_H

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* By which the desktop's list tells this program's files. A group would not do: GTK 4.8 drops those of a new entry when the address
 * of the first ends in a byte of nought. */
#define LW_RECENT_APPLICATION "Leeward"

/* This program's, newest first, those that are still there: at most MOST of GtkRecentInfo (transfer full). */
GPtrArray *lw_recent_files (guint most);

G_END_DECLS

#endif
