/* Readings of a reduced state, and forces on it: rows of single precision, STRIDE wide (a multiple of 8). */
#ifndef HEAT_REDUCED_ROWS_H
#define HEAT_REDUCED_ROWS_H

#include <stddef.h>

/* OUT [n] = rows . X. */
void heat_rows_read (const float *rows, size_t n, size_t stride, const double *x, double *out);
/* The same of N_X states, at most HEAT_ROWS_SOME, one after the other in X: OUT [j * n + i] = row_i . x_j. */
enum { HEAT_ROWS_SOME = 8 };
void heat_rows_read_some (const float *rows, size_t n, size_t stride, const double *x, size_t n_x, double *out);
/* FORCE += sum of SCALE [i] row_i. */
void heat_rows_add (const float *rows, size_t n, size_t stride, const double *scale, double *force);

#endif
