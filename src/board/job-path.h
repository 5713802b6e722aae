/* Members of a job by their path in the file. Internal to the room. */
#ifndef LW_JOB_PATH_H
#define LW_JOB_PATH_H

#include "board/fields.h"
#include "board/job.h"

G_BEGIN_DECLS

typedef struct {
  const LwField *field;
  gpointer member; /* the member itself: a double *, char ** ... as the field's kind says */
} LwMember;

/* FALSE when no such member exists. WRITABLE: every counted struct on the way is replaced by a copy of its
 * own first, so that the member may be written to (JOB itself must be nobody else's). */
gboolean lw_job_member (LwJob *job, const char *path, gboolean writable, LwMember *member);

G_END_DECLS

#endif
