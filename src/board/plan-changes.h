/* What is different between two plans, for people. */
#ifndef LW_PLAN_CHANGES_H
#define LW_PLAN_CHANGES_H

#include "board/job.h"

G_BEGIN_DECLS

typedef struct {
  char *what;           /* "Stage 3 (Melt), gas, °C"; translated */
  char *before, *after; /* as text; "–" = not there, or off */
} LwPlanChange;

/* GPtrArray of LwPlanChange (transfer full), in the order of the file; empty when both say the same. What has a name of
 * its own is compared by name, the rest in order. */
GPtrArray *lw_plan_changes (const LwPlan *before, const LwPlan *after);

G_END_DECLS

#endif
