/* The basis: responses of the network to its sources at a few real shifts. */
#ifndef HEAT_REDUCED_BASIS_H
#define HEAT_REDUCED_BASIS_H

#include "heat/reduced-internal.h"

/* Fills model->v, r and stride. */
HeatStatus heat_reduced_basis (HeatReduced *model);

#endif
