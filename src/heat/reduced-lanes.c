#include "heat/reduced-lanes.h"

#include <math.h>
#include <string.h>

#include "heat/trace.h"
#include "heat/wide.h"

enum { LANES = HEAT_LANES };
typedef double Lanes __attribute__ ((vector_size (LANES * sizeof (double))));

bool
heat_lanes_new (HeatArena *arena, const HeatReduced *m, HeatLanes *lanes)
{
  *lanes = (HeatLanes){ m, HEAT_TAKE (arena, double, m->n * LANES) };
  return lanes->t != NULL;
}

bool
heat_lanes_serve (const HeatReduced *m, size_t body)
{
  const HeatPlaced *p = &m->net.bodies[body];
  return p->block == HEAT_NO_BLOCK && body != m->scene->target
         && (m->scene->bodies[body].n_joints == 0 || p->joint_node != UINT32_MAX);
}

void
heat_lanes_put (HeatLanes *l, size_t lane, const double *t)
{
  const HeatReaders *r = &l->m->readers;
  for (size_t i = 0; i < r->n_nodes; i++)
    l->t[(size_t) r->node[i] * LANES + lane] = t[r->node[i]];
}

HEAT_INLINE void
load (Lanes *to, const double *t, uint32_t node)
{
  memcpy (to, t + (size_t) node * LANES, sizeof *to);
}

HEAT_INLINE void
store (double *series, size_t first, size_t n, const Lanes *v)
{
  if (n == LANES)
    memcpy (series + first, v, sizeof *v);
  else
    memcpy (series + first, v, n * sizeof (double));
}

HEAT_INLINE void
read_joint (const HeatReader *r, const double *t, Lanes *out)
{
  Lanes a;
  load (out, t, r->node[0]);
  *out *= r->w[0];
  for (size_t k = 1; k < 4; k++) {
    load (&a, t, r->node[k]);
    *out += r->w[k] * a;
  }
}

HEAT_INLINE void
widen (Lanes *low, Lanes *high, const Lanes *v)
{
  for (size_t i = 0; i < LANES; i++) {
    (*low)[i] = (*v)[i] < (*low)[i] ? (*v)[i] : (*low)[i];
    (*high)[i] = (*v)[i] > (*high)[i] ? (*v)[i] : (*high)[i];
  }
}

/* What is read of the board under a body's joints. */
typedef struct {
  Lanes low, high, mean, corner, center;
} Under;

HEAT_INLINE void
read_ends (const HeatPlaced *p, const double *t, Under *u)
{
  const HeatEnds *e = &p->ends;
  Lanes v, ignored = u->low;
  for (size_t i = 0; i < e->n; i++) {
    read_joint (&e->end[i], t, &v);
    widen (&u->low, &u->high, &v);
  }
  for (size_t i = 0; i < e->n_corners; i++) {
    read_joint (&e->corner[i], t, &v);
    widen (&ignored, &u->corner, &v);
  }
  for (size_t i = 0; i < e->n_nodes; i++) {
    load (&v, t, e->node[i]);
    u->mean += e->w[i] * v;
  }
}

HEAT_INLINE void
read_joints (const HeatPlaced *p, size_t n, const double *t, Under *u)
{
  Lanes v, ignored = u->low;
  for (size_t i = 0; i < n; i++) {
    read_joint (&p->joints[i], t, &v);
    widen (&u->low, &u->high, &v);
    u->mean += v / (double) n;
    if (p->corner[i])
      widen (&ignored, &u->corner, &v);
  }
}

HEAT_INLINE void
read_liquid (const HeatLanes *l, const HeatPlaced *p, Lanes *out)
{
  const HeatMelt *melt = l->m->net.melts.items + p->first_melt;
  *out = (Lanes){ 0 };
  for (size_t i = 0; i < LANES && p->n_melts; i++)
    (*out)[i] = heat_melt_liquid (melt, l->t[(size_t) melt->node * LANES + i]);
}

/* As heat_trace_joints(). */
HEAT_WIDE static void
read_body (const HeatLanes *l, size_t body, size_t n_joints, double share, size_t first, size_t n, HeatTrace *trace)
{
  const HeatPlaced *p = &l->m->net.bodies[body];
  Lanes v;
  load (&v, l->t, p->node);
  store (trace->body_top, first, n, &v); /* which its other series are, too */
  if (!n_joints)
    return;
  Under u = { .mean = { 0 } };
  u.low = INFINITY - u.mean;
  u.high = u.corner = -u.low;
  if (p->ends.n)
    read_ends (p, l->t, &u);
  else
    read_joints (p, n_joints, l->t, &u);
  read_joint (&p->center, l->t, &u.center);
  Lanes joint, *const all[] = { &u.low, &u.high, &u.corner, &u.center };
  double *const to[] = { trace->joint_min, trace->joint_max, trace->joint_corner, trace->joint_center };
  load (&joint, l->t, p->joint_node);
  store (trace->joint_mean, first, n, &joint);
  for (size_t i = 0; i < 4; i++) {
    v = joint + share * (*all[i] - u.mean);
    store (to[i], first, n, &v);
  }
  read_liquid (l, p, &v);
  store (trace->liquid_share, first, n, &v);
}

void
heat_lanes_read (const HeatLanes *l, const HeatScene *scene, size_t first, size_t n, HeatResult *result)
{
  for (size_t body = 0; body < scene->n_bodies; body++)
    if (heat_lanes_serve (l->m, body))
      read_body (l, body, scene->bodies[body].n_joints, heat_board_share (&scene->bodies[body]), first, n,
                 &result->bodies[body]);
}
