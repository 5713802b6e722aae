/* Levenberg and Marquardt's method over the marches of the reduced model. */
#include <glib/gi18n.h>
#include <gsl/gsl_blas.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <gsl/gsl_multifit_nlinear.h>
#include <math.h>

#include "plan/fit-inside.h"

/* Slopes are taken anew after a few steps. */
#define STEPS_A_ROUND 4
#define ROUNDS_MOST 12
/* Convergence: the gradient against the sum of squares, and the step (see gsl_multifit_nlinear_test); and by fresh
 * slopes chi-square may fall by no more than this: what is left is a fraction of the deviations. Where the marches' own
 * steps make the valley rough, so that nothing lower is found though the slopes promise it, a little more is borne. */
#define GRADIENT 1e-4
#define STEP 1e-3
#define OUT_OF_REACH 1e4
#define FALL 0.3
#define FALL_ROUGH 3.0

/* ---- what GSL asks for ---- */

static const double *
late_of (const LwFitSolution *self, const double *u, double *late_s)
{
  for (guint i = 0; i < self->model->n_runs; i++)
    late_s[i] = u[self->model->n_free + i] * LW_FIT_LATE_S;
  return late_s;
}

/* Curves at U, unless they are there. */
static gboolean
march_to (LwFitSolution *self, const double *u)
{
  guint n = lw_fit_model_n (self->model);
  double z[LW_N_FIT];
  gboolean same = self->at_u != NULL;

  for (guint i = 0; same && i < self->model->n_free; i++)
    same = self->at_u[i] == u[i];
  if (same)
    return TRUE;
  if (self->at_u == NULL)
    self->at_u = g_new (double, n);
  lw_fit_model_z (self->model, u, z);
  if (!lw_fit_model_march (self->model, self->reader, z, 1, &self->at, &self->error)) {
    g_clear_pointer (&self->at_u, g_free);
    return FALSE;
  }
  for (guint i = 0; i < n; i++)
    self->at_u[i] = u[i];
  return TRUE;
}

static int
residuals (const gsl_vector *u, void *user, gsl_vector *f)
{
  LwFitSolution *self = user;
  g_autofree double *late = g_new (double, self->model->n_runs);

  if (!march_to (self, u->data)) {
    if (!g_error_matches (self->error, LW_PREDICT_ERROR, LW_PREDICT_ERROR_SOLVER) || self->slopes_u == NULL)
      return GSL_EFAILED;
    g_clear_error (&self->error); /* figures too far out to be marched: no step goes there */
    gsl_vector_set_all (f, OUT_OF_REACH);
    return GSL_SUCCESS;
  }
  lw_fit_rows (self->model, self->data, self->at, &self->guess, late_of (self, u->data, late), TRUE, f->data);
  for (size_t i = 0; i < u->size; i++)
    f->data[self->data->n + i] = u->data[i];
  return GSL_SUCCESS;
}

static gboolean
take_slopes (LwFitSolution *self, const double *u)
{
  double z[LW_N_FIT];
  gboolean same = self->slopes_u != NULL;

  for (guint i = 0; same && i < self->model->n_free; i++)
    same = u[i] == self->slopes_u[i];
  if (same)
    return TRUE;
  if (!march_to (self, u))
    return FALSE;
  lw_fit_model_z (self->model, u, z);
  for (guint k = 0; k < self->model->n_free; k++)
    g_clear_pointer (&self->slopes[k], lw_fit_curves_free);
  g_clear_pointer (&self->slopes_u, g_free);
  if (!lw_fit_model_slopes (self->model, self->reader, z, self->at, self->slopes, &self->error))
    return FALSE;
  self->slopes_u = g_memdup2 (u, lw_fit_model_n (self->model) * sizeof *u);
  if (self->progress != NULL)
    self->progress (fmin (0.9, 0.3 + 0.1 * self->n_steps), self->user);
  return TRUE;
}

static void
set_column (gsl_matrix *j, guint column, const double *v, double scale, gboolean add)
{
  for (guint i = 0; i < j->size1; i++)
    *gsl_matrix_ptr (j, i, column) = (add ? gsl_matrix_get (j, i, column) : 0) + scale * v[i];
}

void
lw_fit_jacobian (const LwFitSolution *self, const double *u, const LwFitGuess *guess, gsl_matrix *j)
{
  const LwFitModel *model = self->model;
  g_autofree double *v = g_new (double, MAX (self->data->n, 1));
  g_autofree double *late = g_new (double, model->n_runs);

  late_of (self, u, late);
  gsl_matrix_set_zero (j);
  for (guint a = 0; a < model->n_free; a++) {
    lw_fit_rows (model, self->data, self->slopes[a], guess, late, FALSE, v);
    for (guint b = 0; b <= a; b++)
      set_column (j, b, v, gsl_matrix_get (model->mix, a, b), TRUE);
  }
  for (guint i = 0; i < model->n_runs; i++) {
    lw_fit_late_rows (model, self->data, self->at, guess, late, i, v);
    set_column (j, model->n_free + i, v, LW_FIT_LATE_S, FALSE);
  }
}

static int
slopes (const gsl_vector *u, void *user, gsl_matrix *j)
{
  LwFitSolution *self = user;
  gsl_matrix_view data = gsl_matrix_submatrix (j, 0, 0, self->data->n, u->size);
  gsl_matrix_view before = gsl_matrix_submatrix (j, self->data->n, 0, u->size, u->size);

  if (self->slopes_u == NULL && !take_slopes (self, u->data))
    return GSL_EFAILED;
  lw_fit_jacobian (self, u->data, &self->guess, &data.matrix);
  gsl_matrix_set_identity (&before.matrix);
  return GSL_SUCCESS;
}

/* ---- the way there ---- */

static gboolean
fail (LwFitSolution *self, const char *why, GError **error)
{
  if (g_error_matches (self->error, LW_PREDICT_ERROR, LW_PREDICT_ERROR_SOLVER)) {
    g_set_error (error, LW_FIT_ERROR, LW_FIT_ERROR_DIVERGED,
                 _("The fit runs to figures that cannot be computed (%s); nothing was changed. Check the thermocouples’ names "
                   "and the clock."),
                 self->error->message);
    g_clear_error (&self->error);
  } else if (self->error != NULL)
    g_propagate_error (error, g_steal_pointer (&self->error));
  else
    g_set_error (error, LW_FIT_ERROR, LW_FIT_ERROR_DIVERGED,
                 _("The fit does not settle (%s after %u steps); nothing was changed."), why, self->n_steps);
  return FALSE;
}

/* Some steps, with slopes that are kept for a while. */
static gboolean
iterate (LwFitSolution *self, gsl_multifit_nlinear_workspace *work, GError **error)
{
  int why = 0;

  for (guint i = 0; i < STEPS_A_ROUND; i++, self->n_steps++) {
    int status = gsl_multifit_nlinear_iterate (work);
    if (status == GSL_ENOPROG) { /* nothing lower within reach of these slopes */
      self->n_steps++;
      return TRUE;
    }
    if (status != GSL_SUCCESS)
      return fail (self, gsl_strerror (status), error);
    if (gsl_multifit_nlinear_test (STEP, GRADIENT, 0, &why, work) == GSL_SUCCESS) {
      self->n_steps++;
      return TRUE;
    }
  }
  return TRUE;
}

/* Slopes, deviations and sum of squares at U. */
static gboolean
settle (LwFitSolution *self, GError **error)
{
  guint n = lw_fit_model_n (self->model), rows = self->data->n;
  gsl_vector_const_view u = gsl_vector_const_view_array (self->u, n);
  gsl_vector *f = gsl_vector_alloc (rows + n);
  gsl_matrix *whole = gsl_matrix_calloc (rows + n, n);
  gsl_matrix_view data = gsl_matrix_submatrix (whole, 0, 0, rows, n), before = gsl_matrix_submatrix (whole, rows, 0, n, n);
  gboolean ok = take_slopes (self, self->u) && residuals (&u.vector, self, f) == GSL_SUCCESS;

  if (ok) {
    gsl_blas_ddot (f, f, &self->chi2);
    lw_fit_jacobian (self, self->u, &self->guess, &data.matrix);
    gsl_matrix_set_identity (&before.matrix);
    gsl_matrix_memcpy (self->jacobian, &data.matrix);
    ok = gsl_multifit_nlinear_covar (whole, 0, self->covariance) == GSL_SUCCESS && isfinite (self->chi2);
    self->fall = self->chi2 - lw_fit_linear (self->jacobian, f->data, self->u);
  }
  gsl_vector_free (f);
  gsl_matrix_free (whole);
  return ok || fail (self, _("no finite deviations"), error);
}

static gboolean
round_from (LwFitSolution *self, gsl_multifit_nlinear_workspace *work, gsl_multifit_nlinear_fdf *problem, GError **error)
{
  gsl_vector_const_view from = gsl_vector_const_view_array (self->u, problem->p);
  int status = gsl_multifit_nlinear_init (&from.vector, problem, work);

  if (status != GSL_SUCCESS)
    return fail (self, gsl_strerror (status), error);
  if (!iterate (self, work, error))
    return FALSE;
  for (size_t i = 0; i < problem->p; i++)
    self->u[i] = gsl_vector_get (gsl_multifit_nlinear_position (work), i);
  return settle (self, error);
}

static void
make_room (LwFitSolution *self, const double *start)
{
  guint n = lw_fit_model_n (self->model);

  self->at = lw_fit_curves_new (self->model, self->n_places, TRUE);
  self->slopes = g_new0 (LwFitCurves *, MAX (self->model->n_free, 1));
  self->u = start != NULL ? g_memdup2 (start, n * sizeof *start) : g_new0 (double, n);
  self->jacobian = gsl_matrix_alloc (self->data->n, n);
  self->covariance = gsl_matrix_alloc (n, n);
}

gboolean
lw_fit_begin (LwFitSolution *self, GError **error)
{
  make_room (self, NULL);
  if (take_slopes (self, self->u))
    return TRUE;
  g_propagate_error (error, g_steal_pointer (&self->error));
  return FALSE;
}

gboolean
lw_fit_solve (LwFitSolution *self, const double *start, GError **error)
{
  guint n = lw_fit_model_n (self->model), most = self->most_rounds > 0 ? self->most_rounds : ROUNDS_MOST;
  gsl_multifit_nlinear_parameters how = gsl_multifit_nlinear_default_parameters ();
  gsl_multifit_nlinear_fdf problem = { residuals, slopes, NULL, self->data->n + n, n, self, 0, 0, 0 };
  gsl_multifit_nlinear_workspace *work = gsl_multifit_nlinear_alloc (gsl_multifit_nlinear_trust, &how, problem.n, n);
  double before = INFINITY;
  gboolean ok = TRUE, rests = FALSE;

  make_room (self, start);
  for (guint round = 0; ok && !rests && round < most; round++) {
    ok = round_from (self, work, &problem, error);
    rests = ok && (self->fall < FALL || (self->fall < FALL_ROUGH && self->chi2 > before - FALL));
    before = self->chi2;
  }
  gsl_multifit_nlinear_free (work);
  return ok && (rests || fail (self, _("still moving"), error));
}

void
lw_fit_solution_clear (LwFitSolution *self)
{
  for (guint k = 0; self->slopes != NULL && k < self->model->n_free; k++)
    lw_fit_curves_free (self->slopes[k]);
  g_clear_pointer (&self->slopes, g_free);
  g_clear_pointer (&self->at, lw_fit_curves_free);
  g_clear_pointer (&self->u, g_free);
  g_clear_pointer (&self->at_u, g_free);
  g_clear_pointer (&self->slopes_u, g_free);
  g_clear_pointer (&self->jacobian, gsl_matrix_free);
  g_clear_pointer (&self->covariance, gsl_matrix_free);
  g_clear_error (&self->error);
}

/* ---- linear ---- */

double
lw_fit_linear (const gsl_matrix *j, const double *r, const double *u)
{
  size_t n = j->size2;
  gsl_matrix *normal = gsl_matrix_alloc (n, n);
  gsl_vector *g = gsl_vector_alloc (n), *step = gsl_vector_alloc (n);
  gsl_vector_const_view rv = gsl_vector_const_view_array (r, j->size1);
  double sum, out = NAN;

  gsl_matrix_set_identity (normal);
  gsl_blas_dsyrk (CblasLower, CblasTrans, 1, j, 1, normal);
  gsl_blas_dgemv (CblasTrans, 1, j, &rv.vector, 0, g);
  gsl_blas_ddot (&rv.vector, &rv.vector, &sum);
  for (size_t i = 0; i < n; i++) {
    *gsl_vector_ptr (g, i) += u[i];
    sum += u[i] * u[i];
  }
  if (gsl_linalg_cholesky_decomp1 (normal) == GSL_SUCCESS && gsl_linalg_cholesky_solve (normal, g, step) == GSL_SUCCESS) {
    double gain;
    gsl_blas_ddot (g, step, &gain);
    out = sum - gain;
  }
  gsl_matrix_free (normal);
  gsl_vector_free (g);
  gsl_vector_free (step);
  return out;
}
