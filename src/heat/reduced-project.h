/* Sums over nodes that make small matrices of large ones. */
#ifndef HEAT_REDUCED_PROJECT_H
#define HEAT_REDUCED_PROJECT_H

#include "heat/reduced-internal.h"

/* OUT [stride * stride] = sum over the N nodes of WEIGHT a_i a_j, for the R vectors at A (N long each). */
void heat_gram (const double *a, size_t r, size_t n, const double *weight, double *out, size_t stride);
/* Conductances, face laws and sources, projected on model->v. */
bool heat_reduced_project (HeatReduced *model);

#endif
