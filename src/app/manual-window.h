/* The manual in a window: its chapters at the left, the one that is read at the right. One for the program. */
#ifndef LW_MANUAL_WINDOW_H
#define LW_MANUAL_WINDOW_H

#include <gtk/gtk.h>

#include "app/manual-page.h"

G_BEGIN_DECLS

#define LW_TYPE_MANUAL_WINDOW (lw_manual_window_get_type ())
G_DECLARE_FINAL_TYPE (LwManualWindow, lw_manual_window, LW, MANUAL_WINDOW, GtkWindow)

/* Opens the manual at TOPIC, a chapter's name with or without a place: "plan", "findings#body-peak". The window there
 * is comes to the front; else one is made. Where there is no such place, the chapter; no such chapter, the first. */
LwManualWindow *lw_manual_window_open (GtkApplication *app, const char *topic);

/* What is read: "findings#body-peak", without place "findings"; "" when there is nothing to read. */
const char *lw_manual_window_topic (LwManualWindow *self);
LwManualPage *lw_manual_window_page (LwManualWindow *self);

G_END_DECLS

#endif
