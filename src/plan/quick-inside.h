/* Inside of the quick answers, for their own files. */
#ifndef LW_QUICK_INSIDE_H
#define LW_QUICK_INSIDE_H

#include "plan/lee.h"
#include "plan/quick.h"

G_BEGIN_DECLS

/* The workspace behind a run; NULL never. */
HeatReducedRun *lw_quick_run_heat (LwQuickRun *run);

/* A result of the model's mesh as a prediction; RESULT and PAST go to it. */
LwPrediction *lw_quick_predict_from (const LwQuick *self, const LwQuickDrive *drive, HeatResult *result,
                                     HeatReducedPast *past);

/* Shadows of the model's bodies (transfer none). */
LwLee *lw_quick_lee (const LwQuick *self);

G_END_DECLS

#endif
