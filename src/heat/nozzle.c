/* The film of a nozzle above a part, of the gas that spills from under it, and of warm air from below.
 * docs/physics.md reasons each choice and its doubt. */
#include "heat/films.h"

#include <math.h>

static const double pi = 3.14159265358979323846;
static const double reference_rho = 1.2041; /* kg/m3, dry air at 20 C and 1 atm, to which flows refer */

static double
outlet_area (bool round, double length_m, double width_m)
{
  return round ? 0.25 * pi * length_m * length_m : length_m * width_m;
}

static double
hydraulic_diameter (bool round, double length_m, double width_m)
{
  return round ? length_m : 2 * length_m * width_m / (length_m + width_m);
}

/* Martin's single round nozzle on the hydraulic diameter, at the nearest point of its range. Below the
 * lowest Reynolds number the value is carried on with Re^1/2, the formula's own limit and that of any
 * laminar layer in stagnation flow: a film that stayed up while the flow died would be untrue. */
HeatNozzleFilm
heat_nozzle_film (bool round, double length_m, double width_m, double height_m, double flow_m3_s,
                  double gas_c, double target_radius_m)
{
  const double least_re = 2e3;
  HeatAir air = heat_air (gas_c);
  double d = hydraulic_diameter (round, length_m, width_m);
  HeatNozzleFilm film = { .mass_kg_s = fmax (flow_m3_s, 0) * reference_rho };
  film.speed_m_s = film.mass_kg_s / (air.rho * outlet_area (round, length_m, width_m));
  film.reynolds = film.speed_m_s * d / air.nu;
  film.height_ratio = height_m / d;
  film.radius_ratio = target_radius_m / d;
  double nu = heat_jet_round (film.reynolds, air.pr, film.height_ratio, film.radius_ratio, &film.in_range);
  film.h_w_m2k = nu * air.k / d * sqrt (fmin (film.reynolds / least_re, 1));
  return film;
}
