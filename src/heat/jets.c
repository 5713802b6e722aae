/* Impinging jets, mean Nusselt numbers.
 * H. Martin, "Heat and mass transfer between impinging gas jets and solid surfaces", Advances in Heat
 * Transfer 13 (1977) 1-60; the same formulas in Bergman/Incropera, section 7.7.
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

static void
report (bool inside, bool *in_range)
{
  if (in_range)
    *in_range = inside;
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
  report (inside, in_range);
  double g = round_geometry (1 / (4 * r_over_d * r_over_d), h_over_d);
  double f = 2 * sqrt (re) * sqrt (1 + 0.005 * pow (re, 0.55));
  return g * f * pow (pr, 0.42);
}

double
heat_jet_round_array (double re, double pr, double h_over_d, double area_ratio, bool *in_range)
{
  bool inside = true;
  re = within (re, 2e3, 1e5, &inside);
  h_over_d = within (h_over_d, 2, 12, &inside);
  area_ratio = within (area_ratio, 0.004, 0.04, &inside);
  report (inside, in_range);
  double crowding = pow (h_over_d * sqrt (area_ratio) / 0.6, 6);
  double k = pow (1 + crowding, -0.05);
  return k * round_geometry (area_ratio, h_over_d) * 0.5 * pow (re, 2.0 / 3) * pow (pr, 0.42);
}

double
heat_jet_slot (double re, double pr, double h_over_w, double area_ratio, bool *in_range)
{
  bool inside = true;
  re = within (re, 3e3, 9e4, &inside);
  h_over_w = within (h_over_w, 2, 10, &inside);
  area_ratio = within (area_ratio, 0.025, 0.125, &inside);
  report (inside, in_range);
  double m = 0.695 - 1 / (1 / (4 * area_ratio) + pow (h_over_w / 2, 1.33) + 3.06);
  return 3.06 / (0.5 / area_ratio + h_over_w + 2.78) * pow (re, m) * pow (pr, 0.42);
}

double
heat_jet_slot_array (double re, double pr, double h_over_w, double area_ratio, bool *in_range)
{
  bool inside = true;
  re = within (re, 1.5e3, 4e4, &inside);
  h_over_w = within (h_over_w, 2, 80, &inside);
  double ar0 = 1 / sqrt (60 + 4 * (h_over_w / 2 - 2) * (h_over_w / 2 - 2));
  area_ratio = within (area_ratio, 0.008, 2.5 * ar0, &inside);
  report (inside, in_range);
  double spread = area_ratio / ar0 + ar0 / area_ratio;
  return 2.0 / 3 * pow (ar0, 0.75) * pow (2 * re / spread, 2.0 / 3) * pow (pr, 0.42);
}
