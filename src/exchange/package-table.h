/* Packages of many parts: the same answer as lw_job_package_of(), without a search for each part. */
#ifndef LW_PACKAGE_TABLE_H
#define LW_PACKAGE_TABLE_H

#include "board/job.h"

G_BEGIN_DECLS

/* Borrows JOB's packages, which must not change (transfer full). */
GHashTable *lw_package_table_new (const LwJob *job);
const LwPackage *lw_package_table_find (GHashTable *table, const LwPart *part);

G_END_DECLS

#endif
