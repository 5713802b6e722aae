/* Figures out of series. */
#ifndef HEAT_REDUCED_FIGURES_H
#define HEAT_REDUCED_FIGURES_H

#include "heat/reduced.h"

#define HEAT_RAMP_S 5.0 /* ramps are over this long */

/* Of body BODY of RESULT; without joint_min those of joints are NaN. */
void heat_figures_of (const HeatResult *result, size_t body, double liquidus_c, double mark_s, HeatFigures *figures);
void heat_no_figures (HeatFigures *figures); /* all NaN */

#endif
