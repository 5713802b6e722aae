/* What of the whole field a run's figures need: rows of the basis at those nodes alone, and where each body and
 * the board can be hottest. */
#ifndef HEAT_REDUCED_READERS_H
#define HEAT_REDUCED_READERS_H

#include "heat/reduced-internal.h"
#include "heat/reduced-lumps.h"

/* Marks what is needed, runs the scene's own job once to see where it gets hot, and keeps the rows. After all
 * else of the model. False when memory is short. */
bool heat_readers_new (HeatReduced *model, const HeatReducedRun *run);

/* Rows read for some moments at once. */
typedef struct {
  double *read; /* [HEAT_ROWS_SOME * n nodes that figures are read from] */
  HeatLumpsAhead lumps;
} HeatAhead;

bool heat_ahead_new (HeatArena *arena, const HeatReduced *model, HeatAhead *ahead);
/* For the N moments from AT on, at most HEAT_ROWS_SOME. */
void heat_ahead_read (const HeatReducedRun *run, size_t at, size_t n, HeatAhead *ahead);

/* Temperatures of those nodes and surfaces at a kept moment, the K-th of those read AHEAD, into T [n nodes] and TS [faces];
 * the rest of both is left as it is. Moments follow one another from the first. */
void heat_readers_fill (HeatReducedRun *run, size_t at, const HeatAhead *ahead, size_t k, double *t, double *ts);

/* Figures of body and board at moment AT of RESULT, from such T and TS in MARCH and the states. */
void heat_readers_body (const HeatReducedRun *run, const HeatMarch *march, size_t body, size_t at, HeatResult *result);
void heat_readers_board (const HeatReducedRun *run, const HeatMarch *march, size_t at, HeatResult *result);

#endif
