#include "plan/draws.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <gsl/gsl_qrng.h>
#include <gsl/gsl_rng.h>
#include <gsl/gsl_statistics.h>
#include <math.h>

#include "plan/quiet.h"

#define THREADS_MAX 4

/* ---- the sequence ---- */

/* One shift of each dimension (Cranley and Patterson, 1976): keeps the evenness, and no draw sits on 0. */
static double *
shifts_of (guint dims, guint64 seed)
{
  double *shift = g_new (double, dims);
  gsl_rng *rng = gsl_rng_alloc (gsl_rng_mt19937);

  gsl_rng_set (rng, (gulong) (seed ^ (seed >> 32)));
  for (guint k = 0; k < dims; k++)
    shift[k] = gsl_rng_uniform_pos (rng);
  gsl_rng_free (rng);
  return shift;
}

static void
fill_normal (LwDraws *self, guint64 seed)
{
  g_autofree double *shift = shifts_of (self->dims, seed);
  gsl_qrng *sobol = gsl_qrng_alloc (gsl_qrng_sobol, self->dims);

  for (guint i = 0; i < self->n; i++) {
    double *row = self->z + (gsize) i * self->dims;
    gsl_qrng_get (sobol, row);
    for (guint k = 0; k < self->dims; k++) {
      double u = row[k] + shift[k];
      u -= floor (u);
      row[k] = gsl_cdf_ugaussian_Pinv (CLAMP (u, 1e-9, 1 - 1e-9));
    }
  }
  gsl_qrng_free (sobol);
}

/* Cholesky's factor of TIES, or of the nearest to it that has one. */
static gsl_matrix *
factor_of (const double *ties, guint d)
{
  gsl_matrix *l = gsl_matrix_alloc (d, d);

  lw_quiet_gsl ();
  for (double keep = 1; keep > 0; keep -= 1.0 / 64) {
    for (guint a = 0; a < d; a++)
      for (guint b = 0; b < d; b++)
        gsl_matrix_set (l, a, b, a == b ? 1 : keep * ties[a * d + b]);
    if (gsl_linalg_cholesky_decomp1 (l) == GSL_SUCCESS)
      break;
    gsl_matrix_set_identity (l);
  }
  return l;
}

static void
mix (LwDraws *self, const double *ties)
{
  guint d = self->dims;
  gsl_matrix *l = factor_of (ties, d);

  for (guint i = 0; i < self->n; i++) {
    double *row = self->z + (gsize) i * d;
    for (guint a = d; a-- > 0;) { /* from the last: each needs only those before it */
      double sum = 0;
      for (guint b = 0; b <= a; b++)
        sum += gsl_matrix_get (l, a, b) * row[b];
      row[a] = sum;
    }
  }
  gsl_matrix_free (l);
}

LwDraws *
lw_draws_new_tied (guint n, guint dims, guint64 seed, const double *ties)
{
  LwDraws *self = g_new0 (LwDraws, 1);

  g_assert (dims >= 1 && dims <= 40);
  self->n = n;
  self->dims = dims;
  self->z = g_new0 (double, MAX ((gsize) n * dims, 1));
  fill_normal (self, seed);
  if (ties != NULL)
    mix (self, ties);
  return self;
}

LwDraws *
lw_draws_new (guint n, guint dims, guint64 seed, double (*correlation) (guint a, guint b))
{
  g_autofree double *ties = correlation != NULL ? g_new (double, dims * dims) : NULL;

  for (guint i = 0; ties != NULL && i < dims * dims; i++)
    ties[i] = correlation (i / dims, i % dims);
  return lw_draws_new_tied (n, dims, seed, ties);
}

void
lw_draws_free (LwDraws *self)
{
  if (self == NULL)
    return;
  g_free (self->z);
  g_free (self);
}

const double *
lw_draws_row (const LwDraws *self, guint i)
{
  return self->z + (gsize) i * self->dims;
}

/* ---- many at a time ---- */

typedef struct {
  guint n;
  LwDrawJob job;
  gpointer user;
  gint next, failed;
} Work;

typedef struct {
  Work *work;
  guint worker;
} Worker;

static gpointer
work_on (gpointer data)
{
  Worker *self = data;
  Work *work = self->work;
  gint i;

  while (!g_atomic_int_get (&work->failed) && (i = g_atomic_int_add (&work->next, 1)) < (gint) work->n)
    if (!work->job (work->user, self->worker, (guint) i))
      g_atomic_int_set (&work->failed, 1);
  return NULL;
}

guint
lw_draws_threads (guint wanted)
{
  return wanted > 0 ? MIN (wanted, THREADS_MAX) : CLAMP (g_get_num_processors (), 1, THREADS_MAX);
}

gboolean
lw_draws_run (guint n, guint threads, LwDrawJob job, gpointer user)
{
  Work work = { n, job, user, 0, 0 };
  Worker workers[THREADS_MAX];
  GThread *thread[THREADS_MAX] = { NULL };
  guint count = lw_draws_threads (threads);

  for (guint i = 0; i < count; i++)
    workers[i] = (Worker){ &work, i };
  for (guint i = 1; i < count; i++)
    thread[i] = g_thread_new ("draws", work_on, &workers[i]);
  work_on (&workers[0]);
  for (guint i = 1; i < count; i++)
    g_thread_join (thread[i]);
  return !work.failed;
}

/* ---- quantiles ---- */

double
lw_draws_quantile (double *v, guint n, double p)
{
  guint known = 0, k;
  double at, low, high = INFINITY;

  for (guint i = 0; i < n; i++)
    if (!isnan (v[i]))
      v[known++] = v[i];
  if (known == 0)
    return NAN;
  at = CLAMP (p, 0, 1) * (known - 1);
  k = (guint) at;
  low = gsl_stats_select (v, 1, known, k); /* leaves the larger ones behind it */
  for (guint i = k + 1; i < known; i++)
    high = fmin (high, v[i]);
  return k + 1 < known ? low + (at - k) * (high - low) : low;
}
