/* Air that leaves a level plane evenly at speed U and turns in the gap H along the plate beyond.
 *
 * The Navier-Stokes equations have an exact similarity solution here: w = -U f (z/H), u = r U / 2H f',
 * f'''' + R f f''' = 0, f (0) = f' (0) = f' (1) = 0, f (1) = 1, R = U H / nu; the temperature depends on
 * z alone, theta'' + R Pr f theta' = 0, so the film is even over the plate: Nu = h H / k = theta' (0).
 * (Stagnation flow in a finite gap: R. J. Kee, M. E. Coltrin, P. Glarborg, "Chemically Reacting Flow",
 * ch. 6; Coltrin and Kee, Int. J. Heat Mass Transfer 102 (2016) 122-132.) For R >= 10 the solution is
 * within 1 % of Nu = 0.763 Pr^0.4 R^1/2, the laminar stagnation film (M. Sibulkin, J. Aeronaut. Sci. 19
 * (1952) 570) at the strain U / H; for R -> 0 it is plain conduction, Nu = 1. The blend below keeps
 * within 4 % of it for every R and Pr 0.68-0.72; tests/reference/ solves the equations and checks. */
#include "heat/films.h"

#include <math.h>

double
heat_gap_nusselt (double re, double pr)
{
  const double sharpness = 3.3;
  double layer = 0.763 * pow (pr, 0.4) * sqrt (fmax (re, 0));
  return pow (1 + pow (layer, sharpness), 1 / sharpness);
}
