#include "heat/reduced-project.h"

#include <string.h>

#include "heat/vector.h"
#include "heat/wide.h"

/* Nodes done at a time: so many of all vectors stay in the second-level cache. */
enum { RUN = 256 };

HEAT_WIDE static void
weigh (double *restrict to, const double *restrict a, const double *restrict weight, size_t n)
{
  for (size_t i = 0; i < n; i++)
    to[i] = a[i] * weight[i];
}

static bool
any (const double *v, size_t n)
{
  for (size_t i = 0; i < n; i++)
    if (v[i] != 0)
      return true;
  return false;
}

static void
mirror (double *a, size_t r, size_t stride)
{
  for (size_t i = 0; i < r; i++)
    for (size_t j = 0; j < i; j++)
      a[j * stride + i] = a[i * stride + j];
}

void
heat_gram (const double *a, size_t r, size_t n, const double *weight, double *out, size_t stride)
{
  double work[RUN];
  for (size_t i = 0; i < r; i++)
    memset (out + i * stride, 0, r * sizeof (double));
  for (size_t at = 0; at < n; at += RUN) {
    size_t m = n - at < RUN ? n - at : RUN;
    if (!any (weight + at, m))
      continue;
    for (size_t i = 0; i < r; i++) {
      weigh (work, a + i * n + at, weight + at, m);
      for (size_t j = 0; j <= i; j++)
        out[i * stride + j] += heat_dot (work, a + j * n + at, m);
    }
  }
  mirror (out, r, stride);
}

/* V' K V: conductances of the whole network. */
static bool
project_core (HeatReduced *m)
{
  const HeatStencil *s = &m->net.stencil;
  HeatArena scratch = HEAT_ARENA_INIT;
  scratch.countdown = m->small.countdown;
  double *y = HEAT_TAKE (&scratch, double, m->n), *x = HEAT_TAKE (&scratch, double, m->n);
  for (size_t i = 0; x && y && i < m->r; i++) {
    memcpy (x, m->v + i * m->n, m->n * sizeof (double)); /* the stencil reads beyond both ends */
    heat_stencil_apply (s, s->gsum, x, y);
    for (size_t j = 0; j <= i; j++)
      m->term[HEAT_TERM_CORE][i * m->stride + j] = heat_dot (y, m->v + j * m->n, m->n);
  }
  heat_arena_clear (&scratch);
  mirror (m->term[HEAT_TERM_CORE], m->r, m->stride);
  return x && y;
}

static bool
project_faces (HeatReduced *m)
{
  HeatArena scratch = HEAT_ARENA_INIT;
  scratch.countdown = m->small.countdown;
  double *weight = HEAT_TAKE (&scratch, double, m->n);
  const HeatFaces *f = &m->faces;
  for (size_t t = 0; weight && t < HEAT_N_FACE_TERMS; t++) {
    memset (weight, 0, m->n * sizeof (double));
    for (size_t i = 0; i < f->n; i++)
      weight[f->node[i]] += f->area[i] * m->laws.slope[t][i];
    heat_gram (m->v, m->r, m->n, weight, m->term[HEAT_FIRST_FACE_TERM + t], m->stride);
  }
  for (size_t s = 0; weight && s < HEAT_N_SOURCES; s++) {
    memset (weight, 0, m->n * sizeof (double));
    for (size_t i = 0; i < f->n; i++)
      weight[f->node[i]] += f->area[i] * m->laws.source[s][i];
    for (size_t k = 0; k < m->r; k++)
      m->source[s][k] = heat_dot (weight, m->v + k * m->n, m->n);
  }
  heat_arena_clear (&scratch);
  return weight != NULL;
}

static bool
take_terms (HeatReduced *m)
{
  for (size_t t = 0; t < HEAT_N_TERMS; t++)
    if (!(m->term[t] = HEAT_TAKE (&m->small, double, m->stride * m->stride)))
      return false;
  for (size_t s = 0; s < HEAT_N_SOURCES; s++)
    if (!(m->source[s] = HEAT_TAKE (&m->small, double, m->stride)))
      return false;
  m->uniform = HEAT_TAKE (&m->small, double, m->stride);
  return m->uniform != NULL;
}

bool
heat_reduced_project (HeatReduced *m)
{
  if (!take_terms (m) || !project_core (m) || !project_faces (m))
    return false;
  for (size_t k = 0; k < m->r; k++)
    m->uniform[k] = heat_dot (m->net.capacity, m->v + k * m->n, m->n);
  return true;
}
