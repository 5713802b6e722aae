/* Which boxes may shade or shelter a point: a grid over the board in which each is entered wherever it might, so that a
 * board of thousands is not gone through for every one of its places. */
#ifndef HEAT_BOX_GRID_H
#define HEAT_BOX_GRID_H

#include <stdint.h>

#include "heat/alloc.h"
#include "heat/shadow.h"

typedef struct {
  HeatXY low;
  double cell_m;
  size_t nx, ny;
  size_t *first; /* of each cell in BOX, nx * ny + 1 */
  uint32_t *box; /* ascending within a cell */
} HeatBoxGrid;

/* For boxes closer than HEAT_BOX_REACH_HEIGHTS times their height and twice their half diagonal, by the root of the sum of
 * both squares twice over; farther ones a caller must not need. False when memory is short. */
#define HEAT_BOX_REACH_HEIGHTS 10.0
bool heat_box_grid_new (HeatArena *arena, const HeatBox *boxes, size_t n, HeatBoxGrid *grid);

/* The boxes that may be that close to AT, in ascending order: their number. */
size_t heat_box_grid_at (const HeatBoxGrid *grid, HeatXY at, const uint32_t **boxes);

#endif
