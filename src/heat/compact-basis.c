/* Which directions a compact model keeps, and the reduced model along them. */
#include "heat/compact-internal.h"

#include <math.h>
#include <string.h>

#include "heat/dense.h"
#include "heat/reduced-rows.h"
#include "heat/vector.h"

enum { N = HEAT_COMPACT_N, ROUNDS = 24, WEIGHT_ROWS = 400 };
/* A uniform board this much warmer than the room is among the states. */
static const double UNIFORM_K = 20;

/* What an error of a state weighs: its mean square over the heat, and over the nodes that figures are read from, which
 * hold next to no heat; both in K2. */
static void
fill_weight (const HeatReduced *m, double *weight)
{
  size_t stride = m->stride, step = m->readers.n_nodes / WEIGHT_ROWS + 1, rows = 0;
  memset (weight, 0, stride * stride * sizeof (double));
  for (size_t i = 0; i < m->readers.n_nodes; i += step, rows++) {
    const float *row = m->readers.row + i * stride;
    for (size_t k = 0; k < m->r; k++)
      for (size_t l = 0; l < m->r; l++)
        weight[k * stride + l] += (double) row[k] * row[l];
  }
  for (size_t k = 0; k < stride * stride; k++)
    weight[k] /= rows ? (double) rows : 1;
  for (size_t k = 0; k < stride; k++)
    weight[k * stride + k] += k < m->r ? 1 / m->readers.capacity : 1;
}

/* Z = L' X. */
static void
weigh (const double *l, size_t n, const double *x, double *z)
{
  memset (z, 0, n * sizeof (double));
  for (size_t i = 0; i < n; i++)
    heat_add_scaled (z, l + i * n, x[i], i + 1);
}

/* X = L'^-1 Z, in place. */
static void
unweigh (const double *l, size_t n, double *x)
{
  for (size_t i = n; i-- > 0;) {
    x[i] /= l[i * n + i];
    for (size_t j = 0; j < i; j++)
      x[j] -= l[i * n + j] * x[i];
  }
}

static void
add_outer (double *c, size_t n, const double *z)
{
  for (size_t i = 0; i < n; i++)
    heat_add_scaled (c + i * n, z, z[i], n);
}

/* Makes A, of N vectors of length LEN, orthonormal one after the other; what is left of a vector in its own direction goes to
 * LEFT. Vectors without one become zero. */
static void
orthonormal (double *a, size_t n, size_t len, double *left)
{
  for (size_t k = 0; k < n; k++) {
    double *v = a + k * len;
    double was = heat_dot (v, v, len);
    for (int twice = 0; twice < 2; twice++)
      for (size_t j = 0; j < k; j++)
        heat_add_scaled (v, a + j * len, -heat_dot (v, a + j * len, len), len);
    double now = heat_dot (v, v, len), scale = now > 1e-20 * was && now > 0 ? 1 / sqrt (now) : 0;
    for (size_t i = 0; i < len; i++)
      v[i] *= scale;
    if (left)
      left[k] = scale > 0 ? sqrt (now) : 0;
  }
}

/* The N leading directions of C, by orthogonal iteration. */
static bool
lead (HeatArena *scratch, const double *c, size_t len, double *u, double *left)
{
  double *next = HEAT_TAKE (scratch, double, N * len);
  if (!next)
    return false;
  for (size_t k = 0; k < N; k++)
    for (size_t i = 0; i < len; i++)
      u[k * len + i] = cos ((double) ((k + 1) * (i + 1)) * 0.7548776662466927); /* any start will do */
  orthonormal (u, N, len, NULL);
  for (int round = 0; round < ROUNDS; round++) {
    for (size_t k = 0; k < N; k++)
      heat_dense_apply (c, len, u + k * len, next + k * len);
    memcpy (u, next, N * len * sizeof (double));
    orthonormal (u, N, len, left);
  }
  return true;
}

static bool
find_basis (HeatCompact *c, const HeatCompactStates *states, HeatArena *scratch)
{
  const HeatReduced *m = c->of;
  size_t n = m->stride;
  double *l = HEAT_TAKE (scratch, double, n * n), *cov = HEAT_TAKE (scratch, double, n * n);
  double *z = HEAT_TAKE (scratch, double, n), *x = HEAT_TAKE (scratch, double, n), left[N], whole = 0;
  if (!l || !cov || !z || !x)
    return false;
  fill_weight (m, l);
  if (!heat_dense_factor (l, n))
    return false;
  for (size_t i = 0; i <= states->n; i++) {
    for (size_t k = 0; k < n; k++)
      x[k] = i < states->n ? states->states[i * n + k] : UNIFORM_K * m->uniform[k];
    weigh (l, n, x, z);
    add_outer (cov, n, z);
  }
  for (size_t i = 0; i < n * n; i++)
    cov[i] /= (double) (states->n + 1);
  for (size_t i = 0; i < n; i++)
    whole += cov[i * n + i];
  if (!lead (scratch, cov, n, c->w, left))
    return false;
  for (size_t k = 0; k < N; k++) {
    whole -= left[k];
    c->report.n_vectors += left[k] > 0;
    unweigh (l, n, c->w + k * n);
  }
  c->report.left_k = sqrt (fmax (whole, 0));
  orthonormal (c->w, N, n, NULL);
  return true;
}

bool
heat_compact_basis (HeatCompact *c, const HeatCompactStates *states)
{
  HeatArena scratch = HEAT_ARENA_INIT;
  scratch.countdown = c->arena.countdown;
  c->w = HEAT_TAKE (&c->arena, double, N * c->of->stride);
  bool ok = c->w && find_basis (c, states, &scratch);
  heat_arena_clear (&scratch);
  return ok;
}

/* OUT = W' A W. */
static void
project_matrix (const HeatCompact *c, const double *a, double *y, float *out)
{
  size_t n = c->of->stride;
  for (size_t i = 0; i < N; i++) {
    heat_dense_apply (a, n, c->w + i * n, y);
    for (size_t j = 0; j < N; j++)
      out[i * N + j] = (float) heat_dot (y, c->w + j * n, n);
  }
}

static void
project_vector (const HeatCompact *c, const double *v, float *out)
{
  for (size_t k = 0; k < N; k++)
    out[k] = (float) heat_dot (v, c->w + k * c->of->stride, c->of->stride);
}

/* A row of the reduced model: OUT [k * step]. */
static void
project_row (const HeatCompact *c, const float *row, size_t step, float *out)
{
  for (size_t k = 0; k < N; k++) {
    double v;
    heat_rows_read (row, 1, c->of->stride, c->w + k * c->of->stride, &v);
    out[k * step] = (float) v;
  }
}

/* ---- joints that melt ---- */

typedef struct {
  size_t cell;
  double t;
} Joint;

static void
sort_joints (Joint *a, size_t n)
{
  for (size_t i = 1; i < n; i++) {
    Joint one = a[i];
    size_t k = i;
    for (; k > 0 && a[k - 1].t > one.t; k--)
      a[k] = a[k - 1];
    a[k] = one;
  }
}

static bool
is_of_target (const HeatReduced *m, const HeatCell *cell)
{
  if (!(m->scene->target < m->scene->n_bodies) || !(cell->melt.latent > 0))
    return false;
  const HeatPlaced *p = &m->net.bodies[m->scene->target];
  for (size_t k = p->first_melt; k < p->first_melt + p->n_melts; k++)
    if (m->net.melts.items[k].node == cell->melt.node)
      return true;
  return false;
}

/* In order of how warm each is where the second direction is added to the first: any order that keeps neighbours together will do. */
static size_t
list_joints (const HeatCompact *c, Joint *joint)
{
  const HeatReduced *m = c->of;
  size_t n = 0;
  for (size_t i = 0; i < m->cells.n; i++) {
    if (!is_of_target (m, &m->cells.items[i]))
      continue;
    float row[N];
    project_row (c, m->cells.row + i * m->stride, 1, row);
    joint[n++] = (Joint){ i, row[1] };
  }
  sort_joints (joint, n);
  return n;
}

static void
add_joint (const HeatCompact *c, size_t cell, HeatCompactMelt *melt)
{
  const HeatMelt *of = &c->of->cells.items[cell].melt;
  float row[N];
  project_row (c, c->of->cells.row + cell * c->of->stride, 1, row);
  melt->latent += of->latent;
  melt->solidus += of->latent * of->solidus;
  melt->liquidus += of->latent * of->liquidus;
  for (size_t k = 0; k < N; k++)
    melt->row[k] += (float) of->latent * row[k];
}

static void
close_melts (HeatCompact *c)
{
  for (size_t i = 0; i < c->n_melts; i++) {
    HeatCompactMelt *melt = &c->melt[i];
    for (size_t k = 0; k < N; k++)
      melt->row[k] /= (float) melt->latent;
    melt->solidus /= melt->latent;
    melt->liquidus /= melt->latent;
  }
  for (size_t i = 0; i < c->n_melts; i++)
    for (size_t j = 0; j < c->n_melts; j++) {
      float sum = 0;
      for (size_t k = 0; k < N; k++)
        sum += c->melt[i].row[k] * c->melt[j].row[k];
      c->melt_cross[i][j] = sum;
    }
}

static bool
project_melts (HeatCompact *c)
{
  HeatArena scratch = HEAT_ARENA_INIT;
  scratch.countdown = c->arena.countdown;
  Joint *joint = HEAT_TAKE (&scratch, Joint, c->of->cells.n);
  size_t n = joint ? list_joints (c, joint) : 0;
  c->n_melts = n < HEAT_COMPACT_MELTS ? n : HEAT_COMPACT_MELTS;
  for (size_t i = 0; i < n; i++)
    add_joint (c, joint[i].cell, &c->melt[i * c->n_melts / n]);
  close_melts (c);
  heat_arena_clear (&scratch);
  return joint != NULL;
}

bool
heat_compact_project (HeatCompact *c)
{
  const HeatReduced *m = c->of;
  HeatArena scratch = HEAT_ARENA_INIT;
  scratch.countdown = c->arena.countdown;
  double *y = HEAT_TAKE (&scratch, double, m->stride);
  for (size_t t = 0; y && t < HEAT_N_TERMS; t++)
    project_matrix (c, m->term[t], y, c->term[t]);
  for (size_t s = 0; y && s < HEAT_N_SOURCES; s++)
    project_vector (c, m->source[s], c->source[s]);
  project_vector (c, m->uniform, c->uniform);
  HeatCompactZones *z = &c->zones;
  for (size_t i = 0; i < z->n; i++) {
    project_row (c, m->zones.row + i * m->stride, z->padded, z->read + i);
    for (size_t k = 0; k < N; k++)
      z->force[i * N + k] = (float) m->zones.faces.area[i] * z->read[k * z->padded + i];
  }
  heat_arena_clear (&scratch);
  return y && project_melts (c);
}
