#include "plan/fit.h"

#include <glib/gi18n.h>
#include <gsl/gsl_blas.h>
#include <gsl/gsl_cdf.h>
#include <math.h>

#include "plan/draws.h"
#include "plan/fit-inside.h"
#include "plan/fit-suggest.h"
#include "plan/quiet.h"
#include "plan/run-compare.h"
#include "plan/solve-scene.h"

#define Z_95 1.959963984540054
/* A figure whose deviation is this share of what it was is no better known to speak of: three quarters of the variance are
 * left at 0.87; half at 0.71. The program's own choice. */
#define UNTOLD 0.71
/* Two figures so correlated are told together only; the program's own choice. */
#define TIED 0.9
/* Deviations are widened by this much in any case: the model's own errors are counted as each thermocouple's alone, while
 * some are common to all. Set on a hundred runs made by the full solution (tests/plan/test-fit-proof.c, seeds 1 to 100): without it 94 of
 * 100 lie in the range that should hold 95, with it 98 or more of each figure. */
#define COMMON 1.3
/* Heat capacities once more: how large films, conductivity and capacities are all together hangs on the heat of melting and of bodies
 * alone, where the model's errors are common to everything. Of 53 trials that told them 45 held without it (seeds 5001 to 5100 and
 * 7001 to 7100). */
#define CAPACITY 1.5

G_DEFINE_QUARK (lw - fit - error - quark, lw_fit_error)

/* ---- life ---- */

static void
channel_free (gpointer data)
{
  LwFitChannel *self = data;

  g_free (self->name);
  g_free (self->place);
  g_free (self->t_s);
  g_free (self->measured_c);
  g_free (self->before_c);
  g_free (self->after_c);
  g_free (self);
}

static void
remark_free (gpointer data)
{
  g_free (((LwFitRemark *) data)->text);
  g_free (data);
}

void
lw_fit_answer_free (LwFitAnswer *self)
{
  if (self == NULL)
    return;
  for (guint i = 0; i < LW_N_FIT; i++)
    g_free (self->figures[i].teller);
  g_ptr_array_unref (self->channels);
  g_ptr_array_unref (self->remarks);
  g_array_unref (self->clock_s);
  g_array_unref (self->aligned_s);
  g_free (self->nozzle);
  g_free (self->ref);
  lw_fit_senses_free (self->senses);
  g_free (self);
}

static LwFitAnswer *
fit_new (void)
{
  LwFitAnswer *self = g_new0 (LwFitAnswer, 1);

  self->channels = g_ptr_array_new_with_free_func (channel_free);
  self->remarks = g_ptr_array_new_with_free_func (remark_free);
  self->clock_s = g_array_new (FALSE, TRUE, sizeof (double));
  self->aligned_s = g_array_new (FALSE, TRUE, sizeof (double));
  return self;
}

/* ---- figures ---- */

/* Covariance of the free figures' Z: MIX C MIX'. */
static gsl_matrix *
covariance_z (const LwFitSolution *at)
{
  guint n = at->model->n_free;
  gsl_matrix *half = gsl_matrix_alloc (MAX (n, 1), MAX (n, 1)), *out = gsl_matrix_alloc (MAX (n, 1), MAX (n, 1));
  gsl_matrix_view c = gsl_matrix_submatrix (at->covariance, 0, 0, n, n);

  gsl_blas_dgemm (CblasNoTrans, CblasNoTrans, 1, at->model->mix, &c.matrix, 0, half);
  gsl_blas_dgemm (CblasNoTrans, CblasTrans, 1, half, at->model->mix, 0, out);
  gsl_matrix_free (half);
  return out;
}

static void
set_figure (LwFitted *out, const LwFitModel *model, guint figure, double z, double deviation)
{
  const LwUnsureSpreads *spreads = &model->spreads;

  out->value = lw_fit_value (spreads, figure, z);
  out->low = lw_fit_value (spreads, figure, z - Z_95 * deviation);
  out->high = lw_fit_value (spreads, figure, z + Z_95 * deviation);
  out->before_low = lw_fit_value (spreads, figure, -Z_95);
  out->before_high = lw_fit_value (spreads, figure, Z_95);
  out->before_sigma = lw_fit_before_sigma (spreads, figure);
  out->sigma = deviation * out->before_sigma;
  out->verdict = deviation > UNTOLD ? LW_VERDICT_UNTOLD : LW_VERDICT_TOLD;
}

/* The figure most tied to A, where both are better known than before. */
static void
find_tie (LwFitAnswer *self, const LwFitModel *model, guint a)
{
  LwFitted *figure = &self->figures[model->free_of[a]];

  for (guint b = 0; b < model->n_free; b++) {
    double r = self->correlation[model->free_of[a] * LW_N_FIT + model->free_of[b]];
    if (a != b && fabs (r) > fabs (figure->tied_r)) {
      figure->tied_to = (int) model->free_of[b];
      figure->tied_r = r;
    }
  }
  if (fabs (figure->tied_r) < TIED)
    figure->tied_to = -1;
  else if (figure->verdict == LW_VERDICT_TOLD)
    figure->verdict = LW_VERDICT_TIED;
}

static void
fill_figures (LwFitAnswer *self, const LwFitSolution *at)
{
  const LwFitModel *model = at->model;
  gsl_matrix *c = covariance_z (at);
  double z[LW_N_FIT];

  lw_fit_model_z (model, at->u, z);
  for (guint i = 0; i < LW_N_FIT; i++) {
    gboolean is_factor = lw_fit_is_factor (i);
    self->figures[i] = (LwFitted){ .figure = i, .is_factor = is_factor, .tied_to = -1, .told_by = -1,
                                   .verdict = model->held[i] ? LW_VERDICT_HELD : LW_VERDICT_GIVEN };
    self->figures[i].value = self->figures[i].low = self->figures[i].high = is_factor;
    self->figures[i].before_low = self->figures[i].before_high = is_factor;
    self->correlation[i * LW_N_FIT + i] = 1;
  }
  for (guint a = 0; a < model->n_free; a++) {
    double deviation = sqrt (gsl_matrix_get (c, a, a)) * self->widened
                       * (model->free_of[a] == LW_UNSURE_CAPACITY ? CAPACITY : 1);
    set_figure (&self->figures[model->free_of[a]], model, model->free_of[a], z[model->free_of[a]], deviation);
    for (guint b = 0; b < model->n_free; b++)
      self->correlation[model->free_of[a] * LW_N_FIT + model->free_of[b]]
          = gsl_matrix_get (c, a, b) / sqrt (gsl_matrix_get (c, a, a) * gsl_matrix_get (c, b, b));
  }
  for (guint a = 0; a < model->n_free; a++)
    find_tie (self, model, a);
  for (guint i = 0; i < model->n_runs; i++) {
    double late = at->u[model->n_free + i] * LW_FIT_LATE_S;
    g_array_append_val (self->clock_s, late);
    self->clock_sigma_s
        = sqrt (gsl_matrix_get (at->covariance, model->n_free + i, model->n_free + i)) * LW_FIT_LATE_S * self->widened;
  }
  gsl_matrix_free (c);
}

/* ---- channels ---- */

static double
curve_at (const LwFitModel *model, const LwFitCurves *curves, const LwFitSeries *series, guint place,
          double t_s)
{
  const double *curve = curves->curves + (gsize) (series->run * curves->n_places + place) * model->n_grid;
  double at = CLAMP (t_s / LW_FIT_GRID_S, 0, model->n_grid - 1.000001);
  guint k = (guint) at;

  return curve[k] + (at - k) * (curve[k + 1] - curve[k]);
}

static void
weigh (LwFitChannel *out)
{
  double before = 0, after = 0, sum = 0;

  for (guint k = 0; k < out->n; k++) {
    double was = out->measured_c[k] - out->before_c[k], is = out->measured_c[k] - out->after_c[k];
    before += was * was;
    after += is * is;
    sum += is;
    if (fabs (is) > fabs (out->worst_k))
      out->worst_k = is;
  }
  out->rms_before_k = sqrt (before / out->n);
  out->rms_after_k = sqrt (after / out->n);
  out->mean_k = sum / out->n;
}

static void
fill_channels (LwFitAnswer *self, const LwFitSolution *at, const LwFitCurves *before, const LwPlace *places)
{
  for (guint i = 0; i < at->data->series->len; i++) {
    const LwFitSeries *series = g_ptr_array_index (at->data->series, i);
    LwFitChannel *out = g_ptr_array_index (self->channels, i);
    double late = at->u[at->model->n_free + series->run] * LW_FIT_LATE_S + (series->run == at->guess.run ? at->guess.shift_s : 0);
    guint place = lw_fit_placed_as (at->data, &at->guess, i);
    out->place = lw_place_text (at->model->of, &places[series->place]);
    out->n = series->n;
    out->noise_k = series->noise_k;
    out->t_s = g_memdup2 (series->t_s, series->n * sizeof (double));
    out->measured_c = g_memdup2 (series->c, series->n * sizeof (double));
    out->before_c = g_new (double, series->n);
    out->after_c = g_new (double, series->n);
    for (guint k = 0; k < series->n; k++) {
      out->before_c[k] = curve_at (at->model, before, series, series->place, series->t_s[k]);
      out->after_c[k] = curve_at (at->model, at->at, series, place, series->t_s[k] - late);
    }
    weigh (out);
  }
}

/* ---- all of it ---- */

/* ---- moments ---- */

/* Median over the channels of the plan's start of the ramp less the log's; 0 where neither is found. */
static double
shift_of (const LwFitModel *model, const LwFitCurves *before, const LwFitRecord *run, guint number, guint first)
{
  g_autofree double *grid = g_new (double, model->n_grid), *shift = g_new (double, MAX (run->n_channels, 1));
  double median;

  for (guint k = 0; k < model->n_grid; k++)
    grid[k] = k * LW_FIT_GRID_S;
  for (guint i = 0; i < run->n_channels; i++) {
    const double *curve = before->curves + (gsize) (number * before->n_places + first + i) * model->n_grid;
    shift[i] = lw_curve_ramp_start (grid, curve, model->n_grid)
               - lw_curve_ramp_start (run->t_s, run->c + (gsize) i * run->n_moments, run->n_moments);
  }
  median = lw_draws_quantile (shift, run->n_channels, 0.5);
  return isnan (median) ? 0 : median;
}

/* RUNS on the plan's clock; what is new belongs to BLOCKS. */
static LwFitRecord *
on_plan_clock (const LwFitModel *model, const LwFitCurves *before, const LwFitRecord *runs, GPtrArray *blocks, GArray *aligned_s)
{
  LwFitRecord *out = g_memdup2 (runs, model->n_runs * sizeof *runs);
  guint first = 0;

  for (guint i = 0; i < model->n_runs; first += runs[i++].n_channels) {
    double shift = NAN, *t;
    if (runs[i].align)
      shift = shift_of (model, before, &runs[i], i, first);
    g_array_append_val (aligned_s, shift);
    if (!runs[i].align)
      continue;
    t = g_new (double, MAX (runs[i].n_moments, 1));
    for (guint k = 0; k < runs[i].n_moments; k++)
      t[k] = runs[i].t_s[k] + shift;
    g_ptr_array_add (blocks, t);
    out[i].t_s = t;
  }
  return out;
}

static void
fill (LwFitAnswer *self, const LwFitSolution *at)
{
  self->chi2 = at->chi2;
  self->n_data = at->data->n;
  self->chance = gsl_cdf_chisq_Q (at->chi2, at->data->n);
  self->widened = COMMON * sqrt (fmax (1, at->chi2 / at->data->n)); /* as in Birge, Phys. Rev. 40 (1932) 207 */
  self->usable = at->chi2 < LW_FIT_POOR * at->data->n;
  self->n_steps = at->n_steps;
}

/* Names of the channels are wanted by remarks before there is a solution. */
static void
add_channels (LwFitAnswer *self, const LwFitData *data, const LwFitRecord *runs)
{
  for (guint i = 0; i < data->series->len; i++) {
    const LwFitSeries *series = g_ptr_array_index (data->series, i);
    LwFitChannel *out = g_new0 (LwFitChannel, 1);
    out->run = series->run;
    out->name = g_strdup (runs[series->run].couples[series->channel]->name);
    g_ptr_array_add (self->channels, out);
  }
}

static gboolean
settle (LwFitSolution *at, LwFitAnswer *self, GError **error)
{
  GError *failed = NULL;

  self->settled = lw_fit_solve (at, NULL, &failed);
  return self->settled || lw_fit_rescue (at, self, failed, error);
}

static LwFitAnswer *
solve (LwFitModel *model, const LwFitRecord *runs, const LwFitOptions *options, const LwWatch *watch, GError **error)
{
  guint n_own;
  g_autoptr (GArray) all = lw_fit_places (model, runs, &n_own);
  const LwPlace *places = (const LwPlace *) (gpointer) all->data;
  g_autoptr (LwPlaceReader) reader = lw_place_reader_new (model->quick, places, all->len);
  g_autoptr (LwFitCurves) before = lw_fit_curves_new (model, all->len, FALSE);
  double model_k = options != NULL && options->model_k > 0 ? options->model_k : LW_FIT_MODEL_K;
  g_autoptr (GPtrArray) blocks = g_ptr_array_new_with_free_func (g_free);
  g_autofree LwFitRecord *clocked = NULL;
  g_autoptr (LwFitData) data = NULL;
  g_auto (LwFitSolution) at = { .model = model, .reader = reader, .n_places = all->len,
                                .guess = LW_FIT_AS_GIVEN, .progress = watch->progress, .user = watch->user,
                                .most_rounds = options != NULL ? options->rounds : 0 };
  g_autoptr (LwFitAnswer) self = fit_new ();
  double z[LW_N_FIT] = { 0 };

  if (!lw_fit_model_march (model, reader, z, 1, (LwFitCurves *[]){ before }, error))
    return NULL;
  clocked = on_plan_clock (model, before, runs, blocks, self->aligned_s);
  at.data = data = lw_fit_data_new (model, clocked, model_k, error);
  if (data == NULL)
    return NULL;
  add_channels (self, data, runs);
  if (!settle (&at, self, error))
    return NULL;
  fill (self, &at);
  fill_figures (self, &at);
  fill_channels (self, &at, before, places);
  lw_fit_tellers (&at, self);
  if (!lw_fit_doubts (&at, self, error))
    return NULL;
  self->senses = lw_fit_senses_of (&at, all, n_own);
  lw_fit_senses_tell (self->senses, self);
  return g_steal_pointer (&self);
}

static void
tell_build (double done, gpointer user)
{
  lw_watch_tell (user, done);
}

LwFitAnswer *
lw_fit_on (LwFitModel *model, const LwFitRecord *runs, const LwFitOptions *options, const LwWatch *watch, GError **error)
{
  LwFitAnswer *self;
  const LwPlan *plan = lw_case_plan (model->of);

  lw_quiet_gsl ();
  self = solve (model, runs, options, watch, error);
  if (self == NULL)
    return NULL;
  self->ref = g_strdup (plan->ref);
  self->nozzle = g_strdup (plan->nozzle);
  self->n_marches = (guint) model->n_marches;
  return self;
}

LwFitAnswer *
lw_fit (const LwFitRecord *runs, guint n_runs, const LwFitOptions *options, GCancellable *cancellable,
        LwPredictProgress progress, gpointer user, GError **error)
{
  gint64 start = g_get_monotonic_time ();
  LwWatch watch = { cancellable, progress, user, 0, 0.3 };
  g_autoptr (LwFitModel) model = NULL;
  LwFitAnswer *self;
  double built;

  if (n_runs == 0) {
    g_set_error_literal (error, LW_FIT_ERROR, LW_FIT_ERROR_RUN, _("There is no run to fit to."));
    return NULL;
  }
  model = lw_fit_model_new (runs, n_runs, options, cancellable, progress != NULL ? tell_build : NULL, &watch, error);
  if (model == NULL)
    return NULL;
  built = (double) (g_get_monotonic_time () - start) * 1e-6;
  self = lw_fit_on (model, runs, options, &watch, error);
  if (self == NULL)
    return NULL;
  self->build_seconds = built;
  self->seconds = (double) (g_get_monotonic_time () - start) * 1e-6;
  return self;
}
