/* The seven-point product, written once for both precisions: define REAL and KERNEL (name), include. */

typedef struct {
  const REAL *gx, *gy, *gz, *gc;
} KERNEL (Coefficients);

HEAT_INLINE void
KERNEL (row) (const REAL *restrict d, const REAL *restrict gx, const REAL *restrict gn,
              const REAL *restrict gs, const REAL *restrict gu, const REAL *restrict gd,
              const REAL *restrict x, const REAL *restrict xn, const REAL *restrict xs,
              const REAL *restrict xu, const REAL *restrict xd, REAL *restrict y, size_t n)
{
  for (size_t i = 0; i < n; i++)
    y[i] = d[i] * x[i] - gx[i] * x[i + 1] - (gx - 1)[i] * (x - 1)[i] - gn[i] * xn[i] - gs[i] * xs[i]
           - gu[i] * xu[i] - gd[i] * xd[i];
}

/* Rows that do not exist read row k itself with a row of zero conductances. */
HEAT_INLINE void
KERNEL (block) (const HeatBlock *b, const KERNEL (Coefficients) * c, const REAL *zero, const REAL *diag,
                const REAL *x, REAL *y)
{
  size_t nx = b->nx, nxy = b->nx * b->ny;
  for (size_t iz = 0; iz < b->nz; iz++)
    for (size_t iy = 0; iy < b->ny; iy++) {
      size_t k = b->at + iz * nxy + iy * nx;
      bool south = iy > 0, down = iz > 0, north = iy + 1 < b->ny, up = iz + 1 < b->nz;
      KERNEL (row)
      (diag + k, c->gx + k, c->gy + k, south ? c->gy + k - nx : zero, c->gz + k,
       down ? c->gz + k - nxy : zero, x + k, north ? x + k + nx : x + k, south ? x + k - nx : x + k,
       up ? x + k + nxy : x + k, down ? x + k - nxy : x + k, y + k, nx);
    }
}

HEAT_INLINE void
KERNEL (couple_row) (const REAL *restrict g, const REAL *restrict xb, const REAL *restrict xs,
                     REAL *restrict yb, REAL *restrict ys, size_t n)
{
  for (size_t i = 0; i < n; i++) {
    yb[i] -= g[i] * xs[i];
    ys[i] -= g[i] * xb[i];
  }
}

HEAT_INLINE void
KERNEL (apply) (const HeatLayout *layout, const KERNEL (Coefficients) * c, const REAL *zero,
                const REAL *diag, const REAL *x, REAL *y)
{
  for (size_t i = 0; i < layout->n_blocks; i++)
    KERNEL (block) (&layout->blocks[i], c, zero, diag, x, y);
  for (size_t i = 1; i < layout->n_blocks; i++) {
    const HeatBlock *b = &layout->blocks[i];
    for (size_t iy = 0; iy < b->ny; iy++) {
      size_t board = heat_board_node (layout, b, 0, iy), slab = b->at + iy * b->nx;
      KERNEL (couple_row)
      (c->gc + b->couple + iy * b->nx, x + board, x + slab, y + board, y + slab, b->nx);
    }
  }
}
