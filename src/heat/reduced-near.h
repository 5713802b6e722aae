/* What a model takes over from one of a scene that differs in little: fields over the nodes, to start from. */
#ifndef HEAT_REDUCED_NEAR_H
#define HEAT_REDUCED_NEAR_H

#include "heat/reduced-internal.h"

/* Where nodes of a model lie among those of an earlier one. */
typedef struct {
  const HeatReduced *from, *to;
  bool same;          /* node by node */
  uint32_t (*at)[4];  /* of each column of each block: columns of the earlier block, */
  float (*share)[4];  /* and their shares; all 0: there is nothing there */
  size_t *first;      /* of each block, in these */
} HeatNear;

/* Whether FROM has the same board layers and bodies as TO, wherever they are; NEAR is then filled in. FROM may be NULL.
 * False also when memory is short: then nothing is taken over. */
bool heat_near_find (HeatArena *arena, const HeatReduced *from, const HeatReduced *to, HeatNear *near);
/* A field of the earlier model's nodes, WAS, over the nodes of the later one, straight between centres; NOTHING where there
 * is none. A body's moves with it. */
void heat_near_field (const HeatNear *near, const float *was, float nothing, float *now);

#endif
