#include "heat/dense.h"

#include <math.h>

#include "heat/vector.h"

bool
heat_dense_factor (double *a, size_t n)
{
  for (size_t i = 0; i < n; i++) {
    double *ri = a + i * n;
    for (size_t j = 0; j < i; j++) {
      const double *rj = a + j * n;
      ri[j] = (ri[j] - heat_dot (ri, rj, j)) / rj[j];
    }
    double pivot = ri[i] - heat_dot (ri, ri, i);
    if (!(pivot > 0))
      return false;
    ri[i] = sqrt (pivot);
  }
  return true;
}

void
heat_dense_solve (const double *l, size_t n, double *x)
{
  for (size_t i = 0; i < n; i++)
    x[i] = (x[i] - heat_dot (l + i * n, x, i)) / l[i * n + i];
  for (size_t i = n; i-- > 0;) {
    const double *row = l + i * n;
    double v = x[i] /= row[i];
    for (size_t j = 0; j < i; j++)
      x[j] -= row[j] * v;
  }
}

void
heat_dense_apply (const double *a, size_t n, const double *x, double *y)
{
  for (size_t i = 0; i < n; i++)
    y[i] = heat_dot (a + i * n, x, n);
}

/* The column, of those not taken, with most of its diagonal left. */
static size_t
next_pivot (const double *a, const double *first, size_t n, const uint32_t *order, size_t taken)
{
  size_t best = taken;
  double most = 0;
  for (size_t i = taken; i < n; i++) {
    size_t c = order[i];
    double left = first[c] > 0 ? a[c * n + c] / first[c] : 0;
    if (left > most) {
      most = left;
      best = i;
    }
  }
  return best;
}

size_t
heat_dense_pivoted (double *a, size_t n, double part, uint32_t *order, double *l)
{
  double *first = l + n * n; /* the diagonal as given */
  for (size_t i = 0; i < n; i++) {
    order[i] = (uint32_t) i;
    first[i] = a[i * n + i];
  }
  for (size_t k = 0; k < n; k++) {
    size_t at = next_pivot (a, first, n, order, k), c = order[at];
    if (!(a[c * n + c] > part * first[c]))
      return k;
    for (size_t i = at; i > k; i--) /* keeps the others in their order */
      order[i] = order[i - 1];
    order[k] = (uint32_t) c;
    double pivot = sqrt (a[c * n + c]);
    for (size_t i = 0; i < n; i++)
      l[i * n + k] = a[i * n + c] / pivot;
    for (size_t i = 0; i < n; i++)
      for (size_t j = 0; j < n; j++)
        a[i * n + j] -= l[i * n + k] * l[j * n + k];
  }
  return n;
}
