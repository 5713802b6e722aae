/* How every edit ends. Internal to the room. */
#ifndef LW_EDIT_FINISH_H
#define LW_EDIT_FINISH_H

#include "board/edits.h"

G_BEGIN_DECLS

/* Takes over AFTER: gives it back when it has no fatal fault that BEFORE had not, else NULL with the fault as
 * ERROR, its path in front unless it is PATH (may be NULL). */
LwJob *lw_edit_finish (const LwJob *before, LwJob *after, const char *path, GError **error);

/* FALSE with ERROR when there is no such part, or (FREE) when it may not be moved. */
gboolean lw_edit_has_part (const LwJob *job, guint part, gboolean free, GError **error);
gboolean lw_edit_has_plan (const LwJob *job, guint plan, GError **error);

G_END_DECLS

#endif
