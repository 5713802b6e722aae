/* The default mesh has the last word: the given plan and the best found in coarse models are marched there, and the latter climbs
 * on. Inside plan/. */
#ifndef LW_SEEK_FINAL_H
#define LW_SEEK_FINAL_H

#include "plan/seek-explore.h"

G_BEGIN_DECLS

/* The given plan's model there, built by a thread of its own meanwhile. CANCELLABLE may be NULL. */
LwSeekGiven *lw_seek_given_new (LwJob *job, guint plan, GCancellable *cancellable);
void lw_seek_given_free (LwSeekGiven *given); /* waits for the thread; NULL allowed */
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwSeekGiven, lw_seek_given_free)

/* From BEST at the place of JOB, which COARSE is a trial of. Fills FOUND's job, spot and trials; FALSE with ERROR. */
gboolean lw_seek_final (const LwSeekExplorer *self, LwJob *job, LwTrial *coarse, const LwSpot *best, LwSeekFound *found,
                        GError **error);

G_END_DECLS

#endif
