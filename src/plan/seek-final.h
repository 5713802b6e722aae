/* The default mesh has the last word: the given plan and the best found in coarse models are marched there, and the latter climbs
 * on. Inside plan/. */
#ifndef LW_SEEK_FINAL_H
#define LW_SEEK_FINAL_H

#include "plan/seek-explore.h"

G_BEGIN_DECLS

/* Fills FOUND's given trial, marched; FALSE with ERROR. */
gboolean lw_seek_final_given (const LwSeekExplorer *self, LwSeekFound *found, GError **error);
/* From BEST at the place of JOB, which COARSE is a trial of. Fills FOUND's job, spot and trial; FALSE with ERROR. */
gboolean lw_seek_final (const LwSeekExplorer *self, LwJob *job, LwTrial *coarse, const LwSpot *best, LwSeekFound *found,
                        GError **error);

G_END_DECLS

#endif
