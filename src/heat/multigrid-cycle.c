/* The multigrid's cycle: transfer between levels, smoothing, the last level solved. */
#include <string.h>

#include "heat/multigrid-internal.h"
#include "heat/wide.h"

#define REAL float
#define KERNEL(name) float_##name
#include "heat/stencil-kernel.inc"

/* So many columns at a time are solved as lines. */
enum { COLUMNS = 256 };

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
restrict_block (const HeatLevel *l, const HeatBlock *fb, const HeatBlock *cb, const float *restrict fine,
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
prolong_block (const HeatLevel *l, const HeatBlock *fb, const HeatBlock *cb, float *restrict fine,
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
  const HeatLevel *f = &mg->levels[level], *c = &mg->levels[level + 1];
  for (size_t i = 0; i < c->layout.n; i++)
    coarse[i] = 0;
  for (size_t i = 0; i < f->layout.n_blocks; i++)
    restrict_block (f, &f->layout.blocks[i], &c->layout.blocks[i], fine, coarse, f->p);
  for (size_t i = f->layout.n_cells; i < f->layout.n; i++)
    coarse[mg->home[i - f->layout.n_cells]] += fine[i];
}

void
heat_multigrid_restrict (const HeatMultigrid *mg, size_t level, const float *fine, float *coarse)
{
  restrict_level (mg, level, fine, coarse);
}

HEAT_INLINE void
prolong_level (const HeatMultigrid *mg, size_t level, float *fine, const float *coarse)
{
  const HeatLevel *f = &mg->levels[level], *c = &mg->levels[level + 1];
  for (size_t i = 0; i < f->layout.n_blocks; i++)
    prolong_block (f, &f->layout.blocks[i], &c->layout.blocks[i], fine, coarse);
  for (size_t i = f->layout.n_cells; i < f->layout.n; i++)
    fine[i] += coarse[mg->home[i - f->layout.n_cells]];
}

/* R = A x, or with B what it leaves of that. */
HEAT_INLINE void
product (const HeatMultigrid *mg, size_t level, const float *x, const float *b, float *restrict r)
{
  const HeatLevel *l = &mg->levels[level];
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
advance (const HeatLevel *l, const Step *s, size_t at, size_t m)
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
solve_columns (const HeatLevel *l, size_t at, size_t step, size_t nz, size_t m)
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
step_columns (const HeatLevel *l, const Step *s, const HeatBlock *b)
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
step_nodes (const HeatLevel *l, const Step *s, size_t from, size_t to)
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
step (const HeatLevel *l, const Step *s)
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
  const HeatLevel *l = &mg->levels[level];
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
  const HeatLevel *l = &mg->levels[mg->n_levels - 1];
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
  HeatLevel *fine = &mg->levels[0];
  for (size_t i = 0; i < fine->layout.n; i++)
    fine->b[i] = (float) r[i];
  cycle (mg);
  for (size_t i = 0; i < fine->layout.n; i++)
    z[i] = fine->x[i];
}

void
heat_multigrid_narrow (HeatMultigrid *mg, const float *r, float *z)
{
  HeatLevel *fine = &mg->levels[0], own = *fine;
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
