/* The jobs that were open when the program was left are there again at the next start, if the person likes that
 * ("reopen" and "last-files" in the settings). Untitled jobs are recovery's (recovery.h). */
#ifndef LW_REOPEN_H
#define LW_REOPEN_H

#include "app/window.h"

G_BEGIN_DECLS

/* Remembers the files of all windows. Call before one of them closes. */
void lw_reopen_note (GtkApplication *app);
/* The program is being left: what is noted now holds, however its windows close one after another. */
void lw_reopen_leave (GtkApplication *app);
/* Opens in WINDOW, which is empty, and in others what was noted. Files that are gone are passed over. */
void lw_reopen (LwWindow *window);

G_END_DECLS

#endif
