/* The impinging jet of one round nozzle, mean Nusselt number.
 * H. Martin, "Heat and mass transfer between impinging gas jets and solid surfaces", Advances in Heat
 * Transfer 13 (1977) 1-60; the same formula in Bergman/Incropera, section 7.7.
 * Outside the published range each argument is moved to the nearest end of it. */
#include "heat/films.h"

#include <math.h>

static double
within (double value, double low, double high, bool *inside)
{
  if (!(value >= low)) {
    *inside = false;
    return low;
  }
  if (value > high) {
    *inside = false;
    return high;
  }
  return value;
}

/* The geometry term G, with the relative nozzle area AR = D^2 / (4 r^2). */
static double
round_geometry (double ar, double h_over_d)
{
  double root = sqrt (ar);
  return 2 * root * (1 - 2.2 * root) / (1 + 0.2 * (h_over_d - 6) * root);
}

double
heat_jet_round (double re, double pr, double h_over_d, double r_over_d, bool *in_range)
{
  bool inside = true;
  re = within (re, 2e3, 4e5, &inside);
  h_over_d = within (h_over_d, 2, 12, &inside);
  r_over_d = within (r_over_d, 2.5, 7.5, &inside);
  if (in_range)
    *in_range = inside;
  double g = round_geometry (1 / (4 * r_over_d * r_over_d), h_over_d);
  double f = 2 * sqrt (re) * sqrt (1 + 0.005 * pow (re, 0.55));
  return g * f * pow (pr, 0.42);
}
