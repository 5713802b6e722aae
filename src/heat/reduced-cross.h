/* Products of tall matrices, vectors stored one after the other, over the nodes FROM..TO: FROM a multiple of
 * HEAT_CROSS_RUN, so that pieces of the nodes can be done at the same time. */
#ifndef HEAT_REDUCED_CROSS_H
#define HEAT_REDUCED_CROSS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { HEAT_CROSS_RUN = 256 };

/* RA vectors at A against RB at B, N long each, weighed per node (NULL: 1). LOWER: of row i only the columns
 * up to FIRST + i are wanted; others may be filled in too. */
typedef struct {
  const float *a, *b, *weight;
  size_t ra, rb, n, stride, first;
  bool lower;
} HeatCross;

/* OUT [i * stride + j] += sum of weight a_i b_j. Where all weights of a run of nodes are zero it is passed over.
 * PADS: scratch, [(ra + rb) * HEAT_CROSS_RUN]. */
void heat_cross_nodes (const HeatCross *cross, size_t from, size_t to, double *out, float *pads);
/* B_j -= sum of COEF [i * stride + j] a_i. */
void heat_cross_take (const float *a, size_t ra, float *b, size_t rb, size_t n, const double *coef, size_t stride,
                      size_t from, size_t to);
/* Vectors V_k, k < R, of which Z [order[k]] is the sum of L [order[k] * stride + j] v_j over j <= k. ORDER NULL:
 * as they come, and V holds Z. */
void heat_cross_unmix (const float *z, const uint32_t *order, const double *l, size_t stride, size_t r, float *v,
                       size_t n, size_t from, size_t to);

#endif
