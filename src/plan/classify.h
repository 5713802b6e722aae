/* Limits that follow from what a part is, when its own data say nothing. */
#ifndef LW_CLASSIFY_H
#define LW_CLASSIFY_H

#include "board/job.h"

G_BEGIN_DECLS

/* Classification temperature of a body, C, by J-STD-020 (lead-free Table 4-2, tin-lead Table 4-1, rev D
 * and later). volume_mm3 leaves out balls and leads. */
double lw_classify_body_c (double thickness_mm, double volume_mm3, gboolean lead_free);

/* All limits of a part, each kind at most once: the part's own, else its package's, else by class, else
 * by kind. GArray of LwLimit (transfer full). */
GArray *lw_limits_of (const LwJob *job, const LwPart *part);
/* Of these the body's peak alone, C, INFINITY where there is none: for who asks it of every part. */
double lw_limits_body_peak_c (const LwJob *job, const LwPart *part);
/* A limit of a kind in such an array, or NULL. */
const LwLimit *lw_limits_find (const GArray *limits, LwLimitKind kind);

G_END_DECLS

#endif
