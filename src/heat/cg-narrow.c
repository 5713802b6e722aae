#include "heat/cg-narrow.h"

#include <math.h>
#include <string.h>

#include "heat/narrow.h"

bool
heat_narrow_work (HeatArena *arena, size_t n, HeatNarrowWork *work)
{
  work->r = HEAT_TAKE (arena, float, n);
  work->z = HEAT_TAKE (arena, float, n);
  work->p = HEAT_TAKE (arena, float, n);
  work->q = HEAT_TAKE (arena, float, n);
  return work->r && work->z && work->p && work->q;
}

HeatCgReport
heat_cg_narrow (HeatMultigrid *mg, size_t n, float *x, double part, size_t max_iterations, HeatNarrowWork *w)
{
  HeatCgReport report = { 0 };
  double rho = 0, least = 0;
  for (;;) {
    heat_multigrid_narrow (mg, w->r, w->z);
    double error = heat_narrow_largest (w->z, n), next = heat_narrow_dot (w->r, w->z, n);
    if (report.iterations == 0) {
      memcpy (w->q, x, n * sizeof (float));
      heat_narrow_add (w->q, w->z, 1, n);
      least = part * heat_narrow_largest (w->q, n);
    }
    if (!isfinite (next) || report.iterations == max_iterations)
      break;
    if (error <= least || next <= 0) {
      report.converged = error <= least;
      heat_narrow_add (x, w->z, 1, n); /* what is left is about z */
      break;
    }
    if (report.iterations == 0)
      memcpy (w->p, w->z, n * sizeof (float));
    else
      heat_narrow_turn (w->p, w->z, (float) (next / rho), n);
    rho = next;
    heat_multigrid_product (mg, w->p, w->q);
    float alpha = (float) (rho / heat_narrow_dot (w->p, w->q, n));
    heat_narrow_add (x, w->p, alpha, n);
    heat_narrow_add (w->r, w->q, -alpha, n);
    report.iterations++;
  }
  report.change = heat_narrow_largest (x, n);
  return report;
}
