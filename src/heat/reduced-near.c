#include "heat/reduced-near.h"

#include <math.h>
#include <string.h>

/* ---- whether ---- */

static bool
same_lines (const double *a, size_t na, const double *b, size_t nb)
{
  return na == nb && memcmp (a, b, (na + 1) * sizeof (double)) == 0;
}

static bool
same_blocks (const HeatLayout *a, const HeatLayout *b)
{
  bool same = a->n_blocks == b->n_blocks && a->n == b->n && a->n_cells == b->n_cells;
  for (size_t i = 0; same && i < a->n_blocks; i++) {
    const HeatBlock *p = &a->blocks[i], *q = &b->blocks[i];
    same = p->ix0 == q->ix0 && p->iy0 == q->iy0 && p->nx == q->nx && p->ny == q->ny && p->nz == q->nz && p->at == q->at;
  }
  return same;
}

/* The same bodies in the same order, each of as many slabs, and as many single nodes. */
static bool
alike (const HeatReduced *a, const HeatReduced *b)
{
  const HeatLayout *la = &a->net.stencil.layout, *lb = &b->net.stencil.layout;
  bool same = a->scene->n_bodies == b->scene->n_bodies && la->n_blocks == lb->n_blocks
              && la->n - la->n_cells == lb->n - lb->n_cells;
  for (size_t i = 0; same && i < la->n_blocks; i++)
    same = la->blocks[i].nz == lb->blocks[i].nz;
  for (size_t i = 0; same && i < a->scene->n_bodies; i++)
    same = a->net.bodies[i].block == b->net.bodies[i].block && a->net.bodies[i].n_leads == b->net.bodies[i].n_leads;
  return same;
}

/* ---- where ---- */

/* The last of N centres at or below V, and how far V is on the way to the next. */
static size_t
lower (const double *centers, size_t n, double v, float *share)
{
  *share = 0;
  if (n < 2 || v <= centers[0])
    return 0;
  if (v >= centers[n - 1]) {
    *share = 1;
    return n - 2;
  }
  size_t i = heat_cell_of (centers, n - 1, v);
  *share = (float) ((v - centers[i]) / (centers[i + 1] - centers[i]));
  return i;
}

/* How far a block has moved. */
static HeatXY
moved (const HeatNear *near, size_t block)
{
  for (size_t i = 0; block && i < near->to->scene->n_bodies; i++)
    if (near->to->net.bodies[i].block == block) {
      HeatXY a = near->from->scene->bodies[i].center, b = near->to->scene->bodies[i].center;
      return (HeatXY){ b.x - a.x, b.y - a.y };
    }
  return (HeatXY){ 0, 0 };
}

/* Shares of the four columns round a place that exist. */
static void
place (const HeatReduced *from, const HeatBlock *b, size_t ix, size_t iy, float sx, float sy, uint32_t at[4], float share[4])
{
  const double *open = from->net.capacity + b->at + (b->nz > 1 ? b->nx * b->ny : 0); /* past a joint layer, which may hold none */
  float sum = 0;
  for (size_t i = 0; i < 4; i++) {
    size_t cx = ix + (i & 1), cy = iy + (i >> 1);
    bool in = cx < b->nx && cy < b->ny && open[cy * b->nx + cx] > 0;
    at[i] = in ? (uint32_t) (cy * b->nx + cx) : 0;
    share[i] = in ? ((i & 1) ? sx : 1 - sx) * ((i >> 1) ? sy : 1 - sy) : 0;
    sum += share[i];
  }
  for (size_t i = 0; i < 4; i++)
    share[i] = sum > 1e-3f ? share[i] / sum : 0;
}

static void
place_block (const HeatNear *near, size_t index, double *yc, double *xc)
{
  const HeatBlock *b = &near->to->net.stencil.layout.blocks[index], *was = &near->from->net.stencil.layout.blocks[index];
  const HeatMesh *mesh = &near->to->net.mesh, *old = &near->from->net.mesh;
  HeatXY by = moved (near, index);
  memcpy (xc, old->xc + was->ix0, was->nx * sizeof (double));
  memcpy (yc, old->yc + was->iy0, was->ny * sizeof (double));
  for (size_t iy = 0; iy < b->ny; iy++) {
    float sx, sy;
    size_t y = lower (yc, was->ny, mesh->yc[b->iy0 + iy] - by.y, &sy);
    for (size_t ix = 0; ix < b->nx; ix++) {
      size_t k = near->first[index] + iy * b->nx + ix, x = lower (xc, was->nx, mesh->xc[b->ix0 + ix] - by.x, &sx);
      place (near->from, was, x, y, sx, sy, near->at[k], near->share[k]);
    }
  }
}

bool
heat_near_find (HeatArena *arena, const HeatReduced *from, const HeatReduced *to, HeatNear *near)
{
  *near = (HeatNear){ .from = from, .to = to };
  if (!from || !alike (from, to))
    return false;
  const HeatLayout *layout = &to->net.stencil.layout;
  const HeatMesh *a = &from->net.mesh, *b = &to->net.mesh;
  near->same = same_blocks (&from->net.stencil.layout, layout) && same_lines (a->xe, a->nx, b->xe, b->nx)
               && same_lines (a->ye, a->ny, b->ye, b->ny);
  if (near->same)
    return true;
  near->first = HEAT_TAKE (arena, size_t, layout->n_blocks + 1);
  if (!near->first)
    return false;
  for (size_t i = 0; i < layout->n_blocks; i++)
    near->first[i + 1] = near->first[i] + layout->blocks[i].nx * layout->blocks[i].ny;
  near->at = heat_take (arena, near->first[layout->n_blocks], sizeof *near->at);
  near->share = heat_take (arena, near->first[layout->n_blocks], sizeof *near->share);
  double *xc = HEAT_TAKE (arena, double, a->nx), *yc = HEAT_TAKE (arena, double, a->ny);
  if (!near->at || !near->share || !xc || !yc)
    return false;
  for (size_t i = 0; i < layout->n_blocks; i++)
    place_block (near, i, yc, xc);
  return true;
}

/* ---- what ---- */

static void
fill_slab (const HeatNear *near, size_t first, size_t n, const float *was, float nothing, float *now)
{
  for (size_t i = 0; i < n; i++) {
    const uint32_t *at = near->at[first + i];
    const float *w = near->share[first + i];
    float any = w[0] + w[1] + w[2] + w[3];
    now[i] = any > 0 ? (w[0] * was[at[0]] + w[1] * was[at[1]]) + (w[2] * was[at[2]] + w[3] * was[at[3]]) : nothing;
  }
}

void
heat_near_field (const HeatNear *near, const float *was, float nothing, float *now)
{
  const HeatLayout *a = &near->from->net.stencil.layout, *b = &near->to->net.stencil.layout;
  if (near->same) {
    memcpy (now, was, b->n * sizeof (float));
    return;
  }
  for (size_t i = 0; i < b->n_blocks; i++) {
    const HeatBlock *p = &a->blocks[i], *q = &b->blocks[i];
    for (size_t iz = 0; iz < q->nz; iz++)
      fill_slab (near, near->first[i], q->nx * q->ny, was + p->at + iz * p->nx * p->ny, nothing,
                 now + q->at + iz * q->nx * q->ny);
  }
  memcpy (now + b->n_cells, was + a->n_cells, (b->n - b->n_cells) * sizeof (float));
}
