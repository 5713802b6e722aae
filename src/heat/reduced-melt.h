/* Melting nodes. A joint's node exchanges heat with board and body alone, so in the basis it follows the mean
 * of its neighbours (tau, its row of the basis) and deviates from it by what it takes up itself, over its
 * conductances G: c T' + latent f' = G (tau - T). The same goes for the one-node body that hangs on such a
 * joint. Both are solved exactly in every stage; what they take up goes back to the smooth field as a
 * force. Where nothing melts T lags behind tau by c / G, some hundredths of a second. */
#ifndef HEAT_REDUCED_MELT_H
#define HEAT_REDUCED_MELT_H

#include "heat/reduced-internal.h"

/* Conductance in S between each body of one node and its joints' node (0: none), or NULL. */
double *heat_cells_ties (HeatArena *arena, const HeatReduced *model, const HeatStencil *s);
/* The model's cells, without rows, which need a basis; and their rows. */
bool heat_cells_list (HeatReduced *model);
bool heat_cells_rows (HeatReduced *model);
/* Deviations at rest, liquid shares of the temperatures RUN->x stands for. */
void heat_cells_start (HeatReducedRun *run);
/* What the field stands at where a stage starts. */
void heat_cells_base (HeatReducedRun *run);
/* Solves all cells for a stage that starts from the *_base arrays, at RUN->x, and adds what they do to the
 * field to FORCE. HOTTEST_C: no node is hotter. */
void heat_cells_stage (HeatReducedRun *run, double gdt, double hottest_c, double *force);

/* How far the field at RUN->x is, K, from that at which the last heat_cells_stage() was solved, where cells deviate
 * or change. */
double heat_cells_change (HeatReducedRun *run);

/* What FORCE of heat_cells_stage() loses per unit of each component of the state, added to B [stride * stride],
 * both triangles: with it in the matrix a stage's iteration is Newton's. */
void heat_cells_slopes (const HeatReducedRun *run, double gdt, double *b);
/* The deviation of a cell that is at rest in a field that changes, K: RATE [stride] is x'. */
double heat_cell_lag (const HeatReduced *model, size_t cell, const double *rate);

#endif
