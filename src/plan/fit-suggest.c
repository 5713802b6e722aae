#include "plan/fit-suggest.h"

#include <gsl/gsl_blas.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <math.h>

#include "plan/fit-inside.h"
#include "plan/gauge.h"

/* Standard normal number below which 95 % of all cases lie: Abramowitz and Stegun, Table 26.1. */
#define Z_BAND 1.6448536269514722
/* A reading of a candidate: noise of common loggers, no source; one every so many seconds. */
#define NOISE_K 0.3
#define EVERY_S 5
/* A thermocouple that leaves more of a figure's deviation than this (of what it was at first) does not tell it; nor one
 * that takes off less than a fifth. The program's own choice. */
#define TELLS 0.71
#define TELLS_MORE 0.8
/* Two thermocouples nearer than this on one side tell much the same; on bare board the side makes no odds. One of a kind not named yet
 * is preferred when it leaves at most this much more of the doubt. The program's own choices. */
#define APART_MM 15.0
#define OTHER_KIND 1.05
/* Another thermocouple has to take off at least this share of the doubt to be named. */
#define WORTH 0.97

typedef struct {
  LwThermocouple *couple;
  LwPlaceKind kind;
  char *text;
  gsl_matrix *information;
} Candidate;

struct LwFitSenses {
  guint n, n_free;
  guint free_of[LW_N_FIT];
  gsl_matrix *mix, *precision; /* of U: before any suggestion */
  GPtrArray *candidates;
  GPtrArray *there; /* LwThermocouple: those the runs have */
  gsl_matrix *figures; /* [n_bodies * LW_N_FIGURES][n], by U */
  /* The rule that stands worst. */
  char *kind, *ref;
  guint body;
  LwFigure figure;
  double value, limit;
};

static void
candidate_free (gpointer data)
{
  Candidate *self = data;

  lw_thermocouple_unref (self->couple);
  g_free (self->text);
  gsl_matrix_free (self->information);
  g_free (self);
}

void
lw_fit_senses_free (LwFitSenses *self)
{
  if (self == NULL)
    return;
  g_ptr_array_unref (self->candidates);
  g_ptr_array_unref (self->there);
  g_clear_pointer (&self->mix, gsl_matrix_free);
  g_clear_pointer (&self->precision, gsl_matrix_free);
  g_clear_pointer (&self->figures, gsl_matrix_free);
  g_free (self->kind);
  g_free (self->ref);
  g_free (self);
}

static void
suggestion_free (gpointer data)
{
  LwSuggestion *self = data;

  lw_thermocouple_unref (self->couple);
  g_free (self->text);
  g_free (self);
}

void
lw_suggestions_free (LwSuggestions *self)
{
  if (self == NULL)
    return;
  g_ptr_array_unref (self->next);
  g_free (self->kind);
  g_free (self->ref);
  g_free (self);
}

/* ---- what a reading tells ---- */

/* A' C^-1 A of a place's readings over the first run. */
static gsl_matrix *
information_of (const LwFitModel *model, const LwFitCurves *at, LwFitCurves *const *slopes, guint place,
                gboolean on_target)
{
  guint n = lw_fit_model_n (model), rows = (model->n_grid - 1) / EVERY_S;
  g_autofree double *t = g_new (double, MAX (rows, 1)), *c = g_new (double, MAX (rows, 1)), *melt = g_new0 (double, MAX (rows, 1));
  gsl_matrix *a = gsl_matrix_calloc (rows, n), *out = gsl_matrix_calloc (n, n), *root;
  const double *curve = at->curves + (gsize) place * model->n_grid;

  for (guint i = 0; i < rows; i++) {
    guint k = (i + 1) * EVERY_S - 1;
    t[i] = k * LW_FIT_GRID_S;
    c[i] = curve[k];
    melt[i] = on_target ? lw_fit_melt_k (model, c[i]) : 0;
    for (guint f = 0; f < model->n_free; f++)
      for (guint b = 0; b <= f; b++)
        *gsl_matrix_ptr (a, i, b) += gsl_matrix_get (model->mix, f, b) * slopes[f]->curves[(gsize) place * model->n_grid + k];
    gsl_matrix_set (a, i, model->n_free,
                    k > 0 ? -LW_FIT_LATE_S * 0.5 * (curve[k + 1] - curve[k - 1]) / LW_FIT_GRID_S : 0);
  }
  root = lw_fit_root (t, c, rows, NOISE_K, LW_FIT_MODEL_K, melt);
  if (root != NULL) {
    gsl_blas_dtrsm (CblasLeft, CblasLower, CblasNoTrans, CblasNonUnit, 1, root, a);
    gsl_blas_dgemm (CblasTrans, CblasNoTrans, 1, a, a, 0, out);
    gsl_matrix_free (root);
  }
  gsl_matrix_free (a);
  return out;
}

static gboolean
is_on_target (const LwFitModel *model, const LwPlace *place)
{
  return place->kind != LW_PLACE_BOARD && place->body == model->of->scene.target;
}

/* Deviation of what has gradient G [n], when INFORMATION (may be NULL) is added to PRECISION; NAN = unknown. */
static double
deviation (const gsl_matrix *precision, const gsl_matrix *information, const double *g)
{
  size_t n = precision->size1;
  gsl_matrix *p = gsl_matrix_alloc (n, n);
  gsl_vector_const_view gv = gsl_vector_const_view_array (g, n);
  gsl_vector *x = gsl_vector_alloc (n);
  double out = NAN;

  gsl_matrix_memcpy (p, precision);
  if (information != NULL)
    gsl_matrix_add (p, information);
  if (gsl_linalg_cholesky_decomp1 (p) == GSL_SUCCESS && gsl_linalg_cholesky_solve (p, &gv.vector, x) == GSL_SUCCESS) {
    gsl_blas_ddot (&gv.vector, x, &out);
    out = sqrt (out);
  }
  gsl_matrix_free (p);
  gsl_vector_free (x);
  return out;
}

static double
deviation_at_first (const double *g, guint n)
{
  double sum = 0;

  for (guint i = 0; i < n; i++)
    sum += g[i] * g[i];
  return sqrt (sum);
}

/* ---- making them ---- */

static void
find_worst (LwFitSenses *self, const LwFitModel *model, const LwFitCurves *at)
{
  g_autoptr (LwGauge) gauge = lw_gauge_new (model->of, NULL);
  double least = INFINITY;

  for (guint i = 0; i < gauge->rules->len; i++) {
    const LwGaugeRule *rule = &g_array_index (gauge->rules, LwGaugeRule, i);
    guint row = rule->body * LW_N_FIGURES + rule->figure;
    double value = at->figures[row], unit;
    if (isnan (value) || rule->soft)
      continue;
    unit = fmax (rule->unit, Z_BAND * deviation_at_first (gsl_matrix_const_ptr (self->figures, row, 0), self->n));
    double steps = (rule->upper ? rule->limit - value : value - rule->limit) / unit;
    if (steps < least) {
      least = steps;
      g_free (self->kind);
      g_free (self->ref);
      self->kind = g_strdup (rule->kind);
      self->ref = g_strdup (
          ((LwPart *) g_ptr_array_index (model->of->job->parts, model->of->body_of[rule->body].part))->ref);
      self->body = rule->body;
      self->figure = rule->figure;
      self->value = value;
      self->limit = rule->limit;
    }
  }
}

static void
add_candidates (LwFitSenses *self, const LwFitModel *model, const GArray *places, guint first, const LwFitCurves *at,
                LwFitCurves *const *slopes)
{
  for (guint i = first; i < places->len; i++) {
    const LwPlace *place = &g_array_index (places, LwPlace, i);
    Candidate *candidate;
    if (isnan (at->curves[(gsize) i * model->n_grid]))
      continue; /* off the board */
    candidate = g_new0 (Candidate, 1);
    candidate->couple = lw_place_couple (model->of, place);
    candidate->kind = place->kind;
    candidate->text = lw_place_text (model->of, place);
    candidate->information = information_of (model, at, slopes, i, is_on_target (model, &g_array_index (places, LwPlace, i)));
    g_ptr_array_add (self->candidates, candidate);
  }
}

static void
fill_figures (LwFitSenses *self, const LwFitModel *model, LwFitCurves *const *slopes)
{
  guint rows = MAX (model->n_bodies, 1) * LW_N_FIGURES;

  self->figures = gsl_matrix_calloc (rows, self->n);
  for (guint row = 0; row < rows; row++)
    for (guint f = 0; f < model->n_free; f++)
      for (guint b = 0; b <= f; b++)
        *gsl_matrix_ptr (self->figures, row, b) += gsl_matrix_get (model->mix, f, b) * slopes[f]->figures[row];
}

static LwFitSenses *
senses_from (const LwFitModel *model, const GArray *places, guint n_own, const LwFitCurves *at,
             LwFitCurves *const *slopes)
{
  LwFitSenses *self = g_new0 (LwFitSenses, 1);

  self->n = lw_fit_model_n (model);
  self->n_free = model->n_free;
  for (guint i = 0; i < model->n_free; i++)
    self->free_of[i] = model->free_of[i];
  self->mix = gsl_matrix_alloc (model->mix->size1, model->mix->size2);
  gsl_matrix_memcpy (self->mix, model->mix);
  self->candidates = g_ptr_array_new_with_free_func (candidate_free);
  self->there = g_ptr_array_new_with_free_func ((GDestroyNotify) lw_thermocouple_unref);
  for (guint i = 0; i < n_own; i++)
    g_ptr_array_add (self->there, lw_place_couple (model->of, &g_array_index (places, LwPlace, i)));
  self->precision = gsl_matrix_alloc (self->n, self->n);
  gsl_matrix_set_identity (self->precision);
  add_candidates (self, model, places, n_own, at, slopes);
  fill_figures (self, model, slopes);
  find_worst (self, model, at);
  return self;
}

GArray *
lw_fit_places (const LwFitModel *model, const LwFitRecord *runs, guint *n_own)
{
  GArray *out = g_array_new (FALSE, FALSE, sizeof (LwPlace));
  g_autoptr (GArray) candidates = lw_places_candidates (model->of);

  for (guint i = 0; i < model->n_runs; i++)
    for (guint k = 0; k < runs[i].n_channels; k++) {
      LwPlace place = lw_place_of (model->of, runs[i].couples[k]);
      g_array_append_val (out, place);
    }
  *n_own = out->len;
  g_array_append_vals (out, candidates->data, candidates->len);
  return out;
}

LwFitSenses *
lw_fit_senses_of (const LwFitSolution *at, const GArray *places, guint n_own)
{
  LwFitSenses *self = senses_from (at->model, places, n_own, at->at, at->slopes);

  gsl_blas_dgemm (CblasTrans, CblasNoTrans, 1, at->jacobian, at->jacobian, 1, self->precision);
  return self;
}

LwFitSenses *
lw_fit_senses_new (LwJob *job, guint plan, GCancellable *cancellable, LwPredictProgress progress, gpointer user,
                   GError **error)
{
  LwFitRecord run = { .job = job, .plan = plan };
  g_autoptr (LwFitModel) model = lw_fit_model_new (&run, 1, NULL, cancellable, progress, user, error);
  g_autoptr (GArray) places = NULL;
  g_autoptr (LwPlaceReader) reader = NULL;
  g_autoptr (LwFitCurves) at = NULL;
  LwFitCurves *slopes[LW_N_FIT] = { NULL };
  LwFitSenses *self = NULL;
  double z[LW_N_FIT] = { 0 };
  guint n_own;

  if (model == NULL)
    return NULL;
  run.couples = (LwThermocouple *const *) lw_case_plan (model->of)->thermocouples->pdata;
  run.n_channels = lw_case_plan (model->of)->thermocouples->len;
  places = lw_fit_places (model, &run, &n_own);
  reader = lw_place_reader_new (model->quick, (LwPlace *) (gpointer) places->data, places->len);
  at = lw_fit_curves_new (model, places->len, TRUE);
  if (!lw_fit_model_march (model, reader, z, 1, (LwFitCurves *[]){ at }, error)
      || !lw_fit_model_slopes (model, reader, z, at, slopes, error))
    return NULL;
  self = senses_from (model, places, n_own, at, slopes);
  for (guint i = 0; i < n_own; i++) /* as if they had been read */
    if (!isnan (at->curves[(gsize) i * model->n_grid])) {
      gsl_matrix *information = information_of (model, at, slopes, i, is_on_target (model, &g_array_index (places, LwPlace, i)));
      gsl_matrix_add (self->precision, information);
      gsl_matrix_free (information);
    }
  for (guint k = 0; k < model->n_free; k++)
    lw_fit_curves_free (slopes[k]);
  return self;
}

/* ---- asking them ---- */

static gboolean
too_near (const LwThermocouple *a, const LwThermocouple *b)
{
  gboolean bare = *a->ref == '\0' && *b->ref == '\0';

  return (a->side == b->side || bare) && hypot (a->x_mm - b->x_mm, a->y_mm - b->y_mm) < APART_MM;
}

/* Where nothing is named yet or measured. */
static gboolean
is_new (const LwFitSenses *self, const Candidate *candidate, const GPtrArray *named)
{
  for (guint i = 0; i < self->there->len; i++)
    if (too_near (candidate->couple, g_ptr_array_index (self->there, i)))
      return FALSE;
  for (guint i = 0; named != NULL && i < named->len; i++)
    if (too_near (candidate->couple, ((const Candidate *) g_ptr_array_index (named, i))->couple))
      return FALSE;
  return TRUE;
}

static gboolean
is_other_kind (const Candidate *candidate, const GPtrArray *named)
{
  for (guint i = 0; named != NULL && i < named->len; i++)
    if (((const Candidate *) g_ptr_array_index (named, i))->kind == candidate->kind)
      return FALSE;
  return TRUE;
}

/* The candidate that leaves least of what has gradient G, on top of PRECISION and beside those NAMED (may be NULL). */
static const Candidate *
best_for (const LwFitSenses *self, const gsl_matrix *precision, const double *g, const GPtrArray *named, double *left)
{
  const Candidate *best = NULL, *other = NULL;
  double least = deviation (precision, NULL, g), least_other = least;

  for (guint i = 0; i < self->candidates->len; i++) {
    const Candidate *candidate = g_ptr_array_index (self->candidates, i);
    double with = is_new (self, candidate, named) ? deviation (precision, candidate->information, g) : INFINITY;
    if (with < least) {
      least = with;
      best = candidate;
    }
    if (with < least_other && is_other_kind (candidate, named)) {
      least_other = with;
      other = candidate;
    }
  }
  if (other != NULL && least_other < OTHER_KIND * least) {
    best = other;
    least = least_other;
  }
  *left = least;
  return best;
}

static LwSuggestion *
suggestion_of (const Candidate *candidate, double half)
{
  LwSuggestion *out = g_new0 (LwSuggestion, 1);

  out->couple = lw_thermocouple_copy (candidate->couple);
  out->text = g_strdup (candidate->text);
  out->half = half;
  return out;
}

LwSuggestions *
lw_fit_suggest (const LwFitSenses *self, guint n)
{
  LwSuggestions *out;
  g_autoptr (GPtrArray) named = g_ptr_array_new ();
  gsl_matrix *precision;
  const double *g;
  double now;

  if (self->kind == NULL)
    return NULL;
  out = g_new0 (LwSuggestions, 1);
  out->kind = g_strdup (self->kind);
  out->ref = g_strdup (self->ref);
  out->body = self->body;
  out->figure = self->figure;
  out->value = self->value;
  out->limit = self->limit;
  out->next = g_ptr_array_new_with_free_func (suggestion_free);
  g = gsl_matrix_const_ptr (self->figures, self->body * LW_N_FIGURES + self->figure, 0);
  out->half_before = Z_BAND * deviation_at_first (g, self->n);
  now = deviation (self->precision, NULL, g);
  out->half_now = Z_BAND * now;
  precision = gsl_matrix_alloc (self->n, self->n);
  gsl_matrix_memcpy (precision, self->precision);
  for (guint i = 0; i < n; i++) {
    double left;
    const Candidate *best = best_for (self, precision, g, named, &left);
    if (best == NULL || left > WORTH * now)
      break;
    g_ptr_array_add (out->next, suggestion_of (best, Z_BAND * left));
    g_ptr_array_add (named, (gpointer) best);
    gsl_matrix_add (precision, best->information);
    now = left;
  }
  gsl_matrix_free (precision);
  return out;
}

void
lw_fit_senses_tell (const LwFitSenses *self, LwFitAnswer *fit)
{
  for (guint a = 0; a < self->n_free; a++) {
    LwFitted *figure = &fit->figures[self->free_of[a]];
    g_autofree double *g = g_new0 (double, self->n);
    double left, first, now;
    const Candidate *best;
    if (figure->verdict == LW_VERDICT_TOLD || figure->verdict == LW_VERDICT_GIVEN)
      continue;
    for (guint b = 0; b <= a; b++)
      g[b] = gsl_matrix_get (self->mix, a, b);
    first = deviation_at_first (g, self->n);
    now = deviation (self->precision, NULL, g);
    best = best_for (self, self->precision, g, NULL, &left);
    if (best != NULL && left < TELLS * first && left < TELLS_MORE * now)
      figure->teller = g_strdup (best->text);
  }
}
