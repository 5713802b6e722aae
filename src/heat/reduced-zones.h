/* Zones: faces of one kind, near each other, taken as one. */
#ifndef HEAT_REDUCED_ZONES_H
#define HEAT_REDUCED_ZONES_H

#include "heat/reduced-internal.h"

/* Groups the model's faces, and their laws; all but the rows, which need a basis. */
bool heat_zones_group (HeatReduced *model);
/* Rows of mean temperatures, from model->v. */
bool heat_zones_rows (HeatReduced *model);
/* Arrays of its own for what a run writes to; the rest is shared with ZONES. */
bool heat_zones_copy (HeatArena *arena, const HeatZones *zones, HeatFaces *copy);

#endif
