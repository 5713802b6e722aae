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

/* A square's extent along one axis. CENTERED: each point of it is shared between the middles of the cells on either side, so that the
 * centre of what the cells get is the square's own, wherever in its cell the square lies. */
typedef struct {
  const double *edges, *centers;
  size_t n;
  double low, high;
  bool centered;
} Extent;

static Extent
extent_of (const double *edges, const double *centers, size_t n, double at, double side, bool centered)
{
  return (Extent){ edges, centers, n, fmax (at - side / 2, edges[0]), fmin (at + side / 2, edges[n]), centered };
}

/* Integral over the extent of what grows from 0 at FROM to 1 at TO, between the two. */
static double
ramp (const Extent *e, double from, double to)
{
  double a = fmax (e->low, fmin (from, to)), b = fmin (e->high, fmax (from, to));
  return b > a ? (b - a) * ((a + b) / 2 - from) / (to - from) : 0;
}

static double
extent_share (const Extent *e, size_t i)
{
  const double *c = e->centers;
  if (!e->centered)
    return overlap (e->low, e->high, e->edges[i], e->edges[i + 1]);
  double before = i > 0 ? ramp (e, c[i - 1], c[i]) : overlap (e->low, e->high, e->edges[0], c[0]);
  double after = i + 1 < e->n ? ramp (e, c[i + 1], c[i]) : overlap (e->low, e->high, c[i], e->edges[e->n]);
  return before + after;
}

static void
extent_cells (const Extent *e, size_t *from, size_t *to)
{
  size_t first = heat_cell_of (e->edges, e->n, e->low), last = heat_cell_of (e->edges, e->n, e->high);
  *from = first > 0 ? first - 1 : 0;
  *to = last + 2 < e->n ? last + 2 : e->n;
}

/* Visits the cells under the square: sums their shares, or adds SCALE times each to OUT. */
static double
square_shares (const HeatMesh *mesh, const HeatBlock *b, const double *open, HeatXY at, double side, bool centered,
               double scale, double *out, HeatRange *touched)
{
  Extent along = extent_of (mesh->xe + b->ix0, mesh->xc + b->ix0, b->nx, at.x, side, centered);
  Extent up = extent_of (mesh->ye + b->iy0, mesh->yc + b->iy0, b->ny, at.y, side, centered);
  size_t x0, x1, y0, y1;
  double sum = 0;
  extent_cells (&along, &x0, &x1);
  extent_cells (&up, &y0, &y1);
  for (size_t iy = y0; iy < y1; iy++)
    for (size_t ix = x0; ix < x1; ix++) {
      double share = open[iy * b->nx + ix] > 0 ? extent_share (&along, ix) * extent_share (&up, iy) : 0;
      if (share <= 0)
        continue;
      sum += share;
      if (out) {
        out[iy * b->nx + ix] += scale * share;
        touch (touched, ix, iy);
      }
    }
  return sum;
}

bool
heat_spread (const HeatMesh *mesh, const HeatBlock *b, const double *open, HeatXY at, double side_m, bool centered,
             double amount, double *out, HeatRange *touched)
{
  double sum = square_shares (mesh, b, open, at, side_m, centered, 0, NULL, NULL);
  if (sum > 0.02 * side_m * side_m) {
    square_shares (mesh, b, open, at, side_m, centered, amount / sum, out, touched);
    return true;
  }
  size_t column = nearest_open (mesh, b, open, at);
  if (column == SIZE_MAX)
    return false;
  out[column] += amount;
  touch (touched, column % b->nx, column / b->nx);
  return true;
}

/* Of the square of a cell's side: see below. */
static const double CELL_SPREAD = 0.1;

/* A joint that stands alone acts as if spread wider than its square, over the cells; what its heat would have to overcome
 * on its way along the outer layer, from its own square to there, is missed. In a sheet of conductance S that passes heat
 * on through R, a source with the mean square distance V from its centre along an axis meets about
 * ln (1 + S R / (0.95 V)) / (4 pi S), which has both limits: ln (..) / (2 pi S) of a small source, R over its area of a large one.
 * Sharing a point between the middles of cells of side d adds d2 / 6 to V, and that cells meet less than the true sheet takes
 * d2 / 12 of it away; a source smaller than a cell comes to 0.1 d2, too, on average over its places among the cells. */
double
heat_joint_strait (const HeatNetwork *net, bool below, size_t column, double side_m)
{
  const HeatBoard *board = &net->scene->board;
  const HeatMesh *m = &net->mesh;
  size_t columns = m->nx * m->ny, layer = below ? 0 : board->n_layers - 1, node = layer * columns + column;
  double dx = m->xe[column % m->nx + 1] - m->xe[column % m->nx], dy = m->ye[column / m->nx + 1] - m->ye[column / m->nx];
  double sheet = net->kin[node] * board->layers[layer].thickness_m, through = 0, own = side_m * side_m / 12;
  double wide = own + CELL_SPREAD * (dx * dx + dy * dy) / 2;
  if (board->n_layers > 1)
    through = net->stencil.gz[below ? node : node - columns] / (dx * dy);
  double limit = 0.95 * through / sheet;
  return log ((1 / own + limit) / (1 / wide + limit)) / (12.566370614359172 * sheet);
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
  return fmin (fmax (sqrt (least), 0.2e-3), HEAT_JOINT_SIDE_MOST_M);
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
