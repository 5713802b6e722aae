/* Conjugate gradients for the network's matrix. */
#ifndef HEAT_CG_H
#define HEAT_CG_H

#include "heat/multigrid.h"

typedef struct {
  double *z, *p, *q; /* n each */
} HeatCgWork;

typedef struct {
  bool converged;
  size_t iterations;
  double change; /* largest entry of the solution, K */
} HeatCgReport;

/* Vectors of N entries from ARENA, not cleared; false without memory. */
bool heat_cg_work (HeatArena *arena, size_t n, HeatCgWork *work);
/* Solves A x = r from x = 0; R is overwritten. Ends when the preconditioned residual, which approximates
 * the error, is nowhere above TOLERANCE_K, and adds it to x, which takes most of that error away too. */
HeatCgReport heat_cg_solve (const HeatStencil *stencil, const double *diag, HeatMultigrid *mg, double *r,
                            double *x, double tolerance_k, size_t max_iterations, HeatCgWork *work);

#endif
