/* Inside the room: a prediction being made. */
#ifndef LW_PREDICTION_H
#define LW_PREDICTION_H

#include "plan/predict.h"

G_BEGIN_DECLS

/* Empty, with its containers. */
LwPrediction *lw_prediction_new (void);

G_END_DECLS

#endif
