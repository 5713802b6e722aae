#include "plan/quick-doubt.h"

#include "plan/doubt-surface.h"
#include "plan/draws.h"
#include "plan/prediction.h"
#include "plan/quick-inside.h"
#include "plan/solve-scene.h"

typedef struct {
  LwQuick *quick;
  GPtrArray *runs; /* LwQuickRun, one per worker */
} Runs;

static HeatResult *
run_quick (gpointer user, guint worker, const HeatDrive *drive, GError **error)
{
  Runs *runs = user;
  LwQuickRun *run = g_ptr_array_index (runs->runs, worker);
  HeatResult *result = NULL;
  HeatStatus status;

  if (!lw_quick_run (runs->quick, run, drive, NULL, error))
    return NULL;
  status = heat_reduced_result (lw_quick_model (runs->quick), lw_quick_run_heat (run), &result);
  if (status != HEAT_OK)
    lw_set_heat_error (error, status, heat_reduced_detail (lw_quick_run_heat (run)));
  return status == HEAT_OK ? result : NULL;
}

LwDoubt *
lw_quick_doubt (LwQuick *quick, gboolean in_range, GCancellable *cancellable, GError **error)
{
  g_autoptr (GPtrArray) all = g_ptr_array_new_with_free_func ((GDestroyNotify) lw_quick_run_free);
  Runs runs = { quick, all };
  LwWatch watch = { cancellable, NULL, NULL, 0, 1 };

  for (guint i = 0; i < lw_draws_threads (0); i++)
    g_ptr_array_add (all, lw_quick_run_new (quick));
  return lw_doubt_surface (lw_quick_case (quick), in_range, NULL, run_quick, &runs, &watch, error);
}

LwPrediction *
lw_quick_predict_sure (LwQuick *quick, GCancellable *cancellable, GError **error)
{
  g_autoptr (LwQuickRun) run = lw_quick_run_new (quick);
  LwCase *of = (LwCase *) lw_quick_case (quick);
  g_autoptr (LwPrediction) answer = NULL;
  g_autoptr (LwDoubt) doubt = NULL;

  if (!lw_quick_run (quick, run, NULL, NULL, error))
    return NULL;
  answer = lw_quick_predict (quick, run, NULL, error);
  if (answer == NULL)
    return NULL;
  doubt = lw_quick_doubt (quick, answer->nozzle_in_range || !of->scene.nozzle.present, cancellable, error);
  return doubt != NULL && lw_prediction_set_doubt (answer, doubt) ? g_steal_pointer (&answer) : NULL;
}
