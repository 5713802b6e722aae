/* Keeps the desk's answer fresh. After an edit what runs is called off and the geometry judged at once; the reduced
 * model answers in a thread, within a drag again and again; once the hand has rested for a moment the full solution
 * confirms in another. An answer for an older revision never replaces a newer one, nor a lesser one a better. */
#ifndef LW_RUNNER_H
#define LW_RUNNER_H

#include "widgets/desk.h"

G_BEGIN_DECLS

#define LW_TYPE_RUNNER (lw_runner_get_type ())
G_DECLARE_FINAL_TYPE (LwRunner, lw_runner, LW, RUNNER, GObject)

/* Computes every version of DESK's job until the runner is disposed of. */
LwRunner *lw_runner_new (LwDesk *desk);
/* Stops the run in flight; the version stays without an answer until lw_runner_again() or an edit. */
void lw_runner_cancel (LwRunner *self);
/* Computes the current version at once, even when it has an answer. */
void lw_runner_again (LwRunner *self);
/* Stops everything for good; called by dispose. */
void lw_runner_stop (LwRunner *self);

/* How a prediction is made; tests put their own in. Same contract as lw_predict_async() and _finish(). */
typedef struct {
  void (*start) (LwJob *job, guint plan, const LwPredictOptions *options, GCancellable *cancellable,
                 LwPredictProgress progress, gpointer user, GAsyncReadyCallback callback, gpointer user_data);
  LwPrediction *(*finish) (GAsyncResult *result, GError **error);
  gboolean quick; /* the reduced model answers before it */
} LwRunnerEngine;
void lw_runner_set_engine (LwRunner *self, const LwRunnerEngine *engine);

G_END_DECLS

#endif
