/* Orthonormal vectors, in heat capacity, of responses. */
#ifndef HEAT_REDUCED_SPAN_H
#define HEAT_REDUCED_SPAN_H

#include "heat/reduced-pieces.h"
#include "heat/reduced-internal.h"

/* Room for the sums over pairs of so many vectors. */
typedef struct {
  const HeatParallel *parallel;
  size_t n, most;
  float *weight;                                   /* per node */
  double *gram, *l, *part[HEAT_PIECES];
  float *pads[HEAT_PIECES];
  uint32_t *order;
} HeatSpan;

/* For up to MOST old and MOST fresh vectors of N nodes; false when memory is short. */
bool heat_span_new (HeatArena *arena, const HeatParallel *parallel, size_t n, const double *capacity, size_t most,
                    HeatSpan *span);
/* Orthonormal vectors of the FRESH ones at Z, which are spoilt, put after the R at V, ROOM at most; a vector of
 * whose square less than PART is its own adds none. False when they are not independent after all. */
bool heat_span_add (HeatSpan *span, float *v, size_t r, float *z, size_t fresh, double part, size_t room,
                    size_t *taken);
/* Orthonormal again: the vectors at V, which nearly are. */
bool heat_span_polish (HeatSpan *span, float *v, size_t r);

#endif
