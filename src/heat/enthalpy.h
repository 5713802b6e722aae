/* Joints that melt: sensible heat plus latent heat spread evenly between solidus and liquidus.
 *
 * The march keeps the enthalpy of a melting node as the unknown that is conserved and reads the
 * temperature from it (V. R. Voller and C. R. Swaminathan, Numerical Heat Transfer B 19 (1991) 175-189:
 * linearise enthalpy in temperature, solve, correct the enthalpy, take the temperature back from it). */
#ifndef HEAT_ENTHALPY_H
#define HEAT_ENTHALPY_H

#include <stddef.h>
#include <stdint.h>

typedef struct {
  uint32_t node;
  double c, latent;         /* J/K, J */
  double solidus, liquidus; /* at least 1 K apart */
} HeatMelt;

typedef struct {
  HeatMelt *items;
  size_t n;
} HeatMelts;

/* Narrowest melting range: a pure metal's is spread over this, K. */
#define HEAT_MELT_SPAN 1.0

/* Sets the range from the scene's values, widened about their middle if narrower than HEAT_MELT_SPAN. */
void heat_melt_range (HeatMelt *melt, double solidus_c, double liquidus_c);
double heat_melt_liquid (const HeatMelt *melt, double t_c);   /* 0..1 */
double heat_melt_enthalpy (const HeatMelt *melt, double t_c); /* J above solid at 0 C */
double heat_melt_temperature (const HeatMelt *melt, double h_j);
double heat_melt_slope (const HeatMelt *melt, double t_c); /* J/K */

#endif
