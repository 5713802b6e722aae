/* Films: how much heat a surface takes from moving or still air and from radiation.
 * Closed formulas only; every one names its published source and range. Temperatures in degrees C. */
#ifndef HEAT_FILMS_H
#define HEAT_FILMS_H

#include <stdbool.h>
#include <stddef.h>

/* Dry air at 1 atm: density kg/m3, cp J/kgK, dynamic viscosity Pa s, conductivity W/mK, Prandtl number.
 * Kinematic viscosity nu and thermal diffusivity alpha, m2/s, are columns of the same table (so nu is
 * mu / rho to 0.6 % only). Straight lines in K (Incropera Table A.4); clamped to -50..800 C. */
typedef struct {
  double rho, cp, mu, k, pr, nu, alpha;
} HeatAir;
HeatAir heat_air (double temp_c);

/* Mean Nusselt number of the impinging jet of one round nozzle: Martin, Adv. Heat Transfer 13 (1977) 1-60.
 * IN_RANGE (may be NULL) is set to whether the arguments lie in the published range; outside it the
 * value is the one at the nearest valid point. nu = h D / k. */
double heat_jet_round (double re, double pr, double h_over_d, double r_over_d, bool *in_range);

/* Free convection, Nusselt numbers on length L (area / perimeter for level plates); outside the range
 * the value at its nearest end. */
double heat_free_up (double ra, bool *in_range);        /* hot face up or cold face down, McAdams; Lloyd & Moran */
double heat_free_down (double ra, bool *in_range);      /* hot face down or cold face up, McAdams */
double heat_free_vertical_laminar (double ra, double pr); /* upright, Churchill & Chu 1975, Ra up to 1e9 */
/* Film of a level face, W/m2K: surface and air C, characteristic length m (> 0). Below the range the
 * laminar quarter power goes on, to 0 where surface and air are equally warm. */
double heat_free_film_up (double surface_c, double air_c, double length_m);
double heat_free_film_down (double surface_c, double air_c, double length_m);

/* Radiation. Effective emissivity of grey exchange between two surfaces of like area, per area: net flux =
 * result * sigma (T1^4 - T2^4). Of a board's cells over an emitter each takes its own F. */
double heat_grey_pair (double e1, double e2, double f);

/* View factor from a small element at (x, y) to the parallel rectangle r = {x0, x1, y0, y1} at distance gap. */
double heat_view_element (double x, double y, const double r[4], double gap);

/* Finite stream: effectiveness 1 - exp(-NTU), NTU = h A / (m cp); and the factor by which a film
 * referred to the inlet temperature is weakened, effectiveness / NTU (1 at NTU = 0). */
double heat_stream_effectiveness (double ntu);
double heat_stream_weakening (double ntu);

/* Gas leaving a level plane evenly and turning in the gap to a plate: h gap / k from re = speed gap / nu. */
double heat_gap_nusselt (double re, double pr);

/* A nozzle's film over the part below. In range: inside that of heat_jet_round(), else the film of the
 * gap is taken for parts no larger than the outlet and blended into the nearest valid point for larger
 * ones (nozzle.c). Ratios: height and target radius over the outlet's hydraulic diameter. Flow
 * at 20 C and 1 atm, m3/s; outlet length and width m (width ignored when round); height m; gas C. */
typedef struct {
  double h_w_m2k, reynolds, height_ratio, radius_ratio, speed_m_s, mass_kg_s;
  bool in_range;
} HeatNozzleFilm;
HeatNozzleFilm heat_nozzle_film (bool round, double length_m, double width_m, double height_m,
                                 double flow_m3_s, double gas_c, double target_radius_m);

/* The spill: gas leaving a gap of height gap_m round a perimeter as a wall jet. Film (W/m2K) and share
 * of the gas's excess temperature left at a distance from the wall, m (>= 0). */
typedef struct {
  double h_w_m2k, excess_share;
} HeatSpill;
HeatSpill heat_spill (double perimeter_m, double gap_m, double mass_kg_s, double gas_c, double room_c,
                      double distance_m);

/* Film, W/m2K, of air that comes up through an area of that length at speed m/s and turns along a plate
 * GAP_M away: the forced part alone, 0 at speed 0; free convection is the caller's to add (bath.c). */
double heat_preheat_air_film (double speed_m_s, double length_m, double gap_m, double air_c, bool *in_range);

#endif
