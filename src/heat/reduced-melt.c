#include "heat/reduced-melt.h"

#include <math.h>
#include <string.h>

#include "heat/vector.h"

/* Deviations below this are let go of, K. */
static const double REST_K = 1e-4;

static double
tie_between (const HeatStencil *s, uint32_t a, uint32_t b)
{
  for (size_t i = 0; i < s->n_links; i++)
    if ((s->links[i].a == a && s->links[i].b == b) || (s->links[i].a == b && s->links[i].b == a))
      return s->links[i].g;
  return 0;
}

static double
face_slope (const HeatReduced *m, uint32_t node)
{
  double sum = 0;
  for (size_t i = 0; i < m->faces.n; i++)
    if (m->faces.node[i] == node)
      sum += m->faces.area[i] * m->laws.slope[0][i];
  return sum;
}

static void
tie_bodies (HeatReduced *m)
{
  for (size_t i = 0; i < m->scene->n_bodies; i++) {
    const HeatPlaced *p = &m->net.bodies[i];
    if (p->block != HEAT_NO_BLOCK || p->n_melts == 0)
      continue;
    HeatCell *c = &m->cells.items[p->first_melt];
    c->body = i;
    c->body_c = m->net.capacity[p->node];
    c->body_g = m->net.stencil.gsum[p->node] + face_slope (m, p->node);
    c->tie = tie_between (&m->net.stencil, p->node, p->joint_node);
  }
}

static void
fill_row (const HeatReduced *m, uint32_t node, double *row)
{
  for (size_t k = 0; k < m->r; k++)
    row[k] = m->v[k * m->n + node];
}

bool
heat_cells_new (HeatReduced *m)
{
  HeatCells *c = &m->cells;
  c->n = m->net.melts.n;
  c->items = HEAT_TAKE (&m->small, HeatCell, c->n);
  c->row = HEAT_TAKE (&m->small, double, c->n * m->stride);
  c->body_row = HEAT_TAKE (&m->small, double, c->n * m->stride);
  if (!c->items || !c->row || !c->body_row)
    return false;
  c->solidus = INFINITY;
  for (size_t i = 0; i < c->n; i++) {
    const HeatMelt *melt = &m->net.melts.items[i];
    c->items[i] = (HeatCell){ .melt = *melt, .g = m->net.stencil.gsum[melt->node], .body = SIZE_MAX };
    c->solidus = fmin (c->solidus, melt->solidus);
  }
  tie_bodies (m);
  for (size_t i = 0; i < c->n; i++) {
    fill_row (m, c->items[i].melt.node, c->row + i * m->stride);
    if (c->items[i].body != SIZE_MAX)
      fill_row (m, m->net.bodies[c->items[i].body].node, c->body_row + i * m->stride);
  }
  return true;
}

static void
read_tau (const HeatReducedRun *run, const double *x, double *tau)
{
  const HeatReduced *m = run->model;
  for (size_t i = 0; i < m->cells.n; i++)
    tau[i] = run->scene.room.air_c + heat_dot (m->cells.row + i * m->stride, x, m->stride);
}

double
heat_cell_lag (const HeatReduced *m, size_t i, const double *rate)
{
  const HeatCell *cell = &m->cells.items[i];
  return -cell->melt.c / cell->g * heat_dot (m->cells.row + i * m->stride, rate, m->stride);
}

void
heat_cells_start (HeatReducedRun *run)
{
  const HeatCells *c = &run->model->cells;
  read_tau (run, run->x, run->tau);
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
  return fabs (run->dev_base[i]) > REST_K || fabs (run->body_dev_base[i]) > REST_K
         || fabs (run->liquid_base[i] - heat_melt_liquid (&cell->melt, run->tau[i])) > 1e-9;
}

static void
stage_cell (HeatReducedRun *run, size_t i, double gdt, double *force)
{
  const HeatReduced *m = run->model;
  const HeatCell *cell = &m->cells.items[i];
  double scale = run->drive.scale_capacity / m->scene->scale_capacity;
  double per_s = scale / gdt, c = cell->melt.c * per_s, body = cell->body_c * per_s + cell->body_g;
  double keep = body > 0 ? cell->body_c * per_s * run->body_dev_base[i] / body : 0;
  double lean = body > 0 ? cell->tie / body : 0;
  double a = c + cell->g - cell->tie * lean, sensible = c * (run->tau[i] - run->tau_base[i]);
  double rhs = c * run->dev_base[i] + cell->tie * keep - sensible;
  double t = solve_cell (&cell->melt, run->tau[i], a, rhs, cell->melt.latent / gdt, run->liquid_base[i]);
  run->dev[i] = t - run->tau[i];
  run->liquid[i] = heat_melt_liquid (&cell->melt, t);
  run->body_dev[i] = keep + lean * run->dev[i];
  double in = cell->g * run->dev[i] - cell->tie * run->body_dev[i] + sensible;
  double body_in = cell->body_g * run->body_dev[i] - cell->tie * run->dev[i];
  const double *row = m->cells.row + i * m->stride, *body_row = m->cells.body_row + i * m->stride;
  for (size_t k = 0; k < m->stride; k++)
    force[k] += in * row[k];
  for (size_t k = 0; k < m->stride && cell->body != SIZE_MAX; k++)
    force[k] += body_in * body_row[k];
}

void
heat_cells_stage (HeatReducedRun *run, double gdt, double hottest_c, double *force)
{
  const HeatCells *c = &run->model->cells;
  if (!run->melting && !run->wet && hottest_c < c->solidus)
    return;
  run->melting = run->wet = false;
  read_tau (run, run->x, run->tau);
  read_tau (run, run->base, run->tau_base);
  for (size_t i = 0; i < c->n; i++)
    if (is_active (run, &c->items[i], i)) {
      run->melting = true;
      stage_cell (run, i, gdt, force);
    } else {
      run->dev[i] = run->body_dev[i] = 0;
      run->liquid[i] = heat_melt_liquid (&c->items[i].melt, run->tau[i]);
    }
  for (size_t i = 0; i < c->n; i++)
    run->wet |= run->liquid[i] > 0;
}
