/* Package names to choose from. */
#ifndef LW_PACKAGE_NAMES_H
#define LW_PACKAGE_NAMES_H

#include "board/job.h"

G_BEGIN_DECLS

/* Names of the job's own packages and the library's that hold every word of NEEDLE; names that begin with it
 * first, otherwise in library order. At most MOST (0 = all). (GPtrArray of char *, transfer full) */
GPtrArray *lw_package_names (const LwJob *job, const char *needle, guint most);
/* The job's own, else the library's, else NULL (transfer none). */
const LwPackage *lw_package_named (const LwJob *job, const char *name);
/* "kind, 10 × 10 × 1.2 mm" (transfer full). */
char *lw_package_about (const LwPackage *package);

G_END_DECLS

#endif
