/* Inside the room: a prediction being made. */
#ifndef LW_PREDICTION_H
#define LW_PREDICTION_H

#include "plan/predict.h"

G_BEGIN_DECLS

/* Fields that are made when they are asked for. FIELD fills nx * ny values in the board frame and may be
 * called from any thread. */
struct _LwFieldMaker {
  void (*field) (LwFieldMaker *self, LwSide side, double t_s, float *out);
  void (*free) (LwFieldMaker *self);
};

/* Empty, with its containers. */
LwPrediction *lw_prediction_new (void);

G_END_DECLS

#endif
