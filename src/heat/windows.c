/* Squares of a given size over a body's columns, over which its hottest place is a mean. A single cell's
 * temperature would depend on its size wherever heat enters a poor conductor over a few millimetres. */
#include <math.h>

#include "heat/network.h"

static double
overlap (double a0, double a1, double b0, double b1)
{
  return fmax (0, fmin (a1, b1) - fmax (a0, b0));
}

/* Columns under the square round AT: their number, and with COLUMN and W which, and their shares. */
static size_t
gather (const HeatMesh *mesh, const HeatBlock *b, const double *cover, HeatXY at, double side,
        uint32_t *column, float *w)
{
  double x0 = at.x - side / 2, x1 = at.x + side / 2, y0 = at.y - side / 2, y1 = at.y + side / 2, sum = 0;
  const double *xe = mesh->xe + b->ix0, *ye = mesh->ye + b->iy0;
  size_t n = 0;
  for (size_t iy = heat_cell_of (ye, b->ny, y0); iy < b->ny && ye[iy] < y1; iy++)
    for (size_t ix = heat_cell_of (xe, b->nx, x0); ix < b->nx && xe[ix] < x1; ix++) {
      double share = overlap (x0, x1, xe[ix], xe[ix + 1]) * overlap (y0, y1, ye[iy], ye[iy + 1]);
      if (cover[iy * b->nx + ix] <= 0 || share <= 0)
        continue;
      if (column) {
        column[n] = (uint32_t) (iy * b->nx + ix);
        w[n] = (float) share;
      }
      sum += share;
      n++;
    }
  for (size_t i = 0; column && i < n; i++)
    w[i] /= (float) sum;
  return n;
}

bool
heat_windows_new (HeatArena *arena, const HeatMesh *mesh, const HeatBlock *b, const HeatBody *body,
                  const double *cover, HeatWindows *out)
{
  double side = heat_square_within (body, HEAT_HOT_SQUARE_M);
  size_t nxy = b->nx * b->ny, total = 0;
  for (int pass = 0; pass < 2; pass++) {
    if (pass) {
      out->first = HEAT_TAKE (arena, size_t, nxy + 1);
      out->column = HEAT_TAKE (arena, uint32_t, total);
      out->w = HEAT_TAKE (arena, float, total);
      if (!out->first || !out->column || !out->w)
        return false;
      total = 0;
    }
    for (size_t i = 0; i < nxy; i++) {
      HeatXY at = { mesh->xc[b->ix0 + i % b->nx], mesh->yc[b->iy0 + i / b->nx] };
      HeatXY in = heat_drawn_in (body, at, side);
      if (cover[i] > 0)
        total += gather (mesh, b, cover, in, side, pass ? out->column + total : NULL,
                         pass ? out->w + total : NULL);
      if (pass)
        out->first[i + 1] = total;
    }
  }
  out->n = nxy;
  return true;
}

double
heat_windows_hottest (const HeatWindows *windows, const double *t)
{
  double most = -INFINITY;
  for (size_t i = 0; i < windows->n; i++) {
    double sum = 0;
    for (size_t k = windows->first[i]; k < windows->first[i + 1]; k++)
      sum += windows->w[k] * t[windows->column[k]];
    if (windows->first[i + 1] > windows->first[i])
      most = fmax (most, sum);
  }
  return most;
}
