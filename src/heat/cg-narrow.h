/* Conjugate gradients in single precision, for answers that need be no more than a direction. */
#ifndef HEAT_CG_NARROW_H
#define HEAT_CG_NARROW_H

#include "heat/cg.h"

typedef struct {
  float *r, *z, *p, *q; /* n each */
} HeatNarrowWork;

/* Vectors of N entries from ARENA, not cleared; false without memory. */
bool heat_narrow_work (HeatArena *arena, size_t n, HeatNarrowWork *work);
/* As heat_cg_solve(), with the matrix and the preconditioner of MG; X holds where to start from, and WORK->r
 * what that leaves of the right-hand side. Ends when the preconditioned residual is nowhere above PART of the
 * largest entry of X as first corrected. */
HeatCgReport heat_cg_narrow (HeatMultigrid *mg, size_t n, float *x, double part, size_t max_iterations,
                             HeatNarrowWork *work);

#endif
