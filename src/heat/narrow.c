#include "heat/narrow.h"

#include <math.h>
#include <string.h>

#include "heat/wide.h"

enum { LANES = 8, RUN = 256 };

/* Eight numbers at once: the compiler does not find this by itself in sums. */
typedef float Eight __attribute__ ((vector_size (LANES * sizeof (float))));

HEAT_WIDE double
heat_narrow_dot (const float *restrict a, const float *restrict b, size_t n)
{
  double sum = 0;
  for (size_t at = 0; at < n; at += RUN) {
    Eight s = { 0 }, x, y;
    size_t to = n - at < RUN ? n : at + RUN, i = at;
    for (; i + LANES <= to; i += LANES) {
      memcpy (&x, a + i, sizeof x);
      memcpy (&y, b + i, sizeof y);
      s += x * y;
    }
    for (; i < to; i++)
      s[0] += a[i] * b[i];
    sum += (double) ((s[0] + s[1]) + (s[2] + s[3])) + (double) ((s[4] + s[5]) + (s[6] + s[7]));
  }
  return sum;
}

HEAT_WIDE double
heat_narrow_largest (const float *a, size_t n)
{
  float s[LANES] = { 0 }, most = 0;
  size_t i = 0;
  for (; i + LANES <= n; i += LANES)
    for (size_t j = 0; j < LANES; j++) {
      float v = fabsf (a[i + j]);
      s[j] = v > s[j] ? v : s[j];
    }
  for (; i < n; i++)
    s[0] = fabsf (a[i]) > s[0] ? fabsf (a[i]) : s[0];
  for (size_t j = 0; j < LANES; j++)
    most = s[j] > most ? s[j] : most;
  return most;
}

HEAT_WIDE void
heat_narrow_add (float *restrict to, const float *restrict from, float scale, size_t n)
{
  for (size_t i = 0; i < n; i++)
    to[i] += scale * from[i];
}

HEAT_WIDE void
heat_add_narrow_all (double *restrict to, const float *restrict from, size_t apart, const double *scale, size_t many, size_t n)
{
  size_t k = 0;
  for (; k + 4 <= many; k += 4) {
    const float *restrict a = from + k * apart, *restrict b = a + apart, *restrict c = b + apart, *restrict d = c + apart;
    double s0 = scale[k], s1 = scale[k + 1], s2 = scale[k + 2], s3 = scale[k + 3];
    for (size_t i = 0; i < n; i++)
      to[i] += (s0 * a[i] + s1 * b[i]) + (s2 * c[i] + s3 * d[i]);
  }
  for (; k < many; k++)
    for (size_t i = 0; i < n; i++)
      to[i] += scale[k] * from[k * apart + i];
}

HEAT_WIDE void
heat_narrow_turn (float *restrict to, const float *restrict from, float scale, size_t n)
{
  for (size_t i = 0; i < n; i++)
    to[i] = from[i] + scale * to[i];
}
