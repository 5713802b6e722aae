#include "heat/network.h"

#include <math.h>

double
heat_read (const HeatReader *r, const double *t)
{
  return r->w[0] * t[r->node[0]] + r->w[1] * t[r->node[1]] + r->w[2] * t[r->node[2]]
         + r->w[3] * t[r->node[3]];
}

/* The cell whose centre is the last at or below V, and how far V is on the way to the next centre;
 * clamped to COUNT cells from FIRST. */
static size_t
lower_center (const double *centers, size_t first, size_t count, double v, double *share)
{
  *share = 0;
  if (count < 2 || v <= centers[first])
    return 0;
  if (v >= centers[first + count - 1]) {
    *share = 1;
    return count - 2;
  }
  size_t lo = heat_cell_of (centers + first, count - 1, v);
  *share = (v - centers[first + lo]) / (centers[first + lo + 1] - centers[first + lo]);
  return lo;
}

/* Column of a block whose open cell lies nearest, SIZE_MAX when there is none. */
static size_t
nearest_open (const HeatMesh *mesh, const HeatBlock *b, const double *open, HeatXY at)
{
  size_t best = SIZE_MAX;
  double least = INFINITY;
  for (size_t iy = 0; iy < b->ny; iy++)
    for (size_t ix = 0; ix < b->nx; ix++) {
      double d = hypot (mesh->xc[b->ix0 + ix] - at.x, mesh->yc[b->iy0 + iy] - at.y);
      if (open[iy * b->nx + ix] > 0 && d < least) {
        least = d;
        best = iy * b->nx + ix;
      }
    }
  return best;
}

HeatReader
heat_reader (const HeatMesh *mesh, const HeatBlock *b, size_t iz, const double *open, HeatXY at)
{
  double sx, sy, sum = 0;
  size_t ix = lower_center (mesh->xc, b->ix0, b->nx, at.x, &sx);
  size_t iy = lower_center (mesh->yc, b->iy0, b->ny, at.y, &sy);
  size_t slab = b->at + iz * b->nx * b->ny;
  HeatReader r;
  for (size_t i = 0; i < 4; i++) {
    size_t cx = ix + (i & 1), cy = iy + (i >> 1);
    bool in = cx < b->nx && cy < b->ny;
    size_t column = in ? cy * b->nx + cx : iy * b->nx + ix;
    r.node[i] = (uint32_t) (slab + column);
    r.w[i] = in && open[column] > 0 ? ((i & 1) ? sx : 1 - sx) * ((i >> 1) ? sy : 1 - sy) : 0;
    sum += r.w[i];
  }
  if (sum > 1e-6) {
    for (size_t i = 0; i < 4; i++)
      r.w[i] /= sum;
    return r;
  }
  size_t column = nearest_open (mesh, b, open, at);
  for (size_t i = 0; i < 4; i++) {
    r.node[i] = (uint32_t) (slab + (column == SIZE_MAX ? 0 : column));
    r.w[i] = i == 0;
  }
  return r;
}

static double
overlap (double a0, double a1, double b0, double b1)
{
  return fmax (0, fmin (a1, b1) - fmax (a0, b0));
}

static void
touch (HeatRange *range, size_t ix, size_t iy)
{
  if (!range)
    return;
  range->x0 = ix < range->x0 ? ix : range->x0;
  range->x1 = ix >= range->x1 ? ix + 1 : range->x1;
  range->y0 = iy < range->y0 ? iy : range->y0;
  range->y1 = iy >= range->y1 ? iy + 1 : range->y1;
}

/* Visits the cells under the square: sums their shares, or adds AMOUNT / TOTAL of them to OUT. */
static double
square_shares (const HeatMesh *mesh, const HeatBlock *b, const double *open, HeatXY at, double side,
               double scale, double *out, HeatRange *touched)
{
  double x0 = at.x - side / 2, x1 = at.x + side / 2, y0 = at.y - side / 2, y1 = at.y + side / 2;
  const double *xe = mesh->xe + b->ix0, *ye = mesh->ye + b->iy0;
  double sum = 0;
  for (size_t iy = heat_cell_of (ye, b->ny, y0); iy < b->ny && ye[iy] < y1; iy++)
    for (size_t ix = heat_cell_of (xe, b->nx, x0); ix < b->nx && xe[ix] < x1; ix++) {
      if (open[iy * b->nx + ix] <= 0)
        continue;
      double share = overlap (x0, x1, xe[ix], xe[ix + 1]) * overlap (y0, y1, ye[iy], ye[iy + 1]);
      sum += share;
      if (out) {
        out[iy * b->nx + ix] += scale * share;
        touch (touched, ix, iy);
      }
    }
  return sum;
}

bool
heat_spread (const HeatMesh *mesh, const HeatBlock *b, const double *open, HeatXY at, double side_m,
             double amount, double *out, HeatRange *touched)
{
  double sum = square_shares (mesh, b, open, at, side_m, 0, NULL, NULL);
  if (sum > 0.02 * side_m * side_m) {
    square_shares (mesh, b, open, at, side_m, amount / sum, out, touched);
    return true;
  }
  size_t column = nearest_open (mesh, b, open, at);
  if (column == SIZE_MAX)
    return false;
  out[column] += amount;
  touch (touched, column % b->nx, column / b->nx);
  return true;
}

double
heat_joint_side (const HeatBody *body)
{
  double foot
      = body->round ? 0.785398 * body->length_m * body->length_m : body->length_m * body->width_m;
  if (body->n_joints < 2)
    return 0.6 * sqrt (foot);
  double least = INFINITY;
  size_t tries = body->n_joints < 64 ? body->n_joints : 64; /* joints lie in regular rows */
  for (size_t i = 0; i < tries; i++)
    for (size_t j = 0; j < body->n_joints; j++)
      if (j != i) {
        double dx = body->joints[i].x - body->joints[j].x, dy = body->joints[i].y - body->joints[j].y;
        least = dx * dx + dy * dy < least ? dx * dx + dy * dy : least;
      }
  return fmin (fmax (sqrt (least), 0.2e-3), 3e-3);
}

static bool
take_arrays (HeatArena *arena, HeatNetwork *net)
{
  HeatStencil *s = &net->stencil;
  size_t columns = net->mesh.nx * net->mesh.ny;
  s->gx = HEAT_TAKE (arena, double, s->layout.n_cells);
  s->gy = HEAT_TAKE (arena, double, s->layout.n_cells);
  s->gz = HEAT_TAKE (arena, double, s->layout.n_cells);
  s->gc = HEAT_TAKE (arena, double, s->layout.n_couple);
  s->gsum = HEAT_TAKE (arena, double, s->layout.n);
  net->capacity = HEAT_TAKE (arena, double, s->layout.n);
  net->covered_up = HEAT_TAKE (arena, double, columns);
  net->covered_down = HEAT_TAKE (arena, double, columns);
  return s->gx && s->gy && s->gz && s->gc && s->gsum && net->capacity && net->covered_up
         && net->covered_down;
}

HeatStatus
heat_network_new (HeatArena *arena, const HeatScene *scene, const HeatMeshSize *size, size_t max_nodes,
                  HeatNetwork *net)
{
  net->scene = scene;
  HeatMeshSize limited = *size;
  limited.max_columns = max_nodes / scene->board.n_layers;
  HeatStatus status = heat_mesh_new (arena, scene, &limited, &net->mesh);
  if (status != HEAT_OK)
    return status;
  if (!heat_bodies_lay (arena, net))
    return HEAT_NO_MEMORY;
  if (net->stencil.layout.n > max_nodes || net->stencil.layout.n > UINT32_MAX / 2)
    return HEAT_TOO_LARGE;
  if (!take_arrays (arena, net) || !heat_links_take (arena, net) || !heat_board_assemble (arena, net)
      || !heat_bodies_assemble (arena, net) || !heat_lumps_assemble (arena, net) || !heat_ends_new (arena, net))
    return HEAT_NO_MEMORY;
  heat_stencil_sum (&net->stencil);
  return HEAT_OK;
}
