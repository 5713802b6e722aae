/* Long vectors in single precision, in a fixed order that vectorises; sums are carried on in double. */
#ifndef HEAT_NARROW_H
#define HEAT_NARROW_H

#include <stddef.h>

/* Sum of a[i] b[i] over N entries. */
double heat_narrow_dot (const float *a, const float *b, size_t n);
/* Largest magnitude; NaN entries are passed over. */
double heat_narrow_largest (const float *a, size_t n);
/* to += scale * from. */
void heat_narrow_add (float *to, const float *from, float scale, size_t n);
/* to += sum of scale[k] * from_k over MANY arrays, each APART from the one before. */
void heat_add_narrow_all (double *to, const float *from, size_t apart, const double *scale, size_t many, size_t n);
/* to = from + scale * to. */
void heat_narrow_turn (float *to, const float *from, float scale, size_t n);

#endif
