/* The basis: responses of the network to its sources at a few real shifts, and then to what a march with
 * that basis leaves of the network's true balance. */
#ifndef HEAT_REDUCED_BASIS_H
#define HEAT_REDUCED_BASIS_H

#include "heat/reduced-near.h"

typedef struct HeatBasis HeatBasis;

/* Room for all vectors, in ARENA; NEAR: of an earlier model, whose responses are where to start from, or NULL. NULL when memory
 * is short. */
HeatBasis *heat_basis_new (HeatArena *arena, HeatReduced *model, const HeatNear *near);
/* Solves for the sources' responses. */
HeatStatus heat_basis_seed (HeatBasis *basis);
/* Solves for responses to what the states of RUN leave of the balance. */
HeatStatus heat_basis_sweep (HeatBasis *basis, const HeatReducedRun *run);
/* Bodies whose joints come near their solidus in RUN stand apart from then on. */
void heat_basis_apart (HeatReduced *model, const HeatReducedRun *run);
/* Makes all vectors so far orthonormal: fills model->v, sets r and stride; those before *FIRST are
 * what they were. */
HeatStatus heat_basis_close (HeatBasis *basis, size_t *first);

#endif
