/* Small dense symmetric matrices, row-major, N x N, whole (both triangles). */
#ifndef HEAT_DENSE_H
#define HEAT_DENSE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* A = L L', L in the lower triangle (the upper is left as it was); false when a pivot is not positive. */
bool heat_dense_factor (double *a, size_t n);
/* x = (L L')^-1 x. */
void heat_dense_solve (const double *l, size_t n, double *x);
/* y = A x. */
void heat_dense_apply (const double *a, size_t n, const double *x, double *y);
/* Cholesky's factor of A, next always the column with the largest part of its diagonal left, as long as
 * that is more than PART: returns the rank. ORDER [n]: columns in the order taken; L [n * n + n]: row c
 * belongs to column c, its k-th entry to the k-th column taken. A is overwritten. */
size_t heat_dense_pivoted (double *a, size_t n, double part, uint32_t *order, double *l);

#endif
