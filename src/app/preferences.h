/* What a person can set once for all windows. */
#ifndef LW_PREFERENCES_H
#define LW_PREFERENCES_H

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define LW_TYPE_PREFERENCES (lw_preferences_get_type ())
G_DECLARE_FINAL_TYPE (LwPreferences, lw_preferences, LW, PREFERENCES, GtkWindow)

/* A window over PARENT, not shown yet; every change holds at once. */
GtkWidget *lw_preferences_new (GtkWindow *parent);

G_END_DECLS

#endif
