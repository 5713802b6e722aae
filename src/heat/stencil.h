/* The layout of the unknowns and the conductances between them.
 *
 * Nodes lie in dense rectangular blocks (the board, and each meshed body over the columns it touches), a
 * block being nz slabs of ny rows of nx cells, so that a product with the matrix is a seven-point
 * stencil over contiguous rows. Block 0 is the board. Slab 0 of a body's block is its joint layer,
 * coupled cell by cell to the board's upper (or lower) face; higher slabs lead away from the board.
 * Single nodes follow after all blocks and are coupled through a list of links.
 *
 * Conductances, W/K, are geometry and material only; what changes with time and temperature is the
 * row sum added to the diagonal. A cell that does not exist has no conductance and a zero diagonal. */
#ifndef HEAT_STENCIL_H
#define HEAT_STENCIL_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "heat/alloc.h"

typedef struct {
  size_t ix0, iy0; /* first column, counted on the board */
  size_t nx, ny, nz;
  size_t at;     /* first node */
  size_t couple; /* first entry of the coupling to the board (bodies) */
  bool below;    /* coupled to the board's lowest layer instead of its highest */
} HeatBlock;

typedef struct {
  size_t n_blocks;
  HeatBlock *blocks;
  size_t n_cells;  /* nodes in blocks */
  size_t n;        /* with single nodes */
  size_t n_couple; /* entries of couplings */
} HeatLayout;

typedef struct {
  uint32_t a, b;
  double g;
} HeatLink;

/* gx[k], gy[k], gz[k]: to the next cell in x, y and z (0 at a block's end); gc: block to board. */
typedef struct {
  HeatLayout layout;
  double *gx, *gy, *gz, *gc;
  HeatLink *links;
  size_t n_links;
  double *gsum; /* sum of all conductances at a node */
} HeatStencil;

/* Node of a board cell to which entry (ix, iy) of a body's slab 0 is coupled. */
size_t heat_board_node (const HeatLayout *layout, const HeatBlock *body, size_t ix, size_t iy);
/* Fills gsum from the conductances. */
void heat_stencil_sum (HeatStencil *stencil);
/* y = diag x - sum of g times neighbours; diag has gsum in it already. y must not overlap x. */
void heat_stencil_apply (const HeatStencil *stencil, const double *diag, const double *x, double *y);

#endif
