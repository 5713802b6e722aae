#include "plan/solve-scene.h"

#include <glib/gi18n.h>

void
lw_watch_tell (const LwWatch *watch, double done)
{
  if (watch != NULL && watch->progress != NULL)
    watch->progress (watch->from + (watch->to - watch->from) * CLAMP (done, 0, 1), watch->user);
}

bool
lw_watch_progress (double done, void *user)
{
  const LwWatch *watch = user;

  lw_watch_tell (watch, done);
  return !g_cancellable_is_cancelled (watch->cancellable);
}

void
lw_set_heat_error (GError **error, HeatStatus status, const char *detail)
{
  const char *text = heat_status_text (status);

  if (status == HEAT_CANCELLED)
    g_set_error_literal (error, G_IO_ERROR, G_IO_ERROR_CANCELLED, _("Cancelled"));
  else if (status == HEAT_BAD_SCENE)
    g_set_error (error, LW_PREDICT_ERROR, LW_PREDICT_ERROR_JOB, _("The job cannot be computed: %s"),
                 *detail != '\0' ? detail : text);
  else
    g_set_error (error, LW_PREDICT_ERROR, LW_PREDICT_ERROR_SOLVER, *detail != '\0' ? "%s (%s)" : "%s",
                 text, detail);
}

HeatResult *
lw_solve_scene (const HeatScene *scene, const HeatOptions *options, const LwWatch *watch, GError **error)
{
  g_autoptr (HeatSolver) solver = NULL;
  HeatOptions own = *options;
  HeatResult *result = NULL;
  const char *fault = heat_scene_fault (scene);
  HeatStatus status;

  if (fault != NULL) {
    lw_set_heat_error (error, HEAT_BAD_SCENE, fault);
    return NULL;
  }
  if (g_cancellable_set_error_if_cancelled (watch->cancellable, error))
    return NULL;
  own.progress = lw_watch_progress;
  own.user = (void *) watch;
  status = heat_solver_new (scene, &own, &solver);
  if (status == HEAT_OK)
    status = heat_solver_run (solver, &result);
  if (status == HEAT_OK)
    return result;
  lw_set_heat_error (error, status, solver != NULL ? heat_solver_detail (solver) : "");
  return NULL;
}
