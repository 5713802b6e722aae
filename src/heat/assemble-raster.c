#include "heat/assemble-raster.h"

#include <math.h>

/* The cells of the raster that one cell of the mesh meets along one axis: first, past the last. */
typedef struct {
  size_t from, to;
} Span;

static Span
span_of (double low, double high, double origin, double cell, size_t n)
{
  double from = floor ((low - origin) / cell), to = ceil ((high - origin) / cell);
  if (!(to > 0) || !(from < n))
    return (Span){ 0, 0 };
  return (Span){ from > 0 ? (size_t) from : 0, to < n ? (size_t) to : n };
}

static double
overlap (double low, double high, double start, double cell)
{
  return fmax (0, fmin (high, start + cell) - fmax (low, start));
}

/* The board's area in each cell of the raster: what a cell's values speak of. */
static bool
board_in_raster (HeatArena *arena, const HeatBoard *board, HeatCover *cover)
{
  const HeatRaster *r = board->raster;
  double *xe = HEAT_TAKE (arena, double, r->nx + 1), *ye = HEAT_TAKE (arena, double, r->ny + 1);
  if (!xe || !ye)
    return false;
  for (size_t i = 0; i <= r->nx; i++)
    xe[i] = r->origin.x + i * r->cell_m;
  for (size_t i = 0; i <= r->ny; i++)
    ye[i] = r->origin.y + i * r->cell_m;
  HeatGrid grid = { xe, ye, r->nx, r->ny };
  if (!heat_cover_new (arena, &grid, cover))
    return false;
  for (size_t i = 0; i < board->n_loops; i++)
    heat_cover_add (cover, &grid, &board->loops[i], i ? -1 : 1);
  heat_cover_close (cover, &grid);
  return true;
}

typedef struct {
  double kin, kthr, rhoc, weight;
} Sum;

static Sum
sum_cell (const HeatRaster *r, const HeatSheet *sheet, const double *board, const HeatMesh *m, size_t ix,
          size_t iy)
{
  double x0 = m->xe[ix], x1 = m->xe[ix + 1], y0 = m->ye[iy], y1 = m->ye[iy + 1];
  Span across = span_of (x0, x1, r->origin.x, r->cell_m, r->nx);
  Span up = span_of (y0, y1, r->origin.y, r->cell_m, r->ny);
  Sum sum = { 0 };
  for (size_t j = up.from; j < up.to; j++) {
    double dy = overlap (y0, y1, r->origin.y + j * r->cell_m, r->cell_m);
    for (size_t i = across.from; i < across.to; i++) {
      size_t k = j * r->nx + i;
      double w = dy * overlap (x0, x1, r->origin.x + i * r->cell_m, r->cell_m) * board[k];
      sum.kin += w * sheet->add_k_in_w_mk[k];
      sum.kthr += w * sheet->add_k_thr_w_mk[k];
      sum.rhoc += w * sheet->add_rho_c_j_m3k[k];
      sum.weight += w;
    }
  }
  return sum;
}

static void
add_sheet (const HeatNetwork *net, const HeatSheet *sheet, const double *board, HeatSolids *solids)
{
  const HeatMesh *m = &net->mesh;
  size_t columns = m->nx * m->ny;
  for (size_t iy = 0; iy < m->ny; iy++)
    for (size_t ix = 0; ix < m->nx; ix++) {
      size_t k = sheet->layer * columns + iy * m->nx + ix;
      if (net->board.area[iy * m->nx + ix] <= 0)
        continue;
      Sum sum = sum_cell (net->scene->board.raster, sheet, board, m, ix, iy);
      if (sum.weight <= 0)
        continue;
      solids->kin[k] += sum.kin / sum.weight;
      solids->kthr[k] += sum.kthr / sum.weight;
      solids->rhoc[k] += sum.rhoc / sum.weight;
    }
}

bool
heat_raster_add (const HeatArena *beside, const HeatNetwork *net, HeatSolids *solids)
{
  const HeatBoard *board = &net->scene->board;
  HeatArena scratch = heat_arena_beside (beside);
  HeatCover cover;
  if (!board->raster)
    return true;
  bool ok = board_in_raster (&scratch, board, &cover);
  for (size_t i = 0; ok && i < board->raster->n_sheets; i++)
    add_sheet (net, &board->raster->sheets[i], cover.area, solids);
  heat_arena_clear (&scratch);
  return ok;
}
