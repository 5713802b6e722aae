/* The film of a nozzle over the part below it. docs/physics.md reasons the choice and its doubt.
 *
 * Martin's mean over a plate of 2.5 to 7.5 outlet diameters, two or more diameters away, is used as it
 * stands inside its range. A box nozzle as large as its part and a few millimetres above it lies far
 * outside, and the nearest point of that range (mean over 2.5 diameters, at 2 diameters) is another flow.
 * For a part no larger than the outlet the film is that of gas which leaves the outlet evenly and turns in
 * the gap (stagnation.c); above one diameter a jet's strain no longer depends on its distance, U / D.
 * Between part radii of 0.5 and 2.5 diameters the two are blended in proportion, so that no figure jumps. */
#include "heat/films.h"

#include <math.h>

static const double pi = 3.14159265358979323846;
static const double reference_rho = 1.2041; /* kg/m3, dry air at 20 C and 1 atm, to which flows refer */
static const double least_re = 2e3;         /* of Martin's range */
static const double near_radius = 0.5, far_radius = 2.5;

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

/* Nearest valid point in height and radius; below the lowest Reynolds number carried on with Re^1/2, the
 * formula's own limit and that of laminar layers: a film that stayed while the flow died would be untrue. */
static double
far_nusselt (HeatNozzleFilm *film, double pr)
{
  double nu = heat_jet_round (film->reynolds, pr, film->height_ratio, film->radius_ratio, &film->in_range);
  return nu * sqrt (fmin (film->reynolds / least_re, 1));
}

static double
near_nusselt (const HeatNozzleFilm *film, double pr)
{
  double gap = fmin (film->height_ratio, 1);
  return heat_gap_nusselt (film->reynolds * gap, pr) / gap;
}

HeatNozzleFilm
heat_nozzle_film (bool round, double length_m, double width_m, double height_m, double flow_m3_s,
                  double gas_c, double target_radius_m)
{
  HeatAir air = heat_air (gas_c);
  double d = hydraulic_diameter (round, length_m, width_m);
  HeatNozzleFilm film = { .mass_kg_s = fmax (flow_m3_s, 0) * reference_rho };
  film.speed_m_s = film.mass_kg_s / (air.rho * outlet_area (round, length_m, width_m));
  film.reynolds = film.speed_m_s * d / air.nu;
  film.height_ratio = height_m / d;
  film.radius_ratio = target_radius_m / d;
  double share = (film.radius_ratio - near_radius) / (far_radius - near_radius);
  share = fmin (fmax (share, 0), 1);
  double far = far_nusselt (&film, air.pr), near = near_nusselt (&film, air.pr);
  if (film.mass_kg_s > 0)
    film.h_w_m2k = (share * far + (1 - share) * near) * air.k / d;
  return film;
}
