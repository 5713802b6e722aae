#include "heat/reduced-lumps.h"

#include "heat/reduced-laws.h"
#include "heat/reduced-rows.h"

/* Errors that last less than about this are left alone, s. */
static const double LUMP_TIME_S = 1;

/* Rows of the heat that each single node passes on through its conductances, W. */
static void
fill_out (HeatReduced *m)
{
  const HeatStencil *s = &m->net.stencil;
  HeatLumps *l = &m->lumps;
  size_t first = s->layout.n_cells;
  for (size_t k = 0; k < m->r; k++) {
    const float *v = m->v + k * m->n;
    for (size_t i = 0; i < l->n; i++) {
      l->row[i * m->stride + k] = (float) v[first + i];
      l->out_row[i * m->stride + k] = (float) (s->gsum[first + i] * v[first + i]);
    }
    for (size_t i = 0; i < s->n_links; i++) {
      const HeatLink *link = &s->links[i];
      if (link->a >= first)
        l->out_row[(link->a - first) * m->stride + k] -= (float) (link->g * v[link->b]);
      if (link->b >= first)
        l->out_row[(link->b - first) * m->stride + k] -= (float) (link->g * v[link->a]);
    }
  }
}

bool
heat_lumps_rows (HeatReduced *m)
{
  HeatLumps *l = &m->lumps;
  size_t first = m->net.stencil.layout.n_cells;
  *l = (HeatLumps){ .n = m->n - first };
  for (size_t i = 0; i < m->faces.n; i++)
    l->n_faces += m->faces.node[i] >= first;
  l->row = HEAT_TAKE (&m->small, float, l->n * m->stride);
  l->out_row = HEAT_TAKE (&m->small, float, l->n * m->stride);
  l->face = HEAT_TAKE (&m->small, uint32_t, l->n_faces);
  if (!l->row || !l->out_row || !l->face)
    return false;
  for (size_t i = 0, k = 0; i < m->faces.n; i++)
    if (m->faces.node[i] >= first)
      l->face[k++] = (uint32_t) i;
  fill_out (m);
  return true;
}

/* What each node leaves of its balance, W out, and what it holds to, W/K. */
static void
leave (const HeatReducedRun *run, size_t at, const double *t)
{
  const HeatReduced *m = run->model;
  const HeatLumps *l = &m->lumps;
  size_t first = m->net.stencil.layout.n_cells;
  const double *excess = run->excesses + at * m->zones.faces.n;
  heat_rows_read (l->out_row, l->n, m->stride, run->states + at * m->stride, run->lump_out);
  heat_rows_read (l->row, l->n, m->stride, run->rates + at * m->stride, run->lump_hold);
  for (size_t i = 0; i < l->n; i++) {
    double capacity = m->net.capacity[first + i];
    run->lump_out[i] += capacity * run->lump_hold[i];
    run->lump_hold[i] = m->net.stencil.gsum[first + i] + capacity / LUMP_TIME_S;
  }
  for (size_t k = 0; k < l->n_faces; k++) {
    size_t i = l->face[k], node = m->faces.node[i];
    double over = t[node] - run->scene.room.air_c;
    double q = heat_law_flux (&m->laws, i, &run->moments[at], over);
    double slope = heat_law_flux (&m->laws, i, &run->moments[at], over + 1) - q;
    run->lump_out[node - first] += m->faces.area[i] * (q + excess[m->zones.of[i]]);
    run->lump_hold[node - first] += m->faces.area[i] * slope;
  }
}

void
heat_lumps_mend (const HeatReducedRun *run, size_t at, double *t)
{
  const HeatReduced *m = run->model;
  size_t first = m->net.stencil.layout.n_cells;
  leave (run, at, t);
  for (size_t b = 0; b < m->scene->n_bodies; b++) {
    const HeatPlaced *p = &m->net.bodies[b];
    if (p->block != HEAT_NO_BLOCK || m->apart[b])
      continue;
    double u = run->lump_out[p->node - first], g = run->lump_hold[p->node - first], tie = m->ties[b];
    if (p->joint_node == UINT32_MAX) {
      t[p->node] -= u / g;
      continue;
    }
    double v = run->lump_out[p->joint_node - first], h = run->lump_hold[p->joint_node - first];
    double det = g * h - tie * tie;
    t[p->node] -= (u * h + v * tie) / det;
    t[p->joint_node] -= (v * g + u * tie) / det;
  }
}
