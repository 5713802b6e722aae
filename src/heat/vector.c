#include "heat/vector.h"

#include <math.h>

#include "heat/wide.h"

enum { LANES = 8 };

HEAT_INLINE double
sum_lanes (const double s[LANES])
{
  return ((s[0] + s[1]) + (s[2] + s[3])) + ((s[4] + s[5]) + (s[6] + s[7]));
}

HEAT_INLINE double
max_lanes (const double s[LANES])
{
  double most = s[0];
  for (size_t j = 1; j < LANES; j++)
    most = s[j] > most ? s[j] : most;
  return most;
}

HEAT_WIDE double
heat_dot (const double *restrict a, const double *restrict b, size_t n)
{
  double s[LANES] = { 0 };
  size_t i = 0;
  for (; i + LANES <= n; i += LANES)
    for (size_t j = 0; j < LANES; j++)
      s[j] += a[i + j] * b[i + j];
  for (; i < n; i++)
    s[0] += a[i] * b[i];
  return sum_lanes (s);
}

HEAT_WIDE double
heat_largest (const double *a, size_t n)
{
  double s[LANES] = { 0 };
  size_t i = 0;
  for (; i + LANES <= n; i += LANES)
    for (size_t j = 0; j < LANES; j++) {
      double v = fabs (a[i + j]);
      s[j] = v > s[j] ? v : s[j];
    }
  for (; i < n; i++)
    s[0] = fabs (a[i]) > s[0] ? fabs (a[i]) : s[0];
  return max_lanes (s);
}

HEAT_WIDE double
heat_largest_gap (const double *restrict a, const double *restrict b, size_t n)
{
  double s[LANES] = { 0 };
  size_t i = 0;
  for (; i + LANES <= n; i += LANES)
    for (size_t j = 0; j < LANES; j++) {
      double v = fabs (a[i + j] - b[i + j]);
      s[j] = v > s[j] ? v : s[j];
    }
  for (; i < n; i++)
    s[0] = fabs (a[i] - b[i]) > s[0] ? fabs (a[i] - b[i]) : s[0];
  return max_lanes (s);
}

/* 0 x finite is 0, 0 x anything else is NaN and stays in the sum. */
HEAT_WIDE double
heat_largest_ratio (const double *restrict a, const double *restrict b, size_t n)
{
  double s[LANES] = { 0 }, bad[LANES] = { 0 };
  size_t i = 0;
  for (; i + LANES <= n; i += LANES)
    for (size_t j = 0; j < LANES; j++) {
      double v = b[i + j] > 0 ? fabs (a[i + j]) / b[i + j] : 0;
      bad[j] += 0 * a[i + j];
      s[j] = v > s[j] ? v : s[j];
    }
  for (; i < n; i++) {
    double v = b[i] > 0 ? fabs (a[i]) / b[i] : 0;
    bad[0] += 0 * a[i];
    s[0] = v > s[0] ? v : s[0];
  }
  return isnan (sum_lanes (bad)) ? INFINITY : max_lanes (s);
}

HEAT_WIDE void
heat_add_scaled (double *restrict to, const double *restrict from, double scale, size_t n)
{
  for (size_t i = 0; i < n; i++)
    to[i] += scale * from[i];
}
