/* What a drive changes of the scene a model was built for. */
#ifndef HEAT_REDUCED_DRIVE_H
#define HEAT_REDUCED_DRIVE_H

#include "heat/reduced-internal.h"

/* What is wrong with a drive, static text, or NULL. */
const char *heat_drive_fault (const HeatReduced *model, const HeatDrive *drive);

#endif
