#include "plan/predict.h"

#include "plan/compile.h"
#include "plan/doubt-sample.h"
#include "plan/map-result.h"
#include "plan/solve-scene.h"

/* Share of the whole time the main run takes when doubts follow it. */
static const double main_share = 0.4;

/* Shortest step where nothing switches or melts; on the demo, peaks move by less than 0.02 K from 0.5 to 2 s,
 * but curves want samples. */
static const double main_step_s = 1;

static HeatOptions
heat_options (const LwPredictOptions *options)
{
  HeatOptions out = { .step_s = main_step_s, .adaptive = true };

  if (options == NULL)
    return out;
  out.cell_m = options->cell_mm * 1e-3;
  if (options->uniform)
    out.coarse_m = options->cell_mm > 0 ? out.cell_m : 1e-3;
  if (options->step_s > 0) {
    out.step_s = options->step_s;
    out.adaptive = false;
  }
  return out;
}

static gboolean
add_doubt (LwJob *job, guint plan, const LwCase *compiled, LwPrediction *prediction, const LwWatch *watch, GError **error)
{
  gboolean in_range = prediction->nozzle_in_range || !compiled->scene.nozzle.present;
  g_autoptr (LwDoubt) doubt
      = lw_doubt_of_plan (job, plan, in_range, NULL, watch, error);

  return doubt != NULL && lw_prediction_set_doubt (prediction, doubt);
}

LwPrediction *
lw_predict (const LwJob *job, guint plan, const LwPredictOptions *options, GCancellable *cancellable,
            LwPredictProgress progress, gpointer user, GError **error)
{
  gboolean doubts = options == NULL || !options->no_doubt;
  LwWatch watch = { cancellable, progress, user, 0, doubts ? main_share : 1 };
  HeatOptions how = heat_options (options);
  gint64 start = g_get_monotonic_time ();
  g_autoptr (LwCase) compiled = lw_case_new (job, plan, error);
  g_autoptr (HeatResult) result = NULL;
  g_autoptr (LwLee) lee = NULL;
  g_autoptr (LwPrediction) prediction = NULL;

  if (compiled == NULL)
    return NULL;
  result = lw_solve_scene (&compiled->scene, &how, &watch, error);
  if (result == NULL)
    return NULL;
  lee = lw_lee_new (compiled);
  prediction = lw_map_result (compiled, g_steal_pointer (&result), lee);
  if (doubts) {
    watch.from = main_share;
    watch.to = 1;
    if (!add_doubt ((LwJob *) job, plan, compiled, prediction, &watch, error))
      return NULL;
  }
  watch.to = 1;
  lw_watch_tell (&watch, 1);
  prediction->seconds = (double) (g_get_monotonic_time () - start) * 1e-6;
  return g_steal_pointer (&prediction);
}
