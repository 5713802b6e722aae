/* Which thermocouple told a figure: the one without whose readings it would be least sure. */
#include <gsl/gsl_blas.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>

#include "plan/fit-inside.h"

/* I + J'J without the rows of LEFT_OUT, as its Cholesky factor; NULL when it has none. */
static gsl_matrix *
precision_without (const LwFitSolution *at, const LwFitSeries *left_out)
{
  size_t n = at->jacobian->size2;
  gsl_matrix *out = gsl_matrix_alloc (n, n);
  gsl_matrix_const_view rows = gsl_matrix_const_submatrix (at->jacobian, left_out->first, 0, left_out->n, n);

  gsl_matrix_set_identity (out);
  gsl_blas_dgemm (CblasTrans, CblasNoTrans, 1, at->jacobian, at->jacobian, 1, out);
  gsl_blas_dgemm (CblasTrans, CblasNoTrans, -1, &rows.matrix, &rows.matrix, 1, out);
  if (gsl_linalg_cholesky_decomp1 (out) == GSL_SUCCESS)
    return out;
  gsl_matrix_free (out);
  return NULL;
}

/* Variance of the free figure A's Z. */
static double
variance (const LwFitModel *model, const gsl_matrix *precision, guint a)
{
  gsl_vector *g = gsl_vector_calloc (precision->size1), *x = gsl_vector_alloc (precision->size1);
  double out;

  for (guint b = 0; b <= a; b++)
    gsl_vector_set (g, b, gsl_matrix_get (model->mix, a, b));
  gsl_linalg_cholesky_solve (precision, g, x);
  gsl_blas_ddot (g, x, &out);
  gsl_vector_free (g);
  gsl_vector_free (x);
  return out;
}

void
lw_fit_tellers (const LwFitSolution *at, LwFitAnswer *fit)
{
  double most[LW_N_FIT] = { 0 };

  for (guint i = 0; i < at->data->series->len; i++) {
    gsl_matrix *precision = precision_without (at, g_ptr_array_index (at->data->series, i));
    for (guint a = 0; precision != NULL && a < at->model->n_free; a++) {
      LwFitted *figure = &fit->figures[at->model->free_of[a]];
      double left = variance (at->model, precision, a);
      if ((figure->verdict != LW_VERDICT_TOLD && figure->verdict != LW_VERDICT_TIED) || !(left > most[a]))
        continue;
      most[a] = left;
      figure->told_by = (int) i;
    }
    if (precision != NULL)
      gsl_matrix_free (precision);
  }
}
