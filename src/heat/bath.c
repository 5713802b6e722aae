/* Warm air that comes up through a large level area against the underside of a board. */
#include "heat/films.h"

#include <math.h>

/* Axisymmetric stagnation flow, laminar: Nu = 0.763 Pr^0.4 Re^1/2 on the strain rate A, so that
 * h = 0.763 Pr^0.4 k sqrt (A / nu) (Sibulkin 1952; Homann 1936; in most texts on boundary layers).
 * Strain: air that leaves a plane at speed U and turns in the gap H has A = U / H on the plate (exact
 * rotational flow between an injecting and a tight disc, F = U (2 z/H - z^2/H^2)); a jet narrower than
 * its distance has about U / width. The published laminar range is taken as 10 <= Re <= 1e4 on that
 * length: below it the layer fills the gap, above it the air is turbulent. */
double
heat_preheat_air_film (double speed_m_s, double length_m, double gap_m, double air_c, bool *in_range)
{
  HeatAir air = heat_air (air_c);
  double scale = fmin (gap_m, length_m);
  double re = speed_m_s * scale / air.nu;
  if (in_range)
    *in_range = re >= 10 && re <= 1e4;
  if (!(re > 0))
    return 0;
  return 0.763 * pow (air.pr, 0.4) * air.k / scale * sqrt (re);
}
