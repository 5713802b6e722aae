/* The doubt of an answer that is there already. */
#ifndef LW_WEIGH_H
#define LW_WEIGH_H

#include "plan/doubt.h"

G_BEGIN_DECLS

/* Another prediction with all of ANSWER's figures and this doubt, for an ANSWER that others may be reading; fields are
 * shared, curves copied. NULL when DOUBT is for another number of parts (transfer full). */
LwPrediction *lw_prediction_with_doubt (LwPrediction *answer, LwDoubt *doubt);

/* Samples the doubt of what ANSWER says of the same plan of JOB, in a thread; ends with lw_predict_finish(): ANSWER
 * with its doubt, by lw_prediction_with_doubt(). PROGRESS is called in the caller's thread-default main context. */
void lw_weigh_async (LwJob *job, guint plan, LwPrediction *answer, GCancellable *cancellable, LwPredictProgress progress,
                     gpointer user, GAsyncReadyCallback callback, gpointer user_data);

G_END_DECLS

#endif
