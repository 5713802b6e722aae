#include "heat/reduced-lumps.h"

#include "heat/reduced-laws.h"
#include "heat/reduced-melt.h"
#include "heat/reduced-rows.h"
#include "heat/reduced-zones.h"

/* Errors that last less than about this are left alone, s. */
static const double LUMP_TIME_S = 1;

/* Rows of the heat that each single node passes on through the conductances of S, W, times SCALE, on top. */
static void
add_out (const HeatReduced *m, const HeatStencil *s, float scale, float *out_row)
{
  size_t first = s->layout.n_cells, n = m->n - first;
  for (size_t k = 0; k < m->r; k++) {
    const float *v = m->v + k * m->n;
    for (size_t i = 0; i < n; i++)
      out_row[i * m->stride + k] += scale * (float) (s->gsum[first + i] * v[first + i]);
    for (size_t i = 0; i < s->n_links; i++) {
      const HeatLink *link = &s->links[i];
      if (link->a >= first)
        out_row[(link->a - first) * m->stride + k] -= scale * (float) (link->g * v[link->b]);
      if (link->b >= first)
        out_row[(link->b - first) * m->stride + k] -= scale * (float) (link->g * v[link->a]);
    }
  }
}

static void
fill_rows (HeatReduced *m)
{
  HeatLumps *l = &m->lumps;
  size_t first = m->net.stencil.layout.n_cells;
  for (size_t k = 0; k < m->r; k++)
    for (size_t i = 0; i < l->n; i++)
      l->row[i * m->stride + k] = m->v[k * m->n + first + i];
  add_out (m, &m->net.stencil, 1, l->out_row);
}

bool
heat_lumps_vary (HeatReduced *m, const HeatStencil *other, double by, HeatLumpChange *change)
{
  const HeatStencil *s = &m->net.stencil;
  size_t first = s->layout.n_cells, n = m->lumps.n;
  change->out_row = HEAT_TAKE (&m->small, float, n * m->stride);
  change->gsum = HEAT_TAKE (&m->small, double, n);
  change->ties = HEAT_TAKE (&m->small, double, m->scene->n_bodies);
  double *ties = heat_cells_ties (&m->small, m, other);
  if (!change->out_row || !change->gsum || !change->ties || !ties || other->n_links != s->n_links)
    return false;
  add_out (m, other, (float) (1 / by), change->out_row);
  add_out (m, s, (float) (-1 / by), change->out_row);
  for (size_t i = 0; i < n; i++)
    change->gsum[i] = (other->gsum[first + i] - s->gsum[first + i]) / by;
  for (size_t b = 0; b < m->scene->n_bodies; b++)
    change->ties[b] = (ties[b] - m->ties[b]) / by;
  return true;
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
  fill_rows (m);
  return heat_zones_pick (&m->small, &m->faces, l->face, l->n_faces, first, &l->faces);
}

/* What each node leaves of its balance, W out, and what it holds to, W/K. */
static void
leave (const HeatReducedRun *run, size_t at, const double *t, double *out, double *hold)
{
  const HeatReduced *m = run->model;
  const HeatLumps *l = &m->lumps;
  size_t first = m->net.stencil.layout.n_cells;
  const double *excess = run->excesses + at * m->zones.faces.n;
  heat_rows_read (l->out_row, l->n, m->stride, run->states + at * m->stride, out);
  heat_rows_read (l->row, l->n, m->stride, run->rates + at * m->stride, hold);
  for (size_t i = 0; i < l->n; i++) {
    double capacity = m->net.capacity[first + i];
    out[i] += capacity * hold[i];
    hold[i] = m->net.stencil.gsum[first + i] + capacity / LUMP_TIME_S;
  }
  for (size_t k = 0; k < l->n_faces; k++) {
    size_t i = l->face[k], node = m->faces.node[i];
    double over = t[node] - run->scene.room.air_c;
    double q = heat_law_flux (&m->laws, i, &run->moments[at], over);
    double slope = heat_law_flux (&m->laws, i, &run->moments[at], over + 1) - q;
    out[node - first] += m->faces.area[i] * (q + excess[m->zones.of[i]]);
    hold[node - first] += m->faces.area[i] * slope;
  }
}

void
heat_lumps_mend (const HeatReducedRun *run, size_t at, double *scratch, double *t)
{
  const HeatReduced *m = run->model;
  size_t first = m->net.stencil.layout.n_cells;
  double *out = scratch, *hold = scratch + m->lumps.n;
  leave (run, at, t, out, hold);
  for (size_t b = 0; b < m->scene->n_bodies; b++) {
    const HeatPlaced *p = &m->net.bodies[b];
    if (p->block != HEAT_NO_BLOCK || m->apart[b])
      continue;
    double u = out[p->node - first], g = hold[p->node - first], tie = m->ties[b];
    if (p->joint_node == UINT32_MAX) {
      t[p->node] -= u / g;
      continue;
    }
    double v = out[p->joint_node - first], h = hold[p->joint_node - first];
    double det = g * h - tie * tie;
    t[p->node] -= (u * h + v * tie) / det;
    t[p->joint_node] -= (v * g + u * tie) / det;
  }
}

/* ---- marched ---- */

/* Fluxes and slopes of their own faces by the true laws, at the temperatures they came from. */
static void
see_faces (HeatReducedRun *run, size_t at)
{
  const HeatReduced *m = run->model;
  HeatFaces *f = &run->lump_faces;
  const HeatLumpState *was = at ? run->lump_was : run->lump_now;
  double air = run->scene.room.air_c;
  for (size_t i = 0; i < m->lumps.n; i++)
    run->lump_c[i] = air + was[i].over;
  for (size_t i = 0; at == 0 && i < f->n; i++)
    f->ts[i] = run->lump_c[f->node[i]];
  heat_faces_refresh (&run->scene, &run->envs[at], f);
  heat_faces_flux (&run->scene, &run->envs[at], f, run->lump_c);
  for (size_t i = 0; i < f->n; i++) {
    HeatLumpState *now = &run->lump_now[f->node[i]];
    now->slope += f->area[i] * f->dq[i];
    now->in -= f->area[i] * (f->q[i] - f->dq[i] * was[f->node[i]].over);
  }
}

/* The same by the linear laws alone. */
static void
see_laws (HeatReducedRun *run, size_t at)
{
  const HeatReduced *m = run->model;
  for (size_t k = 0; k < m->lumps.n_faces; k++) {
    size_t i = m->lumps.face[k];
    HeatLumpState *now = &run->lump_now[m->lumps.faces.node[k]];
    now->slope += m->faces.area[i] * heat_law_slope (&m->laws, i, &run->moments[at]);
    now->in -= m->faces.area[i] * heat_law_flux (&m->laws, i, &run->moments[at], 0);
  }
}

bool
heat_lumps_ahead_new (HeatArena *arena, const HeatReduced *m, HeatLumpsAhead *ahead)
{
  const HeatLumps *l = &m->lumps;
  size_t n = HEAT_ROWS_SOME * l->n;
  *ahead = (HeatLumpsAhead){ .out = HEAT_TAKE_OPEN (arena, double, n), .over = HEAT_TAKE_OPEN (arena, double, n) };
  if (!ahead->out || !ahead->over || (l->by_conductivity.out_row && !(ahead->by_conductivity = HEAT_TAKE_OPEN (arena, double, n)))
      || (l->by_joint.out_row && !(ahead->by_joint = HEAT_TAKE_OPEN (arena, double, n))))
    return false;
  return true;
}

void
heat_lumps_ahead_read (const HeatReducedRun *run, size_t at, size_t n, HeatLumpsAhead *ahead)
{
  const HeatReduced *m = run->model;
  const HeatLumps *l = &m->lumps;
  const double *x = run->states + at * m->stride;
  bool conductivity = false, joint = false;
  for (size_t i = at; i < at + n; i++) {
    conductivity = conductivity || run->moments[i].weight[HEAT_TERM_CONDUCTIVITY] != 0;
    joint = joint || run->moments[i].weight[HEAT_TERM_JOINT] != 0;
  }
  heat_rows_read_some (l->out_row, l->n, m->stride, x, n, ahead->out);
  heat_rows_read_some (l->row, l->n, m->stride, x, n, ahead->over);
  if (conductivity && ahead->by_conductivity)
    heat_rows_read_some (l->by_conductivity.out_row, l->n, m->stride, x, n, ahead->by_conductivity);
  if (joint && ahead->by_joint)
    heat_rows_read_some (l->by_joint.out_row, l->n, m->stride, x, n, ahead->by_joint);
}

/* What a scale that is WEIGHT off changes in that; OUT, OVER: as they were read ahead. */
static void
vary_near (HeatReducedRun *run, const HeatLumpChange *change, double weight, const double *out, const double *over)
{
  const HeatReduced *m = run->model;
  if (weight == 0 || !change->out_row)
    return;
  for (size_t i = 0; i < m->lumps.n; i++)
    run->lump_now[i].near += weight * (change->gsum[i] * over[i] - out[i]);
}

/* What drives each node at a kept moment; the node's own temperature as the basis has it. */
static void
see (HeatReducedRun *run, size_t at, const HeatLumpsAhead *ahead, size_t k)
{
  const HeatReduced *m = run->model;
  const HeatLumps *l = &m->lumps;
  size_t first = m->net.stencil.layout.n_cells, from = k * l->n;
  const double *weight = run->moments[at].weight, *over = ahead->over + from;
  for (size_t i = 0; i < l->n; i++)
    run->lump_now[i] = (HeatLumpState){ m->net.stencil.gsum[first + i] * over[i] - ahead->out[from + i], 0, 0, over[i] };
  vary_near (run, &l->by_conductivity, weight[HEAT_TERM_CONDUCTIVITY], ahead->by_conductivity + from, over);
  vary_near (run, &l->by_joint, weight[HEAT_TERM_JOINT], ahead->by_joint + from, over);
  if (run->wants.linear)
    see_laws (run, at);
  else
    see_faces (run, at);
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

/* A conductance as the drive scales it: that of a body's tie, or all of a single node. */
static double
varied (const HeatReducedRun *run, double g, size_t i, bool of_node)
{
  const HeatLumps *l = &run->model->lumps;
  const HeatLumpChange *change[] = { &l->by_conductivity, &l->by_joint };
  const double weight[] = { run->moment.weight[HEAT_TERM_CONDUCTIVITY], run->moment.weight[HEAT_TERM_JOINT] };
  for (size_t k = 0; k < 2; k++)
    if (weight[k] != 0 && change[k]->out_row)
      g += weight[k] * (of_node ? change[k]->gsum : change[k]->ties)[i];
  return g;
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
  Pair p = { .tie = joined ? varied (run, m->ties[body], body, false) : 0 };
  double over[2] = { now[0]->over, now[1]->over };
  for (size_t i = 0; i < 2; i++) {
    p.c[i] = i == 0 || joined ? m->net.capacity[node[i]] * per : 1;
    p.g[i] = i == 0 || joined ? varied (run, m->net.stencil.gsum[node[i]], node[i] - first, true) : 1;
    now[i]->near -= p.tie * over[1 - i]; /* the other of the pair is no longer where the basis has it */
  }
  if (at == 0)
    return;
  step_pair (&p, was, now, run->times[at] - run->times[at - 1], run->breaks[at]);
}

void
heat_lumps_follow (HeatReducedRun *run, size_t at, const HeatLumpsAhead *ahead, size_t k, double *t)
{
  const HeatReduced *m = run->model;
  size_t first = m->net.stencil.layout.n_cells;
  HeatLumpState *was = run->lump_now;
  run->lump_now = run->lump_was;
  run->lump_was = was;
  see (run, at, ahead, k);
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
