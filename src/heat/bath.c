/* Warm air that comes up through a large level area against the underside of a board: stagnation flow in
 * the gap between them, or, where the area is narrower than the gap, that of a jet as wide as the area
 * (strain U / width). In range: 10 <= U L / nu <= 1e4 on that length; below, the layer fills the gap and
 * free convection takes over; above, the air is turbulent and the film larger. */
#include "heat/films.h"

#include <math.h>

double
heat_preheat_air_film (double speed_m_s, double length_m, double gap_m, double air_c, bool *in_range)
{
  HeatAir air = heat_air (air_c);
  double scale = fmin (gap_m, length_m);
  double re = speed_m_s * scale / air.nu;
  if (in_range)
    *in_range = re >= 10 && re <= 1e4;
  return re > 0 ? heat_gap_nusselt (re, air.pr) * air.k / scale : 0;
}
