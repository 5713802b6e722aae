/* The plan a part starts with. Internal to the room. */
#ifndef LW_DEFAULT_PLAN_H
#define LW_DEFAULT_PLAN_H

#include "board/job.h"

G_BEGIN_DECLS

/* A matched nozzle of the station, a preheat area about the part and four stages for its alloy, every figure
 * inside the station's range. A starting point for the planner, not a recommendation. (transfer full) */
LwPlan *lw_default_plan (const LwJob *job, const LwPart *part);

/* Gives a plan nobody else sees four stages for the solder it melts. */
void lw_default_stages (LwPlan *plan, const LwJob *job, const LwPart *part);

G_END_DECLS

#endif
