/* The march of the reduced model in time. */
#ifndef HEAT_REDUCED_MARCH_H
#define HEAT_REDUCED_MARCH_H

#include "heat/reduced-internal.h"

/* Marches a run whose drive and wants are set from 0 to the drive's end. */
HeatStatus heat_reduced_march (HeatReducedRun *run);

#endif
