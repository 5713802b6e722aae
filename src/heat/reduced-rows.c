#include "heat/reduced-rows.h"

#include <string.h>

#include "heat/reduced-internal.h"
#include "heat/wide.h"

typedef float Eight __attribute__ ((vector_size (8 * sizeof (float))));
enum { LANES = 8, STRIDE_MAX = HEAT_VECTORS_MAX + LANES, BATCH = 32 };

HEAT_INLINE double
add_up (const Eight *v)
{
  return (double) (((*v)[0] + (*v)[4]) + ((*v)[1] + (*v)[5]))
         + (double) (((*v)[2] + (*v)[6]) + ((*v)[3] + (*v)[7]));
}

HEAT_INLINE void
load (Eight *to, const float *from)
{
  memcpy (to, from, sizeof *to);
}

HEAT_INLINE double
read_row (const float *row, const float *narrow, size_t stride)
{
  Eight even = { 0 }, odd = { 0 }, a, b;
  size_t k = 0;
  for (; k + 2 * LANES <= stride; k += 2 * LANES) {
    load (&a, row + k);
    load (&b, narrow + k);
    even += a * b;
    load (&a, row + k + LANES);
    load (&b, narrow + k + LANES);
    odd += a * b;
  }
  if (k < stride) {
    load (&a, row + k);
    load (&b, narrow + k);
    even += a * b;
  }
  even += odd;
  return add_up (&even);
}

HEAT_WIDE void
heat_rows_read (const float *rows, size_t n, size_t stride, const double *x, double *out)
{
  float narrow[STRIDE_MAX];
  for (size_t k = 0; k < stride; k++)
    narrow[k] = (float) x[k];
  for (size_t i = 0; i < n; i++)
    out[i] = read_row (rows + i * stride, narrow, stride);
}

/* Each row is fetched once. */
HEAT_WIDE void
heat_rows_read_some (const float *rows, size_t n, size_t stride, const double *x, size_t n_x, double *out)
{
  float narrow[HEAT_ROWS_SOME * STRIDE_MAX];
  for (size_t k = 0; k < n_x * stride; k++)
    narrow[k] = (float) x[k];
  for (size_t i = 0; i < n; i++)
    for (size_t j = 0; j < n_x; j++)
      out[j * n + i] = read_row (rows + i * stride, narrow + j * stride, stride);
}

/* Sums a few rows in single precision, then adds them up in double. */
HEAT_WIDE void
heat_rows_add (const float *rows, size_t n, size_t stride, const double *scale, double *force)
{
  float sum[STRIDE_MAX];
  for (size_t from = 0; from < n; from += BATCH) {
    size_t to = from + BATCH < n ? from + BATCH : n;
    for (size_t k = 0; k < stride; k++)
      sum[k] = 0;
    for (size_t i = from; i < to; i++) {
      const float *restrict row = rows + i * stride;
      float s = (float) scale[i];
      for (size_t k = 0; s != 0 && k < stride; k++)
        sum[k] += s * row[k];
    }
    for (size_t k = 0; k < stride; k++)
      force[k] += sum[k];
  }
}
