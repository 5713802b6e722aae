#include "heat/cg.h"

#include <math.h>

#include "heat/wide.h"

bool
heat_cg_work (HeatArena *arena, size_t n, HeatCgWork *work)
{
  work->z = HEAT_TAKE (arena, double, n);
  work->p = HEAT_TAKE (arena, double, n);
  work->q = HEAT_TAKE (arena, double, n);
  return work->z && work->p && work->q;
}

/* Eight partial sums in a fixed order: vectorises without leave to reorder. */
HEAT_WIDE static double
dot (const double *restrict a, const double *restrict b, size_t n)
{
  double s[8] = { 0 };
  size_t i = 0;
  for (; i + 8 <= n; i += 8)
    for (size_t j = 0; j < 8; j++)
      s[j] += a[i + j] * b[i + j];
  for (; i < n; i++)
    s[0] += a[i] * b[i];
  return ((s[0] + s[1]) + (s[2] + s[3])) + ((s[4] + s[5]) + (s[6] + s[7]));
}

HEAT_WIDE static double
largest (const double *a, size_t n)
{
  double s[8] = { 0 };
  size_t i = 0;
  for (; i + 8 <= n; i += 8)
    for (size_t j = 0; j < 8; j++) {
      double v = fabs (a[i + j]);
      s[j] = v > s[j] ? v : s[j];
    }
  for (; i < n; i++)
    s[0] = fabs (a[i]) > s[0] ? fabs (a[i]) : s[0];
  for (size_t j = 1; j < 8; j++)
    s[0] = s[j] > s[0] ? s[j] : s[0];
  return s[0];
}

HEAT_WIDE static void
step (double *restrict x, double *restrict r, const double *restrict p, const double *restrict q, double alpha,
      size_t n)
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

HeatCgReport
heat_cg_solve (const HeatStencil *stencil, const double *diag, HeatMultigrid *mg, double *r, double *x,
               double tolerance_k, size_t max_iterations, HeatCgWork *w)
{
  size_t n = stencil->layout.n;
  HeatCgReport report = { 0 };
  double rho = 0;
  for (size_t i = 0; i < n; i++)
    x[i] = w->p[i] = 0;
  for (;;) {
    heat_multigrid_apply (mg, r, w->z);
    double error = largest (w->z, n), next = dot (r, w->z, n);
    if (!isfinite (next))
      break;
    if (error <= tolerance_k || next <= 0) {
      report.converged = error <= tolerance_k;
      break;
    }
    if (report.iterations == max_iterations)
      break;
    turn (w->p, w->z, rho > 0 ? next / rho : 0, n);
    rho = next;
    heat_stencil_apply (stencil, diag, w->p, w->q);
    step (x, r, w->p, w->q, rho / dot (w->p, w->q, n), n);
    report.iterations++;
  }
  report.residual = largest (r, n);
  report.change = largest (x, n);
  return report;
}
