/* Findings of readiness. Inside plan/. */
#ifndef LW_JUDGE_READY_H
#define LW_JUDGE_READY_H

#include "plan/judge.h"
#include "plan/ready.h"

G_BEGIN_DECLS

/* Moisture of target, neighbours and laminate against floor life and bakes; reflows of part, lands and neighbours against
 * how many they may see. */
void lw_judge_moisture (LwJudge *judge);
void lw_judge_cycles (LwJudge *judge);
/* The attach profile's own limits, for operations that solder. */
void lw_judge_attach (LwJudge *judge);
/* All but the attach profile. */
void lw_judge_ready (LwJudge *judge);

G_END_DECLS

#endif
