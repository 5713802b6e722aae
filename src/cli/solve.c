#include "cli/solve.h"

#include <glib/gi18n.h>
#include <math.h>

#include "plan/quick-doubt.h"

static const double UNIFORM_CELL_MM = 1.0;

static gboolean
in_range (const char *option, double value, double min, double max, const char *unit)
{
  if (value == 0 || (isfinite (value) && value >= min && value <= max))
    return TRUE;
  lw_cli_refuse (_("--%s: from %g to %g %s"), option, min, max, unit);
  return FALSE;
}

gboolean
lw_cli_solve_check (const LwCliSolve *solve)
{
  return in_range ("cell", solve->cell_mm, 0.1, 20, "mm")
         && in_range ("step", solve->step_s, 0.01, 30, "s");
}

static LwPrediction *
solve_in_full (const LwJob *job, guint plan, const LwCliSolve *solve, GError **error)
{
  LwPredictOptions options = { .cell_mm = solve->cell_mm,
                               .uniform = solve->uniform,
                               .step_s = solve->step_s };

  if (solve->uniform && solve->cell_mm == 0)
    options.cell_mm = UNIFORM_CELL_MM;
  return lw_predict (job, plan, &options, NULL, NULL, NULL, error);
}

/* With its doubt, so that findings are graded as the full solution's are. */
static LwPrediction *
solve_reduced (LwJob *job, guint plan, const LwCliSolve *solve, GError **error)
{
  LwQuickOptions how = { .cell_mm = solve->cell_mm };
  gint64 start = g_get_monotonic_time ();
  g_autoptr (LwQuick) quick = lw_quick_new (job, plan, &how, NULL, NULL, NULL, error);
  LwPrediction *prediction = quick != NULL ? lw_quick_predict_sure (quick, NULL, error) : NULL;

  if (prediction != NULL)
    prediction->seconds = 1e-6 * (double) (g_get_monotonic_time () - start);
  return prediction;
}

LwPrediction *
lw_cli_solve (LwJob *job, guint plan, const LwCliSolve *solve, const char *path)
{
  gboolean full = solve->full || solve->uniform || solve->step_s > 0;
  g_autoptr (GError) error = NULL;
  LwPrediction *prediction = full ? solve_in_full (job, plan, solve, &error) : solve_reduced (job, plan, solve, &error);

  if (prediction == NULL)
    lw_cli_refuse ("%s: %s", path, error->message);
  return prediction;
}

const char *
lw_cli_answered (const LwPrediction *prediction)
{
  return prediction->full ? _("full solution") : _("reduced model");
}

LwPrediction *
lw_cli_solve_quickly (LwJob *job, guint plan, double cell_mm, const char *path)
{
  LwQuickOptions how = { .cell_mm = cell_mm };
  g_autoptr (GError) error = NULL;
  g_autoptr (LwQuick) quick = lw_quick_new (job, plan, &how, NULL, NULL, NULL, &error);
  g_autoptr (LwQuickRun) run = quick != NULL ? lw_quick_run_new (quick) : NULL;
  LwPrediction *prediction = run != NULL ? lw_quick_answer (quick, run, job, plan, &error) : NULL;

  if (prediction == NULL)
    lw_cli_refuse ("%s: %s", path, error->message);
  return prediction;
}
