/* The gas that leaves under the skirt: a plane wall jet that spreads as it goes. */
#include "heat/films.h"

#include <math.h>

static const double pi = 3.14159265358979323846;

/* Turbulent plane wall jet in still air (N. Rajaratnam, "Turbulent Jets", 1976; B. E. Launder and W. Rodi,
 * Ann. Rev. Fluid Mech. 15 (1983) 429; constants from memory): the largest speed falls as
 * 3.5 (x / gap)^-1/2 and half of it lies at 0.068 x. */
static const double speed_decay = 3.5, half_width = 0.068;
/* Integral over y / y_half of the product of the speed profile 1.48 n^1/7 (1 - erf 0.68 n) (Verhoff
 * 1963, from memory) and the warmth profile exp (-0.693 n^2) of an insulated wall. */
static const double profile_integral = 0.751;

/* Share of a quantity whose far decay is FACTOR (x / gap)^-1/2 and which is whole at the gap. */
static double
decayed (double factor, double gap_m, double distance_m)
{
  double origin = factor * factor * gap_m;
  return sqrt (origin / (distance_m + origin));
}

/* Skin friction of a wall jet, P. Bradshaw and M. T. Gee, ARC R&M 3252 (1960), from memory:
 * cf = 0.0315 (u_m y_m / nu)^-0.182, y_m (height of the largest speed) = 0.16 y_half; to a film by
 * Colburn's analogy. */
static double
wall_jet_film (double speed_m_s, double along_m, const HeatAir *air)
{
  double re = speed_m_s * 0.16 * half_width * along_m / air->nu;
  if (!(re > 0))
    return 0;
  double friction = 0.0315 * pow (re, -0.182);
  return air->rho * air->cp * speed_m_s * 0.5 * friction * pow (air->pr, -2.0 / 3);
}

HeatSpill
heat_spill (double perimeter_m, double gap_m, double mass_kg_s, double gas_c, double room_c,
            double distance_m)
{
  if (!(perimeter_m > 0 && gap_m > 0 && mass_kg_s > 0))
    return (HeatSpill){ 0, 0 };
  double x = fmax (distance_m, 0);
  double spread = sqrt (perimeter_m / (perimeter_m + 2 * pi * x));
  double warmth_decay = 1 / (speed_decay * half_width * profile_integral);
  double excess = decayed (warmth_decay, gap_m, x) * spread;
  HeatAir air = heat_air (room_c + excess * (gas_c - room_c));
  double exit_speed = mass_kg_s / (heat_air (gas_c).rho * perimeter_m * gap_m);
  double speed = exit_speed * decayed (speed_decay, gap_m, x) * spread;
  double along = x + speed_decay * speed_decay * gap_m;
  return (HeatSpill){ wall_jet_film (speed, along, &air), excess };
}
