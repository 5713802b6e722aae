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

/* V' K V: conductances of the whole network. */
static bool
project_core (HeatReduced *m, size_t first, HeatArena *scratch)
{
  const HeatStencil *s = &m->net.stencil;
  size_t fresh = m->r - first;
  double *y = HEAT_TAKE (scratch, double, fresh * m->n), *x = HEAT_TAKE (scratch, double, m->n);
  if (!x || !y)
    return false;
  for (size_t i = 0; i < fresh; i++) {
    memcpy (x, m->v + (first + i) * m->n, m->n * sizeof (double)); /* the stencil reads beyond both ends */
    heat_stencil_apply (s, s->gsum, x, y + i * m->n);
  }
  heat_cross (y, fresh, m->v, m->r, m->n, NULL, m->term[HEAT_TERM_CORE] + first * m->stride, m->stride);
  mirror (m->term[HEAT_TERM_CORE], m->r, m->stride);
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
  bool ok = weight && take_terms (m, first, first_face) && project_core (m, first, &scratch);
  if (ok)
    project_faces (m, first_face, weight);
  for (size_t k = 0; ok && k < m->r; k++)
    m->uniform[k] = heat_dot (m->net.capacity, m->v + k * m->n, m->n);
  heat_arena_clear (&scratch);
  return ok;
}
