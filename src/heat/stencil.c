#include "heat/stencil.h"

#include "heat/wide.h"

#define REAL double
#define KERNEL(name) double_##name
#include "heat/stencil-kernel.inc"

size_t
heat_board_node (const HeatLayout *layout, const HeatBlock *body, size_t ix, size_t iy)
{
  const HeatBlock *board = &layout->blocks[0];
  size_t layer = body->below ? 0 : board->nz - 1;
  return (layer * board->ny + body->iy0 + iy) * board->nx + body->ix0 + ix;
}

static void
sum_pair (HeatStencil *s, size_t a, size_t b, double g)
{
  s->gsum[a] += g;
  s->gsum[b] += g;
}

static void
sum_block (HeatStencil *s, const HeatBlock *b)
{
  size_t nxy = b->nx * b->ny;
  for (size_t i = 0; i < nxy * b->nz; i++) {
    size_t k = b->at + i;
    if (s->gx[k] > 0)
      sum_pair (s, k, k + 1, s->gx[k]);
    if (s->gy[k] > 0)
      sum_pair (s, k, k + b->nx, s->gy[k]);
    if (s->gz[k] > 0)
      sum_pair (s, k, k + nxy, s->gz[k]);
  }
}

void
heat_stencil_sum (HeatStencil *s)
{
  for (size_t i = 0; i < s->layout.n; i++)
    s->gsum[i] = 0;
  for (size_t i = 0; i < s->layout.n_blocks; i++)
    sum_block (s, &s->layout.blocks[i]);
  for (size_t i = 1; i < s->layout.n_blocks; i++) {
    const HeatBlock *b = &s->layout.blocks[i];
    for (size_t iy = 0; iy < b->ny; iy++)
      for (size_t ix = 0; ix < b->nx; ix++)
        sum_pair (s, b->at + iy * b->nx + ix, heat_board_node (&s->layout, b, ix, iy),
                  s->gc[b->couple + iy * b->nx + ix]);
  }
  for (size_t i = 0; i < s->n_links; i++)
    sum_pair (s, s->links[i].a, s->links[i].b, s->links[i].g);
}

/* Zeroed storage past the longest row would need memory; the coefficient array gz holds a slab of zeros
 * at its block's end, which is at least one row long. */
HEAT_WIDE void
heat_stencil_apply (const HeatStencil *s, const double *diag, const double *x, double *y)
{
  const HeatBlock *board = &s->layout.blocks[0];
  const double *zero = s->gz + board->at + (board->nz - 1) * board->nx * board->ny;
  double_Coefficients c = { s->gx, s->gy, s->gz, s->gc };
  double_apply (&s->layout, &c, zero, diag, x, NULL, y);
  for (size_t i = s->layout.n_cells; i < s->layout.n; i++)
    y[i] = diag[i] * x[i];
  for (size_t i = 0; i < s->n_links; i++) {
    const HeatLink *l = &s->links[i];
    y[l->a] -= l->g * x[l->b];
    y[l->b] -= l->g * x[l->a];
  }
}
