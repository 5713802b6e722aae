/* Which package a part has, found at once in a job of thousands of packages. Made when first asked for, kept with
 * the job, never copied with it; what was read from names is shared by a job's copies. Internal to the room. */
#ifndef LW_PACKAGE_BOOK_H
#define LW_PACKAGE_BOOK_H

#include "board/job.h"

G_BEGIN_DECLS

/* As lw_job_package_of(). */
const LwPackage *lw_package_book_find (LwJob *job, const LwPart *part);
/* The job's packages have changed. */
void lw_package_book_drop (LwJob *job);
/* The job goes. */
void lw_package_book_forget (LwJob *job);
/* COPY, which has no book yet, keeps the packages that SOURCE's names were read as. */
void lw_package_book_share (LwJob *copy, const LwJob *source);

/* A copy of BASE with what PART says instead, or NULL when it says nothing (transfer full). */
LwPackage *lw_part_own_package (const LwPart *part, const LwPackage *base);

G_END_DECLS

#endif
