/* Which lines of a level of the multigrid are joined by the next. */
#ifndef HEAT_MULTIGRID_AXES_H
#define HEAT_MULTIGRID_AXES_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "heat/alloc.h"

/* The columns of a level along one way of the board. */
typedef struct {
  size_t n;
  double *size;     /* of each, m */
  uint32_t *parent; /* of each, on the next level */
} HeatAxis;

/* From the N + 1 lines at EDGES; false when memory is short. */
bool heat_axis_new (HeatArena *arena, const double *edges, size_t n, HeatAxis *axis);
/* The next level's: the finest neighbours are joined two by two, along both ways up to the same size, so that cells
 * that are longer than wide come out less so and the levels get smaller by half or more. */
bool heat_axes_coarsen (HeatArena *arena, HeatAxis fine[2], HeatAxis coarse[2]);
/* How much less two neighbours' parents conduct than the two themselves, I and I + 1, being farther apart. */
double heat_axis_stretch (const HeatAxis *fine, const HeatAxis *coarse, size_t i);

#endif
