/* A multigrid V-cycle as preconditioner, in single precision.
 *
 * Each level joins neighbouring columns of the one above, the finest first (multigrid-axes.h), in every block
 * the same; slabs are kept. Transfer is piecewise constant and row sums add up exactly; conductances along the
 * board are weakened as the columns' middles move apart, half of them where all are joined, which mends the
 * stiffness piecewise-constant transfer gives them. Single nodes are
 * joined with the board cell they are coupled to most. Smoothing is Chebyshev's over the upper part of
 * the spectrum, the same before and after, so the cycle is a symmetric operator; the last level is
 * solved by a banded Cholesky factorisation that is renewed only when the matrix has drifted. */
#ifndef HEAT_MULTIGRID_H
#define HEAT_MULTIGRID_H

#include "heat/mesh.h"
#include "heat/stencil.h"

typedef struct HeatMultigrid HeatMultigrid;

/* NULL when memory is short. */
HeatMultigrid *heat_multigrid_new (HeatArena *arena, const HeatStencil *stencil, const HeatMesh *mesh);
/* Takes new row sums (what the diagonal holds beyond the conductances), n values. */
void heat_multigrid_update (HeatMultigrid *mg, const double *row_sum);
/* Starts over, so that what follows does not depend on what was solved before. */
void heat_multigrid_forget (HeatMultigrid *mg);
/* z = M r. */
void heat_multigrid_apply (HeatMultigrid *mg, const double *r, double *z);

/* Another one of the same conductances, which it shares, with row sums of its own; MG must outlive it. NULL when
 * memory is short. */
HeatMultigrid *heat_multigrid_twin (HeatArena *arena, const HeatMultigrid *mg);
/* In single precision: z = M r, and y = A x with the row sums of the last update. Z and X are read from a little
 * before their start to a little beyond their end, as what heat_take() gives allows. */
void heat_multigrid_narrow (HeatMultigrid *mg, const float *r, float *z);
void heat_multigrid_product (const HeatMultigrid *mg, const float *x, float *y);

#endif
