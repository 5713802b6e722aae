/* Readings as a fit takes them: means over short spans, and what is known of their errors. */
#include <glib/gi18n.h>
#include <gsl/gsl_blas.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <math.h>

#include "plan/draws.h"
#include "plan/fit-inside.h"

/* Spans are two seconds or longer, so that a channel has no more than these. */
#define SPANS 150
#define SPAN_S 2.0
/* Readings nearer than this to a jump of the gas are left out: common practice, no source. */
#define JUMP_S 4.0
/* A channel with fewer tells nothing about a curve. */
#define FEWEST 5
/* No logger reads finer than this: common practice, no source. */
#define NOISE_LEAST_K 0.05
/* While the reworked part's joints melt or freeze, the moment at which they do is a matter of tenths of a kelvin, and what its
 * thermocouples show is the model's word only within so much. Without this the length of that plateau tells, wrongly, by how much all
 * films, conductivity and capacity are off together. As seen on full solutions of a small board: up to 6 K. */
#define MELT_K 8.0
#define MELT_BAND_K 30.0
/* Beyond what a thermocouple in a job can show: a broken one, or the wrong unit. */
#define LOWEST_C -60.0
#define HIGHEST_C 700.0

/* ---- errors ---- */

/* A second difference of independent errors has six times their variance; half of a normal distribution's values lie
 * within 0.6745 deviations (Abramowitz and Stegun, Table 26.1). The median does not mind jumps of the curve itself. */
double
lw_fit_noise_k (const double *c, guint n)
{
  g_autofree double *d = g_new (double, MAX (n, 1));
  guint count = 0;

  for (guint i = 2; i < n; i++)
    if (!isnan (c[i]) && !isnan (c[i - 1]) && !isnan (c[i - 2]))
      d[count++] = fabs (c[i] - 2 * c[i - 1] + c[i - 2]);
  if (count < FEWEST)
    return NOISE_LEAST_K;
  return fmax (lw_draws_quantile (d, count, 0.5) / 0.6745 / sqrt (6), NOISE_LEAST_K);
}

double
lw_fit_melt_k (const LwFitModel *model, double c)
{
  const HeatBody *target = &model->of->bodies[model->of->scene.target];

  return c > target->solidus_c - MELT_BAND_K && c < target->liquidus_c + MELT_BAND_K ? MELT_K : 0;
}

/* A thermocouple's tolerance is uniform (JCGM 100:2008, 4.3.7) and the same share of it at all times; the model's
 * error fades over LW_FIT_MODEL_S. */
gsl_matrix *
lw_fit_root (const double *t_s, const double *c, guint n, double noise_k, double model_k, const double *melt_k)
{
  gsl_matrix *root = gsl_matrix_alloc (n, n);

  for (guint i = 0; i < n; i++)
    for (guint j = 0; j <= i; j++) {
      double tolerance = lw_unsure_thermocouple_k (c[i]) * lw_unsure_thermocouple_k (c[j]) / 3;
      double melting = melt_k != NULL ? melt_k[i] * melt_k[j] : 0;
      double model = (model_k * model_k + melting) * exp (-fabs (t_s[i] - t_s[j]) / LW_FIT_MODEL_S);
      gsl_matrix_set (root, i, j, tolerance + model + (i == j ? noise_k * noise_k + LW_FIT_ROUGH_K * LW_FIT_ROUGH_K : 0));
      gsl_matrix_set (root, j, i, gsl_matrix_get (root, i, j));
    }
  if (gsl_linalg_cholesky_decomp1 (root) == GSL_SUCCESS)
    return root;
  gsl_matrix_free (root);
  return NULL;
}

/* ---- means ---- */

static void
series_free (gpointer data)
{
  LwFitSeries *self = data;

  g_free (self->t_s);
  g_free (self->c);
  if (self->root != NULL)
    gsl_matrix_free (self->root);
  g_free (self);
}

static gboolean
refuse (GError **error, guint run, const char *text)
{
  /* Translators: number of the run, then what is wrong with it. */
  g_set_error (error, LW_FIT_ERROR, LW_FIT_ERROR_RUN, _("Run %u: %s"), run + 1, text);
  return FALSE;
}

/* Whether the gas is turned on or off near a moment: what a thermocouple shows then is a matter of tenths of a second. */
static gboolean
is_near_jump (const HeatTable *flow, double t_s)
{
  for (size_t i = 1; i < flow->n; i++)
    if (flow->t_s[i] == flow->t_s[i - 1] && flow->v[i] != flow->v[i - 1] && fabs (t_s - flow->t_s[i]) < JUMP_S)
      return TRUE;
  return FALSE;
}

static void
take_means (LwFitSeries *out, const HeatTable *flow, const LwFitRecord *run, const double *c, double span_s, double end_s)
{
  guint i = 0, readings = 0;

  out->t_s = g_new (double, run->n_moments);
  out->c = g_new (double, run->n_moments);
  while (i < run->n_moments) {
    double from = run->t_s[i], t = 0, sum = 0;
    guint n = 0;
    for (; i < run->n_moments && run->t_s[i] < from + span_s; i++)
      if (!isnan (c[i]) && run->t_s[i] >= 0 && run->t_s[i] <= end_s
          && !is_near_jump (flow, run->t_s[i])) {
        t += run->t_s[i];
        sum += c[i];
        n++;
      }
    if (n == 0)
      continue;
    readings += n;
    out->t_s[out->n] = t / n;
    out->c[out->n++] = sum / n;
  }
  out->per_span = out->n > 0 ? readings / (double) out->n : 0;
}

static gboolean
check_run (const LwFitRecord *run, guint number, GError **error)
{
  for (guint i = 0; i < run->n_moments; i++)
    if (!isfinite (run->t_s[i]) || (i > 0 && run->t_s[i] < run->t_s[i - 1]))
      return refuse (error, number, _("its times run backwards."));
  for (gsize i = 0; i < (gsize) run->n_moments * run->n_channels; i++)
    if (!isnan (run->c[i]) && !(run->c[i] > LOWEST_C && run->c[i] < HIGHEST_C))
      return refuse (error, number, _("it holds temperatures that no thermocouple of a job shows."));
  return TRUE;
}

static gboolean
is_on_target (const LwFitModel *model, const LwThermocouple *couple)
{
  LwPlace place = lw_place_of (model->of, couple);

  return place.kind != LW_PLACE_BOARD && place.body == model->of->scene.target;
}

/* Whether a thermocouple of the reworked part in series FIRST to the last was near its joints' melting at T_S. */
static double
melt_at (const LwFitData *self, const LwFitModel *model, guint first, double t_s)
{
  double most = 0;

  for (guint i = first; i < self->series->len; i++) {
    const LwFitSeries *series = g_ptr_array_index (self->series, i);
    for (guint k = 0; series->on_target && k < series->n; k++)
      if (fabs (series->t_s[k] - t_s) <= 2 * SPAN_S)
        most = fmax (most, lw_fit_melt_k (model, series->c[k]));
  }
  return most;
}

static gboolean
weigh_run (LwFitData *self, const LwFitModel *model, guint first, double model_k)
{
  for (guint i = first; i < self->series->len; i++) {
    LwFitSeries *series = g_ptr_array_index (self->series, i);
    g_autofree double *melt = g_new0 (double, series->n);
    for (guint k = 0; series->on_target && k < series->n; k++)
      melt[k] = melt_at (self, model, first, series->t_s[k]);
    series->root = lw_fit_root (series->t_s, series->c, series->n, series->noise_k / sqrt (series->per_span), model_k, melt);
    if (series->root == NULL)
      return FALSE;
  }
  return TRUE;
}

static gboolean
add_run (LwFitData *self, const LwFitModel *model, const LwFitRecord *run, guint number, double model_k, guint *place,
         GError **error)
{
  double end = model->drives[number].heat.end_s;
  double span = run->n_moments > 0 ? fmax (SPAN_S, fmin (end, run->t_s[run->n_moments - 1]) / SPANS) : SPAN_S;
  guint before = self->series->len;

  if (!check_run (run, number, error))
    return FALSE;
  for (guint k = 0; k < run->n_channels; k++, (*place)++) {
    const double *c = run->c + (gsize) k * run->n_moments;
    LwFitSeries *series = g_new0 (LwFitSeries, 1);
    series->run = number;
    series->channel = k;
    series->place = *place;
    series->first = self->n;
    series->on_target = is_on_target (model, run->couples[k]);
    take_means (series, &model->drives[number].heat.flow_m3_s, run, c, span, end);
    if (series->n < FEWEST) {
      series_free (series);
      continue;
    }
    series->noise_k = lw_fit_noise_k (c, run->n_moments);
    g_ptr_array_add (self->series, series);
    self->n += series->n;
  }
  if (self->series->len == before)
    return refuse (error, number, _("no thermocouple has readings while the plan runs."));
  return weigh_run (self, model, before, model_k) || refuse (error, number, _("its readings cannot be weighed."));
}

LwFitData *
lw_fit_data_new (const LwFitModel *model, const LwFitRecord *runs, double model_k, GError **error)
{
  g_autoptr (LwFitData) self = g_new0 (LwFitData, 1);
  guint place = 0;

  self->series = g_ptr_array_new_with_free_func (series_free);
  for (guint i = 0; i < model->n_runs; i++)
    if (!add_run (self, model, &runs[i], i, model_k, &place, error))
      return NULL;
  return g_steal_pointer (&self);
}

void
lw_fit_data_free (LwFitData *self)
{
  if (self == NULL)
    return;
  g_ptr_array_unref (self->series);
  g_free (self);
}

/* ---- rows ---- */

guint
lw_fit_placed_as (const LwFitData *data, const LwFitGuess *guess, guint i)
{
  guint as = (int) i == guess->a ? (guint) guess->b : (int) i == guess->b ? (guint) guess->a : i;

  return ((const LwFitSeries *) g_ptr_array_index (data->series, as))->place;
}

static double
curve_at (const double *curve, guint n, double t_s)
{
  double at = CLAMP (t_s / LW_FIT_GRID_S, 0, n - 1.000001);
  guint k = (guint) at;

  return curve[k] + (at - k) * (curve[k + 1] - curve[k]);
}

static void
whiten (const LwFitSeries *series, double *v)
{
  gsl_vector_view view = gsl_vector_view_array (v, series->n);

  gsl_blas_dtrsv (CblasLower, CblasNoTrans, CblasNonUnit, series->root, &view.vector);
}

/* By how much GUESS has it run late. */
static double
late_of (const LwFitSeries *series, const LwFitGuess *guess, const double *late_s)
{
  return (late_s != NULL ? late_s[series->run] : 0) + (series->run == guess->run ? guess->shift_s : 0);
}

void
lw_fit_rows (const LwFitModel *model, const LwFitData *data, const LwFitCurves *curves, const LwFitGuess *guess,
             const double *late_s, gboolean minus, double *out)
{
  for (guint i = 0; i < data->series->len; i++) {
    const LwFitSeries *series = g_ptr_array_index (data->series, i);
    const double *curve = curves->curves + (gsize) (series->run * curves->n_places + lw_fit_placed_as (data, guess, i))
                                               * model->n_grid;
    double late = late_of (series, guess, late_s);
    for (guint k = 0; k < series->n; k++)
      out[series->first + k]
          = curve_at (curve, model->n_grid, series->t_s[k] - late) - (minus ? series->c[k] : 0);
    whiten (series, out + series->first);
  }
}

void
lw_fit_late_rows (const LwFitModel *model, const LwFitData *data, const LwFitCurves *curves, const LwFitGuess *guess,
                  const double *late_s, guint run, double *out)
{
  for (guint i = 0; i < data->series->len; i++) {
    const LwFitSeries *series = g_ptr_array_index (data->series, i);
    const double *curve = curves->curves + (gsize) (series->run * curves->n_places + lw_fit_placed_as (data, guess, i))
                                               * model->n_grid;
    double late = late_of (series, guess, late_s);
    for (guint k = 0; k < series->n; k++) {
      double t = series->t_s[k] - late;
      out[series->first + k] = series->run != run
                                   ? 0
                                   : 0.5 * (curve_at (curve, model->n_grid, t - 1) - curve_at (curve, model->n_grid, t + 1));
    }
    whiten (series, out + series->first);
  }
}
