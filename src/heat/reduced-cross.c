/* Products of tall matrices, vectors stored one after the other. */
#include <string.h>

#include "heat/reduced-project.h"
#include "heat/wide.h"

/* Nodes done at a time: so many of all vectors stay in the second-level cache. */
enum { RUN = 256, TILE = 4, LANES = 4 };

HEAT_INLINE bool
any (const double *v, size_t n)
{
  for (size_t i = 0; i < n; i++)
    if (v[i] != 0)
      return true;
  return false;
}

/* Four numbers at once: the compiler does not find this by itself in a tile of sums. */
typedef double Four __attribute__ ((vector_size (4 * sizeof (double))));

#define LOAD(to, from) memcpy (&(to), (from), sizeof (Four))

HEAT_INLINE double
add_up (const Four *v)
{
  return ((*v)[0] + (*v)[1]) + ((*v)[2] + (*v)[3]);
}

/* Two rows by TILE columns of dot products over N nodes, N a multiple of LANES; the order of sums is fixed. */
HEAT_INLINE void
dot_pair (const double *a0, const double *a1, const double *const b[TILE], size_t n, double out[2][TILE])
{
  Four s00 = { 0 }, s01 = { 0 }, s02 = { 0 }, s03 = { 0 }, s10 = { 0 }, s11 = { 0 }, s12 = { 0 }, s13 = { 0 };
  for (size_t k = 0; k < n; k += LANES) {
    Four x, y, v;
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
  const Four *all[2][TILE] = { { &s00, &s01, &s02, &s03 }, { &s10, &s11, &s12, &s13 } };
  for (size_t i = 0; i < 2; i++)
    for (size_t j = 0; j < TILE; j++)
      out[i][j] = add_up (all[i][j]);
}

/* The same for any N. */
HEAT_INLINE void
dot_tile (const double *const a[TILE], const double *const b[TILE], size_t n, double out[TILE][TILE])
{
  size_t whole = n / LANES * LANES;
  dot_pair (a[0], a[1], b, whole, out);
  dot_pair (a[2], a[3], b, whole, out + 2);
  for (size_t k = whole; k < n; k++)
    for (size_t i = 0; i < TILE; i++)
      for (size_t j = 0; j < TILE; j++)
        out[i][j] += a[i][k] * b[j][k];
}

/* Rows I.. of A, weighed, against all of B, over one run of nodes. */
HEAT_INLINE void
cross_rows (const double *weighed, size_t i, size_t ra, const double *b, size_t rb, size_t n, size_t m, double *out,
            size_t stride)
{
  const double *rows[TILE], *cols[TILE];
  double tile[TILE][TILE];
  for (size_t k = 0; k < TILE; k++)
    rows[k] = weighed + k * RUN;
  for (size_t j = 0; j < rb; j += TILE) {
    for (size_t k = 0; k < TILE; k++)
      cols[k] = b + (j + k < rb ? j + k : rb - 1) * n;
    dot_tile (rows, cols, m, tile);
    for (size_t p = 0; p < TILE && i + p < ra; p++)
      for (size_t q = 0; q < TILE && j + q < rb; q++)
        out[(i + p) * stride + j + q] += tile[p][q];
  }
}

HEAT_WIDE void
heat_cross (const double *a, size_t ra, const double *b, size_t rb, size_t n, const double *weight, double *out,
            size_t stride)
{
  double weighed[TILE * RUN] = { 0 };
  for (size_t at = 0; at < n; at += RUN) {
    size_t m = n - at < RUN ? n - at : RUN;
    if (weight && !any (weight + at, m))
      continue;
    for (size_t i = 0; i < ra; i += TILE) {
      for (size_t k = 0; k < TILE && i + k < ra; k++)
        for (size_t l = 0; l < m; l++)
          weighed[k * RUN + l] = a[(i + k) * n + at + l] * (weight ? weight[at + l] : 1);
      cross_rows (weighed, i, ra, b + at, rb, n, m, out, stride);
    }
  }
}

HEAT_WIDE void
heat_cross_take (const double *a, size_t ra, double *b, size_t rb, size_t n, const double *coef, size_t stride)
{
  for (size_t at = 0; at < n; at += RUN) {
    size_t m = n - at < RUN ? n - at : RUN;
    for (size_t j = 0; j < rb; j++) {
      double *restrict to = b + j * n + at;
      size_t i = 0;
      for (; i + TILE <= ra; i += TILE) {
        const double *restrict p = a + i * n + at, *restrict q = p + n, *restrict r = q + n, *restrict s = r + n;
        double cp = coef[i * stride + j], cq = coef[(i + 1) * stride + j], cr = coef[(i + 2) * stride + j],
               cs = coef[(i + 3) * stride + j];
        for (size_t l = 0; l < m; l++)
          to[l] -= (cp * p[l] + cq * q[l]) + (cr * r[l] + cs * s[l]);
      }
      for (; i < ra; i++) {
        const double *restrict p = a + i * n + at;
        double cp = coef[i * stride + j];
        for (size_t l = 0; l < m; l++)
          to[l] -= cp * p[l];
      }
    }
  }
}
