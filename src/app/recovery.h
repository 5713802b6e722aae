/* Recovery copies: what was not saved yet survives a crash. One copy per open document, in the user's data
 * folder, written a few seconds after a change and dropped when the document is clean or closed. */
#ifndef LW_RECOVERY_H
#define LW_RECOVERY_H

#include "board/document.h"

G_BEGIN_DECLS

#define LW_TYPE_RECOVERY (lw_recovery_get_type ())
G_DECLARE_FINAL_TYPE (LwRecovery, lw_recovery, LW, RECOVERY, GObject)

/* Keeps a copy of DOCUMENT from now on. */
LwRecovery *lw_recovery_new (LwDocument *document, guint pause_s);
/* Another pause, from the next change on. */
void lw_recovery_set_pause (LwRecovery *self, guint pause_s);
/* Writes the copy now when there is something unsaved. */
gboolean lw_recovery_write (LwRecovery *self, GError **error);
/* Drops the copy and stops: the document was saved, or its changes were given up. */
void lw_recovery_finish (LwRecovery *self);

/* A copy left behind by a program that is no longer there: ours until it is freed, so that no other program offers it. */
typedef struct {
  char *path;   /* of the copy */
  char *uri;    /* of the document it is of; "" = it was never saved */
  char *title;
  gint64 written_s; /* Unix time */
  int lock;         /* of its note */
} LwLeftover;

/* Gives up its lock, so that another program may offer it; NULL allowed. */
void lw_leftover_free (LwLeftover *leftover);
/* Newest first; left out are copies of running programs, and those that are offered somewhere. (transfer full) */
GPtrArray *lw_recovery_leftovers (void);
void lw_leftover_delete (const LwLeftover *leftover);
/* The recovered document, marked as modified, bound to the file it is of. */
LwDocument *lw_leftover_open (const LwLeftover *leftover, GError **error);

G_END_DECLS

#endif
