/* Several moments of a run side by side, so that thousands of bodies of one node are read in long strides: what is read of
 * a body, and where it is written, is fetched once for all of them. */
#ifndef HEAT_REDUCED_LANES_H
#define HEAT_REDUCED_LANES_H

#include "heat/reduced-internal.h"
#include "heat/reduced-rows.h"

enum { HEAT_LANES = HEAT_ROWS_SOME };

typedef struct {
  const HeatReduced *m;
  double *t; /* [n nodes * HEAT_LANES]: of the nodes that figures are read from */
} HeatLanes;

bool heat_lanes_new (HeatArena *arena, const HeatReduced *model, HeatLanes *lanes);
/* Whether a body is read so; the others are read moment by moment. */
bool heat_lanes_serve (const HeatReduced *model, size_t body);
/* T [n nodes] as moment LANE of those that are read together. */
void heat_lanes_put (HeatLanes *lanes, size_t lane, const double *t);
/* Figures of all such bodies of SCENE at N moments of RESULT from FIRST on. */
void heat_lanes_read (const HeatLanes *lanes, const HeatScene *scene, size_t first, size_t n, HeatResult *result);

#endif
