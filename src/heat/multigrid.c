/* The levels of the multigrid: coarser and coarser meshes, and the order in which the last one is factored. */
#include "heat/multigrid-internal.h"

enum { COARSEST_COLUMNS = 40 };

static size_t
parent_of (const HeatLevel *l, const HeatBlock *fine, const HeatBlock *coarse, size_t ix, size_t iy)
{
  return (l->axis[1].parent[fine->iy0 + iy] - coarse->iy0) * coarse->nx + l->axis[0].parent[fine->ix0 + ix] - coarse->ix0;
}

/* What hangs on the row sums, and scratch. */
static bool
take_own (HeatArena *arena, HeatLevel *l)
{
  float **arrays[] = { &l->sum, &l->diag, &l->inverse, &l->lower, &l->x, &l->b, &l->r, &l->p };
  for (size_t i = 0; i < sizeof arrays / sizeof arrays[0]; i++)
    if (!(*arrays[i] = HEAT_TAKE (arena, float, l->layout.n)))
      return false;
  return true;
}

static bool
take_level (HeatArena *arena, HeatLevel *l)
{
  float **arrays[] = { &l->gx, &l->gy, &l->gz, &l->gsum, &l->gzsum };
  for (size_t i = 0; i < sizeof arrays / sizeof arrays[0]; i++)
    if (!(*arrays[i] = HEAT_TAKE (arena, float, l->layout.n)))
      return false;
  l->gc = HEAT_TAKE (arena, float, l->layout.n_couple);
  return l->gc && take_own (arena, l);
}

static void
copy_fine (const HeatStencil *s, HeatLevel *l)
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
coarse_layout (HeatArena *arena, const HeatLevel *level, HeatLayout *coarse)
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
coarsen_block (const HeatLevel *f, HeatLevel *c, size_t index)
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
sum_level (HeatLevel *l)
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

/* HeatLevel-1 node of the cell each single node holds to most; by way of another single node if need be. */
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
  HeatLevel *l = &mg->levels[0];
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

void
heat_multigrid_each_pair (HeatMultigrid *mg, HeatMultigridPair visit)
{
  const HeatLevel *l = &mg->levels[mg->n_levels - 1];
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
sum_columns (HeatLevel *l)
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
  HeatLevel *fine = &mg->levels[0];
  fine->layout = mg->fine->layout;
  if (!take_level (arena, fine) || !heat_axis_new (arena, mesh->xe, mesh->nx, &fine->axis[0])
      || !heat_axis_new (arena, mesh->ye, mesh->ny, &fine->axis[1]))
    return false;
  copy_fine (mg->fine, fine);
  sum_columns (fine);
  mg->n_levels = 1;
  for (;;) {
    HeatLevel *f = &mg->levels[mg->n_levels - 1], *c = &mg->levels[mg->n_levels];
    if (!heat_axes_coarsen (arena, f->axis, c->axis) || !coarse_layout (arena, f, &c->layout) || !take_level (arena, c))
      return false;
    for (size_t i = 0; i < f->layout.n_blocks; i++)
      coarsen_block (f, c, i);
    sum_level (c);
    sum_columns (c);
    mg->n_levels++;
    const HeatBlock *board = &c->layout.blocks[0];
    if (board->nx * board->ny <= COARSEST_COLUMNS || mg->n_levels == HEAT_LEVELS_MAX
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
  heat_multigrid_each_pair (mg, widen);
  size_t n = mg->levels[mg->n_levels - 1].layout.n;
  if (!heat_band_new (arena, n, mg->band.width, &mg->band))
    return NULL;
  for (size_t i = 0; i < n; i++)
    mg->band.first[i] = i;
  heat_multigrid_each_pair (mg, begin_row);
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
