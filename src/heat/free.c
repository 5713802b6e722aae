/* Free convection of level and upright faces in still air.
 * Level faces: W. H. McAdams, "Heat Transmission", 3rd ed.; J. R. Lloyd and W. R. Moran, J. Heat
 * Transfer 96 (1974) 443 (length = area / perimeter). Upright: S. W. Churchill and H. H. S. Chu, Int. J.
 * Heat Mass Transfer 18 (1975) 1323. */
#include "heat/films.h"

#include <math.h>

static const double gravity = 9.81; /* m/s2 */

static const double up_least = 1e4, up_turn = 1e7, up_most = 1e11;
static const double down_least = 1e5, down_most = 1e10;

double
heat_free_up (double ra, bool *in_range)
{
  if (in_range)
    *in_range = ra >= up_least && ra <= up_most;
  double at = fmin (fmax (ra, up_least), up_most);
  return at <= up_turn ? 0.54 * pow (at, 0.25) : 0.15 * cbrt (at);
}

double
heat_free_down (double ra, bool *in_range)
{
  if (in_range)
    *in_range = ra >= down_least && ra <= down_most;
  return 0.27 * pow (fmin (fmax (ra, down_least), down_most), 0.25);
}

double
heat_free_vertical_laminar (double ra, double pr)
{
  return 0.68 + 0.670 * pow (fmax (ra, 0), 0.25) / pow (1 + pow (0.492 / pr, 9.0 / 16), 4.0 / 9);
}

/* Rayleigh number with the air's properties at the mean of surface and air. */
static double
rayleigh (double surface_c, double air_c, double length_m, HeatAir *air)
{
  double film_c = 0.5 * (surface_c + air_c);
  *air = heat_air (film_c);
  double beta = 1 / (film_c + 273.15);
  return gravity * beta * fabs (surface_c - air_c) * length_m * length_m * length_m / (air->nu * air->alpha);
}

/* Below the published range the laminar quarter power is carried on, so that the film of a small or
 * hardly warm face vanishes smoothly instead of standing at k / L times a constant. Goldstein, Sparrow
 * and Jones (1973, from memory) found the quarter power down to Ra = 200, some 10 % higher. */
static double
carried_on (double ra, double least, double nu)
{
  return ra < least ? nu * pow (ra / least, 0.25) : nu;
}

double
heat_free_film_up (double surface_c, double air_c, double length_m)
{
  HeatAir air;
  double ra = rayleigh (surface_c, air_c, length_m, &air);
  return carried_on (ra, up_least, heat_free_up (ra, NULL)) * air.k / length_m;
}

double
heat_free_film_down (double surface_c, double air_c, double length_m)
{
  HeatAir air;
  double ra = rayleigh (surface_c, air_c, length_m, &air);
  return carried_on (ra, down_least, heat_free_down (ra, NULL)) * air.k / length_m;
}
