/* Cholesky factorisation of a symmetric positive definite band matrix. */
#ifndef HEAT_BAND_H
#define HEAT_BAND_H

#include "heat/alloc.h"

#include <stdbool.h>

/* Row i holds columns i - width .. i at rows[i * (width + 1) + width - (i - j)]; those before first[i] are zero, and
 * stay so: whoever knows them to be may raise it. */
typedef struct {
  size_t n, width;
  double *rows;
  size_t *first;
} HeatBand;

/* Memory from ARENA for an N x N matrix whose entries lie within WIDTH of the diagonal; not cleared. False without memory. */
bool heat_band_new (HeatArena *arena, size_t n, size_t width, HeatBand *band);
/* Entry (I, J) of the lower half, J <= I <= J + width. */
static inline double *
heat_band_at (HeatBand *band, size_t i, size_t j)
{
  return &band->rows[i * (band->width + 1) + band->width - (i - j)];
}
/* In place; false when a pivot is not positive. */
bool heat_band_factor (HeatBand *band);
/* x overwritten with the solution. */
void heat_band_solve (const HeatBand *band, double *x);

#endif
