/* Edits of what came of plans: recorded runs, fits, revisions. The same contract as edits.h; texts and numbers of a
 * run are edited by their paths ("runs[0].lot", "runs[0].shift_s"), its name as well: fits take a new one up. */
#ifndef LW_EDITS_HISTORY_H
#define LW_EDITS_HISTORY_H

#include "board/job.h"

G_BEGIN_DECLS

/* Takes RUN over and gives it a free name. The plan it belongs to is kept as a revision when it is not one yet, and
 * its hash goes into the run. */
LwJob *lw_edit_add_run (const LwJob *job, LwRun *run, GError **error);
LwJob *lw_edit_remove_run (const LwJob *job, guint run, GError **error);
/* COLUMN is what THERMOCOUPLE ("" = none) showed; a column that was taken for it gets what COLUMN had. */
LwJob *lw_edit_map_run (const LwJob *job, guint run, guint column, const char *thermocouple, GError **error);

/* Takes FIT over and gives it a free name. */
LwJob *lw_edit_add_fit (const LwJob *job, LwFit *fit, GError **error);
LwJob *lw_edit_remove_fit (const LwJob *job, guint fit, GError **error);

/* Keeps the plan as it stands now. Refused when its newest revision is the same. */
LwJob *lw_edit_keep_revision (const LwJob *job, guint plan, const char *note, GError **error);
/* The revision's plan takes the place of today's (or is a plan again when there is none any more), which is kept as a
 * revision first when it is not one yet. */
LwJob *lw_edit_restore_revision (const LwJob *job, guint revision, GError **error);
LwJob *lw_edit_remove_revision (const LwJob *job, guint revision, GError **error);

/* The revision (index) that says the same as PLAN today, the newest of them; -1 = none. */
int lw_job_revision_of (const LwJob *job, guint plan);
/* Which revision of its plan this one is, counted from 1. */
guint lw_job_revision_number (const LwJob *job, guint revision);
/* The newest fit that is kept: plans are computed with it. NULL = none (transfer none). */
const LwFit *lw_job_fit_in_use (const LwJob *job);
/* Whether two jobs ask the same of a prediction: board, parts, packages, station, plans, alloy and room are the very
 * same, and so is the fit they are computed with; names, notes and what else is kept of the past may differ. */
gboolean lw_job_same_work (const LwJob *a, const LwJob *b);
/* Now, as it stands in a document (transfer full). */
char *lw_history_now (void);

G_END_DECLS

#endif
