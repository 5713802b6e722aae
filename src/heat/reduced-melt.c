#include "heat/reduced-melt.h"

#include <math.h>
#include <string.h>

#include "heat/reduced-laws.h"
#include "heat/reduced-rows.h"
#include "heat/wide.h"

/* Deviations below this are let go of, K. */
static const double REST_K = 1e-4;
/* Deviations below this need no short steps, K. */
static const double CALM_K = 0.2;
/* Joints' own time constant from which on they are solved in every stage, s. */
static const double SLOW_S = 0.2;

double *
heat_cells_ties (HeatArena *arena, const HeatReduced *m, const HeatStencil *s)
{
  double *ties = HEAT_TAKE (arena, double, m->scene->n_bodies);
  size_t first = s->layout.n_cells;
  for (size_t i = 0; ties && i < s->n_links; i++) {
    const HeatLink *l = &s->links[i];
    if (l->a < first || l->b < first)
      continue;
    for (size_t b = 0; b < m->scene->n_bodies; b++) {
      const HeatPlaced *p = &m->net.bodies[b];
      if (p->block == HEAT_NO_BLOCK && (p->node == l->a || p->node == l->b))
        ties[b] = l->g;
    }
  }
  return ties;
}

/* Cells that are solved in every stage: with a body, or so slow that a lag does not describe them. */
static bool
is_awake (const HeatCell *cell)
{
  return cell->body != SIZE_MAX || cell->melt.c > SLOW_S * cell->g;
}

/* Cell of each single node that is a body's, by node less the first of them. */
static uint32_t *
map_bodies (HeatReduced *m)
{
  size_t first = m->net.stencil.layout.n_cells;
  uint32_t *of = HEAT_TAKE (&m->small, uint32_t, m->n - first);
  for (size_t i = 0; of && i < m->n - first; i++)
    of[i] = UINT32_MAX;
  for (size_t i = 0; of && i < m->cells.n; i++)
    if (m->cells.items[i].body != SIZE_MAX)
      of[m->net.bodies[m->cells.items[i].body].node - first] = (uint32_t) i;
  return of;
}

static HeatCell *
cell_at (HeatReduced *m, const uint32_t *of, uint32_t node)
{
  size_t first = m->net.stencil.layout.n_cells;
  return node >= first && of[node - first] != UINT32_MAX ? &m->cells.items[of[node - first]] : NULL;
}

static void
list_faces (HeatReduced *m, const uint32_t *of)
{
  for (size_t i = 0; i < m->faces.n; i++) {
    HeatCell *cell = cell_at (m, of, m->faces.node[i]);
    if (cell && cell->n_faces < 2)
      cell->face[cell->n_faces++] = (uint32_t) i;
  }
}

static void
add_cell (HeatReduced *m, const HeatMelt *melt)
{
  m->cells.items[m->cells.n++]
      = (HeatCell){ .melt = *melt, .g = m->net.stencil.gsum[melt->node], .body = SIZE_MAX };
}

/* All melting nodes of meshed bodies; of others, those that stand apart. A scout sees the target melt, no more. */
static void
list_cells (HeatReduced *m)
{
  for (size_t i = 0; i < m->scene->n_bodies; i++) {
    const HeatPlaced *p = &m->net.bodies[i];
    bool lump = p->block == HEAT_NO_BLOCK;
    if (m->options.scout && i != m->scene->target)
      continue;
    for (size_t k = p->first_melt; k < p->first_melt + p->n_melts && (!lump || m->apart[i]); k++)
      add_cell (m, &m->net.melts.items[k]);
    if (!lump || p->n_melts == 0 || !m->apart[i])
      continue;
    HeatCell *c = &m->cells.items[m->cells.n - 1];
    c->body = i;
    c->body_c = m->net.capacity[p->node];
    c->body_g = m->net.stencil.gsum[p->node];
    c->tie = m->ties[i];
  }
}

static void
fill_row (const HeatReduced *m, uint32_t node, float *row)
{
  for (size_t k = 0; k < m->r; k++)
    row[k] = m->v[k * m->n + node];
}

bool
heat_cells_list (HeatReduced *m)
{
  HeatCells *c = &m->cells;
  *c = (HeatCells){ .solidus = INFINITY };
  c->items = HEAT_TAKE (&m->small, HeatCell, m->net.melts.n);
  if (!c->items)
    return false;
  list_cells (m);
  uint32_t *of = map_bodies (m);
  if (!of)
    return false;
  list_faces (m, of);
  for (size_t i = 0; i < c->n; i++) {
    c->solidus = fmin (c->solidus, c->items[i].melt.solidus);
    c->n_awake += is_awake (&c->items[i]);
  }
  return true;
}

bool
heat_cells_rows (HeatReduced *m)
{
  HeatCells *c = &m->cells;
  c->row = HEAT_TAKE (&m->small, float, c->n * m->stride);
  c->body_row = HEAT_TAKE (&m->small, float, c->n * m->stride);
  if (!c->row || !c->body_row)
    return false;
  for (size_t i = 0; i < c->n; i++) {
    fill_row (m, c->items[i].melt.node, c->row + i * m->stride);
    if (c->items[i].body != SIZE_MAX)
      fill_row (m, m->net.bodies[c->items[i].body].node, c->body_row + i * m->stride);
  }
  return true;
}

static void
read_cells (const HeatReducedRun *run, const double *x, double *tau, double *over)
{
  const HeatReduced *m = run->model;
  const HeatCells *c = &m->cells;
  heat_rows_read (c->row, c->n, m->stride, x, tau);
  for (size_t i = 0; i < c->n; i++)
    tau[i] += run->scene.room.air_c;
  for (size_t i = 0; i < c->n && c->n_awake; i++)
    if (c->items[i].body != SIZE_MAX)
      heat_rows_read (c->body_row + i * m->stride, 1, m->stride, x, over + i);
}

double
heat_cell_lag (const HeatReduced *m, size_t i, const double *rate)
{
  const HeatCell *cell = &m->cells.items[i];
  double change;
  heat_rows_read (m->cells.row + i * m->stride, 1, m->stride, rate, &change);
  return -cell->melt.c / cell->g * change;
}

void
heat_cells_start (HeatReducedRun *run)
{
  const HeatCells *c = &run->model->cells;
  read_cells (run, run->x, run->tau, run->over);
  memset (run->dev, 0, c->n * sizeof (double));
  memset (run->body_dev, 0, c->n * sizeof (double));
  run->melting = run->wet = false;
  for (size_t i = 0; i < c->n; i++) {
    run->liquid[i] = heat_melt_liquid (&c->items[i].melt, run->tau[i]);
    run->wet |= run->liquid[i] > 0;
  }
}

/* One cell: a (T - tau) + L / gdt (f (T) - f*) = RHS; f rises straight from solidus to liquidus. */
static double
solve_cell (const HeatMelt *melt, double tau, double a, double rhs, double latent_w, double liquid_base)
{
  double solid = tau + (rhs + latent_w * liquid_base) / a;
  if (solid <= melt->solidus)
    return solid;
  double liquid = tau + (rhs - latent_w * (1 - liquid_base)) / a;
  if (liquid >= melt->liquidus)
    return liquid;
  double per_k = latent_w / (melt->liquidus - melt->solidus);
  return (a * tau + rhs + latent_w * liquid_base + per_k * melt->solidus) / (a + per_k);
}

/* Whether anything happens at a cell: it deviates, or its temperature and its liquid share disagree. */
static bool
is_active (const HeatReducedRun *run, const HeatCell *cell, size_t i)
{
  return is_awake (cell) || fabs (run->dev_base[i]) > REST_K || fabs (run->body_dev_base[i]) > REST_K
         || fabs (run->liquid_base[i] - heat_melt_liquid (&cell->melt, run->tau[i])) > 1e-9;
}

/* What the smooth field leaves of a body's own balance, W out; *SLOPE: of its faces, W/K. */
static double
body_left (const HeatReducedRun *run, size_t i, double per_s, double *slope)
{
  const HeatReduced *m = run->model;
  const HeatCell *cell = &m->cells.items[i];
  double over = run->over[i], left = cell->body_c * per_s * (over - run->over_base[i]);
  *slope = 0;
  for (size_t k = 0; k < cell->n_faces; k++) {
    uint32_t face = cell->face[k];
    double q = heat_law_flux (&m->laws, face, &run->moment, over) + run->excess[m->zones.of[face]];
    double q1 = heat_law_flux (&m->laws, face, &run->moment, over + 1) + run->excess[m->zones.of[face]];
    left += m->faces.area[face] * q;
    *slope += m->faces.area[face] * (q1 - q);
  }
  return left;
}

static void
stage_cell (HeatReducedRun *run, size_t i, double gdt, double *force)
{
  const HeatReduced *m = run->model;
  const HeatCell *cell = &m->cells.items[i];
  bool has_body = cell->body != SIZE_MAX;
  double per_s = run->drive.scale_capacity / m->scene->scale_capacity / gdt;
  double slope = 0, left = has_body ? body_left (run, i, per_s, &slope) : 0;
  double c = cell->melt.c * per_s, body = cell->body_c * per_s + cell->body_g + slope;
  double keep = has_body ? (cell->body_c * per_s * run->body_dev_base[i] - left) / body : 0;
  double lean = has_body ? cell->tie / body : 0;
  double a = c + cell->g - cell->tie * lean, sensible = c * (run->tau[i] - run->tau_base[i]);
  double rhs = c * run->dev_base[i] + cell->tie * keep - sensible;
  double t = solve_cell (&cell->melt, run->tau[i], a, rhs, cell->melt.latent / gdt, run->liquid_base[i]);
  double dev = run->dev[i] = t - run->tau[i];
  run->liquid[i] = heat_melt_liquid (&cell->melt, t);
  double body_dev = run->body_dev[i] = keep + lean * dev;
  /* Nodes and bodies balance by themselves; their neighbours feel the deviations, and the field's own
   * equations what it left of theirs. */
  double own = cell->g * dev - cell->tie * body_dev + sensible;
  double hung = cell->body_g * body_dev - cell->tie * dev + left;
  heat_rows_add (m->cells.row + i * m->stride, 1, m->stride, &own, force);
  if (has_body)
    heat_rows_add (m->cells.body_row + i * m->stride, 1, m->stride, &hung, force);
}

/* Whether a cell changes state or comes to rest after it. */
static bool
is_melting (const HeatReducedRun *run, size_t i)
{
  const HeatCell *cell = &run->model->cells.items[i];
  return run->liquid[i] != run->liquid_base[i] || (!is_awake (cell) && fabs (run->dev[i]) > CALM_K);
}

/* Whether no cell can be concerned. */
static bool
all_rest (const HeatReducedRun *run, double hottest_c)
{
  const HeatCells *c = &run->model->cells;
  return !run->melting && !run->wet && hottest_c < c->solidus && !c->n_awake;
}

void
heat_cells_base (HeatReducedRun *run)
{
  if (!all_rest (run, INFINITY) || run->model->cells.n)
    read_cells (run, run->base, run->tau_base, run->over_base);
}

void
heat_cells_stage (HeatReducedRun *run, double gdt, double hottest_c, double *force)
{
  const HeatCells *c = &run->model->cells;
  if (all_rest (run, hottest_c))
    return;
  run->melting = run->wet = false;
  read_cells (run, run->x, run->tau, run->over);
  for (size_t i = 0; i < c->n; i++)
    if (is_active (run, &c->items[i], i)) {
      stage_cell (run, i, gdt, force);
      run->melting |= is_melting (run, i);
    } else {
      run->dev[i] = run->body_dev[i] = 0;
      run->liquid[i] = heat_melt_liquid (&c->items[i].melt, run->tau[i]);
    }
  for (size_t i = 0; i < c->n; i++)
    run->wet |= run->liquid[i] > 0;
}

double
heat_cells_change (HeatReducedRun *run)
{
  const HeatReduced *m = run->model;
  const HeatCells *c = &m->cells;
  double most = 0, air = run->scene.room.air_c;
  if (!run->melting)
    return 0;
  heat_rows_read (c->row, c->n, m->stride, run->x, run->tau_next);
  for (size_t i = 0; i < c->n; i++)
    if (run->dev[i] != 0 || run->liquid[i] != run->liquid_base[i])
      most = fmax (most, fabs (air + run->tau_next[i] - run->tau[i]));
  return most;
}

/* How the two forces of a cell, on its own row and on its body's, hang on the two readings. */
typedef struct {
  double own_tau, own_over, hung_tau, hung_over;
} Slopes;

static Slopes
slopes_of (const HeatReducedRun *run, size_t i, double gdt)
{
  const HeatReduced *m = run->model;
  const HeatCell *cell = &m->cells.items[i];
  bool has_body = cell->body != SIZE_MAX;
  double per_s = run->drive.scale_capacity / m->scene->scale_capacity / gdt, slope = 0;
  if (has_body)
    body_left (run, i, per_s, &slope);
  double c = cell->melt.c * per_s, left = has_body ? cell->body_c * per_s + slope : 0;
  double body = left + cell->body_g, keep = has_body ? -left / body : 0, lean = has_body ? cell->tie / body : 0;
  double a = c + cell->g - cell->tie * lean, t = run->tau[i] + run->dev[i];
  double hold = t > cell->melt.solidus && t < cell->melt.liquidus
                    ? cell->melt.latent / gdt / (cell->melt.liquidus - cell->melt.solidus)
                    : 0;
  double dev_tau = (a - c) / (a + hold) - 1, dev_over = cell->tie * keep / (a + hold);
  double body_tau = lean * dev_tau, body_over = keep + lean * dev_over;
  return (Slopes){ .own_tau = cell->g * dev_tau - cell->tie * body_tau + c,
                   .own_over = cell->g * dev_over - cell->tie * body_over,
                   .hung_tau = cell->body_g * body_tau - cell->tie * dev_tau,
                   .hung_over = cell->body_g * body_over - cell->tie * dev_over + left };
}

/* Takes OWN p p' + ACROSS (p q' + q p') + HUNG q q' from the lower half of B. */
HEAT_WIDE static void
take_outer (double *restrict b, const float *restrict p, const float *restrict q, double own, double across,
            double hung, size_t r, size_t stride)
{
  for (size_t k = 0; k < r; k++) {
    double u = own * p[k] + across * q[k], v = across * p[k] + hung * q[k];
    double *restrict row = b + k * stride;
    for (size_t l = 0; l <= k; l++)
      row[l] -= u * p[l] + v * q[l];
  }
}

static void
mirror (double *b, size_t r, size_t stride)
{
  for (size_t k = 0; k < r; k++)
    for (size_t l = 0; l < k; l++)
      b[l * stride + k] = b[k * stride + l];
}

void
heat_cells_slopes (const HeatReducedRun *run, double gdt, double *b)
{
  const HeatReduced *m = run->model;
  for (size_t i = 0; i < m->cells.n; i++) {
    const HeatCell *cell = &m->cells.items[i];
    double t = run->tau[i] + run->dev[i];
    if (!is_awake (cell) && !(t > cell->melt.solidus && t < cell->melt.liquidus))
      continue;
    Slopes s = slopes_of (run, i, gdt);
    double across = (s.own_over + s.hung_tau) / 2; /* the matrix is to stay symmetric */
    const float *p = m->cells.row + i * m->stride, *q = m->cells.body_row + i * m->stride;
    take_outer (b, p, q, s.own_tau, across, s.hung_over, m->r, m->stride);
  }
  mirror (b, m->r, m->stride);
}
