/* What a search has to say for itself: limits, changes, what would help. Inside plan/. */
#ifndef LW_SEEK_TELL_H
#define LW_SEEK_TELL_H

#include "plan/seek.h"
#include "plan/seek-trial.h"

G_BEGIN_DECLS

/* The tightest limits of a trial's last candidate, with FINDINGS' sentences where they have one. */
GPtrArray *lw_seek_tell_limits (const LwTrial *trial, const GPtrArray *findings);
/* What differs between two versions of a plan (LwSeekChange). */
GPtrArray *lw_seek_tell_changes (const LwPlan *before, const LwPlan *after);
/* char *: parts whose leaving would buy headroom, ends of the station's ranges the plan stands at. SHARES: the
 * candidate's. */
GPtrArray *lw_seek_tell_help (const LwTrial *trial, const double *shares);

G_END_DECLS

#endif
