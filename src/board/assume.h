/* Stand-ins for packages that no file names and no library has, by the class letter of the reference designator
 * (IEEE 315, clause 22: C capacitor, R resistor, U integrated circuit, ...). Which package stands for a class is common
 * practice, no source. A stand-in says in its source that it is assumed, and its height stays unknown. */
#ifndef LW_ASSUME_H
#define LW_ASSUME_H

#include "board/job.h"

G_BEGIN_DECLS

/* Whether PACKAGE (NULL allowed) is such a stand-in. */
gboolean lw_package_is_assumed (const LwPackage *package);
/* The name of the library's package that stands for a part of designator REF; never NULL. */
const char *lw_assumed_name (const char *ref);
/* Whether nothing is known of PART's body: no package, or one without a size. */
gboolean lw_part_lacks_package (const LwJob *job, const LwPart *part);
/* Gives JOB (its own, not yet shared) stand-ins for all parts that lack a package; returns for how many parts. A part
 * that names an unknown package keeps the name. */
guint lw_job_assume_packages (LwJob *job);
/* Number of placed parts whose package is a stand-in. */
guint lw_job_count_assumed (const LwJob *job);

G_END_DECLS

#endif
