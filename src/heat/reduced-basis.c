#include "heat/reduced-basis.h"

#include <math.h>
#include <string.h>

#include "heat/dense.h"
#include "heat/reduced-melt.h"
#include "heat/reduced-past.h"
#include "heat/reduced-project.h"
#include "heat/vector.h"
#include "heat/wide.h"

/* Times the shifts stand for, s: from the first instants of a jump of the gas to the settling of a board. */
static const double TIMES_S[] = { 0.8, 5, 30, 200 };
static const double SWEEP_TIMES_S[] = { 2, 15, 100 };
enum { N_SHIFTS = sizeof TIMES_S / sizeof TIMES_S[0], INPUTS_MAX = 16, CG_MAX = 200, N_PATTERNS = 3 };
enum {
  N_SWEEP_SHIFTS = sizeof SWEEP_TIMES_S / sizeof SWEEP_TIMES_S[0], SWEEP_TIMES = 8 };
/* Bodies of one node that come so near melting are ready to melt, K: another drive may be hotter. */
static const double MARGIN_K = 15;
/* Responses are solved to this part of their largest entry. */
static const double SOLVE_PART = 1e-3, SWEEP_PART = 1e-2;
/* A vector whose square adds less than this of its own to the span is dropped. */
static const double SEED_DROP = 1e-7, SWEEP_DROP = 1e-4;

/* A source, and the state of the station in which it acts. */
typedef struct {
  bool gas_on, pre_on;
  double *b; /* W per node */
} Input;

typedef struct {
  HeatMultigrid *mg;
  HeatCgWork cg;
  double *sum, *diag, *b;
  size_t n_iterations;
  bool failed;
} Worker;

struct HeatBasis {
  HeatReduced *m;
  HeatArena *arena;
  Input inputs[INPUTS_MAX];
  size_t n_inputs;
  Worker *workers;
  size_t n_workers;
  double *v;      /* orthonormal vectors, n each */
  double *z;      /* responses not yet in them */
  size_t n_z, n_apart;
  double *gram, *l;
  uint32_t *order;
  const HeatReducedRun *run; /* of a sweep */
  size_t at[SWEEP_TIMES];    /* its moments */
  double *left[SWEEP_TIMES]; /* what they leave of the balance, W per node */
};
typedef HeatBasis Basis;

static double *
add_input (Basis *b, bool gas_on, bool pre_on)
{
  double *v = HEAT_TAKE (b->arena, double, b->m->n);
  b->inputs[b->n_inputs++] = (Input){ gas_on, pre_on, v };
  return v;
}

static bool
add_faces (Basis *b, bool gas_on, bool pre_on, const double *flux, HeatFaceKind kind, bool all)
{
  const HeatFaces *f = &b->m->faces;
  double *v = add_input (b, gas_on, pre_on);
  for (size_t c = 0; v && c < f->n_classes; c++)
    for (size_t i = f->classes[c].from; (all || f->classes[c].kind == kind) && i < f->classes[c].to; i++)
      v[f->node[i]] += f->area[i] * flux[i];
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
add_latent (Basis *b, size_t index, bool gas_on, bool pre_on)
{
  const HeatReduced *m = b->m;
  const HeatBody *body = &m->scene->bodies[index];
  const HeatPlaced *p = &m->net.bodies[index];
  if (p->n_melts == 0 || p->block == HEAT_NO_BLOCK)
    return true;
  for (int pattern = 0; pattern < N_PATTERNS; pattern++) {
    double *v = add_input (b, gas_on, pre_on);
    if (!v)
      return false;
    for (size_t i = p->first_melt; i < p->first_melt + p->n_melts; i++) {
      const HeatMelt *melt = &m->net.melts.items[i];
      HeatXY at = melt_place (m, body, p, melt->node);
      const double shape[N_PATTERNS] = { 1, at.x * at.x, at.y * at.y };
      v[melt->node] += melt->latent * shape[pattern];
    }
  }
  return true;
}

static bool
list_inputs (Basis *b)
{
  const HeatReduced *m = b->m;
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
  return ok;
}

static bool
take_worker (Basis *b, Worker *w)
{
  size_t n = b->m->n;
  w->mg = heat_multigrid_new (b->arena, &b->m->net.stencil);
  w->sum = HEAT_TAKE (b->arena, double, n);
  w->diag = HEAT_TAKE (b->arena, double, n);
  w->b = HEAT_TAKE (b->arena, double, n);
  return w->mg && w->sum && w->diag && w->b && heat_cg_work (b->arena, n, &w->cg);
}

static bool
take_all (Basis *b)
{
  size_t most = 1 + N_SHIFTS * b->n_inputs;
  if (most < N_SWEEP_SHIFTS * SWEEP_TIMES)
    most = N_SWEEP_SHIFTS * SWEEP_TIMES;
  b->n_workers = b->m->options.parallel ? N_SHIFTS : 1;
  b->workers = HEAT_TAKE (b->arena, Worker, b->n_workers);
  for (size_t i = 0; b->workers && i < b->n_workers; i++)
    if (!take_worker (b, &b->workers[i]))
      return false;
  for (size_t i = 0; i < SWEEP_TIMES; i++)
    if (!(b->left[i] = HEAT_TAKE (b->arena, double, b->m->n)))
      return false;
  b->v = HEAT_TAKE (b->arena, double, HEAT_VECTORS_MAX * b->m->n);
  b->z = HEAT_TAKE (b->arena, double, most * b->m->n);
  b->gram = HEAT_TAKE (b->arena, double, (HEAT_VECTORS_MAX + most) * (HEAT_VECTORS_MAX + most));
  b->l = HEAT_TAKE (b->arena, double, most * (most + 1));
  b->order = HEAT_TAKE (b->arena, uint32_t, most);
  return b->workers && b->v && b->z && b->gram && b->l && b->order;
}

/* Row sums and diagonal of A + s C, A with the weights of a moment. */
static void
set_operator (const HeatReduced *m, Worker *w, double shift, const HeatMoment *now)
{
  const HeatFaces *f = &m->faces;
  for (size_t i = 0; i < m->n; i++)
    w->sum[i] = shift * m->net.capacity[i];
  for (size_t i = 0; i < f->n; i++) {
    double slope = 0;
    for (size_t t = 0; t < HEAT_N_FACE_TERMS; t++)
      slope += m->laws.slope[t][i] * now->weight[HEAT_FIRST_FACE_TERM + t];
    w->sum[f->node[i]] += f->area[i] * slope;
  }
  for (size_t i = 0; i < m->n; i++)
    w->diag[i] = w->sum[i] + m->net.stencil.gsum[i];
  heat_multigrid_update (w->mg, w->sum);
}

/* Melting nodes of meshed bodies follow the mean of their neighbours; what they lag behind it or deviate
 * by is a cell's own (reduced-melt.c). Y is scratch. */
static void
slave_melts (const HeatReduced *m, double *x, double *y)
{
  const HeatStencil *s = &m->net.stencil;
  heat_stencil_apply (s, s->gsum, x, y);
  for (size_t b = 0; b < m->scene->n_bodies; b++) {
    const HeatPlaced *p = &m->net.bodies[b];
    for (size_t i = p->first_melt; p->block != HEAT_NO_BLOCK && i < p->first_melt + p->n_melts; i++) {
      uint32_t node = m->net.melts.items[i].node;
      x[node] -= y[node] / s->gsum[node];
    }
  }
}

/* A body of one node that stands apart follows the board, and so do its joints. OUT, by node less the first
 * single one: scratch. */
static void
slave_bodies (const HeatReduced *m, double *x, double *out)
{
  const HeatStencil *s = &m->net.stencil;
  size_t first = s->layout.n_cells;
  for (size_t i = first; i < m->n; i++)
    out[i - first] = s->gsum[i] * x[i];
  for (size_t l = 0; l < s->n_links; l++) {
    const HeatLink *link = &s->links[l];
    if (link->a >= first)
      out[link->a - first] -= link->g * x[link->b];
    if (link->b >= first)
      out[link->b - first] -= link->g * x[link->a];
  }
  for (size_t i = 0; i < m->cells.n; i++) {
    const HeatCell *cell = &m->cells.items[i];
    if (cell->body == SIZE_MAX)
      continue;
    uint32_t joint = cell->melt.node, body = m->net.bodies[cell->body].node;
    double u = -out[joint - first], v = -out[body - first];
    double det = cell->g * cell->body_g - cell->tie * cell->tie;
    x[joint] += (u * cell->body_g + v * cell->tie) / det;
    x[body] += (v * cell->g + u * cell->tie) / det;
  }
}

/* Bodies whose joints come within MARGIN_K of their solidus in a run stand apart from then on. */
static void
note_apart (HeatReduced *m, const HeatReducedRun *run)
{
  for (size_t b = 0; b < m->scene->n_bodies && !m->options.scout; b++) {
    const HeatPlaced *p = &m->net.bodies[b];
    if (p->block != HEAT_NO_BLOCK || p->n_melts == 0 || m->apart[b])
      continue;
    const HeatMelt *melt = &m->net.melts.items[p->first_melt];
    double hottest = -INFINITY;
    for (size_t t = 0; t < run->n_times; t++) {
      double over = 0;
      for (size_t k = 0; k < m->r; k++)
        over += run->states[t * m->stride + k] * m->v[k * m->n + melt->node];
      hottest = fmax (hottest, run->scene.room.air_c + over);
    }
    m->apart[b] = hottest > melt->solidus - MARGIN_K;
  }
}

static HeatMoment
state_of (const Input *input)
{
  HeatMoment now = { .gas_on = input->gas_on, .pre_on = input->pre_on };
  now.weight[HEAT_TERM_ROOM] = 1;
  now.weight[HEAT_TERM_GAS_ROOM] = now.weight[HEAT_TERM_NOZZLE] = now.weight[HEAT_TERM_SPILL] = input->gas_on;
  now.weight[HEAT_TERM_PRE_ROOM] = now.weight[HEAT_TERM_PRE] = input->pre_on;
  return now;
}

/* One response, to B, into column COLUMN. */
static void
respond (Basis *b, Worker *w, const double *rhs, double part, size_t column)
{
  const HeatReduced *m = b->m;
  double *x = b->z + column * m->n;
  memcpy (w->b, rhs, m->n * sizeof (double));
  HeatCgReport report
      = heat_cg_solve_part (&m->net.stencil, w->diag, w->mg, w->b, x, part, CG_MAX, &w->cg);
  slave_melts (m, x, w->cg.q);
  w->n_iterations += report.iterations;
  w->failed |= !report.converged;
}

/* All sources' responses at one shift. */
static void
seed_shift (void *data, size_t k)
{
  Basis *b = data;
  Worker *w = &b->workers[b->n_workers > 1 ? k : 0];
  heat_multigrid_forget (w->mg);
  for (size_t i = 0; i < b->n_inputs; i++) {
    const Input *input = &b->inputs[i], *last = i ? input - 1 : NULL;
    HeatMoment now = state_of (input);
    if (!last || last->gas_on != input->gas_on || last->pre_on != input->pre_on)
      set_operator (b->m, w, 1 / TIMES_S[k], &now);
    respond (b, w, input->b, SOLVE_PART, 1 + k * b->n_inputs + i);
  }
}

/* The same of what a sweep's moments leave. */
static void
sweep_shift (void *data, size_t k)
{
  Basis *b = data;
  Worker *w = &b->workers[b->n_workers > 1 ? k : 0];
  heat_multigrid_forget (w->mg);
  for (size_t i = 0; i < SWEEP_TIMES; i++) {
    set_operator (b->m, w, 1 / SWEEP_TIMES_S[k], &b->run->moments[b->at[i]]);
    respond (b, w, b->left[i], SWEEP_PART, k * SWEEP_TIMES + i);
  }
}

static HeatStatus
do_shifts (Basis *b, size_t n, size_t each, void (*job) (void *, size_t))
{
  HeatReduced *m = b->m;
  if (m->options.parallel)
    m->options.parallel->run (m->options.parallel->pool, n, job, b);
  else
    for (size_t k = 0; k < n; k++)
      job (b, k);
  bool failed = false;
  m->report.n_cg_iterations = 0;
  for (size_t i = 0; i < b->n_workers; i++) {
    m->report.n_cg_iterations += b->workers[i].n_iterations;
    failed |= b->workers[i].failed;
  }
  m->report.n_solves += n * each;
  b->n_z += n * each;
  return failed ? HEAT_NOT_CONVERGED : HEAT_OK;
}

HeatStatus
heat_basis_seed (HeatBasis *b)
{
  const HeatReduced *m = b->m;
  for (size_t i = 0; i < m->n; i++)
    b->z[i] = m->net.capacity[i] > 0 || m->net.stencil.gsum[i] > 0;
  b->n_z = 1;
  return do_shifts (b, N_SHIFTS, b->n_inputs, seed_shift);
}

/* Moments spread evenly over the steps of a march: where much happens steps are short. */
static void
choose_moments (Basis *b, const HeatReducedRun *run)
{
  for (size_t i = 0; i < SWEEP_TIMES; i++)
    b->at[i] = (2 * i + 1) * (run->n_times - 1) / (2 * SWEEP_TIMES) + 1;
}

HeatStatus
heat_basis_sweep (HeatBasis *b, const HeatReducedRun *run, double *left_k)
{
  const HeatReduced *m = b->m;
  b->run = run;
  note_apart (b->m, run);
  choose_moments (b, run);
  for (size_t i = 0; i < SWEEP_TIMES; i++)
    heat_past_left (run, b->at[i], b->workers[0].cg.p, b->left[i]);
  HeatStatus status = do_shifts (b, N_SWEEP_SHIFTS, SWEEP_TIMES, sweep_shift);
  *left_k = 0;
  for (size_t k = 0; k < N_SWEEP_SHIFTS * SWEEP_TIMES; k++)
    *left_k = fmax (*left_k, heat_largest (b->z + k * m->n, m->n));
  return status;
}

HEAT_WIDE static void
scale_by (double *restrict v, double scale, size_t n)
{
  for (size_t i = 0; i < n; i++)
    v[i] *= scale;
}

static double *
clear_gram (Basis *b, size_t rows, size_t cols)
{
  memset (b->gram, 0, rows * cols * sizeof (double));
  return b->gram;
}

/* Takes from the FRESH vectors at Z what lies in the first R vectors. */
static void
take_span (Basis *b, double *z, size_t fresh, size_t r)
{
  const HeatReduced *m = b->m;
  double *coef = clear_gram (b, r, fresh);
  heat_cross (b->v, r, z, fresh, m->n, m->net.capacity, coef, fresh);
  heat_cross_take (b->v, r, z, fresh, m->n, coef, fresh);
}

/* Orthonormal vectors of the FRESH ones at Z, appended after the first R; returns how many. */
static size_t
append (Basis *b, const double *z, size_t fresh, size_t r, double part)
{
  const HeatReduced *m = b->m;
  size_t n = m->n;
  double *gram = clear_gram (b, fresh, fresh);
  heat_cross (z, fresh, z, fresh, n, m->net.capacity, gram, fresh);
  size_t taken = heat_dense_pivoted (gram, fresh, part, b->order, b->l);
  taken = r + taken > HEAT_VECTORS_MAX ? HEAT_VECTORS_MAX - r : taken;
  double *to = b->v + r * n;
  for (size_t k = 0; k < taken; k++) {
    const double *row = b->l + b->order[k] * fresh;
    memcpy (to + k * n, z + b->order[k] * n, n * sizeof (double));
    for (size_t j = 0; j < k; j++)
      b->gram[j] = row[j];
    heat_cross_take (to, k, to + k * n, 1, n, b->gram, 1);
    scale_by (to + k * n, 1 / row[k], n);
  }
  return taken;
}

/* Once more on what rounding left of the last FRESH vectors' overlap, which is little. */
static bool
polish (Basis *b, size_t r, size_t fresh)
{
  const HeatReduced *m = b->m;
  size_t n = m->n;
  double *v = b->v + r * n;
  if (r)
    take_span (b, v, fresh, r);
  double *gram = clear_gram (b, fresh, fresh);
  heat_cross (v, fresh, v, fresh, n, m->net.capacity, gram, fresh);
  if (!heat_dense_factor (gram, fresh))
    return false;
  for (size_t k = 0; k < fresh; k++) {
    heat_cross_take (v, k, v + k * n, 1, n, gram + k * fresh, 1);
    scale_by (v + k * n, 1 / gram[k * fresh + k], n);
  }
  return true;
}

/* Bodies that have come to stand apart since the last time: true when there are any. */
static bool
slave_all (Basis *b, double *out)
{
  HeatReduced *m = b->m;
  size_t n = 0;
  for (size_t i = 0; i < m->scene->n_bodies; i++)
    n += m->apart[i];
  bool more = n > b->n_apart;
  b->n_apart = n;
  for (size_t i = 0; i < b->n_z; i++)
    slave_bodies (m, b->z + i * m->n, out);
  for (size_t i = 0; i < m->r && more; i++)
    slave_bodies (m, b->v + i * m->n, out);
  return more;
}

/* Vectors that add less than this anywhere are not worth a row, K. */
static void
drop_small (Basis *b, double least_k)
{
  size_t n = b->m->n, kept = 0;
  for (size_t i = 0; i < b->n_z; i++)
    if (heat_largest (b->z + i * n, n) >= least_k) {
      if (kept != i)
        memcpy (b->z + kept * n, b->z + i * n, n * sizeof (double));
      kept++;
    }
  b->n_z = kept;
}

HeatStatus
heat_basis_close (HeatBasis *b, size_t *first)
{
  HeatReduced *m = b->m;
  double *out = HEAT_TAKE (&m->small, double, m->n - m->net.stencil.layout.n_cells);
  if (!out || !heat_cells_list (m))
    return HEAT_NO_MEMORY;
  *first = m->r;
  if (slave_all (b, out) && m->r) { /* nearly orthonormal still: what has moved are a few small nodes */
    *first = 0;
    if (!polish (b, 0, m->r))
      return HEAT_NOT_CONVERGED;
  }
  drop_small (b, m->r ? m->options.error_k / 4 : 0);
  size_t r = m->r;
  if (r)
    take_span (b, b->z, b->n_z, r);
  size_t taken = append (b, b->z, b->n_z, r, r ? SWEEP_DROP : SEED_DROP);
  if (taken && !polish (b, r, taken))
    return HEAT_NOT_CONVERGED;
  b->n_z = 0;
  m->v = b->v;
  m->r = r + taken;
  m->stride = (m->r + 7) / 8 * 8;
  return HEAT_OK;
}

HeatStatus
heat_basis_keep (HeatBasis *b)
{
  HeatReduced *m = b->m;
  m->v = HEAT_TAKE (&m->kept, double, m->r * m->n);
  if (!m->v)
    return HEAT_NO_MEMORY;
  memcpy (m->v, b->v, m->r * m->n * sizeof (double));
  return HEAT_OK;
}

HeatBasis *
heat_basis_new (HeatArena *arena, HeatReduced *m)
{
  HeatBasis *b = HEAT_TAKE (arena, HeatBasis, 1);
  if (!b)
    return NULL;
  b->m = m;
  b->arena = arena;
  return list_inputs (b) && take_all (b) ? b : NULL;
}
