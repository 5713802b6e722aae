#include "heat/reduced-project.h"

#include <string.h>

#include "heat/vector.h"

static void
mirror (double *a, size_t r, size_t stride)
{
  for (size_t i = 0; i < r; i++)
    for (size_t j = 0; j < i; j++)
      a[j * stride + i] = a[i * stride + j];
}

/* Rows FIRST and later of V' D V. */
static void
project_weighed (const HeatReduced *m, const double *weight, size_t first, double *out)
{
  heat_cross (m->v + first * m->n, m->r - first, m->v, m->r, m->n, weight, out + first * m->stride, m->stride);
  mirror (out, m->r, m->stride);
}

/* V' K V of a network of conductances, rows FIRST and later. */
static bool
project_stencil (const HeatReduced *m, const HeatStencil *s, size_t first, HeatArena *scratch, double *out)
{
  size_t fresh = m->r - first;
  double *y = HEAT_TAKE (scratch, double, fresh * m->n), *x = HEAT_TAKE (scratch, double, m->n);
  if (!x || !y)
    return false;
  for (size_t i = 0; i < fresh; i++) {
    memcpy (x, m->v + (first + i) * m->n, m->n * sizeof (double)); /* the stencil reads beyond both ends */
    heat_stencil_apply (s, s->gsum, x, y + i * m->n);
  }
  heat_cross (y, fresh, m->v, m->r, m->n, NULL, out + first * m->stride, m->stride);
  mirror (out, m->r, m->stride);
  return true;
}

static void
project_faces (HeatReduced *m, size_t first, double *weight)
{
  const HeatFaces *f = &m->faces;
  for (size_t t = 0; t < HEAT_N_FACE_TERMS; t++) {
    memset (weight, 0, m->n * sizeof (double));
    for (size_t i = 0; i < f->n; i++)
      weight[f->node[i]] += f->area[i] * m->laws.slope[t][i];
    project_weighed (m, weight, first, m->term[HEAT_FIRST_FACE_TERM + t]);
  }
  for (size_t s = 0; s < HEAT_N_SOURCES; s++) {
    memset (weight, 0, m->n * sizeof (double));
    for (size_t i = 0; i < f->n; i++)
      weight[f->node[i]] += f->area[i] * m->laws.source[s][i];
    for (size_t k = first; k < m->r; k++)
      m->source[s][k] = heat_dot (weight, m->v + k * m->n, m->n);
  }
}

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
  HeatArena scratch = HEAT_ARENA_INIT;
  scratch.countdown = m->arena.countdown;
  double *weight = HEAT_TAKE (&scratch, double, m->n);
  bool ok = weight && take_terms (m, first, first_face) && project_stencil (m, &m->net.stencil, first, &scratch, m->term[HEAT_TERM_CORE]);
  if (ok)
    project_faces (m, first_face, weight);
  for (size_t k = 0; ok && k < m->r; k++)
    m->uniform[k] = heat_dot (m->net.capacity, m->v + k * m->n, m->n);
  heat_arena_clear (&scratch);
  return ok;
}

/* Terms a drive may scale come from the network of a scene that is so much stiffer: conductances in series with
 * others do not scale as a whole, and the secant over this much is their slope well enough for doubts. */
static const double STIFFER = 0.1;

/* OUT = (V' K V of the network of SCENE - core) / BY. */
static HeatStatus
project_other (HeatReduced *m, const HeatScene *scene, double by, double *out)
{
  HeatArena scratch = HEAT_ARENA_INIT;
  scratch.countdown = m->arena.countdown;
  HeatNetwork net = { 0 };
  const HeatMeshSize size = { m->options.cell_m, m->options.coarse_m, 0 };
  HeatStatus status = heat_network_new (&scratch, scene, &size, m->options.max_nodes, &net);
  if (status == HEAT_OK && net.stencil.layout.n != m->n)
    status = HEAT_BAD_SCENE;
  if (status == HEAT_OK && !project_stencil (m, &net.stencil, 0, &scratch, out))
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
      = project_other (m, &stiff, STIFFER * m->scene->scale_conductivity, m->term[HEAT_TERM_CONDUCTIVITY]);
  if (status != HEAT_OK || !(m->scene->target < m->scene->n_bodies))
    return status;
  HeatArena scratch = HEAT_ARENA_INIT;
  scratch.countdown = m->arena.countdown;
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
    status = project_other (m, &stiff, STIFFER, m->term[HEAT_TERM_JOINT]);
  }
  heat_arena_clear (&scratch);
  return status;
}
