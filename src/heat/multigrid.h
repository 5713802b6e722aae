/* A multigrid V-cycle as preconditioner, in single precision.
 *
 * Each level joins two by two columns of the one above, in every block at the same even columns; slabs
 * are kept. Transfer is piecewise constant and row sums add up exactly; conductances along the board are
 * halved per level, which mends the stiffness piecewise-constant transfer gives them. Single nodes are
 * joined with the board cell they are coupled to most. Smoothing is Chebyshev's over the upper part of
 * the spectrum, the same before and after, so the cycle is a symmetric operator; the last level is
 * solved by a banded Cholesky factorisation that is renewed only when the matrix has drifted. */
#ifndef HEAT_MULTIGRID_H
#define HEAT_MULTIGRID_H

#include "heat/stencil.h"

typedef struct HeatMultigrid HeatMultigrid;

/* NULL when memory is short. */
HeatMultigrid *heat_multigrid_new (HeatArena *arena, const HeatStencil *stencil);
/* Takes new row sums (what the diagonal holds beyond the conductances), n values. */
void heat_multigrid_update (HeatMultigrid *mg, const double *row_sum);
/* Starts over, so that what follows does not depend on what was solved before. */
void heat_multigrid_forget (HeatMultigrid *mg);
/* z = M r. */
void heat_multigrid_apply (HeatMultigrid *mg, const double *r, double *z);

#endif
