/* Light, dark, or as the desktop has it. */
#ifndef LW_THEME_H
#define LW_THEME_H

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* Applies the remembered choice ("theme" in the settings) to the default display, now and whenever it or
 * the desktop's changes. */
void lw_theme_follow (void);
/* "follow", "light" or "dark"; remembered. */
void lw_theme_set (const char *choice);

G_END_DECLS

#endif
