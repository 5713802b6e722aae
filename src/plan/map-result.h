/* Inside the room: from a heat result to a prediction in the job's terms and the board's frame. */
#ifndef LW_MAP_RESULT_H
#define LW_MAP_RESULT_H

#include "plan/compile.h"
#include "plan/lee.h"
#include "plan/prediction.h"
#include "plan/solve-scene.h"

G_BEGIN_DECLS

/* Everything but doubt and wall time, as a full solution. RESULT is the prediction's from now on. */
LwPrediction *lw_map_result (const LwCase *self, HeatResult *result, LwLee *lee);

G_END_DECLS

#endif
