#include "heat/reduced-project.h"

#include <string.h>

#include "heat/narrow.h"
#include "heat/reduced-lumps.h"
#include "heat/reduced-pieces.h"

static void
mirror (double *a, size_t r, size_t stride)
{
  for (size_t i = 0; i < r; i++)
    for (size_t j = 0; j < i; j++)
      a[j * stride + i] = a[i * stride + j];
}

/* ---- terms weighed per node ---- */

typedef struct {
  const float *weight; /* NULL: none */
  double *out;
} Weighed;

/* Rows FIRST and later of V' D V of several weights at once, over the nodes in pieces. */
typedef struct {
  const HeatReduced *m;
  size_t first, n;
  const Weighed *terms;
  double *part[HEAT_PIECES];
  float *pads[HEAT_PIECES];
} Weighing;

static HeatCross
rows_of (const HeatReduced *m, const float *a, size_t first)
{
  return (HeatCross){ .a = a, .b = m->v, .ra = m->r - first, .rb = m->r, .n = m->n, .stride = m->stride,
                      .first = first, .lower = true };
}

/* Run by run, so that the vectors are fetched once for all weights. */
static void
weigh_piece (void *data, size_t piece)
{
  const Weighing *w = data;
  const HeatReduced *m = w->m;
  size_t rows = (m->r - w->first) * m->stride, to = heat_piece (m->n, piece + 1);
  HeatCross cross = rows_of (m, m->v + w->first * m->n, w->first);
  for (size_t at = heat_piece (m->n, piece); at < to; at += HEAT_CROSS_RUN)
    for (size_t t = 0; t < w->n; t++) {
      cross.weight = w->terms[t].weight;
      heat_cross_nodes (&cross, at, at + HEAT_CROSS_RUN < to ? at + HEAT_CROSS_RUN : to, w->part[piece] + t * rows,
                        w->pads[piece]);
    }
}

/* Room for the sums of N terms over pieces. */
static bool
take_parts (HeatArena *scratch, const HeatReduced *m, size_t rows, size_t n, double *part[], float *pads[])
{
  for (size_t i = 0; i < HEAT_PIECES; i++) {
    part[i] = HEAT_TAKE (scratch, double, n * rows * m->stride);
    pads[i] = HEAT_TAKE (scratch, float, 2 * m->r * HEAT_CROSS_RUN);
    if (!part[i] || !pads[i])
      return false;
  }
  return true;
}

/* OUT, rows FROM.. += the pieces' sums. */
static void
add_parts (const HeatReduced *m, double *const part[], size_t at, size_t from, size_t rows, double *out)
{
  for (size_t p = 0; p < HEAT_PIECES; p++)
    for (size_t i = 0; i < rows * m->stride; i++)
      out[from * m->stride + i] += part[p][at + i];
}

static bool
project_weighed (const HeatReduced *m, const Weighed *terms, size_t n, size_t first, HeatArena *scratch)
{
  Weighing w = { .m = m, .first = first, .n = n, .terms = terms };
  size_t rows = m->r - first;
  if (!take_parts (scratch, m, rows, n, w.part, w.pads))
    return false;
  heat_do_pieces (m->options.parallel, HEAT_PIECES, weigh_piece, &w);
  for (size_t t = 0; t < n; t++) {
    add_parts (m, w.part, t * rows * m->stride, first, rows, terms[t].out);
    mirror (terms[t].out, m->r, m->stride);
  }
  return true;
}

static bool
project_faces (HeatReduced *m, size_t first, HeatArena *scratch)
{
  const HeatFaces *f = &m->faces;
  Weighed terms[HEAT_N_FACE_TERMS];
  for (size_t t = 0; t < HEAT_N_FACE_TERMS; t++) {
    float *weight = HEAT_TAKE (scratch, float, m->n);
    if (!weight)
      return false;
    for (size_t i = 0; i < f->n; i++)
      weight[f->node[i]] += (float) (f->area[i] * m->laws.slope[t][i]);
    terms[t] = (Weighed){ weight, m->term[HEAT_FIRST_FACE_TERM + t] };
  }
  float *weight = HEAT_TAKE (scratch, float, m->n);
  for (size_t s = 0; weight && s < HEAT_N_SOURCES; s++) {
    memset (weight, 0, m->n * sizeof (float));
    for (size_t i = 0; i < f->n; i++)
      weight[f->node[i]] += (float) (f->area[i] * m->laws.source[s][i]);
    for (size_t k = first; k < m->r; k++)
      m->source[s][k] = heat_narrow_dot (weight, m->v + k * m->n, m->n);
  }
  return weight && project_weighed (m, terms, HEAT_N_FACE_TERMS, first, scratch);
}

/* ---- conductances ---- */

/* V' K V of a network of conductances, rows FIRST and later, a few at a time. */
enum { SLICE = 2 * HEAT_PIECES };
typedef struct {
  const HeatReduced *m;
  const HeatStencil *s;
  size_t from, n;
  float *y; /* [SLICE * n]: K v */
  double *wide[HEAT_PIECES], *product[HEAT_PIECES], *part[HEAT_PIECES];
  float *pads[HEAT_PIECES];
} Conducting;

static void
conduct (void *data, size_t piece)
{
  const Conducting *c = data;
  size_t n = c->m->n;
  double *x = c->wide[piece], *y = c->product[piece];
  for (size_t k = piece; k < c->n; k += HEAT_PIECES) {
    const float *v = c->m->v + (c->from + k) * n;
    for (size_t i = 0; i < n; i++)
      x[i] = v[i];
    heat_stencil_apply (c->s, c->s->gsum, x, y);
    for (size_t i = 0; i < n; i++)
      c->y[k * n + i] = (float) y[i];
  }
}

static void
cross_conducted (void *data, size_t piece)
{
  const Conducting *c = data;
  const HeatReduced *m = c->m;
  HeatCross cross = rows_of (m, c->y, c->from);
  cross.ra = c->n;
  memset (c->part[piece], 0, c->n * m->stride * sizeof (double));
  heat_cross_nodes (&cross, heat_piece (m->n, piece), heat_piece (m->n, piece + 1), c->part[piece], c->pads[piece]);
}

static bool
project_stencil (const HeatReduced *m, const HeatStencil *s, size_t first, HeatArena *scratch, double *out)
{
  Conducting c = { .m = m, .s = s };
  c.y = m->n_room >= SLICE ? m->room : HEAT_TAKE (scratch, float, SLICE * m->n);
  if (!c.y || !take_parts (scratch, m, SLICE, 1, c.part, c.pads))
    return false;
  for (size_t i = 0; i < HEAT_PIECES; i++) {
    c.wide[i] = m->options.parallel || i == 0 ? HEAT_TAKE (scratch, double, m->n) : c.wide[0];
    c.product[i] = m->options.parallel || i == 0 ? HEAT_TAKE (scratch, double, m->n) : c.product[0];
    if (!c.wide[i] || !c.product[i])
      return false;
  }
  for (c.from = first; c.from < m->r; c.from += SLICE) {
    c.n = m->r - c.from < SLICE ? m->r - c.from : SLICE;
    heat_do_pieces (m->options.parallel, HEAT_PIECES, conduct, &c);
    heat_do_pieces (m->options.parallel, HEAT_PIECES, cross_conducted, &c);
    add_parts (m, c.part, 0, c.from, c.n, out);
  }
  mirror (out, m->r, m->stride);
  return true;
}

/* ---- all ---- */

/* A term of R0 vectors among STRIDE0, in the room of the new one. */
static double *
widened (HeatReduced *m, const double *was, size_t r0, size_t stride0)
{
  double *term = HEAT_TAKE (&m->kept, double, m->stride * m->stride);
  for (size_t i = 0; term && was && i < r0; i++)
    memcpy (term + i * m->stride, was + i * stride0, r0 * sizeof (double));
  return term;
}

static bool
take_terms (HeatReduced *m, size_t first, size_t first_face)
{
  size_t stride0 = (first + 7) / 8 * 8;
  for (size_t t = 0; t < HEAT_N_TERMS; t++) {
    size_t keep = t >= HEAT_FIRST_FACE_TERM ? first_face : first;
    if (!(m->term[t] = widened (m, m->term[t], keep, stride0)))
      return false;
  }
  for (size_t s = 0; s < HEAT_N_SOURCES; s++) {
    const double *was = m->source[s];
    if (!(m->source[s] = HEAT_TAKE (&m->kept, double, m->stride)))
      return false;
    if (first_face)
      memcpy (m->source[s], was, first_face * sizeof (double));
  }
  m->uniform = HEAT_TAKE (&m->kept, double, m->stride);
  return m->uniform != NULL;
}

bool
heat_reduced_project (HeatReduced *m, size_t first)
{
  size_t first_face = m->laws_moved ? 0 : first;
  HeatArena scratch = heat_arena_beside (&m->arena);
  float *capacity = HEAT_TAKE (&scratch, float, m->n);
  bool ok = capacity && take_terms (m, first, first_face)
            && project_stencil (m, &m->net.stencil, first, &scratch, m->term[HEAT_TERM_CORE])
            && project_faces (m, first_face, &scratch);
  for (size_t i = 0; ok && i < m->n; i++)
    capacity[i] = (float) m->net.capacity[i];
  for (size_t k = 0; ok && k < m->r; k++)
    m->uniform[k] = heat_narrow_dot (capacity, m->v + k * m->n, m->n);
  heat_arena_clear (&scratch);
  return ok;
}

/* Terms a drive may scale come from the network of a scene that is so much stiffer: conductances in series with
 * others do not scale as a whole, and the secant over this much is their slope well enough for doubts. */
static const double STIFFER = 0.1;

/* OUT = (V' K V of the network of SCENE - core) / BY. */
static HeatStatus
project_other (HeatReduced *m, const HeatScene *scene, double by, double *out, HeatLumpChange *lumps)
{
  HeatArena scratch = heat_arena_beside (&m->arena);
  HeatNetwork net = { 0 };
  const HeatMeshSize size = { m->options.cell_m, m->options.coarse_m, 0 };
  HeatStatus status = heat_network_new (&scratch, scene, &size, m->options.max_nodes, &net);
  if (status == HEAT_OK && net.stencil.layout.n != m->n)
    status = HEAT_BAD_SCENE;
  if (status == HEAT_OK
      && (!project_stencil (m, &net.stencil, 0, &scratch, out) || !heat_lumps_vary (m, &net.stencil, by, lumps)))
    status = HEAT_NO_MEMORY;
  for (size_t i = 0; status == HEAT_OK && i < m->stride * m->stride; i++)
    out[i] = (out[i] - m->term[HEAT_TERM_CORE][i]) / by;
  heat_arena_clear (&scratch);
  return status;
}

HeatStatus
heat_reduced_vary (HeatReduced *m)
{
  HeatScene stiff = *m->scene;
  stiff.scale_conductivity *= 1 + STIFFER;
  HeatStatus status
      = project_other (m, &stiff, STIFFER * m->scene->scale_conductivity, m->term[HEAT_TERM_CONDUCTIVITY],
                       &m->lumps.by_conductivity);
  if (status != HEAT_OK || !(m->scene->target < m->scene->n_bodies))
    return status;
  HeatArena scratch = heat_arena_beside (&m->arena);
  HeatBody *bodies = HEAT_TAKE (&scratch, HeatBody, m->scene->n_bodies);
  status = HEAT_NO_MEMORY;
  if (bodies) {
    memcpy (bodies, m->scene->bodies, m->scene->n_bodies * sizeof (HeatBody));
    HeatBody *target = &bodies[m->scene->target];
    target->joint_g_w_k *= 1 + STIFFER;
    target->lead_g_w_k *= 1 + STIFFER;
    target->gap_h_w_m2k *= 1 + STIFFER;
    target->prescribed_h_w_m2k *= 1 + STIFFER;
    stiff = *m->scene;
    stiff.bodies = bodies;
    status = project_other (m, &stiff, STIFFER, m->term[HEAT_TERM_JOINT], &m->lumps.by_joint);
  }
  heat_arena_clear (&scratch);
  return status;
}
