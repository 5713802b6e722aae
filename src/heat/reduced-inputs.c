#include "heat/reduced-inputs.h"

#include <math.h>

enum { N_PATTERNS = 3 };

typedef struct {
  const HeatReduced *m;
  HeatArena *arena;
  HeatInput *inputs;
  size_t n_inputs;
} List;

static float *
add_input (List *b, bool gas_on, bool pre_on)
{
  float *v = HEAT_TAKE (b->arena, float, b->m->n);
  b->inputs[b->n_inputs++] = (HeatInput){ gas_on, pre_on, v };
  return v;
}

static bool
add_faces (List *b, bool gas_on, bool pre_on, const double *flux, HeatFaceKind kind, bool all)
{
  const HeatFaces *f = &b->m->faces;
  float *v = add_input (b, gas_on, pre_on);
  for (size_t c = 0; v && c < f->n_classes; c++)
    for (size_t i = f->classes[c].from; (all || f->classes[c].kind == kind) && i < f->classes[c].to; i++)
      v[f->node[i]] += (float) (f->area[i] * flux[i]);
  return v != NULL;
}

/* Place of a melting node, in halves of the body's length and width from its middle. */
static HeatXY
melt_place (const HeatReduced *m, const HeatBody *body, const HeatPlaced *p, uint32_t node)
{
  const HeatBlock *b = &m->net.stencil.layout.blocks[p->block];
  HeatXY at = body->center;
  size_t lead = 0;
  for (size_t i = 0; node >= b->at + b->nx * b->ny && i < body->n_joints; i++)
    if (p->apart[i] && p->node + lead++ == node)
      at = body->joints[i];
  if (node < b->at + b->nx * b->ny)
    at = (HeatXY){ m->net.mesh.xc[b->ix0 + (node - b->at) % b->nx], m->net.mesh.yc[b->iy0 + (node - b->at) / b->nx] };
  double half = fmax (body->length_m, body->round ? 0 : body->width_m) / 2;
  return (HeatXY){ (at.x - body->center.x) / half, (at.y - body->center.y) / half };
}

/* What a meshed body's melting joints take up: patterns that together stand for any smooth one. */
static bool
add_latent (List *b, size_t index, bool gas_on, bool pre_on)
{
  const HeatReduced *m = b->m;
  const HeatBody *body = &m->scene->bodies[index];
  const HeatPlaced *p = &m->net.bodies[index];
  if (p->n_melts == 0 || p->block == HEAT_NO_BLOCK)
    return true;
  for (int pattern = 0; pattern < N_PATTERNS; pattern++) {
    float *v = add_input (b, gas_on, pre_on);
    if (!v)
      return false;
    for (size_t i = p->first_melt; i < p->first_melt + p->n_melts; i++) {
      const HeatMelt *melt = &m->net.melts.items[i];
      HeatXY at = melt_place (m, body, p, melt->node);
      const double shape[N_PATTERNS] = { 1, at.x * at.x, at.y * at.y };
      v[melt->node] += (float) (melt->latent * shape[pattern]);
    }
  }
  return true;
}

bool
heat_inputs_list (HeatArena *arena, const HeatReduced *m, HeatInput *inputs, size_t *n)
{
  List list = { m, arena, inputs, 0 }, *b = &list;
  bool gas = m->reference.on.gas_on, pre = m->reference.pre.pre_on;
  const double *room = m->laws.slope[0];
  bool ok = add_faces (b, false, pre, room, HEAT_FACE_UP, false)
            && add_faces (b, false, pre, room, HEAT_FACE_DOWN, false);
  if (pre)
    ok = ok && add_faces (b, false, true, m->laws.source[HEAT_SOURCE_PRE], 0, true);
  if (m->scene->n_clamps)
    ok = ok && add_faces (b, false, pre, m->laws.source[HEAT_SOURCE_FIXED], 0, true);
  if (gas) {
    ok = ok && add_faces (b, true, pre, m->laws.source[HEAT_SOURCE_NOZZLE], 0, true)
         && add_faces (b, true, pre, m->laws.source[HEAT_SOURCE_SPILL], 0, true);
    if (pre)
      ok = ok && add_faces (b, true, true, m->laws.source[HEAT_SOURCE_PRE], 0, true);
  }
  if (m->scene->target < m->scene->n_bodies)
    ok = ok && add_latent (b, m->scene->target, gas, pre);
  *n = list.n_inputs;
  return ok;
}

HeatMoment
heat_input_moment (bool gas_on, bool pre_on)
{
  HeatMoment now = { .gas_on = gas_on, .pre_on = pre_on };
  now.weight[HEAT_TERM_ROOM] = 1;
  now.weight[HEAT_TERM_GAS_ROOM] = now.weight[HEAT_TERM_NOZZLE] = now.weight[HEAT_TERM_SPILL] = gas_on;
  now.weight[HEAT_TERM_PRE_ROOM] = now.weight[HEAT_TERM_PRE] = pre_on;
  return now;
}
