/* Every key of the program with what it does, in groups that find room on a small screen with large text too. */
#ifndef LW_SHORTCUTS_WINDOW_H
#define LW_SHORTCUTS_WINDOW_H

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define LW_TYPE_SHORTCUTS_WINDOW (lw_shortcuts_window_get_type ())
G_DECLARE_FINAL_TYPE (LwShortcutsWindow, lw_shortcuts_window, LW, SHORTCUTS_WINDOW, GtkWindow)

/* Keys of actions are those that APP binds to them now. PARENT may be NULL. */
GtkWidget *lw_shortcuts_window_new (GtkWindow *parent, GtkApplication *app);

G_END_DECLS

#endif
