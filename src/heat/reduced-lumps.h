/* Small bodies put right. The basis answers for heat, of which a body of one node holds next to none, so a small
 * body may be some tenths of a kelvin off in a field that is right all round it. What a state leaves of such
 * a body's own balance, and of its joints', tells by how much, the board under them being what it is. */
#ifndef HEAT_REDUCED_LUMPS_H
#define HEAT_REDUCED_LUMPS_H

#include "heat/reduced-internal.h"

/* What it needs, from model->v. */
bool heat_lumps_rows (HeatReduced *model);
/* Takes down how conductances differ in the network of OTHER, for which a scale was moved BY. */
bool heat_lumps_vary (HeatReduced *model, const HeatStencil *other, double by, HeatLumpChange *change);
/* Puts right the single nodes in T at a kept moment, but not those that stand apart, which are exact. SCRATCH: two
 * values for each. */
void heat_lumps_mend (const HeatReducedRun *run, size_t at, double *scratch, double *t);

/* What the basis says of them at some moments at once, [HEAT_ROWS_SOME * n]. */
typedef struct {
  double *out, *over;             /* heat passed on, W; temperature over air */
  double *by_conductivity, *by_joint; /* of the first, per unit of a scale; NULL: the model has none */
} HeatLumpsAhead;

bool heat_lumps_ahead_new (HeatArena *arena, const HeatReduced *model, HeatLumpsAhead *ahead);
/* For the N moments from AT on. */
void heat_lumps_ahead_read (const HeatReducedRun *run, size_t at, size_t n, HeatLumpsAhead *ahead);

/* The same in T as the past is read from its first moment on, one after the other: each such body is marched by
 * itself, between the board's states as they are kept. Exact for a body however fast it is. AT is the K-th of those read AHEAD. */
void heat_lumps_follow (HeatReducedRun *run, size_t at, const HeatLumpsAhead *ahead, size_t k, double *t);

#endif
