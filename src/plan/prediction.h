/* Inside the room: a prediction being made. */
#ifndef LW_PREDICTION_H
#define LW_PREDICTION_H

#include "heat/solve.h"
#include "plan/predict.h"

G_BEGIN_DECLS

/* Fields that are made when they are asked for. FIELD fills nx * ny values in the board frame and may be
 * called from any thread. */
struct _LwFieldMaker {
  void (*field) (LwFieldMaker *self, LwSide side, double t_s, float *out);
  void (*free) (LwFieldMaker *self);
  GArray *watched; /* LwWatched, or NULL */
};

/* A place on the board's surface whose course was read while the march was there: no field is made for it. */
typedef struct {
  LwSide side;
  double x_mm, y_mm;
  double *c; /* at each of the prediction's moments; NaN off the board */
} LwWatched;

/* Empty, with its containers. */
LwPrediction *lw_prediction_new (void);
/* The same, whose traces and fields will lie in RESULT (transfer full). */
LwPrediction *lw_prediction_new_holding (HeatResult *result);
/* Whose traces and fields will lie where those of OTHER do; OTHER holds a result. */
LwPrediction *lw_prediction_new_sharing (const LwPrediction *other);

G_END_DECLS

#endif
