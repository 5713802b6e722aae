#include "heat/reduced-slaves.h"

/* ---- melting nodes of meshed bodies ---- */

typedef struct {
  const HeatReduced *m;
  HeatSlaves *s;
  uint32_t *of;  /* slave of each node, or UINT32_MAX */
  size_t *taken; /* neighbours of each so far */
} Finding;

/* Counts a neighbour of a slave or, once there is room, puts it down. */
static void
add (Finding *f, size_t i, size_t neighbour, double g)
{
  if (!(g > 0))
    return;
  if (f->s->neighbour) {
    size_t at = f->s->first[i] + f->taken[i];
    f->s->neighbour[at] = (uint32_t) neighbour;
    f->s->share[at] = (float) (g / f->m->net.stencil.gsum[f->s->node[i]]);
  }
  f->taken[i]++;
}

/* Neighbours of a cell of a body's first slab. */
static void
add_cell (Finding *f, const HeatBlock *b, size_t i)
{
  const HeatStencil *s = &f->m->net.stencil;
  size_t node = f->s->node[i], column = node - b->at, ix = column % b->nx, iy = column / b->nx;
  add (f, i, heat_board_node (&s->layout, b, ix, iy), s->gc[b->couple + column]);
  add (f, i, node + 1, s->gx[node]);
  add (f, i, node + b->nx, s->gy[node]);
  add (f, i, node + b->nx * b->ny, s->gz[node]);
  if (ix > 0)
    add (f, i, node - 1, s->gx[node - 1]);
  if (iy > 0)
    add (f, i, node - b->nx, s->gy[node - b->nx]);
}

static void
add_all (Finding *f)
{
  const HeatStencil *s = &f->m->net.stencil;
  const HeatNetwork *net = &f->m->net;
  for (size_t i = 0; i < f->s->n; i++)
    f->taken[i] = 0;
  for (size_t b = 0; b < f->m->scene->n_bodies; b++) {
    const HeatPlaced *p = &net->bodies[b];
    for (size_t k = p->first_melt; p->block != HEAT_NO_BLOCK && k < p->first_melt + p->n_melts; k++)
      if (net->melts.items[k].node < s->layout.n_cells)
        add_cell (f, &s->layout.blocks[p->block], f->of[net->melts.items[k].node]);
  }
  for (size_t i = 0; i < s->n_links; i++) {
    const HeatLink *l = &s->links[i];
    if (f->of[l->a] != UINT32_MAX)
      add (f, f->of[l->a], l->b, l->g);
    if (f->of[l->b] != UINT32_MAX)
      add (f, f->of[l->b], l->a, l->g);
  }
}

static void
number (Finding *f)
{
  const HeatNetwork *net = &f->m->net;
  for (size_t i = 0; i < f->m->n; i++)
    f->of[i] = UINT32_MAX;
  for (size_t b = 0; b < f->m->scene->n_bodies; b++) {
    const HeatPlaced *p = &net->bodies[b];
    for (size_t k = p->first_melt; p->block != HEAT_NO_BLOCK && k < p->first_melt + p->n_melts; k++) {
      f->of[net->melts.items[k].node] = (uint32_t) f->s->n;
      f->s->node[f->s->n++] = net->melts.items[k].node;
    }
  }
}

bool
heat_slaves_find (HeatArena *arena, const HeatReduced *m, HeatSlaves *s)
{
  Finding f = { m, s, HEAT_TAKE (arena, uint32_t, m->n), HEAT_TAKE (arena, size_t, m->net.melts.n) };
  *s = (HeatSlaves){ .first = HEAT_TAKE (arena, size_t, m->net.melts.n + 1),
                     .node = HEAT_TAKE (arena, uint32_t, m->net.melts.n) };
  if (!f.of || !f.taken || !s->first || !s->node)
    return false;
  number (&f);
  add_all (&f);
  for (size_t i = 0; i < s->n; i++)
    s->first[i + 1] = s->first[i] + f.taken[i];
  s->share = HEAT_TAKE (arena, float, s->first[s->n]);
  s->neighbour = HEAT_TAKE (arena, uint32_t, s->first[s->n]);
  if (!s->share || !s->neighbour)
    return false;
  add_all (&f);
  return true;
}

void
heat_slaves_melts (const HeatSlaves *s, float *x, float *value)
{
  for (size_t i = 0; i < s->n; i++) {
    value[i] = 0;
    for (size_t k = s->first[i]; k < s->first[i + 1]; k++)
      value[i] += s->share[k] * x[s->neighbour[k]];
  }
  for (size_t i = 0; i < s->n; i++)
    x[s->node[i]] = value[i];
}

/* ---- bodies of one node ---- */

void
heat_slaves_bodies (const HeatReduced *m, float *x, double *out)
{
  const HeatStencil *s = &m->net.stencil;
  size_t first = s->layout.n_cells;
  for (size_t i = first; i < m->n; i++)
    out[i - first] = s->gsum[i] * x[i];
  for (size_t l = 0; l < s->n_links; l++) {
    const HeatLink *link = &s->links[l];
    if (link->a >= first)
      out[link->a - first] -= link->g * x[link->b];
    if (link->b >= first)
      out[link->b - first] -= link->g * x[link->a];
  }
  for (size_t i = 0; i < m->cells.n; i++) {
    const HeatCell *cell = &m->cells.items[i];
    if (cell->body == SIZE_MAX)
      continue;
    uint32_t joint = cell->melt.node, body = m->net.bodies[cell->body].node;
    double u = -out[joint - first], v = -out[body - first];
    double det = cell->g * cell->body_g - cell->tie * cell->tie;
    x[joint] += (float) ((u * cell->body_g + v * cell->tie) / det);
    x[body] += (float) ((v * cell->g + u * cell->tie) / det);
  }
}
