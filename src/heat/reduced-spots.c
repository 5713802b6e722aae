#include "heat/reduced-spots.h"

#include <math.h>

#include "heat/reduced-internal.h"
#include "heat/reduced-laws.h"
#include "heat/reduced-melt.h"

/* A meshed body's joint layer that covers a column: its node's row of the basis, the cell that melts there (or SIZE_MAX), and the share of
 * the difference to the board's cell that lies between that cell and the surface. */
typedef struct {
  const double *row;
  size_t cell;
  double share;
} Cover;

enum { COVERS_MAX = 4, CORNERS = 4 };

/* The surface over one column. */
typedef struct {
  const double *row;   /* [r] of the basis at the column's outer cell */
  uint32_t face;       /* UINT32_MAX = covered altogether */
  double weight, open; /* open: share of the column that is a free face */
  Cover covers[COVERS_MAX];
  size_t n_covers;
} Column;

typedef struct {
  Column corner[CORNERS];
  size_t n;
} Spot;

struct HeatSpots {
  HeatArena arena;
  const HeatReduced *model;
  Spot *spots;
  size_t n;
};

/* ---- where a point lies ---- */

static size_t
cell_of (const double *edges, size_t n, double v)
{
  size_t i = 0;
  if (!(v >= edges[0] && v <= edges[n]))
    return SIZE_MAX;
  while (i + 1 < n && edges[i + 1] <= v)
    i++;
  return i;
}

static size_t
beside (const double *edges, size_t n, size_t i, double v, double *weight)
{
  double c = 0.5 * (edges[i] + edges[i + 1]);
  *weight = 0;
  if ((v < c && i == 0) || (v >= c && i + 1 >= n))
    return i;
  size_t k = v < c ? i - 1 : i + 1;
  *weight = (v - c) / (0.5 * (edges[k] + edges[k + 1]) - c);
  return k;
}

/* ---- a column's surface ---- */

static size_t
melting_cell (const HeatReduced *m, uint32_t node)
{
  for (size_t i = 0; i < m->cells.n; i++)
    if (m->cells.items[i].melt.node == node)
      return i;
  return SIZE_MAX;
}

/* The basis at one node, together in memory; NULL when that is short. */
static const double *
row_of (HeatArena *arena, const HeatReduced *m, size_t node)
{
  double *row = HEAT_TAKE (arena, double, m->r);
  for (size_t k = 0; row && k < m->r; k++)
    row[k] = m->v[k * m->n + node];
  return row;
}

static bool
add_cover (HeatArena *arena, const HeatReduced *m, const HeatBlock *b, size_t column, double half, Column *out)
{
  const HeatNetwork *net = &m->net;
  size_t ix = column % net->mesh.nx - b->ix0, iy = column / net->mesh.nx - b->iy0; /* wrap when left of it */
  if (ix >= b->nx || iy >= b->ny || out->n_covers == COVERS_MAX)
    return true;
  size_t j = iy * b->nx + ix;
  double g = net->stencil.gc[b->couple + j];
  if (!(g > 0))
    return true;
  Cover cover = { row_of (arena, m, b->at + j), melting_cell (m, (uint32_t) (b->at + j)),
                  g * half / net->board.area[column] };
  out->covers[out->n_covers++] = cover;
  return cover.row != NULL;
}

static bool
fill_column (HeatArena *arena, const HeatReduced *m, size_t column, bool up, Column *out)
{
  const HeatNetwork *net = &m->net;
  const HeatLayout *layout = &net->stencil.layout;
  size_t columns = net->mesh.nx * net->mesh.ny, base = up ? (layout->blocks[0].nz - 1) * columns : 0;
  double half = (up ? net->half_up : net->half_down)[column];
  out->row = row_of (arena, m, base + column);
  out->face = (up ? m->faces.up : m->faces.down)[column];
  if (out->face != UINT32_MAX)
    out->open = m->faces.area[out->face] / net->board.area[column];
  for (size_t k = 1; k < layout->n_blocks; k++)
    if (layout->blocks[k].below != up && !add_cover (arena, m, &layout->blocks[k], column, half, out))
      return false;
  return out->row != NULL;
}

static bool
find_spot (HeatArena *arena, const HeatReduced *m, const HeatSpot *at, Spot *out)
{
  const HeatMesh *mesh = &m->net.mesh;
  double wx, wy;
  size_t ix = cell_of (mesh->xe, mesh->nx, at->at.x), iy = cell_of (mesh->ye, mesh->ny, at->at.y);
  out->n = 0;
  if (ix == SIZE_MAX || iy == SIZE_MAX || !(m->net.board.area[iy * mesh->nx + ix] > 0))
    return true;
  size_t kx = beside (mesh->xe, mesh->nx, ix, at->at.x, &wx), ky = beside (mesh->ye, mesh->ny, iy, at->at.y, &wy);
  size_t here = iy * mesh->nx + ix;
  size_t column[CORNERS] = { here, iy * mesh->nx + kx, ky * mesh->nx + ix, ky * mesh->nx + kx };
  double weight[CORNERS] = { (1 - wx) * (1 - wy), wx * (1 - wy), (1 - wx) * wy, wx * wy };
  for (size_t i = 0; i < CORNERS; i++) {
    Column *c = &out->corner[out->n];
    if (!(weight[i] > 0))
      continue;
    c->weight = weight[i];
    out->n++;
    if (!fill_column (arena, m, m->net.board.area[column[i]] > 0 ? column[i] : here, at->up, c))
      return false;
  }
  return true;
}

HeatSpots *
heat_spots_new (const HeatReduced *model, const HeatSpot *at, size_t n)
{
  HeatArena arena = HEAT_ARENA_INIT;
  HeatSpots *self = HEAT_TAKE (&arena, HeatSpots, 1);
  if (!self)
    return NULL;
  *self = (HeatSpots){ .model = model, .n = n };
  self->spots = HEAT_TAKE (&arena, Spot, n);
  bool ok = self->spots != NULL;
  for (size_t i = 0; ok && i < n; i++)
    ok = find_spot (&arena, model, &at[i], &self->spots[i]);
  self->arena = arena;
  if (ok)
    return self;
  heat_spots_free (self);
  return NULL;
}

void
heat_spots_free (HeatSpots *self)
{
  if (!self)
    return;
  HeatArena arena = self->arena;
  heat_arena_clear (&arena);
}

/* ---- reading ---- */

size_t
heat_reduced_n_times (const HeatReducedRun *run)
{
  return run->n_times;
}

const double *
heat_reduced_times (const HeatReducedRun *run)
{
  return run->times;
}

/* Over air. */
static double
node_over_air (const HeatReduced *m, const double *x, const double *row)
{
  double sum = 0;
  for (size_t k = 0; k < m->r; k++)
    sum += row[k] * x[k];
  return sum;
}

static double
surface_over_air (const HeatReducedRun *run, size_t at, const Column *c)
{
  const HeatReduced *m = run->model;
  const double *x = run->states + at * m->stride;
  double cell = node_over_air (m, x, c->row), out = cell;
  if (c->face != UINT32_MAX) {
    double excess = run->excesses[at * m->zones.faces.n + m->zones.of[c->face]];
    double q = heat_law_flux (&m->laws, c->face, &run->moments[at], cell) + excess;
    out -= c->open * m->faces.half[c->face] * q;
  }
  for (size_t i = 0; i < c->n_covers; i++) {
    const Cover *cover = &c->covers[i];
    double over = node_over_air (m, x, cover->row);
    if (cover->cell != SIZE_MAX) {
      double dev = run->devs[at * m->cells.n + cover->cell];
      over += dev != 0 ? dev : heat_cell_lag (m, cover->cell, run->rates + at * m->stride);
    }
    out -= cover->share * (cell - over);
  }
  return out;
}

void
heat_spots_read (const HeatSpots *self, const HeatReducedRun *run, double *out)
{
  for (size_t at = 0; at < run->n_times; at++)
    for (size_t i = 0; i < self->n; i++) {
      const Spot *spot = &self->spots[i];
      double sum = 0;
      for (size_t k = 0; k < spot->n; k++)
        sum += spot->corner[k].weight * surface_over_air (run, at, &spot->corner[k]);
      out[at * self->n + i] = spot->n ? run->scene.room.air_c + sum : NAN;
    }
}
