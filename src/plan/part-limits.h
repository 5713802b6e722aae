/* Limits by class and by kind, and the cautions that are less than limits. Inside plan/. */
#ifndef LW_PART_LIMITS_H
#define LW_PART_LIMITS_H

#include "plan/classify.h"

G_BEGIN_DECLS

/* The alloy of a part's joints: its own, else the job's. */
const char *lw_limits_alloy (const LwJob *job, const LwPart *part);
/* What must melt in a plan: when it solders, the alloy of its paste, else that of the part's joints. */
const char *lw_limits_plan_alloy (const LwJob *job, const LwPlan *plan, const LwPart *part);
/* Whether an alloy's name holds no lead. Unnamed alloys count as lead-free. */
gboolean lw_limits_lead_free (const char *alloy);

/* A level a planner should know about though no maker's sheet sets it as the limit: passing it gives at
 * most a "watch". NaN when the kind has none, or when part or package bring a limit of their own.
 * *SOURCE is static. */
double lw_limits_caution_body_c (const LwJob *job, const LwPart *part, const char **source);
double lw_limits_caution_joint_c (const LwJob *job, const LwPart *part, const char **source);

G_END_DECLS

#endif
