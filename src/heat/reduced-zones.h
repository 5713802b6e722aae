/* Zones: faces of one kind, near each other, taken as one. */
#ifndef HEAT_REDUCED_ZONES_H
#define HEAT_REDUCED_ZONES_H

#include "heat/reduced-internal.h"

/* Groups the model's faces, and their laws; all but the rows, which need a basis. */
bool heat_zones_group (HeatReduced *model);
/* Rows of mean temperatures, from model->v. */
bool heat_zones_rows (HeatReduced *model);
/* Arrays of its own for what a run writes to or a drive changes; the rest is shared with FACES. */
bool heat_zones_copy (HeatArena *arena, const HeatFaces *faces, HeatFaces *copy);
/* The N faces of the network listed in FACE, in their order, as faces of their own, with node numbers of their
 * own: those less FIRST. */
bool heat_zones_pick (HeatArena *arena, const HeatFaces *faces, const uint32_t *face, size_t n, size_t first,
                      HeatFaces *picked);

#endif
