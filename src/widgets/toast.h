/* A short message at the foot of the window, with a button when something can be taken back. */
#ifndef LW_TOAST_H
#define LW_TOAST_H

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define LW_TYPE_TOAST (lw_toast_get_type ())
G_DECLARE_FINAL_TYPE (LwToast, lw_toast, LW, TOAST, GtkWidget)

/* BUTTON and ACTION may be NULL. Goes away by itself after some seconds, or when closed. */
void lw_toast_show (LwToast *self, const char *text, const char *button, const char *action);
void lw_toast_hide (LwToast *self);
/* NULL when nothing is shown. */
const char *lw_toast_text (LwToast *self);

G_END_DECLS

#endif
