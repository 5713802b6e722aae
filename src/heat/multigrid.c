#include "heat/multigrid.h"

#include <math.h>
#include <string.h>

#include "heat/band.h"
#include "heat/multigrid-axes.h"
#include "heat/wide.h"

#define REAL float
#define KERNEL(name) float_##name
#include "heat/stencil-kernel.inc"

/* COLUMNS: so many at a time are solved as lines. */
enum { LEVELS_MAX = 16, COARSEST_COLUMNS = 40, COLUMNS = 256 };
/* Chebyshev smoothing damps the spectrum from its upper end down to this part of it. */
static const float SMOOTH_PART = 0.25f;
/* Columns are smoothed as lines when they hold more than this of some diagonal. */
static const float LINE_SHARE = 0.5f;
/* The last level is factored anew when its row sums have moved by this share. */
static const double DRIFT = 0.1;
/* The cycle stays as it is while no row sum has moved by more than this share of its diagonal. */
static const float KEEP = 0.03f;

typedef struct {
  HeatLayout layout;
  float *gx, *gy, *gz, *gc, *gsum;
  float *gzsum; /* sum of the conductances along a column */
  float *sum, *diag;
  float *inverse, *lower; /* of the diagonal, or of the columns' tridiagonal factors */
  bool lines;
  float *x, *b, *r, *p;
  float low, high;
  HeatAxis axis[2];
  const HeatLink *pairs; /* of two single nodes that are solved together; none but on the finest level */
  size_t n_pairs;
} Level;

struct HeatMultigrid {
  const HeatStencil *fine;
  Level levels[LEVELS_MAX];
  size_t n_levels;
  uint32_t *home;  /* node of level 1 each single node belongs to */
  float *links;    /* conductances of the fine links */
  uint32_t *order; /* place of each node of the last level in the band */
  HeatBand band;
  double *work;
  float *factored; /* row sums the factor was made from */
  bool has_factor;
};

static size_t
parent_of (const Level *l, const HeatBlock *fine, const HeatBlock *coarse, size_t ix, size_t iy)
{
  return (l->axis[1].parent[fine->iy0 + iy] - coarse->iy0) * coarse->nx + l->axis[0].parent[fine->ix0 + ix] - coarse->ix0;
}

/* What hangs on the row sums, and scratch. */
static bool
take_own (HeatArena *arena, Level *l)
{
  float **arrays[] = { &l->sum, &l->diag, &l->inverse, &l->lower, &l->x, &l->b, &l->r, &l->p };
  for (size_t i = 0; i < sizeof arrays / sizeof arrays[0]; i++)
    if (!(*arrays[i] = HEAT_TAKE (arena, float, l->layout.n)))
      return false;
  return true;
}

static bool
take_level (HeatArena *arena, Level *l)
{
  float **arrays[] = { &l->gx, &l->gy, &l->gz, &l->gsum, &l->gzsum };
  for (size_t i = 0; i < sizeof arrays / sizeof arrays[0]; i++)
    if (!(*arrays[i] = HEAT_TAKE (arena, float, l->layout.n)))
      return false;
  l->gc = HEAT_TAKE (arena, float, l->layout.n_couple);
  return l->gc && take_own (arena, l);
}

static void
copy_fine (const HeatStencil *s, Level *l)
{
  for (size_t i = 0; i < s->layout.n_cells; i++) {
    l->gx[i] = (float) s->gx[i];
    l->gy[i] = (float) s->gy[i];
    l->gz[i] = (float) s->gz[i];
  }
  for (size_t i = 0; i < s->layout.n_couple; i++)
    l->gc[i] = (float) s->gc[i];
  for (size_t i = 0; i < s->layout.n; i++)
    l->gsum[i] = (float) s->gsum[i];
}

static bool
coarse_layout (HeatArena *arena, const Level *level, HeatLayout *coarse)
{
  const HeatLayout *fine = &level->layout;
  const uint32_t *px = level->axis[0].parent, *py = level->axis[1].parent;
  *coarse = (HeatLayout){ .n_blocks = fine->n_blocks };
  coarse->blocks = HEAT_TAKE (arena, HeatBlock, fine->n_blocks);
  if (!coarse->blocks)
    return false;
  for (size_t i = 0; i < fine->n_blocks; i++) {
    HeatBlock b = fine->blocks[i];
    size_t x1 = px[b.ix0 + b.nx - 1], y1 = py[b.iy0 + b.ny - 1];
    b.ix0 = px[b.ix0];
    b.iy0 = py[b.iy0];
    b.nx = x1 - b.ix0 + 1;
    b.ny = y1 - b.iy0 + 1;
    b.at = coarse->n_cells;
    b.couple = coarse->n_couple;
    coarse->n_cells += b.nx * b.ny * b.nz;
    if (i)
      coarse->n_couple += b.nx * b.ny;
    coarse->blocks[i] = b;
  }
  coarse->n = coarse->n_cells;
  return true;
}

static void
coarsen_block (const Level *f, Level *c, size_t index)
{
  const HeatBlock *fb = &f->layout.blocks[index], *cb = &c->layout.blocks[index];
  const uint32_t *px = f->axis[0].parent + fb->ix0, *py = f->axis[1].parent + fb->iy0;
  for (size_t iz = 0; iz < fb->nz; iz++)
    for (size_t iy = 0; iy < fb->ny; iy++)
      for (size_t ix = 0; ix < fb->nx; ix++) {
        size_t k = fb->at + (iz * fb->ny + iy) * fb->nx + ix;
        size_t column = parent_of (f, fb, cb, ix, iy), p = cb->at + iz * cb->nx * cb->ny + column;
        if (ix + 1 < fb->nx && px[ix] != px[ix + 1])
          c->gx[p] += (float) heat_axis_stretch (&f->axis[0], &c->axis[0], fb->ix0 + ix) * f->gx[k];
        if (iy + 1 < fb->ny && py[iy] != py[iy + 1])
          c->gy[p] += (float) heat_axis_stretch (&f->axis[1], &c->axis[1], fb->iy0 + iy) * f->gy[k];
        c->gz[p] += f->gz[k];
        if (index && iz == 0)
          c->gc[cb->couple + column] += f->gc[fb->couple + iy * fb->nx + ix];
      }
}

/* As heat_stencil_sum(), for a level without single nodes. */
static void
sum_level (Level *l)
{
  for (size_t i = 0; i < l->layout.n_blocks; i++) {
    const HeatBlock *b = &l->layout.blocks[i];
    size_t nxy = b->nx * b->ny;
    for (size_t k = b->at; k < b->at + nxy * b->nz; k++) {
      const float g[3] = { l->gx[k], l->gy[k], l->gz[k] };
      const size_t step[3] = { 1, b->nx, nxy };
      for (int way = 0; way < 3; way++)
        if (g[way] > 0) {
          l->gsum[k] += g[way];
          l->gsum[k + step[way]] += g[way];
        }
    }
    for (size_t j = 0; i && j < nxy; j++) {
      float g = l->gc[b->couple + j];
      l->gsum[b->at + j] += g;
      l->gsum[heat_board_node (&l->layout, b, j % b->nx, j / b->nx)] += g;
    }
  }
}

/* Level-1 node of the cell each single node holds to most; by way of another single node if need be. */
static bool
find_homes (HeatArena *arena, HeatMultigrid *mg)
{
  const HeatStencil *s = mg->fine;
  const HeatBlock *fb = &s->layout.blocks[0], *cb = &mg->levels[1].layout.blocks[0];
  size_t first = s->layout.n_cells, n = s->layout.n - first;
  mg->home = HEAT_TAKE (arena, uint32_t, n);
  double *most = HEAT_TAKE (arena, double, n);
  if (!mg->home || !most)
    return false;
  for (size_t i = 0; i < s->n_links; i++) {
    const HeatLink *l = &s->links[i];
    if (l->a < first || l->b >= first || l->g <= most[l->a - first])
      continue;
    size_t nxy = fb->nx * fb->ny, layer = l->b / nxy, c = l->b % nxy;
    most[l->a - first] = l->g;
    mg->home[l->a - first]
        = (uint32_t) (layer * cb->nx * cb->ny + parent_of (&mg->levels[0], fb, cb, c % fb->nx, c / fb->nx));
  }
  for (size_t i = 0; i < s->n_links; i++) {
    const HeatLink *l = &s->links[i];
    if (l->a >= first && l->b >= first && l->g > most[l->a - first])
      mg->home[l->a - first] = mg->home[l->b - first];
  }
  return true;
}

/* Single nodes that hang on each other, as a body and its joints: they swing together, which the board's cell under
 * them says nothing of. */
static bool
find_pairs (HeatArena *arena, HeatMultigrid *mg)
{
  const HeatStencil *s = mg->fine;
  Level *l = &mg->levels[0];
  size_t first = s->layout.n_cells;
  HeatLink *pairs = HEAT_TAKE (arena, HeatLink, (s->layout.n - first) / 2 + 1);
  bool *taken = HEAT_TAKE (arena, bool, s->layout.n - first);
  if (!pairs || !taken)
    return false;
  for (size_t i = 0; i < s->n_links; i++) {
    const HeatLink *link = &s->links[i];
    if (link->a < first || link->b < first || taken[link->a - first] || taken[link->b - first])
      continue;
    taken[link->a - first] = taken[link->b - first] = true;
    pairs[l->n_pairs++] = *link;
    l->gzsum[link->a] += (float) link->g;
    l->gzsum[link->b] += (float) link->g;
  }
  l->pairs = pairs;
  return true;
}

/* Band order of the last level: along the longer side of the board, column by column, bodies from their far side to the
 * board first, so that rows of the factor are short but for the board's. */
static bool
order_last (HeatArena *arena, HeatMultigrid *mg)
{
  const HeatLayout *l = &mg->levels[mg->n_levels - 1].layout;
  const HeatBlock *board = &l->blocks[0];
  mg->order = HEAT_TAKE (arena, uint32_t, l->n);
  mg->work = HEAT_TAKE (arena, double, l->n);
  mg->factored = HEAT_TAKE (arena, float, l->n);
  if (!mg->order || !mg->work || !mg->factored)
    return false;
  bool rows = board->ny >= board->nx;
  size_t outer = rows ? board->ny : board->nx, inner = rows ? board->nx : board->ny, next = 0;
  for (size_t i = 0; i < outer * inner; i++) {
    size_t ix = rows ? i % inner : i / inner, iy = rows ? i / inner : i % inner;
    for (size_t k = l->n_blocks; k-- > 0;) {
      const HeatBlock *b = &l->blocks[k];
      if (ix < b->ix0 || iy < b->iy0 || ix >= b->ix0 + b->nx || iy >= b->iy0 + b->ny)
        continue;
      for (size_t iz = b->nz; iz-- > 0;)
        mg->order[b->at + (iz * b->ny + iy - b->iy0) * b->nx + ix - b->ix0] = (uint32_t) next++;
    }
  }
  return true;
}

typedef void (*Pair) (HeatMultigrid *mg, size_t a, size_t b, float g);

/* Visits every conductance of the last level. */
static void
each_pair (HeatMultigrid *mg, Pair visit)
{
  const Level *l = &mg->levels[mg->n_levels - 1];
  for (size_t i = 0; i < l->layout.n_blocks; i++) {
    const HeatBlock *b = &l->layout.blocks[i];
    size_t nxy = b->nx * b->ny;
    for (size_t k = b->at; k < b->at + nxy * b->nz; k++) {
      if (l->gx[k] > 0)
        visit (mg, k, k + 1, l->gx[k]);
      if (l->gy[k] > 0)
        visit (mg, k, k + b->nx, l->gy[k]);
      if (l->gz[k] > 0)
        visit (mg, k, k + nxy, l->gz[k]);
    }
    for (size_t j = 0; i && j < nxy; j++)
      if (l->gc[b->couple + j] > 0)
        visit (mg, b->at + j, heat_board_node (&l->layout, b, j % b->nx, j / b->nx),
               l->gc[b->couple + j]);
  }
}

static void
widen (HeatMultigrid *mg, size_t a, size_t b, float g)
{
  (void) g;
  size_t i = mg->order[a], j = mg->order[b], gap = i > j ? i - j : j - i;
  if (gap > mg->band.width)
    mg->band.width = gap;
}

static void
begin_row (HeatMultigrid *mg, size_t a, size_t b, float g)
{
  (void) g;
  size_t i = mg->order[a], j = mg->order[b], row = i > j ? i : j, column = i > j ? j : i;
  if (column < mg->band.first[row])
    mg->band.first[row] = column;
}

static void
put (HeatMultigrid *mg, size_t a, size_t b, float g)
{
  size_t i = mg->order[a], j = mg->order[b];
  *heat_band_at (&mg->band, i > j ? i : j, i > j ? j : i) -= g;
}

static void
sum_columns (Level *l)
{
  for (size_t i = 0; i < l->layout.n_blocks; i++) {
    const HeatBlock *b = &l->layout.blocks[i];
    size_t nxy = b->nx * b->ny;
    for (size_t k = b->at; k < b->at + nxy * (b->nz - 1); k++) {
      l->gzsum[k] += l->gz[k];
      l->gzsum[k + nxy] += l->gz[k];
    }
  }
}

static bool
build_levels (HeatArena *arena, const HeatMesh *mesh, HeatMultigrid *mg)
{
  Level *fine = &mg->levels[0];
  fine->layout = mg->fine->layout;
  if (!take_level (arena, fine) || !heat_axis_new (arena, mesh->xe, mesh->nx, &fine->axis[0])
      || !heat_axis_new (arena, mesh->ye, mesh->ny, &fine->axis[1]))
    return false;
  copy_fine (mg->fine, fine);
  sum_columns (fine);
  mg->n_levels = 1;
  for (;;) {
    Level *f = &mg->levels[mg->n_levels - 1], *c = &mg->levels[mg->n_levels];
    if (!heat_axes_coarsen (arena, f->axis, c->axis) || !coarse_layout (arena, f, &c->layout) || !take_level (arena, c))
      return false;
    for (size_t i = 0; i < f->layout.n_blocks; i++)
      coarsen_block (f, c, i);
    sum_level (c);
    sum_columns (c);
    mg->n_levels++;
    const HeatBlock *board = &c->layout.blocks[0];
    if (board->nx * board->ny <= COARSEST_COLUMNS || mg->n_levels == LEVELS_MAX
        || (board->nx == 1 && board->ny == 1))
      return true;
  }
}

HeatMultigrid *
heat_multigrid_new (HeatArena *arena, const HeatStencil *stencil, const HeatMesh *mesh)
{
  HeatMultigrid *mg = HEAT_TAKE (arena, HeatMultigrid, 1);
  if (!mg)
    return NULL;
  mg->fine = stencil;
  mg->links = HEAT_TAKE (arena, float, stencil->n_links);
  if (!mg->links || !build_levels (arena, mesh, mg) || !find_homes (arena, mg) || !find_pairs (arena, mg)
      || !order_last (arena, mg))
    return NULL;
  for (size_t i = 0; i < stencil->n_links; i++)
    mg->links[i] = (float) stencil->links[i].g;
  each_pair (mg, widen);
  size_t n = mg->levels[mg->n_levels - 1].layout.n;
  if (!heat_band_new (arena, n, mg->band.width, &mg->band))
    return NULL;
  for (size_t i = 0; i < n; i++)
    mg->band.first[i] = i;
  each_pair (mg, begin_row);
  return mg;
}

HeatMultigrid *
heat_multigrid_twin (HeatArena *arena, const HeatMultigrid *of)
{
  HeatMultigrid *mg = HEAT_TAKE (arena, HeatMultigrid, 1);
  if (!mg)
    return NULL;
  *mg = *of;
  mg->has_factor = false;
  for (size_t i = 0; i < mg->n_levels; i++)
    if (!take_own (arena, &mg->levels[i]))
      return NULL;
  size_t n = mg->levels[mg->n_levels - 1].layout.n;
  mg->work = HEAT_TAKE (arena, double, n);
  mg->factored = HEAT_TAKE (arena, float, n);
  size_t *first = mg->band.first;
  bool ok = mg->work && mg->factored && heat_band_new (arena, n, mg->band.width, &mg->band);
  mg->band.first = first;
  return ok ? mg : NULL;
}

/* C += children's rows: those of one parent are added up in ROW first, then along it. */
HEAT_INLINE void
restrict_rows (const float *restrict f, size_t nx, size_t rows, const uint32_t *restrict px, float *restrict row,
               float *restrict c)
{
  for (size_t ix = 0; ix < nx; ix++)
    row[ix] = f[ix];
  for (size_t k = 1; k < rows; k++)
    for (size_t ix = 0; ix < nx; ix++)
      row[ix] += f[k * nx + ix];
  for (size_t ix = 0; ix < nx;) {
    uint32_t parent = px[ix];
    float sum = row[ix++];
    while (ix < nx && px[ix] == parent)
      sum += row[ix++];
    c[parent] += sum;
  }
}

/* Row sums of the coarser level: children add up. ROW: scratch. */
HEAT_INLINE void
restrict_block (const Level *l, const HeatBlock *fb, const HeatBlock *cb, const float *restrict fine,
                float *restrict coarse, float *restrict row)
{
  const uint32_t *restrict px = l->axis[0].parent + fb->ix0, *restrict py = l->axis[1].parent + fb->iy0;
  for (size_t iz = 0; iz < fb->nz; iz++)
    for (size_t iy = 0, rows; iy < fb->ny; iy += rows) {
      for (rows = 1; iy + rows < fb->ny && py[iy + rows] == py[iy];)
        rows++;
      restrict_rows (fine + fb->at + (iz * fb->ny + iy) * fb->nx, fb->nx, rows, px, row,
                     coarse + cb->at + (iz * cb->ny + py[iy] - cb->iy0) * cb->nx - cb->ix0);
    }
}

HEAT_INLINE void
prolong_block (const Level *l, const HeatBlock *fb, const HeatBlock *cb, float *restrict fine,
               const float *restrict coarse)
{
  const uint32_t *restrict px = l->axis[0].parent + fb->ix0, *restrict py = l->axis[1].parent + fb->iy0;
  for (size_t iz = 0; iz < fb->nz; iz++)
    for (size_t iy = 0; iy < fb->ny; iy++) {
      float *restrict f = fine + fb->at + (iz * fb->ny + iy) * fb->nx;
      const float *restrict c = coarse + cb->at + (iz * cb->ny + py[iy] - cb->iy0) * cb->nx - cb->ix0;
      for (size_t ix = 0; ix < fb->nx; ix++)
        f[ix] += c[px[ix]];
    }
}

HEAT_INLINE void
restrict_level (const HeatMultigrid *mg, size_t level, const float *fine, float *coarse)
{
  const Level *f = &mg->levels[level], *c = &mg->levels[level + 1];
  for (size_t i = 0; i < c->layout.n; i++)
    coarse[i] = 0;
  for (size_t i = 0; i < f->layout.n_blocks; i++)
    restrict_block (f, &f->layout.blocks[i], &c->layout.blocks[i], fine, coarse, f->p);
  for (size_t i = f->layout.n_cells; i < f->layout.n; i++)
    coarse[mg->home[i - f->layout.n_cells]] += fine[i];
}

HEAT_INLINE void
prolong_level (const HeatMultigrid *mg, size_t level, float *fine, const float *coarse)
{
  const Level *f = &mg->levels[level], *c = &mg->levels[level + 1];
  for (size_t i = 0; i < f->layout.n_blocks; i++)
    prolong_block (f, &f->layout.blocks[i], &c->layout.blocks[i], fine, coarse);
  for (size_t i = f->layout.n_cells; i < f->layout.n; i++)
    fine[i] += coarse[mg->home[i - f->layout.n_cells]];
}

/* T = L D L' of the columns' own couplings, slab by slab. */
static void
factor_columns (Level *l)
{
  for (size_t i = 0; i < l->layout.n_blocks; i++) {
    const HeatBlock *b = &l->layout.blocks[i];
    size_t nxy = b->nx * b->ny;
    for (size_t k = b->at + nxy; k < b->at + nxy * b->nz; k++) {
      float g = l->gz[k - nxy];
      l->lower[k] = g * l->inverse[k - nxy];
      float pivot = l->diag[k] - g * l->lower[k];
      l->inverse[k] = pivot > 0 ? 1 / pivot : 0;
    }
  }
}

/* Diagonal, its inverse (0 where there is no cell), and bounds of the spectrum the smoother sees. Where
 * columns couple strongly they are solved as lines; T is at least the diagonal without them, so the
 * bounds are Gershgorin's of what is left. */
static void
finish_diagonal (Level *l)
{
  float column = 0, most = 0;
  for (size_t i = 0; i < l->layout.n; i++) {
    l->diag[i] = l->sum[i] + l->gsum[i];
    l->inverse[i] = l->diag[i] > 0 ? 1 / l->diag[i] : 0;
    float share = l->gzsum[i] * l->inverse[i];
    column = column > share ? column : share;
  }
  l->lines = column > LINE_SHARE;
  for (size_t i = 0; i < l->layout.n; i++) {
    float whole = l->diag[i] - (l->lines ? l->gzsum[i] : 0);
    float off = l->gsum[i] - (l->lines ? l->gzsum[i] : 0);
    float share = whole > 0 ? off / whole : 0;
    most = share > most ? share : most;
  }
  most = most < 1 ? most : 1;
  l->high = 1 + most;
  l->low = 1 - most > SMOOTH_PART * l->high ? 1 - most : SMOOTH_PART * l->high;
  if (l->lines)
    factor_columns (l);
}

static void
factor_last (HeatMultigrid *mg)
{
  Level *l = &mg->levels[mg->n_levels - 1];
  double moved = 0, total = 0;
  for (size_t i = 0; i < l->layout.n; i++) {
    moved += fabs ((double) l->sum[i] - mg->factored[i]);
    total += fabs ((double) mg->factored[i]);
  }
  if (mg->has_factor && moved <= DRIFT * total)
    return;
  for (size_t i = 0; i < l->layout.n * (mg->band.width + 1); i++)
    mg->band.rows[i] = 0;
  for (size_t i = 0; i < l->layout.n; i++) {
    mg->factored[i] = l->sum[i];
    double diag = (double) l->sum[i] + l->gsum[i];
    /* No cell: a unit row. Nothing but conductances (adiabatic, steady): a trace of ground. */
    *heat_band_at (&mg->band, mg->order[i], mg->order[i]) = diag > 0 ? diag * (1 + 1e-6) : 1;
  }
  each_pair (mg, put);
  mg->has_factor = heat_band_factor (&mg->band);
}

/* Largest change of a row sum, as a share of its diagonal. */
HEAT_WIDE static float
drift (const Level *l, const double *row_sum)
{
  float most[8] = { 0 };
  size_t n = l->layout.n, i = 0;
  for (; i + 8 <= n; i += 8)
    for (size_t j = 0; j < 8; j++) {
      float v = fabsf ((float) row_sum[i + j] - l->sum[i + j]) * l->inverse[i + j];
      most[j] = v > most[j] ? v : most[j];
    }
  for (; i < n; i++) {
    float v = fabsf ((float) row_sum[i] - l->sum[i]) * l->inverse[i];
    most[0] = v > most[0] ? v : most[0];
  }
  for (size_t j = 1; j < 8; j++)
    most[0] = most[j] > most[0] ? most[j] : most[0];
  return most[0];
}

void
heat_multigrid_update (HeatMultigrid *mg, const double *row_sum)
{
  Level *fine = &mg->levels[0];
  if (mg->has_factor && drift (fine, row_sum) <= KEEP)
    return;
  for (size_t i = 0; i < fine->layout.n; i++)
    fine->sum[i] = (float) row_sum[i];
  for (size_t i = 0; i < mg->n_levels; i++) {
    finish_diagonal (&mg->levels[i]);
    if (i + 1 < mg->n_levels)
      restrict_level (mg, i, mg->levels[i].sum, mg->levels[i + 1].sum);
  }
  factor_last (mg);
}

void
heat_multigrid_forget (HeatMultigrid *mg)
{
  mg->has_factor = false;
}

/* R = A x, or with B what it leaves of that. */
HEAT_INLINE void
product (const HeatMultigrid *mg, size_t level, const float *x, const float *b, float *restrict r)
{
  const Level *l = &mg->levels[level];
  const HeatBlock *board = &l->layout.blocks[0];
  const float *zero = l->gz + board->at + (board->nz - 1) * board->nx * board->ny;
  float_Coefficients c = { l->gx, l->gy, l->gz, l->gc };
  float_apply (&l->layout, &c, zero, l->diag, x, b, r);
  if (level == 0) {
    for (size_t i = l->layout.n_cells; i < l->layout.n; i++)
      r[i] = b ? b[i] - l->diag[i] * x[i] : l->diag[i] * x[i];
    for (size_t i = 0; i < mg->fine->n_links; i++) {
      const HeatLink *link = &mg->fine->links[i];
      float g = b ? -mg->links[i] : mg->links[i];
      r[link->a] -= g * x[link->b];
      r[link->b] -= g * x[link->a];
    }
  }
}

/* One of the two Chebyshev steps, from what x leaves of b. */
typedef struct {
  bool second, fresh; /* FRESH: x counts as zero */
  float keep, scale;
} Step;

/* x and p of M nodes from AT, r being preconditioned. */
HEAT_INLINE void
advance (const Level *l, const Step *s, size_t at, size_t m)
{
  float *restrict x = l->x + at, *restrict p = l->p + at;
  const float *restrict r = l->r + at;
  if (s->second)
    for (size_t i = 0; i < m; i++)
      x[i] += s->keep * p[i] + s->scale * r[i];
  else
    for (size_t i = 0; i < m; i++) {
      p[i] = r[i] * s->scale;
      x[i] = s->fresh ? p[i] : x[i] + p[i];
    }
}

/* r = T^-1 r of M columns, whose cells lie STEP apart from AT on. */
HEAT_INLINE void
solve_columns (const Level *l, size_t at, size_t step, size_t nz, size_t m)
{
  for (size_t iz = 1; iz < nz; iz++) {
    float *restrict to = l->r + at + iz * step;
    const float *restrict from = to - step, *restrict low = l->lower + at + iz * step;
    for (size_t j = 0; j < m; j++)
      to[j] += low[j] * from[j];
  }
  for (size_t iz = nz; iz-- > 0;) {
    float *restrict to = l->r + at + iz * step;
    const float *restrict inverse = l->inverse + at + iz * step;
    for (size_t j = 0; j < m; j++)
      to[j] *= inverse[j];
    if (iz + 1 == nz)
      continue;
    const float *restrict from = to + step, *restrict low = l->lower + at + (iz + 1) * step;
    for (size_t j = 0; j < m; j++)
      to[j] += low[j] * from[j];
  }
}

/* Columns solved as lines, a run of them at a time, which stays in the nearest cache. */
HEAT_INLINE void
step_columns (const Level *l, const Step *s, const HeatBlock *b)
{
  size_t nxy = b->nx * b->ny;
  for (size_t j = 0; j < nxy; j += COLUMNS) {
    size_t m = nxy - j < COLUMNS ? nxy - j : COLUMNS;
    for (size_t iz = 0; !s->second && s->fresh && iz < b->nz; iz++)
      memcpy (l->r + b->at + iz * nxy + j, l->b + b->at + iz * nxy + j, m * sizeof (float));
    solve_columns (l, b->at + j, nxy, b->nz, m);
    for (size_t iz = 0; iz < b->nz; iz++)
      advance (l, s, b->at + iz * nxy + j, m);
  }
}

/* Nodes FROM..TO each by itself, but for the pairs. */
HEAT_INLINE void
step_nodes (const Level *l, const Step *s, size_t from, size_t to)
{
  const float *restrict inverse = l->inverse, *v = !s->second && s->fresh ? l->b : l->r;
  float *r = l->r;
  for (size_t i = from; i < to; i++)
    r[i] = v[i] * inverse[i];
  for (size_t i = 0; i < l->n_pairs && l->lines; i++) {
    const HeatLink *pair = &l->pairs[i];
    float g = (float) pair->g, a = g * inverse[pair->a], b = g * inverse[pair->b], share = 1 / (1 - a * b);
    float va = r[pair->a], vb = r[pair->b];
    r[pair->a] = (va + a * vb) * share;
    r[pair->b] = (vb + b * va) * share;
  }
  advance (l, s, from, to - from);
}

HEAT_INLINE void
step (const Level *l, const Step *s)
{
  if (!l->lines) {
    step_nodes (l, s, 0, l->layout.n);
    return;
  }
  for (size_t i = 0; i < l->layout.n_blocks; i++)
    step_columns (l, s, &l->layout.blocks[i]);
  step_nodes (l, s, l->layout.n_cells, l->layout.n);
}

/* Two Chebyshev steps from x; FRESH: x counts as zero. Leaves p as scratch. */
HEAT_INLINE void
smooth (const HeatMultigrid *mg, size_t level, bool fresh)
{
  const Level *l = &mg->levels[level];
  float theta = (l->high + l->low) / 2, delta = (l->high - l->low) / 2;
  float rho = 1 / (2 * theta / delta - delta / theta);
  const Step first = { .fresh = fresh, .scale = 1 / theta };
  const Step second = { .second = true, .keep = rho * delta / theta, .scale = 2 * rho / delta };
  if (!fresh)
    product (mg, level, l->x, l->b, l->r);
  step (l, &first);
  product (mg, level, l->x, l->b, l->r);
  step (l, &second);
}

static void
solve_last (HeatMultigrid *mg)
{
  const Level *l = &mg->levels[mg->n_levels - 1];
  if (!mg->has_factor) { /* rounding made it singular: a diagonal will do */
    for (size_t i = 0; i < l->layout.n; i++)
      l->x[i] = l->inverse[i] * l->b[i];
    return;
  }
  for (size_t i = 0; i < l->layout.n; i++)
    mg->work[mg->order[i]] = l->diag[i] > 0 ? l->b[i] : 0;
  heat_band_solve (&mg->band, mg->work);
  for (size_t i = 0; i < l->layout.n; i++)
    l->x[i] = (float) mg->work[mg->order[i]];
}

/* From the fine level's b to its x. */
HEAT_WIDE static void
cycle (HeatMultigrid *mg)
{
  for (size_t i = 0; i + 1 < mg->n_levels; i++) {
    smooth (mg, i, true);
    product (mg, i, mg->levels[i].x, mg->levels[i].b, mg->levels[i].r);
    restrict_level (mg, i, mg->levels[i].r, mg->levels[i + 1].b);
  }
  solve_last (mg);
  for (size_t i = mg->n_levels - 1; i-- > 0;) {
    prolong_level (mg, i, mg->levels[i].x, mg->levels[i + 1].x);
    smooth (mg, i, false);
  }
}

HEAT_WIDE void
heat_multigrid_apply (HeatMultigrid *mg, const double *r, double *z)
{
  Level *fine = &mg->levels[0];
  for (size_t i = 0; i < fine->layout.n; i++)
    fine->b[i] = (float) r[i];
  cycle (mg);
  for (size_t i = 0; i < fine->layout.n; i++)
    z[i] = fine->x[i];
}

void
heat_multigrid_narrow (HeatMultigrid *mg, const float *r, float *z)
{
  Level *fine = &mg->levels[0], own = *fine;
  fine->b = (float *) r; /* only read */
  fine->x = z;
  cycle (mg);
  fine->b = own.b;
  fine->x = own.x;
}

HEAT_WIDE void
heat_multigrid_product (const HeatMultigrid *mg, const float *x, float *y)
{
  product (mg, 0, x, NULL, y);
}
