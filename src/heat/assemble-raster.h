/* A raster's values brought to the cells of the mesh. */
#ifndef HEAT_ASSEMBLE_RASTER_H
#define HEAT_ASSEMBLE_RASTER_H

#include "heat/network.h"

/* Properties of the board's nodes, layer by layer. */
typedef struct {
  double *kin, *kthr, *rhoc;
} HeatSolids;

/* Adds the scene's raster, if it has one, as the mean over what each mesh cell has of the board.
 * BESIDE: the arena whose like scratch is taken from. False when memory is short. */
bool heat_raster_add (const HeatArena *beside, const HeatNetwork *net, HeatSolids *solids);

#endif
