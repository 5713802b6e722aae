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

/* ---- marched ---- */

/* What drives each node at a kept moment; the node's own temperature as the basis has it. */
static void
see (HeatReducedRun *run, size_t at)
{
  const HeatReduced *m = run->model;
  const HeatLumps *l = &m->lumps;
  size_t first = m->net.stencil.layout.n_cells;
  const double *x = run->states + at * m->stride, *excess = run->excesses + at * m->zones.faces.n;
  heat_rows_read (l->out_row, l->n, m->stride, x, run->lump_out);
  heat_rows_read (l->row, l->n, m->stride, x, run->lump_hold);
  for (size_t i = 0; i < l->n; i++) {
    double over = run->lump_hold[i];
    run->lump_now[i] = (HeatLumpState){ m->net.stencil.gsum[first + i] * over - run->lump_out[i], 0, 0, over };
  }
  for (size_t k = 0; k < l->n_faces; k++) {
    size_t i = l->face[k];
    HeatLumpState *now = &run->lump_now[m->faces.node[i] - first];
    double in = -heat_law_flux (&m->laws, i, &run->moments[at], 0);
    now->slope += m->faces.area[i] * (heat_law_flux (&m->laws, i, &run->moments[at], 1) + in);
    now->in += m->faces.area[i] * (in - excess[m->zones.of[i]]);
  }
}

/* A body and its joints, or a body alone: c T' = drive + tie (T of the other - T) - hold T. */
typedef struct {
  double c[2], g[2], tie;
} Pair;

/* What acts on one of a pair a SHARE of the way through a step, W at the air's temperature and W/K. */
static void
acts (const HeatLumpState *was, const HeatLumpState *now, double own_g, double share, bool breaks, double *drive,
      double *hold)
{
  double sources = breaks ? 1 : share;
  *drive = was->near + share * (now->near - was->near) + was->in + sources * (now->in - was->in);
  *hold = own_g + was->slope + sources * (now->slope - was->slope);
}

/* One implicit stage from BASE, GDT long: T. */
static void
stage (const Pair *p, const HeatLumpState *const was[2], const HeatLumpState *const now[2], double share, bool breaks,
       double gdt, const double base[2], double t[2])
{
  double drive[2], hold[2];
  for (size_t i = 0; i < 2; i++) {
    acts (was[i], now[i], p->g[i], share, breaks, &drive[i], &hold[i]);
    drive[i] += p->c[i] / gdt * base[i];
    hold[i] += p->c[i] / gdt;
  }
  double det = hold[0] * hold[1] - p->tie * p->tie;
  t[0] = (drive[0] * hold[1] + p->tie * drive[1]) / det;
  t[1] = (drive[1] * hold[0] + p->tie * drive[0]) / det;
}

/* One step of a pair, in the two stages of the march. */
static void
step_pair (const Pair *p, const HeatLumpState *const was[2], HeatLumpState *const now[2], double dt, bool breaks)
{
  const double ratio = (1 - HEAT_GAMMA) / HEAT_GAMMA;
  const HeatLumpState *const then[2] = { now[0], now[1] };
  double base[2] = { was[0]->over, was[1]->over }, t[2];
  stage (p, was, then, HEAT_GAMMA, breaks, HEAT_GAMMA * dt, base, t);
  for (size_t i = 0; i < 2; i++)
    base[i] += ratio * (t[i] - base[i]);
  stage (p, was, then, 1, breaks, HEAT_GAMMA * dt, base, t);
  for (size_t i = 0; i < 2; i++)
    now[i]->over = t[i];
}

/* A body of one node from the moment before AT to it. */
static void
follow_body (HeatReducedRun *run, size_t at, size_t body)
{
  const HeatReduced *m = run->model;
  const HeatPlaced *placed = &m->net.bodies[body];
  size_t first = m->net.stencil.layout.n_cells;
  bool joined = placed->joint_node != UINT32_MAX;
  size_t node[2] = { placed->node, joined ? placed->joint_node : placed->node };
  double per = run->drive.scale_capacity / m->scene->scale_capacity;
  static const HeatLumpState nothing;
  HeatLumpState idle = nothing;
  const HeatLumpState *was[2] = { &run->lump_was[node[0] - first], joined ? &run->lump_was[node[1] - first] : &nothing };
  HeatLumpState *now[2] = { &run->lump_now[node[0] - first], joined ? &run->lump_now[node[1] - first] : &idle };
  Pair p = { .tie = joined ? m->ties[body] : 0 };
  double over[2] = { now[0]->over, now[1]->over };
  for (size_t i = 0; i < 2; i++) {
    p.c[i] = i == 0 || joined ? m->net.capacity[node[i]] * per : 1;
    p.g[i] = i == 0 || joined ? m->net.stencil.gsum[node[i]] : 1;
    now[i]->near -= p.tie * over[1 - i]; /* the other of the pair is no longer where the basis has it */
  }
  if (at == 0)
    return;
  step_pair (&p, was, now, run->times[at] - run->times[at - 1], run->breaks[at]);
}

void
heat_lumps_follow (HeatReducedRun *run, size_t at, double *t)
{
  const HeatReduced *m = run->model;
  size_t first = m->net.stencil.layout.n_cells;
  HeatLumpState *was = run->lump_now;
  run->lump_now = run->lump_was;
  run->lump_was = was;
  see (run, at);
  for (size_t b = 0; b < m->scene->n_bodies; b++) {
    const HeatPlaced *p = &m->net.bodies[b];
    if (p->block != HEAT_NO_BLOCK || m->apart[b])
      continue;
    follow_body (run, at, b);
    t[p->node] = run->scene.room.air_c + run->lump_now[p->node - first].over;
    if (p->joint_node != UINT32_MAX)
      t[p->joint_node] = run->scene.room.air_c + run->lump_now[p->joint_node - first].over;
  }
}
