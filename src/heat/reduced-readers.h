/* What of the whole field a run's figures need: rows of the basis at those nodes alone, and where each body and
 * the board can be hottest. */
#ifndef HEAT_REDUCED_READERS_H
#define HEAT_REDUCED_READERS_H

#include "heat/reduced-internal.h"

/* Marks what is needed, runs the scene's own job once to see where it gets hot, and keeps the rows. After all
 * else of the model. False when memory is short. */
bool heat_readers_new (HeatReduced *model, const HeatReducedRun *run);

/* Temperatures of those nodes and surfaces at a kept moment, into T [n nodes] and TS [faces]; the rest of both is left
 * as it is. READ: room for as many values as there are such nodes. */
void heat_readers_fill (HeatReducedRun *run, size_t at, double *read, double *t, double *ts);

/* Figures of body and board at moment AT of RESULT, from such T and TS in MARCH and the states. */
void heat_readers_body (const HeatReducedRun *run, const HeatMarch *march, size_t body, size_t at, HeatResult *result);
void heat_readers_board (const HeatReducedRun *run, const HeatMarch *march, size_t at, HeatResult *result);

#endif
