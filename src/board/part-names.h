/* Where a part stands in its job, found by name at once in a job of thousands. Made when first asked for, kept with the
 * job, never copied with it. Internal to the room. */
#ifndef LW_PART_NAMES_H
#define LW_PART_NAMES_H

#include "board/job.h"

G_BEGIN_DECLS

/* As lw_job_find_part(). */
int lw_part_names_find (LwJob *job, const char *ref);
/* Parts may have got other names; or the job goes. */
void lw_part_names_drop (LwJob *job);

G_END_DECLS

#endif
