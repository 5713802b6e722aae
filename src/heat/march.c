#include "heat/march.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "heat/vector.h"
#include "heat/wide.h"

/* The linear solver stops at this part of the non-linear tolerance. */
static const double LINEAR_PART = 1;
/* A change of this size moves a flux by less than a part in 10^5 off its slope. */
static const double FOLLOW_K = 0.3;
enum { NEWTON_MAX = 40, CG_MAX = 200 };

bool
heat_march_new (HeatArena *arena, const HeatScene *scene, HeatNetwork *net, HeatFaces *faces,
                HeatMultigrid *mg, double tolerance_k, char *detail, HeatMarch *m)
{
  size_t n = net->stencil.layout.n;
  *m = (HeatMarch){
    .scene = scene, .net = net, .faces = faces, .mg = mg, .tolerance_k = tolerance_k, .detail = detail
  };
  double **nodes[] = { &m->t,
                       &m->reach,
                       &m->guess,
                       &m->r,
                       &m->diag,
                       &m->sum,
                       &m->delta,
                       &m->guess_past[0],
                       &m->guess_past[1],
                       &m->guess_past[2] };
  double **melts[] = { &m->h, &m->h0, &m->h1, &m->h_base, &m->melt_slope };
  for (size_t i = 0; i < sizeof nodes / sizeof nodes[0]; i++)
    if (!(*nodes[i] = HEAT_TAKE (arena, double, n)))
      return false;
  for (size_t i = 0; i < sizeof melts / sizeof melts[0]; i++)
    if (!(*melts[i] = HEAT_TAKE (arena, double, net->melts.n)))
      return false;
  return heat_cg_work (arena, n, &m->cg);
}

void
heat_march_forget (HeatMarch *m)
{
  m->n_past = 0;
}

/* Keeps the present temperatures as a point of the past and returns where they lie. */
static const double *
remember (HeatMarch *m, double t_s)
{
  double *oldest = m->guess_past[HEAT_PAST - 1];
  for (size_t i = HEAT_PAST - 1; i > 0; i--) {
    m->guess_past[i] = m->guess_past[i - 1];
    m->past_t[i] = m->past_t[i - 1];
    m->past_surface[i] = m->past_surface[i - 1];
  }
  m->guess_past[0] = oldest;
  m->past_t[0] = t_s;
  m->past_surface[0] = m->surface_c;
  memcpy (oldest, m->t, m->net->stencil.layout.n * sizeof (double));
  if (m->n_past < HEAT_PAST)
    m->n_past++;
  return oldest;
}

void
heat_march_restart (HeatMarch *m)
{
  for (size_t i = 0; i < m->net->melts.n; i++)
    m->h[i] = heat_melt_enthalpy (&m->net->melts.items[i], m->t[m->net->melts.items[i].node]);
  for (size_t i = 0; i < m->faces->n; i++)
    m->faces->ts[i] = m->t[m->faces->node[i]];
  m->surface_c = heat_faces_inside_c (m->faces);
  heat_march_forget (m);
}

void
heat_march_start (HeatMarch *m, double start_c)
{
  for (size_t i = 0; i < m->net->stencil.layout.n; i++)
    m->t[i] = start_c;
  m->t_s = m->t0_s = 0;
  m->n_solves = m->n_iterations = 0;
  m->worst_residual = 0;
  m->faces->fresh = false;
  m->matrix_gdt = 0;
  heat_multigrid_forget (m->mg);
  heat_march_restart (m);
}

/* Lagrange's polynomial through the remembered points, at T. */
HEAT_WIDE static void
extrapolate (HeatMarch *m, double t_s)
{
  double w[HEAT_PAST] = { 0 };
  for (size_t i = 0; i < m->n_past; i++) {
    w[i] = 1;
    for (size_t j = 0; j < m->n_past; j++)
      if (j != i)
        w[i] *= (t_s - m->past_t[j]) / (m->past_t[i] - m->past_t[j]);
  }
  m->surface_c = w[0] * m->past_surface[0] + w[1] * m->past_surface[1] + w[2] * m->past_surface[2];
  const double *restrict a = m->guess_past[0], *restrict b = m->guess_past[1],
                         *restrict c = m->guess_past[2];
  double *restrict t = m->t;
  for (size_t i = 0; i < m->net->stencil.layout.n; i++)
    t[i] = w[0] * a[i] + w[1] * b[i] + w[2] * c[i];
}

HEAT_WIDE static void
hold_back (double *restrict r, const double *restrict capacity, const double *restrict t,
           const double *restrict base, double per_s, size_t n)
{
  for (size_t i = 0; i < n; i++)
    r[i] = -r[i] - capacity[i] * per_s * (t[i] - base[i]);
}

/* r = -(H - H*) / (gamma dt) - L T - Q. */
static void
fill_residual (HeatMarch *m, double gdt)
{
  const HeatStencil *s = &m->net->stencil;
  const HeatFaces *f = m->faces;
  heat_stencil_apply (s, s->gsum, m->t, m->r);
  hold_back (m->r, m->net->capacity, m->t, m->base, 1 / gdt, s->layout.n);
  for (size_t i = 0; i < m->net->melts.n; i++) {
    const HeatMelt *melt = &m->net->melts.items[i];
    m->r[melt->node]
        += (melt->c * (m->t[melt->node] - m->base[melt->node]) - (m->h[i] - m->h_base[i])) / gdt;
  }
  for (size_t i = 0; i < f->n; i++)
    m->r[f->node[i]] -= f->area[i] * f->q[i];
}

HEAT_WIDE static void
sum_rows (double *restrict sum, const double *restrict capacity, double per_s, size_t n)
{
  for (size_t i = 0; i < n; i++)
    sum[i] = capacity[i] * per_s;
}

HEAT_WIDE static void
add_conductances (double *restrict diag, const double *restrict sum, const double *restrict gsum,
                  size_t n)
{
  for (size_t i = 0; i < n; i++)
    diag[i] = sum[i] + gsum[i];
}

static void
fill_diagonal (HeatMarch *m, double gdt)
{
  const HeatStencil *s = &m->net->stencil;
  const HeatFaces *f = m->faces;
  sum_rows (m->sum, m->net->capacity, 1 / gdt, s->layout.n);
  for (size_t i = 0; i < m->net->melts.n; i++) {
    const HeatMelt *melt = &m->net->melts.items[i];
    m->melt_slope[i] = heat_melt_slope (melt, m->t[melt->node]);
    m->sum[melt->node] = m->melt_slope[i] / gdt;
  }
  for (size_t i = 0; i < f->n; i++)
    m->sum[f->node[i]] += f->area[i] * f->dq[i];
  add_conductances (m->diag, m->sum, s->gsum, s->layout.n);
  m->row_most = heat_largest (m->diag, s->layout.n) + heat_largest (s->gsum, s->layout.n);
  m->matrix_gdt = gdt;
  m->matrix_age = 0;
}

/* Residual of what is accepted over ||A|| ||x||, in the largest norm; leaving ||b|| out only makes the
 * share larger. */
static void
note_residual (HeatMarch *m)
{
  size_t n = m->net->stencil.layout.n;
  double share = heat_largest (m->r, n) / (m->row_most * fmax (heat_largest (m->t, n), 1));
  m->worst_residual = fmax (m->worst_residual, share);
}

HEAT_WIDE static void
add_to (double *restrict t, const double *restrict delta, size_t n)
{
  for (size_t i = 0; i < n; i++)
    t[i] += delta[i];
}

static void
correct (HeatMarch *m)
{
  add_to (m->t, m->delta, m->net->stencil.layout.n);
  for (size_t i = 0; i < m->net->melts.n; i++) {
    const HeatMelt *melt = &m->net->melts.items[i];
    m->h[i] += m->melt_slope[i] * m->delta[melt->node];
    m->t[melt->node] = heat_melt_temperature (melt, m->h[i]);
  }
}

static HeatStatus
fail (HeatMarch *m, const char *what, double t_s, double size)
{
  snprintf (m->detail, 256, "%s at %.3f s (%.3g K left)", what, t_s, size);
  return HEAT_NOT_CONVERGED;
}

/* The matrix is renewed when the step changes, while joints melt, where an iteration is slow, and now
 * and then: films drift by a few parts in a thousand of its diagonal from stage to stage, which Newton's
 * method bears with. The residual is always exact. */
static bool
is_stale (HeatMarch *m, int iteration, double gdt)
{
  bool renew = gdt != m->matrix_gdt || iteration > 1 || (iteration == 0 && ++m->matrix_age >= 8);
  for (size_t i = 0; i < m->net->melts.n && !renew; i++) {
    const HeatMelt *melt = &m->net->melts.items[i];
    renew = heat_melt_slope (melt, m->t[melt->node]) != m->melt_slope[i];
  }
  return renew;
}

/* FOLLOW: the temperatures have moved so little that the fluxes' slopes are as good as the fluxes. */
static void
set_fluxes (HeatMarch *m, double t_s, HeatSide side, bool follow)
{
  if (follow)
    heat_faces_follow (m->faces, m->t);
  else {
    HeatSeen seen = heat_faces_seen (m->scene, m->faces, m->surface_c);
    heat_environment_at (m->scene, &seen, t_s, side, &m->env);
    heat_faces_refresh (m->scene, &m->env, m->faces);
    heat_faces_flux (m->scene, &m->env, m->faces, m->t);
  }
  m->surface_c = heat_faces_inside_c (m->faces);
}

/* Solves one stage that ends at T_S, from the guess in m->t. */
static HeatStatus
solve_stage (HeatMarch *m, double t_s, HeatSide side, double gdt)
{
  double change = INFINITY, before = 0;
  for (size_t i = 0; i < m->net->melts.n; i++)
    m->h[i] = heat_melt_enthalpy (&m->net->melts.items[i], m->t[m->net->melts.items[i].node]);
  for (int k = 0; k < NEWTON_MAX; k++) {
    set_fluxes (m, t_s, side, k == 1 && change < FOLLOW_K);
    fill_residual (m, gdt);
    bool renew = is_stale (m, k, gdt);
    if (renew)
      fill_diagonal (m, gdt);
    double now = heat_largest_ratio (m->r, m->diag, m->net->stencil.layout.n);
    if (!isfinite (now))
      return fail (m, "a temperature is not a number", t_s, now);
    /* Newton's next change would be smaller than the last by the ratio of the residuals. */
    if (k > 0 && (change <= m->tolerance_k || change * now <= m->tolerance_k * before)) {
      note_residual (m);
      return HEAT_OK;
    }
    before = now;
    if (renew)
      heat_multigrid_update (m->mg, m->sum);
    HeatCgReport report = heat_cg_solve (&m->net->stencil, m->diag, m->mg, m->r, m->delta,
                                         LINEAR_PART * m->tolerance_k, CG_MAX, &m->cg);
    m->n_solves++;
    m->n_iterations += report.iterations;
    if (!report.converged)
      return fail (m, "the linear solver did not converge", t_s, report.change);
    correct (m);
    change = report.change;
  }
  return fail (m, "the non-linear iteration did not converge", t_s, change);
}

static void
add_flows (HeatMarch *m, double weight)
{
  HeatFlows f = heat_faces_flows (&m->env, m->faces);
  m->flows_dt[0] += weight * f.nozzle;
  m->flows_dt[1] += weight * f.spill;
  m->flows_dt[2] += weight * f.preheat;
  m->flows_dt[3] += weight * f.room;
  m->flows_dt[4] += weight * f.clamps;
}

static HeatStatus
first_stage (HeatMarch *m, double dt)
{
  m->base = m->t0;
  memcpy (m->h_base, m->h0, m->net->melts.n * sizeof (double));
  extrapolate (m, m->t_s + HEAT_GAMMA * dt);
  HeatStatus status = solve_stage (m, m->t_s + HEAT_GAMMA * dt, HEAT_BEFORE, HEAT_GAMMA * dt);
  if (status != HEAT_OK)
    return status;
  memcpy (m->h1, m->h, m->net->melts.n * sizeof (double));
  add_flows (m, (1 - HEAT_GAMMA) * dt);
  m->t1 = remember (m, m->t_s + HEAT_GAMMA * dt);
  return HEAT_OK;
}

HEAT_WIDE static void
reach_on (double *restrict base, const double *restrict from, const double *restrict to, double ratio,
          size_t n)
{
  for (size_t i = 0; i < n; i++)
    base[i] = from[i] + ratio * (to[i] - from[i]);
}

static HeatStatus
second_stage (HeatMarch *m, double dt)
{
  const double ratio = (1 - HEAT_GAMMA) / HEAT_GAMMA;
  size_t n = m->net->stencil.layout.n;
  reach_on (m->reach, m->t0, m->t1, ratio, n);
  m->base = m->reach;
  for (size_t i = 0; i < m->net->melts.n; i++)
    m->h_base[i] = m->h0[i] + ratio * (m->h1[i] - m->h0[i]);
  bool whole = m->n_past == HEAT_PAST;
  extrapolate (m, m->t_s + dt);
  if (m->wants_error)
    memcpy (m->guess, m->t, n * sizeof (double));
  HeatStatus status = solve_stage (m, m->t_s + dt, HEAT_BEFORE, HEAT_GAMMA * dt);
  if (status != HEAT_OK)
    return status;
  add_flows (m, HEAT_GAMMA * dt);
  m->guess_error = whole && m->wants_error ? heat_largest_gap (m->t, m->guess, n) : NAN;
  remember (m, m->t_s + dt);
  return HEAT_OK;
}

HeatStatus
heat_march_step (HeatMarch *m, double dt)
{
  m->t0 = m->n_past ? m->guess_past[0] : remember (m, m->t_s);
  memcpy (m->h0, m->h, m->net->melts.n * sizeof (double));
  memset (m->flows_dt, 0, sizeof m->flows_dt);
  m->t0_s = m->t_s;
  HeatStatus status = first_stage (m, dt);
  if (status == HEAT_OK)
    status = second_stage (m, dt);
  if (status == HEAT_OK)
    m->t_s += dt;
  return status;
}

bool
heat_march_melts (const HeatMarch *m, double dt)
{
  double span = m->t_s - m->t0_s;
  for (size_t i = 0; span > 0 && i < m->net->melts.n; i++) {
    const HeatMelt *melt = &m->net->melts.items[i];
    double now = m->t[melt->node], then = now + (now - m->t0[melt->node]) * dt / span;
    if (fmax (now, then) > melt->solidus && fmin (now, then) < melt->liquidus)
      return true;
  }
  return false;
}

void
heat_march_undo (HeatMarch *m)
{
  m->t_s = m->t0_s;
  memcpy (m->t, m->t0, m->net->stencil.layout.n * sizeof (double));
  memcpy (m->h, m->h0, m->net->melts.n * sizeof (double));
  for (size_t i = 0; i < m->faces->n; i++)
    m->faces->ts[i] = m->t[m->faces->node[i]];
  m->surface_c = heat_faces_inside_c (m->faces);
  heat_march_forget (m);
}
