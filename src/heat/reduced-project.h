/* Sums over nodes that make small matrices of large ones. */
#ifndef HEAT_REDUCED_PROJECT_H
#define HEAT_REDUCED_PROJECT_H

#include "heat/reduced-internal.h"

/* Conductances, face laws and sources, projected on model->v; of what was projected before, terms that do not
 * depend on vectors FIRST and later are kept: 0 does all anew. */
bool heat_reduced_project (HeatReduced *model, size_t first);
/* The terms of scale_conductivity and scale_joint. */
HeatStatus heat_reduced_vary (HeatReduced *model);

#endif
