#include "heat/box-grid.h"

#include <math.h>

enum { MOST_CELLS = 128 }; /* along an axis */

/* (a + b)^2 <= 2 (a^2 + b^2), as in those who ask. */
static double
reach_of (const HeatBox *box)
{
  double length = box->length_m, width = box->round ? 0 : box->width_m, heights = HEAT_BOX_REACH_HEIGHTS * box->height_m;
  return sqrt (2 * (heights * heights + (length * length + width * width) / 4)) * (1 + 1e-9);
}

/* Square cells, as many along the longer side as there would be boxes in a row. */
static void
lay_grid (const HeatBox *boxes, size_t n, HeatBoxGrid *grid)
{
  HeatXY low = { INFINITY, INFINITY }, high = { -INFINITY, -INFINITY };
  for (size_t i = 0; i < n; i++) {
    double reach = reach_of (&boxes[i]);
    low = (HeatXY){ fmin (low.x, boxes[i].center.x - reach), fmin (low.y, boxes[i].center.y - reach) };
    high = (HeatXY){ fmax (high.x, boxes[i].center.x + reach), fmax (high.y, boxes[i].center.y + reach) };
  }
  double across = fmax (high.x - low.x, high.y - low.y);
  if (!(across > 0)) /* no boxes, or none that reaches anywhere */
    return;
  grid->low = low;
  grid->cell_m = across / fmin (fmax (ceil (sqrt (n)), 1), MOST_CELLS);
  grid->nx = (size_t) ((high.x - low.x) / grid->cell_m) + 1;
  grid->ny = (size_t) ((high.y - low.y) / grid->cell_m) + 1;
}

static size_t
cell_of (double v, double low, double cell, size_t n)
{
  double at = floor ((v - low) / cell);
  return at <= 0 ? 0 : at >= (double) n ? n - 1 : (size_t) at;
}

/* Counts the entries of each cell into FIRST[cell + 1], or with FILL writes them from FIRST[cell] on, which it moves. */
static void
enter (const HeatBox *boxes, size_t n, HeatBoxGrid *g, bool fill)
{
  for (size_t i = 0; i < n; i++) {
    double reach = reach_of (&boxes[i]);
    HeatXY at = boxes[i].center;
    size_t x1 = cell_of (at.x + reach, g->low.x, g->cell_m, g->nx), y1 = cell_of (at.y + reach, g->low.y, g->cell_m, g->ny);
    for (size_t y = cell_of (at.y - reach, g->low.y, g->cell_m, g->ny); y <= y1; y++)
      for (size_t x = cell_of (at.x - reach, g->low.x, g->cell_m, g->nx); x <= x1; x++)
        if (fill)
          g->box[g->first[y * g->nx + x]++] = (uint32_t) i;
        else
          g->first[y * g->nx + x + 1]++;
  }
}

bool
heat_box_grid_new (HeatArena *arena, const HeatBox *boxes, size_t n, HeatBoxGrid *grid)
{
  *grid = (HeatBoxGrid){ 0 };
  lay_grid (boxes, n, grid);
  size_t cells = grid->nx * grid->ny;
  grid->first = HEAT_TAKE (arena, size_t, cells + 1);
  if (!grid->first)
    return false;
  if (cells)
    enter (boxes, n, grid, false);
  for (size_t i = 0; i < cells; i++)
    grid->first[i + 1] += grid->first[i];
  grid->box = HEAT_TAKE (arena, uint32_t, grid->first[cells]);
  if (!grid->box)
    return false;
  if (!cells)
    return true;
  enter (boxes, n, grid, true);
  for (size_t i = cells; i > 0; i--) /* each has moved to where the next began */
    grid->first[i] = grid->first[i - 1];
  grid->first[0] = 0;
  return true;
}

size_t
heat_box_grid_at (const HeatBoxGrid *g, HeatXY at, const uint32_t **boxes)
{
  double x = (at.x - g->low.x) / g->cell_m, y = (at.y - g->low.y) / g->cell_m;
  *boxes = g->box;
  if (!g->nx || !(x >= 0 && y >= 0 && x < (double) g->nx && y < (double) g->ny))
    return 0;
  size_t cell = (size_t) y * g->nx + (size_t) x;
  *boxes += g->first[cell];
  return g->first[cell + 1] - g->first[cell];
}
