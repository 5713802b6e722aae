#include "heat/reduced-basis.h"

#include <math.h>
#include <string.h>

#include "heat/cg-narrow.h"
#include "heat/narrow.h"
#include "heat/reduced-inputs.h"
#include "heat/reduced-melt.h"
#include "heat/reduced-past.h"
#include "heat/reduced-slaves.h"
#include "heat/reduced-span.h"
#include "heat/reduced-zones.h"

/* Times the shifts stand for, s: from the first instants of a jump of the gas to the settling of a board. */
static const double TIMES_S[] = { 0.5, 3, 20, 150 };
static const double SWEEP_TIMES_S[] = { 2, 15, 100 };
enum { N_SHIFTS = sizeof TIMES_S / sizeof TIMES_S[0], N_SWEEP_SHIFTS = sizeof SWEEP_TIMES_S / sizeof SWEEP_TIMES_S[0] };
enum { SWEEP_TIMES = 24, LEFT_AT_ONCE = 8, HALVES = 2, TASKS_MAX = N_SHIFTS * HEAT_INPUTS_MAX, CG_MAX = 200 };
/* Bodies of one node that come so near melting are ready to melt, K: another drive may be hotter. */
static const double MARGIN_K = 15;
/* Responses are solved to this part of their largest entry. */
static const double SOLVE_PART = 1e-3, SWEEP_PART = 1e-2;
/* A vector whose square adds less than this of its own to the span is dropped. */
static const double SEED_DROP = 1e-7, SWEEP_DROP = 1e-4;

typedef struct {
  HeatMultigrid *mg;
  HeatNarrowWork cg;
  double *sum;
  float *value; /* of slaves */
  size_t n_iterations;
  bool failed;
} Worker;

/* One response to be solved for. */
typedef struct {
  double time_s;
  HeatMoment now;
  const float *w;
  const float *start; /* of the earlier model; NULL: none */
  float *kept;        /* NULL: not kept */
  size_t column;
} Task;

struct HeatBasis {
  HeatReduced *m;
  HeatArena *arena;
  HeatInput inputs[HEAT_INPUTS_MAX];
  size_t n_inputs;
  Worker workers[HEAT_PIECES];
  HeatSlaves slaves;
  HeatSpan span;
  const HeatNear *near; /* NULL: none */
  float *z; /* responses not yet in them */
  size_t n_z, n_apart;
  Task tasks[TASKS_MAX];
  size_t n_tasks;
  double part;
  double *wide[HALVES]; /* [n]: scratch */
  HeatFaces faces;      /* the model's, to be written to by another thread */
};
typedef HeatBasis Basis;

/* ---- solving ---- */

static bool
take_worker (Basis *b, Worker *w, const HeatMultigrid *of)
{
  size_t n = b->m->n;
  w->mg = of ? heat_multigrid_twin (b->arena, of) : heat_multigrid_new (b->arena, &b->m->net.stencil, &b->m->net.mesh);
  w->sum = HEAT_TAKE (b->arena, double, n);
  w->value = HEAT_TAKE (b->arena, float, b->slaves.n);
  return w->mg && w->sum && w->value && heat_narrow_work (b->arena, n, &w->cg);
}

/* Row sums of A + C / TIME_S, A with the weights of a moment. */
static void
set_operator (const HeatReduced *m, Worker *w, const Task *task)
{
  const HeatFaces *f = &m->faces;
  for (size_t i = 0; i < m->n; i++)
    w->sum[i] = m->net.capacity[i] / task->time_s;
  for (size_t i = 0; i < f->n; i++) {
    double slope = 0;
    for (size_t t = 0; t < HEAT_N_FACE_TERMS; t++)
      slope += m->laws.slope[t][i] * task->now.weight[HEAT_FIRST_FACE_TERM + t];
    w->sum[f->node[i]] += f->area[i] * slope;
  }
  heat_multigrid_forget (w->mg);
  heat_multigrid_update (w->mg, w->sum);
}

static bool
same_operator (const Task *a, const Task *b)
{
  return a->time_s == b->time_s && memcmp (a->now.weight, b->now.weight, sizeof a->now.weight) == 0;
}

/* X to start from, and what it leaves of the right-hand side. The product reads a little beyond the ends of what it is
 * given, where X has its neighbours, which others are writing: it is given a copy. */
static void
begin (Basis *b, const Task *task, Worker *w, float *x)
{
  size_t n = b->m->n;
  memcpy (w->cg.r, task->w, n * sizeof (float));
  if (!task->start) {
    memset (x, 0, n * sizeof (float));
    return;
  }
  heat_near_field (b->near, task->start, 0, x);
  memcpy (w->cg.p, x, n * sizeof (float));
  heat_multigrid_product (w->mg, w->cg.p, w->cg.q);
  heat_narrow_add (w->cg.r, w->cg.q, -1, n);
}

/* A share of the tasks, one after the other; each is solved as if it were the only one. */
static void
do_share (void *data, size_t share)
{
  Basis *b = data;
  const HeatReduced *m = b->m;
  Worker *w = &b->workers[m->options.parallel ? share : 0];
  size_t from = b->n_tasks * share / HEAT_PIECES, to = b->n_tasks * (share + 1) / HEAT_PIECES;
  for (size_t i = from; i < to; i++) {
    const Task *task = &b->tasks[i];
    float *x = b->z + task->column * m->n;
    if (i == from || !same_operator (task, task - 1))
      set_operator (m, w, task);
    begin (b, task, w, x);
    HeatCgReport report = heat_cg_narrow (w->mg, m->n, x, b->part, CG_MAX, &w->cg);
    if (task->kept)
      memcpy (task->kept, x, m->n * sizeof (float));
    heat_slaves_melts (&b->slaves, x, w->value);
    w->n_iterations += report.iterations;
    w->failed |= !report.converged;
  }
}

static void
add_task (Basis *b, double time_s, const HeatMoment *now, const float *w)
{
  b->tasks[b->n_tasks++] = (Task){ time_s, *now, w, NULL, NULL, b->n_z++ };
}

/* The earlier model's responses are those of the same sources in the same order. */
static bool
same_inputs (const HeatReduced *a, const HeatReduced *b)
{
  return a->n_seeds == b->n_seeds && a->reference.on.gas_on == b->reference.on.gas_on
         && a->reference.pre.pre_on == b->reference.pre.pre_on && (a->scene->n_clamps > 0) == (b->scene->n_clamps > 0)
         && a->scene->target == b->scene->target;
}

/* Each task starts from what it was in the earlier model, and is kept for the next. */
static bool
link_seeds (Basis *b)
{
  HeatReduced *m = b->m;
  m->n_seeds = b->n_tasks;
  if (m->options.workspace && !(m->seeds = HEAT_TAKE_OPEN (&m->arena, float, m->n_seeds * m->n)))
    return false;
  const HeatReduced *was = b->near ? b->near->from : NULL;
  bool known = was && was->seeds && same_inputs (was, m);
  for (size_t i = 0; i < b->n_tasks; i++) {
    b->tasks[i].start = known ? was->seeds + i * was->n : NULL;
    b->tasks[i].kept = m->seeds ? m->seeds + i * m->n : NULL;
  }
  return true;
}

static HeatStatus
do_tasks (Basis *b, double part)
{
  HeatReduced *m = b->m;
  b->part = part;
  heat_do_pieces (m->options.parallel, HEAT_PIECES, do_share, b);
  bool failed = false;
  m->report.n_cg_iterations = 0;
  for (size_t i = 0; i < HEAT_PIECES; i++) {
    m->report.n_cg_iterations += b->workers[i].n_iterations;
    failed |= b->workers[i].failed;
  }
  m->report.n_solves += b->n_tasks;
  b->n_tasks = 0;
  return failed ? HEAT_NOT_CONVERGED : HEAT_OK;
}

HeatStatus
heat_basis_seed (HeatBasis *b)
{
  const HeatReduced *m = b->m;
  for (size_t i = 0; i < m->n; i++)
    b->z[i] = m->net.capacity[i] > 0 || m->net.stencil.gsum[i] > 0;
  b->n_z = 1;
  for (size_t k = 0; k < N_SHIFTS; k++)
    for (size_t i = 0; i < b->n_inputs; i++) {
      HeatMoment now = heat_input_moment (b->inputs[i].gas_on, b->inputs[i].pre_on);
      add_task (b, TIMES_S[k], &now, b->inputs[i].w);
    }
  return link_seeds (b) ? do_tasks (b, SOLVE_PART) : HEAT_NO_MEMORY;
}

/* ---- sweeps ---- */

/* Bodies whose joints come within MARGIN_K of their solidus in a run stand apart from then on. */
void
heat_basis_apart (HeatReduced *m, const HeatReducedRun *run)
{
  for (size_t b = 0; b < m->scene->n_bodies && !m->options.scout; b++) {
    const HeatPlaced *p = &m->net.bodies[b];
    if (p->block != HEAT_NO_BLOCK || p->n_melts == 0 || m->hot[b])
      continue;
    const HeatMelt *melt = &m->net.melts.items[p->first_melt];
    double hottest = -INFINITY;
    for (size_t t = 0; t < run->n_times; t++) {
      double over = 0;
      for (size_t k = 0; k < m->r; k++)
        over += run->states[t * m->stride + k] * m->v[k * m->n + melt->node];
      hottest = fmax (hottest, run->scene.room.air_c + over);
    }
    m->hot[b] = hottest > melt->solidus - MARGIN_K;
    m->apart[b] |= m->hot[b];
  }
}

/* Moments spread over a march: where much happens steps are short, but many short ones, while joints melt, are not
 * all there is. */
static void
choose_moments (const HeatReducedRun *run, size_t at[SWEEP_TIMES])
{
  double all = 0, sum = 0;
  for (size_t i = 1; i < run->n_times; i++)
    all += pow (run->times[i] - run->times[i - 1], 0.25);
  for (size_t i = 1, k = 0; i < run->n_times && k < SWEEP_TIMES; i++) {
    sum += pow (run->times[i] - run->times[i - 1], 0.25);
    while (k < SWEEP_TIMES && (sum * SWEEP_TIMES >= all * (k + 0.5) || i + 1 == run->n_times))
      at[k++] = i;
  }
}

/* A few moments of a sweep. */
typedef struct {
  Basis *b;
  const HeatReducedRun *run;
  const size_t *at;
  float *over, *rate;
} Leaving;

/* Every other one of them. */
static void
leave_half (void *data, size_t half)
{
  const Leaving *l = data;
  Basis *b = l->b;
  HeatFaces *faces = half && b->m->options.parallel ? &b->faces : &b->m->faces;
  for (size_t i = half; i < LEFT_AT_ONCE; i += HALVES)
    heat_past_left (l->run, l->at[i], l->rate + i * b->m->n, faces, b->workers[b->m->options.parallel ? half : 0].sum,
                    b->wide[half], l->over + i * b->m->n);
}

/* What the moments of a sweep leave of the balance, W per node, in the place of the responses to it: in the order in
 * which these are solved for. */
static void
leave (Basis *b, const HeatReducedRun *run, const size_t at[SWEEP_TIMES])
{
  const HeatReduced *m = b->m;
  Leaving l = { .b = b, .run = run, .rate = b->z + SWEEP_TIMES * m->n };
  for (size_t from = 0; from < SWEEP_TIMES; from += LEFT_AT_ONCE) {
    l.at = at + from;
    l.over = b->z + from * m->n;
    heat_past_fields (run, false, l.at, LEFT_AT_ONCE, l.over);
    heat_past_fields (run, true, l.at, LEFT_AT_ONCE, l.rate);
    heat_do_pieces (m->options.parallel, HALVES, leave_half, &l);
  }
}

HeatStatus
heat_basis_sweep (HeatBasis *b, const HeatReducedRun *run)
{
  const HeatReduced *m = b->m;
  size_t all[SWEEP_TIMES], at[SWEEP_TIMES];
  heat_basis_apart (b->m, run);
  choose_moments (run, all);
  for (size_t i = 0; i < SWEEP_TIMES; i++) /* every shift has its turn all along the march */
    at[i] = all[i % (SWEEP_TIMES / N_SWEEP_SHIFTS) * N_SWEEP_SHIFTS + i / (SWEEP_TIMES / N_SWEEP_SHIFTS)];
  leave (b, run, at);
  for (size_t i = 0; i < SWEEP_TIMES; i++) {
    HeatMoment now = heat_input_moment (run->moments[at[i]].gas_on, run->moments[at[i]].pre_on);
    add_task (b, SWEEP_TIMES_S[i / (SWEEP_TIMES / N_SWEEP_SHIFTS)], &now, b->z + b->n_z * m->n);
  }
  return do_tasks (b, SWEEP_PART);
}

/* ---- closing ---- */

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
  for (size_t i = 0; i < b->n_z && n; i++)
    heat_slaves_bodies (m, b->z + i * m->n, out);
  for (size_t i = 0; i < m->r && more; i++)
    heat_slaves_bodies (m, m->v + i * m->n, out);
  return more;
}

/* Vectors that add less than this anywhere are not worth a row, K. */
static void
drop_small (Basis *b, double least_k)
{
  size_t n = b->m->n, kept = 0;
  for (size_t i = 0; i < b->n_z; i++)
    if (heat_narrow_largest (b->z + i * n, n) >= least_k) {
      if (kept != i)
        memcpy (b->z + kept * n, b->z + i * n, n * sizeof (float));
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
    if (!heat_span_polish (&b->span, m->v, m->r))
      return HEAT_NOT_CONVERGED;
  }
  drop_small (b, m->r ? m->options.error_k / 10 : 0);
  size_t taken;
  if (!heat_span_add (&b->span, m->v, m->r, b->z, b->n_z, m->r ? SWEEP_DROP : SEED_DROP, HEAT_VECTORS_MAX - m->r, &taken))
    return HEAT_NOT_CONVERGED;
  b->n_z = 0;
  m->r += taken;
  m->stride = (m->r + 7) / 8 * 8;
  return HEAT_OK;
}

static bool
take_all (Basis *b)
{
  HeatReduced *m = b->m;
  size_t most = 1 + N_SHIFTS * b->n_inputs;
  if (most < SWEEP_TIMES + LEFT_AT_ONCE)
    most = SWEEP_TIMES + LEFT_AT_ONCE;
  for (size_t i = 0; i < (m->options.parallel ? HEAT_PIECES : 1); i++)
    if (!take_worker (b, &b->workers[i], i ? b->workers[0].mg : NULL))
      return false;
  size_t lumps = m->n - m->net.stencil.layout.n_cells, wide = m->n > 2 * lumps ? m->n : 2 * lumps; /* heat_lumps_mend() */
  for (size_t i = 0; i < HALVES; i++)
    if (!(b->wide[i] = i == 0 || m->options.parallel ? HEAT_TAKE (b->arena, double, wide) : b->wide[0]))
      return false;
  if (m->options.parallel && !heat_zones_copy (b->arena, &m->faces, &b->faces))
    return false;
  b->z = HEAT_TAKE_OPEN (b->arena, float, most * m->n);
  m->room = b->z;
  m->n_room = most;
  m->v = HEAT_TAKE_OPEN (&m->arena, float, HEAT_VECTORS_MAX * m->n);
  return m->v && b->z
         && heat_span_new (b->arena, m->options.parallel, m->n, m->net.capacity, HEAT_VECTORS_MAX, &b->span);
}

HeatBasis *
heat_basis_new (HeatArena *arena, HeatReduced *m, const HeatNear *near)
{
  HeatBasis *b = HEAT_TAKE (arena, HeatBasis, 1);
  if (!b)
    return NULL;
  b->m = m;
  b->arena = arena;
  b->near = near;
  return heat_inputs_list (arena, m, b->inputs, &b->n_inputs) && heat_slaves_find (arena, m, &b->slaves) && take_all (b)
             ? b
             : NULL;
}
