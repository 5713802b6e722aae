/* Short names for what a plan or a job is: the same for the same content, wherever and whenever it is made. */
#ifndef LW_JOB_HASH_H
#define LW_JOB_HASH_H

#include "board/job.h"

G_BEGIN_DECLS

/* SHA-256 in 64 hexadecimal digits, over the JSON a document has of it: members in the file's order, numbers in the
 * fewest digits that read back exactly, no locale. (transfer full) */
char *lw_plan_hash (const LwPlan *plan);
/* Of a job without its history: recorded runs, fits and revisions of plans change nothing of what is to be done. */
char *lw_job_hash (const LwJob *job);

G_END_DECLS

#endif
