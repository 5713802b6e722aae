#include "heat/cg.h"

#include <math.h>
#include <string.h>

#include "heat/vector.h"
#include "heat/wide.h"

bool
heat_cg_work (HeatArena *arena, size_t n, HeatCgWork *work)
{
  work->z = HEAT_TAKE (arena, double, n);
  work->p = HEAT_TAKE (arena, double, n);
  work->q = HEAT_TAKE (arena, double, n);
  return work->z && work->p && work->q;
}

HEAT_WIDE static void
step (double *restrict x, double *restrict r, const double *restrict p, const double *restrict q,
      double alpha, size_t n)
{
  for (size_t i = 0; i < n; i++) {
    x[i] += alpha * p[i];
    r[i] -= alpha * q[i];
  }
}

HEAT_WIDE static void
turn (double *restrict p, const double *restrict z, double beta, size_t n)
{
  for (size_t i = 0; i < n; i++)
    p[i] = z[i] + beta * p[i];
}

HEAT_WIDE static void
add (double *restrict x, const double *restrict z, size_t n)
{
  for (size_t i = 0; i < n; i++)
    x[i] += z[i];
}

static void
clear (double *v, size_t n)
{
  memset (v, 0, n * sizeof (double));
}

/* First direction: the preconditioned residual; x is still to be zeroed. */
static void
begin (HeatCgWork *w, double *x, size_t n)
{
  memcpy (w->p, w->z, n * sizeof (double));
  clear (x, n);
}

/* The last correction: what is left is about z. */
static void
finish (double *x, const double *z, size_t n, bool fresh)
{
  if (fresh)
    memcpy (x, z, n * sizeof (double));
  else
    add (x, z, n);
}

HeatCgReport
heat_cg_solve (const HeatStencil *stencil, const double *diag, HeatMultigrid *mg, double *r, double *x,
               double tolerance_k, size_t max_iterations, HeatCgWork *w)
{
  size_t n = stencil->layout.n;
  HeatCgReport report = { 0 };
  double rho = 0;
  for (;;) {
    heat_multigrid_apply (mg, r, w->z);
    double error = heat_largest (w->z, n), next = heat_dot (r, w->z, n);
    if (!isfinite (next) || report.iterations == max_iterations)
      break;
    if (error <= tolerance_k || next <= 0) {
      report.converged = error <= tolerance_k;
      finish (x, w->z, n, report.iterations == 0);
      break;
    }
    if (report.iterations == 0)
      begin (w, x, n);
    else
      turn (w->p, w->z, next / rho, n);
    rho = next;
    heat_stencil_apply (stencil, diag, w->p, w->q);
    step (x, r, w->p, w->q, rho / heat_dot (w->p, w->q, n), n);
    report.iterations++;
  }
  report.change = heat_largest (x, n);
  return report;
}
