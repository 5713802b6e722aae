/* Products of tall matrices in single precision, vectors stored one after the other: over a run of nodes that
 * stays in the second-level cache, short sums in single precision, which are added up in double. */
#include "heat/reduced-cross.h"

#include <string.h>

#include "heat/wide.h"

enum { RUN = HEAT_CROSS_RUN, ROWS = 2, COLUMNS = 4, LANES = 8, TAKEN = 4 };

/* Eight numbers at once: the compiler does not find this by itself in a tile of sums. */
typedef float Eight __attribute__ ((vector_size (8 * sizeof (float))));

#define LOAD(to, from) memcpy (&(to), (from), sizeof (Eight))

HEAT_INLINE double
add_up (const Eight *v)
{
  return (double) (((*v)[0] + (*v)[4]) + ((*v)[1] + (*v)[5]))
         + (double) (((*v)[2] + (*v)[6]) + ((*v)[3] + (*v)[7]));
}

/* ROWS by COLUMNS dot products over RUN nodes; the order of sums is fixed. */
HEAT_INLINE void
dot_tile (const float *a0, const float *a1, const float *const b[COLUMNS], double out[ROWS][COLUMNS])
{
  Eight s00 = { 0 }, s01 = { 0 }, s02 = { 0 }, s03 = { 0 }, s10 = { 0 }, s11 = { 0 }, s12 = { 0 }, s13 = { 0 };
  for (size_t k = 0; k < RUN; k += LANES) {
    Eight x, y, v;
    LOAD (x, a0 + k);
    LOAD (y, a1 + k);
    LOAD (v, b[0] + k);
    s00 += x * v;
    s10 += y * v;
    LOAD (v, b[1] + k);
    s01 += x * v;
    s11 += y * v;
    LOAD (v, b[2] + k);
    s02 += x * v;
    s12 += y * v;
    LOAD (v, b[3] + k);
    s03 += x * v;
    s13 += y * v;
  }
  const Eight *all[ROWS][COLUMNS] = { { &s00, &s01, &s02, &s03 }, { &s10, &s11, &s12, &s13 } };
  for (size_t i = 0; i < ROWS; i++)
    for (size_t j = 0; j < COLUMNS; j++)
      out[i][j] = add_up (all[i][j]);
}

/* Rows I and I + 1, weighed, against the first RB vectors at B, RUN nodes of each. */
HEAT_INLINE void
cross_rows (const float *rows, size_t i, size_t ra, const float *b, size_t rb, size_t step, double *out, size_t stride)
{
  const float *columns[COLUMNS];
  double tile[ROWS][COLUMNS];
  for (size_t j = 0; j < rb; j += COLUMNS) {
    for (size_t k = 0; k < COLUMNS; k++)
      columns[k] = b + (j + k < rb ? j + k : rb - 1) * step;
    dot_tile (rows, rows + RUN, columns, tile);
    for (size_t p = 0; p < ROWS && i + p < ra; p++)
      for (size_t q = 0; q < COLUMNS && j + q < rb; q++)
        out[(i + p) * stride + j + q] += tile[p][q];
  }
}

HEAT_INLINE bool
any (const float *v, size_t n)
{
  for (size_t i = 0; i < n; i++)
    if (v[i] != 0)
      return true;
  return false;
}

/* A run that is shorter than RUN, padded with zeros, of COUNT vectors. */
HEAT_INLINE void
pad (float *to, const float *from, size_t count, size_t n, size_t m)
{
  for (size_t i = 0; i < count; i++) {
    memcpy (to + i * RUN, from + i * n, m * sizeof (float));
    memset (to + i * RUN + m, 0, (RUN - m) * sizeof (float));
  }
}

/* One run of nodes: A and B at STEP from vector to vector. */
HEAT_INLINE void
cross_run (const HeatCross *c, const float *a, size_t step_a, const float *b, size_t step_b, const float *weight,
           double *out)
{
  float rows[ROWS * RUN];
  for (size_t i = 0; i < c->ra; i += ROWS) {
    for (size_t p = 0; p < ROWS; p++) {
      const float *from = a + (i + p < c->ra ? i + p : i) * step_a;
      for (size_t l = 0; l < RUN; l++)
        rows[p * RUN + l] = weight ? from[l] * weight[l] : from[l];
    }
    size_t most = c->lower && c->first + i + ROWS < c->rb ? c->first + i + ROWS : c->rb;
    cross_rows (rows, i, c->ra, b, most, step_b, out, c->stride);
  }
}

HEAT_WIDE void
heat_cross_nodes (const HeatCross *c, size_t from, size_t to, double *out, float *pads)
{
  float weight[RUN];
  for (size_t at = from; at < to; at += RUN) {
    size_t m = to - at < RUN ? to - at : RUN;
    const float *a = c->a + at, *b = c->b + at, *w = c->weight ? c->weight + at : NULL;
    if (w && !any (w, m))
      continue;
    if (m == RUN) {
      cross_run (c, a, c->n, b, c->n, w, out);
      continue;
    }
    if (w) {
      pad (weight, w, 1, 0, m);
      w = weight;
    }
    pad (pads, a, c->ra, c->n, m);
    pad (pads + c->ra * RUN, b, c->rb, c->n, m);
    cross_run (c, pads, RUN, pads + c->ra * RUN, RUN, w, out);
  }
}

/* TO -= the sum of COEF_i times the R vectors at A, N apart, over M nodes. */
HEAT_INLINE void
take_from (float *restrict to, const float *a, size_t r, size_t n, const double *coef, size_t step, size_t m)
{
  size_t i = 0;
  for (; i + TAKEN <= r; i += TAKEN) {
    const float *restrict p = a + i * n, *restrict q = p + n, *restrict u = q + n, *restrict s = u + n;
    float cp = (float) coef[i * step], cq = (float) coef[(i + 1) * step], cu = (float) coef[(i + 2) * step],
          cs = (float) coef[(i + 3) * step];
    for (size_t l = 0; l < m; l++)
      to[l] -= (cp * p[l] + cq * q[l]) + (cu * u[l] + cs * s[l]);
  }
  for (; i < r; i++) {
    const float *restrict p = a + i * n;
    float cp = (float) coef[i * step];
    for (size_t l = 0; l < m; l++)
      to[l] -= cp * p[l];
  }
}

HEAT_WIDE void
heat_cross_take (const float *a, size_t ra, float *b, size_t rb, size_t n, const double *coef, size_t stride,
                 size_t from, size_t to)
{
  for (size_t at = from; at < to; at += RUN)
    for (size_t j = 0; j < rb; j++)
      take_from (b + j * n + at, a + at, ra, n, coef + j, stride, to - at < RUN ? to - at : RUN);
}

HEAT_WIDE void
heat_cross_unmix (const float *z, const uint32_t *order, const double *l, size_t stride, size_t r, float *v, size_t n,
                  size_t from, size_t to)
{
  for (size_t at = from; at < to; at += RUN) {
    size_t m = to - at < RUN ? to - at : RUN;
    for (size_t k = 0; k < r; k++) {
      const double *row = l + (order ? order[k] : k) * stride;
      float *restrict vk = v + k * n + at, per = (float) (1 / row[k]);
      if (order)
        memcpy (vk, z + order[k] * n + at, m * sizeof (float));
      take_from (vk, v + at, k, n, row, 1, m);
      for (size_t i = 0; i < m; i++)
        vk[i] *= per;
    }
  }
}
