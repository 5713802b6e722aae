#include "heat/band.h"

#include <math.h>

#include "heat/wide.h"

bool
heat_band_new (HeatArena *arena, size_t n, size_t width, HeatBand *band)
{
  band->n = n;
  band->width = width;
  band->rows = HEAT_TAKE (arena, double, n *(width + 1));
  band->first = HEAT_TAKE (arena, size_t, n);
  for (size_t i = 0; band->first && i < n; i++)
    band->first[i] = i > width ? i - width : 0;
  return band->rows && band->first;
}

/* Sum of products in four fixed partial sums. */
static inline double
dot (const double *a, const double *b, size_t n)
{
  double s0 = 0, s1 = 0, s2 = 0, s3 = 0;
  size_t i = 0;
  for (; i + 4 <= n; i += 4) {
    s0 += a[i] * b[i];
    s1 += a[i + 1] * b[i + 1];
    s2 += a[i + 2] * b[i + 2];
    s3 += a[i + 3] * b[i + 3];
  }
  for (; i < n; i++)
    s0 += a[i] * b[i];
  return (s0 + s1) + (s2 + s3);
}

HEAT_WIDE bool
heat_band_factor (HeatBand *band)
{
  size_t w = band->width;
  for (size_t i = 0; i < band->n; i++) {
    size_t first = band->first[i];
    double *row = &band->rows[i * (w + 1)];
    for (size_t j = first; j <= i; j++) {
      size_t from = band->first[j] > first ? band->first[j] : first;
      const double *other = &band->rows[j * (w + 1)];
      double sum = row[w - (i - j)] - dot (row + w - (i - from), other + w - (j - from), j - from);
      if (j < i)
        row[w - (i - j)] = sum / other[w];
      else if (sum > 0)
        row[w] = sqrt (sum);
      else
        return false;
    }
  }
  return true;
}

HEAT_WIDE void
heat_band_solve (const HeatBand *band, double *x)
{
  size_t w = band->width;
  for (size_t i = 0; i < band->n; i++) {
    size_t first = band->first[i];
    const double *row = &band->rows[i * (w + 1)];
    x[i] = (x[i] - dot (row + w - (i - first), x + first, i - first)) / row[w];
  }
  for (size_t i = band->n; i-- > 0;) {
    size_t first = band->first[i];
    const double *row = &band->rows[i * (w + 1)];
    x[i] /= row[w];
    for (size_t j = first; j < i; j++)
      x[j] -= row[w - (i - j)] * x[i];
  }
}
