/* Nodes that follow others in the basis, because what they do on their own is not the basis's to say: see
 * reduced-melt.h. */
#ifndef HEAT_REDUCED_SLAVES_H
#define HEAT_REDUCED_SLAVES_H

#include "heat/reduced-internal.h"

/* Melting nodes of meshed bodies, and what each hangs on: neighbours FIRST[i]..FIRST[i + 1] with their shares. */
typedef struct {
  size_t n, *first;
  uint32_t *node, *neighbour;
  float *share;
} HeatSlaves;

/* Lists the nodes of MODEL that follow others, and whom, in ARENA's memory; false without memory. */
bool heat_slaves_find (HeatArena *arena, const HeatReduced *model, HeatSlaves *slaves);
/* Melting nodes of meshed bodies follow the mean of their neighbours; what they lag behind it or deviate by is a
 * cell's own. VALUE [n]: scratch. */
void heat_slaves_melts (const HeatSlaves *slaves, float *x, float *value);
/* A body of one node that stands apart follows the board, and so do its joints. OUT: scratch, by node less the
 * first single one. */
void heat_slaves_bodies (const HeatReduced *model, float *x, double *out);

#endif
