/* Sums over nodes that make small matrices of large ones. */
#ifndef HEAT_REDUCED_PROJECT_H
#define HEAT_REDUCED_PROJECT_H

#include "heat/reduced-internal.h"

/* OUT [i * stride + j] += sum over the N nodes of WEIGHT a_i b_j, for RA vectors at A and RB at B, N long each;
 * WEIGHT NULL: 1. Where all weights of a run of nodes are zero it is passed over. */
void heat_cross (const double *a, size_t ra, const double *b, size_t rb, size_t n, const double *weight,
                 double *out, size_t stride);
/* B_j -= sum of COEF [i * stride + j] a_i. */
void heat_cross_take (const double *a, size_t ra, double *b, size_t rb, size_t n, const double *coef,
                      size_t stride);
/* Conductances, face laws and sources, projected on model->v; of what was projected before, terms that do not
 * depend on vectors FIRST and later are kept: 0 does all anew. */
bool heat_reduced_project (HeatReduced *model, size_t first);
/* The terms of scale_conductivity and scale_joint. */
HeatStatus heat_reduced_vary (HeatReduced *model);

#endif
