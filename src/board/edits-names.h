/* References in use, and what hangs on them. Internal to the room. */
#ifndef LW_EDITS_NAMES_H
#define LW_EDITS_NAMES_H

#include "board/job.h"

G_BEGIN_DECLS

/* The references of a job while parts are added to it. */
typedef struct _LwNames LwNames;
LwNames *lw_names_new (const LwJob *job);
void lw_names_free (LwNames *self);
/* REF, or its prefix with the next free number; taken from now on (transfer full). */
char *lw_names_take_free (LwNames *self, const char *ref);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwNames, lw_names_free)

/* Takes part INDEX out of a job nobody else sees, with its plans and the thermocouples on it. */
void lw_names_take_out (LwJob *job, guint index);
/* Gives parts of a job nobody else sees new references, NEW by old, all at the same moment. */
void lw_names_rename (LwJob *job, GHashTable *new_by_old);

G_END_DECLS

#endif
