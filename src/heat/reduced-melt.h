/* Melting nodes. A joint's node exchanges heat with board and body alone, so its temperature is its row of the
 * basis plus a deviation of its own: what it takes up in melting, over its conductances. The same goes for
 * the one-node body that hangs on such a joint. Both are solved exactly in every stage; their heat goes
 * back to the smooth field as a force. */
#ifndef HEAT_REDUCED_MELT_H
#define HEAT_REDUCED_MELT_H

#include "heat/reduced-internal.h"

/* The model's cells, with rows. */
bool heat_cells_new (HeatReduced *model);
/* Deviations at rest, liquid shares of the temperatures RUN->x stands for. */
void heat_cells_start (HeatReducedRun *run);
/* Solves all cells for a stage that starts from the *_base arrays, at RUN->x, and adds what they do to the
 * field to FORCE. HOTTEST_C: no node is hotter. */
void heat_cells_stage (HeatReducedRun *run, double gdt, double hottest_c, double *force);

#endif
