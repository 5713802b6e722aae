/* The mesh lines of a scene: a tensor product of two graded rows of lines. */
#ifndef HEAT_MESH_H
#define HEAT_MESH_H

#include "heat/clip.h"
#include "heat/solve.h"

typedef struct {
  size_t nx, ny;
  double *xe, *ye; /* lines, nx + 1 and ny + 1 */
  double *xc, *yc; /* cell centres */
} HeatMesh;

typedef struct {
  double cell_m, coarse_m; /* coarse == cell: uniform */
  size_t max_columns;      /* refuse more cells than this */
} HeatMeshSize;

/* Lines over the box of the board and its meshed bodies: no coarser than cell_m on the target and under
 * the nozzle, fine enough on other meshed bodies, growing by about a quarter per cell to coarse_m
 * elsewhere; lines run along the edges of target, nozzle and bodies that lie square to the axes. */
HeatStatus heat_mesh_new (HeatArena *arena, const HeatScene *scene, const HeatMeshSize *size,
                          HeatMesh *mesh);
static inline HeatGrid
heat_mesh_grid (const HeatMesh *mesh)
{
  return (HeatGrid){ mesh->xe, mesh->ye, mesh->nx, mesh->ny };
}

#endif
