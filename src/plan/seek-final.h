/* The default mesh has the last word: the given plan and the best found in coarse models are marched there, and the latter climbs
 * on. Inside plan/. */
#ifndef LW_SEEK_FINAL_H
#define LW_SEEK_FINAL_H

#include "plan/seek-explore.h"

G_BEGIN_DECLS

/* From BEST at the place of JOB. Fills FOUND's job, spot and trials; FALSE with ERROR. Both models are built at the same time. */
gboolean lw_seek_final (const LwSeekExplorer *self, LwJob *job, const LwSpot *best, LwSeekFound *found, GError **error);

G_END_DECLS

#endif
