#include "plan/quick-doubt.h"

#include "plan/doubt-sample.h"
#include "plan/solve-scene.h"

LwPrediction *
lw_quick_predict_sure (LwQuick *quick, GCancellable *cancellable, GError **error)
{
  g_autoptr (LwQuickRun) run = lw_quick_run_new (quick);
  const LwCase *of = lw_quick_case (quick);
  LwWatch watch = { cancellable, NULL, NULL, 0, 1 };
  const HeatReducedWants wants = { .no_figures = true };
  g_autoptr (LwPrediction) answer = NULL;
  g_autoptr (LwDoubt) doubt = NULL;

  if (!lw_quick_run (quick, run, NULL, &wants, error))
    return NULL;
  answer = lw_quick_predict (quick, run, NULL, error);
  if (answer == NULL)
    return NULL;
  doubt = lw_doubt_of_plan ((LwJob *) lw_quick_job (quick), of->plan, answer->nozzle_in_range || !of->scene.nozzle.present,
                            NULL, &watch, error);
  return doubt != NULL && lw_prediction_set_doubt (answer, doubt) ? g_steal_pointer (&answer) : NULL;
}
