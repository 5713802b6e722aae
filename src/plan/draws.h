/* Evenly spread draws of correlated standard normal numbers: a Sobol sequence (Bratley and Fox, from the GNU
 * Scientific Library) shifted by the random number generator's start, through the inverse of the normal distribution, mixed by the
 * Cholesky factor of the correlations. Row I depends on that start and I alone, so more draws add to fewer. */
#ifndef LW_DRAWS_H
#define LW_DRAWS_H

#include <glib.h>

G_BEGIN_DECLS

typedef struct {
  guint n, dims;
  double *z; /* [n * dims] */
} LwDraws;

/* CORRELATION of two dimensions, positive definite over all; NULL: none. 1 <= DIMS <= 40. */
LwDraws *lw_draws_new (guint n, guint dims, guint64 seed, double (*correlation) (guint a, guint b));
/* The same with a matrix TIES [dims * dims]. What is not positive definite by rounding is tied a little less. */
LwDraws *lw_draws_new_tied (guint n, guint dims, guint64 seed, const double *ties);
void lw_draws_free (LwDraws *self); /* NULL allowed */
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwDraws, lw_draws_free)

/* One row, dims numbers. */
const double *lw_draws_row (const LwDraws *self, guint i);

/* Calls JOB (USER, worker, i) for each i below N from several threads (0 = as many as there are processors,
 * at most 4); a worker's number is below lw_draws_threads (). Ends early when a call gives FALSE, and then
 * gives FALSE itself. What JOB writes for I must depend on I alone: then the result does not depend on the
 * number of threads. */
typedef gboolean (*LwDrawJob) (gpointer user, guint worker, guint i);
gboolean lw_draws_run (guint n, guint threads, LwDrawJob job, gpointer user);
guint lw_draws_threads (guint wanted);

/* The P quantile (0..1) of N values, straight between the two nearest (Hyndman and Fan, type 7); NaN among
 * them are left out, all NaN give NaN. V is put in another order. */
double lw_draws_quantile (double *v, guint n, double p);

G_END_DECLS

#endif
