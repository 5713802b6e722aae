/* How much of each cell of a rectangular mesh polygons cover: exact, by Green's theorem over the pieces
 * into which the mesh lines cut their edges. */
#ifndef HEAT_CLIP_H
#define HEAT_CLIP_H

#include "heat/alloc.h"
#include "heat/scene.h"

/* Mesh lines: nx + 1 and ny + 1 ascending values, m. */
typedef struct {
  const double *xe, *ye;
  size_t nx, ny;
} HeatGrid;

/* Covered area of each cell, m2, and covered length of its right and upper sides, m; row-major. */
typedef struct {
  double *area, *right, *upper;
} HeatCover;

/* Zeroed cover for a grid; false when memory is short. */
bool heat_cover_new (HeatArena *arena, const HeatGrid *grid, HeatCover *cover);
/* Adds SIGN times what the loop covers, whatever its winding; sums hold raw pieces until closed. */
void heat_cover_add (HeatCover *cover, const HeatGrid *grid, const HeatLoop *loop, double sign);
/* Makes the sums areas and lengths, clamped to what a cell can hold; once, after all loops are in. */
void heat_cover_close (HeatCover *cover, const HeatGrid *grid);
/* Adds to RIM the length of the loop's edge that runs through each cell; a piece on a mesh line goes to
 * the cell on the loop's inner side (INNER = 1) or outer side (-1). */
void heat_rim_add (double *rim, const HeatGrid *grid, const HeatLoop *loop, double inner);

/* Area of a loop, m2, positive when counter-clockwise. */
double heat_loop_area (const HeatLoop *loop);
/* Length of its edge, m. */
double heat_loop_length (const HeatLoop *loop);
/* Whether it contains a point. */
bool heat_loop_contains (const HeatLoop *loop, HeatXY at);
/* Index of the cell of ascending edges that holds V, clamped to 0..n-1. */
size_t heat_cell_of (const double *edges, size_t n, double v);

enum { HEAT_OUTLINE_MAX = 96 };
/* Corners of a rectangle, or of a polygon with the area of a disc; returns how many. */
size_t heat_outline (HeatXY center, double angle_rad, double length_m, double width_m, bool round,
                     HeatXY corners[HEAT_OUTLINE_MAX]);

#endif
