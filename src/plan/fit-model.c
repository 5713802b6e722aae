/* The reduced model as a fit needs it: curves of places for many sets of figures at once. */
#include <glib/gi18n.h>
#include <gsl/gsl_linalg.h>
#include <math.h>

#include "heat/reduced-spots.h"
#include "plan/fit-inside.h"
#include "plan/gauge.h"
#include "plan/quick-inside.h"

#define Z_95 1.959963984540054 /* Abramowitz and Stegun, Table 26.1 */
/* Steps of the marches, s. With equal steps two marches differ by what was moved and by a thousandth of a kelvin, so slopes
 * may be taken over a small part of a deviation; over a larger one the curve of the melting joints' plateau goes in, and
 * where slopes of many figures nearly cancel that looks like knowledge. */
#define STEP_S 2.0
#define SLOPE_Z 0.05

/* ---- figures ---- */

double
lw_fit_value (const LwUnsureSpreads *spreads, guint figure, double z)
{
  if (figure >= LW_N_UNSURE)
    return exp (z * log1p (LW_FIT_LAG_SPREAD) / Z_95);
  return lw_unsure_value (figure, spreads->spread[figure], z);
}

double
lw_fit_before_sigma (const LwUnsureSpreads *spreads, guint figure)
{
  double spread = figure < LW_N_UNSURE ? spreads->spread[figure] : LW_FIT_LAG_SPREAD;

  if (lw_fit_is_factor (figure))
    return log1p (spread) / Z_95;
  return lw_unsure_inputs ()[figure].shape == LW_SHAPE_UNIFORM ? spread / sqrt (3) : spread / Z_95;
}

static gboolean
is_there (const LwCase *of, const LwUnsureSpreads *spreads, guint figure)
{
  if (figure == LW_FIT_GAS_LAG)
    return of->scene.nozzle.present && of->scene.nozzle.lag_s > 0;
  if (figure == LW_FIT_PREHEAT_LAG)
    return of->scene.preheat.kind != HEAT_PREHEAT_NONE && of->scene.preheat.lag_s > 0;
  return spreads->spread[figure] > 0;
}

void
lw_fit_has (LwJob *job, guint plan, gboolean has[LW_N_FIT])
{
  g_autoptr (LwCase) of = lw_case_new (job, plan, NULL);
  LwUnsureSpreads spreads;

  if (of != NULL)
    lw_doubt_spreads (of, FALSE, &spreads);
  for (guint i = 0; i < LW_N_FIT; i++)
    has[i] = of != NULL && is_there (of, &spreads, i);
}

static double
tie (guint a, guint b)
{
  if (a == b)
    return 1;
  return MAX (a, b) < LW_N_UNSURE ? lw_unsure_correlation (a, b) : 0;
}

static void
choose_free (LwFitModel *self, const LwFitOptions *options)
{
  for (guint i = 0; i < LW_N_FIT; i++) {
    gboolean there = is_there (self->of, &self->spreads, i);
    self->held[i] = there && options != NULL && options->hold[i];
    if (there && !self->held[i])
      self->free_of[self->n_free++] = i;
  }
  self->mix = gsl_matrix_calloc (MAX (self->n_free, 1), MAX (self->n_free, 1));
  gsl_matrix_set_identity (self->mix);
  for (guint a = 0; a < self->n_free; a++)
    for (guint b = 0; b < self->n_free; b++)
      gsl_matrix_set (self->mix, a, b, tie (self->free_of[a], self->free_of[b]));
  gsl_linalg_cholesky_decomp1 (self->mix);
  for (guint a = 0; a < self->n_free; a++)
    for (guint b = a + 1; b < self->n_free; b++)
      gsl_matrix_set (self->mix, a, b, 0);
}

guint
lw_fit_model_n (const LwFitModel *self)
{
  return self->n_free + self->n_runs;
}

void
lw_fit_model_z (const LwFitModel *self, const double *u, double *z)
{
  for (guint i = 0; i < LW_N_FIT; i++)
    z[i] = 0;
  for (guint a = 0; a < self->n_free; a++)
    for (guint b = 0; b <= a; b++)
      z[self->free_of[a]] += gsl_matrix_get (self->mix, a, b) * u[b];
}

/* ---- life ---- */

void
lw_fit_model_free (LwFitModel *self)
{
  if (self == NULL)
    return;
  for (guint i = 0; i < self->n_runs; i++)
    lw_quick_drive_clear (&self->drives[i]);
  g_free (self->drives);
  if (self->mix != NULL)
    gsl_matrix_free (self->mix);
  g_ptr_array_unref (self->idle);
  lw_quick_unref (self->quick);
  g_mutex_clear (&self->lock);
  g_free (self);
}

/* Whether the nozzle works within its film's published range: of a march. */
static gboolean
in_range (LwFitModel *self, gboolean *out, GError **error)
{
  LwQuickRun *run = lw_quick_run_new (self->quick);
  HeatReducedWants wants = { .step_s = STEP_S };
  const HeatResult *result;

  g_ptr_array_add (self->idle, run);
  if (!lw_quick_run (self->quick, run, &self->drives[0].heat, &wants, error))
    return FALSE;
  result = heat_reduced_series (lw_quick_model (self->quick), lw_quick_run_heat (run));
  if (result == NULL)
    g_error ("out of memory for the series of a march");
  *out = result->films.nozzle_in_range;
  self->n_marches++;
  return TRUE;
}

/* What was fitted before is left out. */
static LwJob *
without_fits (LwJob *job)
{
  LwJob *out;

  if (job->fits->len == 0)
    return lw_job_ref (job);
  out = lw_job_copy (job);
  g_ptr_array_set_size (out->fits, 0);
  return out;
}

static gboolean
add_drives (LwFitModel *self, const LwFitRecord *runs, GError **error)
{
  double end = 0;

  for (guint i = 0; i < self->n_runs; i++) {
    g_autoptr (LwJob) job = without_fits (runs[i].job);
    if (!lw_quick_drive (self->quick, job, runs[i].plan, &self->drives[i], error)) {
      g_prefix_error (error, _("Run %u: "), i + 1);
      return FALSE;
    }
    end = fmax (end, self->drives[i].heat.end_s);
  }
  self->n_grid = (guint) floor (end / LW_FIT_GRID_S) + 2;
  return TRUE;
}

LwFitModel *
lw_fit_model_new (const LwFitRecord *runs, guint n_runs, const LwFitOptions *options, GCancellable *cancellable,
                  LwPredictProgress progress, gpointer user, GError **error)
{
  g_autoptr (LwFitModel) self = g_new0 (LwFitModel, 1);
  LwQuickOptions how
      = { .cell_mm = options != NULL ? options->cell_mm : 0, .error_k = 0.1, .vary_conductance = TRUE };
  g_autoptr (LwJob) job = without_fits (runs[0].job);
  gboolean known = FALSE;

  g_mutex_init (&self->lock);
  self->idle = g_ptr_array_new_with_free_func ((GDestroyNotify) lw_quick_run_free);
  self->drives = g_new0 (LwQuickDrive, n_runs);
  self->n_runs = n_runs;
  self->cancellable = cancellable;
  self->quick = lw_quick_new (job, runs[0].plan, &how, cancellable, progress, user, error);
  if (self->quick == NULL || !add_drives (self, runs, error) || !in_range (self, &known, error))
    return NULL;
  self->of = lw_quick_case (self->quick);
  self->n_bodies = lw_quick_n_bodies (self->quick);
  lw_doubt_spreads (self->of, known, &self->spreads);
  choose_free (self, options);
  return g_steal_pointer (&self);
}

/* ---- curves ---- */

LwFitCurves *
lw_fit_curves_new (const LwFitModel *self, guint n_places, gboolean figures)
{
  LwFitCurves *out = g_new0 (LwFitCurves, 1);

  out->n_places = n_places;
  out->curves = g_new0 (double, MAX ((gsize) self->n_runs * n_places * self->n_grid, 1));
  if (figures)
    out->figures = g_new0 (double, MAX (self->n_bodies, 1) * LW_N_FIGURES);
  return out;
}

void
lw_fit_curves_free (LwFitCurves *self)
{
  if (self == NULL)
    return;
  g_free (self->curves);
  g_free (self->figures);
  g_free (self);
}

typedef struct {
  LwFitModel *model;
  const LwPlaceReader *reader;
  const double *z; /* rows */
  LwFitCurves **out;
  GError *error; /* under the model's lock */
} March;

static HeatDrive
drive_at (const LwFitModel *self, guint run, const double *z)
{
  HeatDrive drive = self->drives[run].heat;

  lw_doubt_move (&drive, &self->spreads, z);
  drive.gas_lag_s *= lw_fit_value (&self->spreads, LW_FIT_GAS_LAG, z[LW_FIT_GAS_LAG]);
  drive.preheat_lag_s *= lw_fit_value (&self->spreads, LW_FIT_PREHEAT_LAG, z[LW_FIT_PREHEAT_LAG]);
  return drive;
}

static LwQuickRun *
take_run (LwFitModel *self)
{
  LwQuickRun *run = NULL;

  g_mutex_lock (&self->lock);
  self->n_marches++;
  if (self->idle->len > 0)
    run = g_ptr_array_steal_index_fast (self->idle, self->idle->len - 1);
  g_mutex_unlock (&self->lock);
  return run != NULL ? run : lw_quick_run_new (self->quick);
}

static void
read_figures (const LwFitModel *self, LwQuickRun *run, double *out)
{
  g_autofree HeatFigures *figures = g_new (HeatFigures, MAX (self->n_bodies, 1));
  double board_c = lw_quick_board_peak (self->quick, run);

  lw_quick_figures (self->quick, run, figures);
  for (guint body = 0; body < self->n_bodies; body++)
    for (guint f = 0; f < LW_N_FIGURES; f++) {
      LwGaugeRule rule = { .figure = f, .body = body };
      out[body * LW_N_FIGURES + f]
          = f == LW_FIGURE_BOARD_PEAK && body > 0 ? NAN : lw_gauge_figure (&rule, figures, board_c);
    }
}

static gboolean
is_over (March *m)
{
  gboolean failed;

  g_mutex_lock (&m->model->lock);
  failed = m->error != NULL;
  g_mutex_unlock (&m->model->lock);
  return failed || g_cancellable_is_cancelled (m->model->cancellable);
}

static void
march_one (void *data, size_t i)
{
  March *m = data;
  LwFitModel *self = m->model;
  guint row = (guint) i / self->n_runs, number = (guint) i % self->n_runs;
  LwFitCurves *out = m->out[row];
  HeatDrive drive = drive_at (self, number, m->z + (gsize) row * LW_N_FIT);
  HeatReducedWants wants = { .step_s = STEP_S };
  LwQuickRun *run;
  GError *error = NULL;

  if (is_over (m))
    return;
  run = take_run (self);
  if (lw_quick_run (self->quick, run, &drive, &wants, &error)) {
    if (!lw_place_reader_read (m->reader, run, LW_FIT_GRID_S, self->n_grid,
                               out->curves + (gsize) number * out->n_places * self->n_grid))
      g_error ("out of memory for the series of a march");
    if (out->figures != NULL && number == 0)
      read_figures (self, run, out->figures);
  }
  g_mutex_lock (&self->lock);
  g_ptr_array_add (self->idle, run);
  if (m->error == NULL)
    m->error = error;
  else
    g_clear_error (&error);
  g_mutex_unlock (&self->lock);
}

gboolean
lw_fit_model_march (LwFitModel *self, const LwPlaceReader *reader, const double *z, guint n, LwFitCurves **out,
                    GError **error)
{
  March march = { self, reader, z, out, NULL };
  const HeatParallel *parallel = lw_quick_parallel ();

  parallel->run (parallel->pool, (gsize) n * self->n_runs, march_one, &march);
  if (march.error != NULL) {
    g_propagate_error (error, march.error);
    return FALSE;
  }
  return !g_cancellable_set_error_if_cancelled (self->cancellable, error);
}

static void
to_slope (const LwFitModel *self, const LwFitCurves *at, LwFitCurves *moved)
{
  gsize n = (gsize) self->n_runs * at->n_places * self->n_grid;

  for (gsize i = 0; i < n; i++)
    moved->curves[i] = (moved->curves[i] - at->curves[i]) / SLOPE_Z;
  for (gsize i = 0; at->figures != NULL && i < (gsize) self->n_bodies * LW_N_FIGURES; i++)
    moved->figures[i] = (moved->figures[i] - at->figures[i]) / SLOPE_Z;
}

gboolean
lw_fit_model_slopes (LwFitModel *self, const LwPlaceReader *reader, const double *z, const LwFitCurves *at,
                     LwFitCurves **slopes, GError **error)
{
  g_autofree double *moved = g_new (double, MAX (self->n_free, 1) * LW_N_FIT);
  gboolean ok;

  for (guint k = 0; k < self->n_free; k++) {
    for (guint i = 0; i < LW_N_FIT; i++)
      moved[k * LW_N_FIT + i] = z[i];
    moved[k * LW_N_FIT + self->free_of[k]] += SLOPE_Z;
    slopes[k] = lw_fit_curves_new (self, at->n_places, at->figures != NULL);
  }
  ok = lw_fit_model_march (self, reader, moved, self->n_free, slopes, error);
  for (guint k = 0; k < self->n_free; k++)
    if (ok)
      to_slope (self, at, slopes[k]);
    else
      g_clear_pointer (&slopes[k], lw_fit_curves_free);
  return ok;
}
