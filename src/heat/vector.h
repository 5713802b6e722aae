/* Sums and extremes over long vectors, in a fixed order that vectorises. */
#ifndef HEAT_VECTOR_H
#define HEAT_VECTOR_H

#include <stddef.h>

/* Sum of a[i] b[i] over N entries. */
double heat_dot (const double *a, const double *b, size_t n);
/* to += scale * from. */
void heat_add_scaled (double *to, const double *from, double scale, size_t n);
/* Largest magnitude; NaN entries are passed over. */
double heat_largest (const double *a, size_t n);
/* Largest |a - b|. */
double heat_largest_gap (const double *a, const double *b, size_t n);
/* Largest |a / b| over entries with b > 0; INFINITY when any a is not finite. */
double heat_largest_ratio (const double *a, const double *b, size_t n);

#endif
