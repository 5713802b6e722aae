/* Thermal shadow of the parts of a case: what each stands in the lee of. */
#ifndef LW_LEE_H
#define LW_LEE_H

#include "plan/compile.h"

G_BEGIN_DECLS

/* Shares 0..1. sky: of the half-space in front of the part's far face (its own side of the board).
 * preheat: of the half-space below the board, as seen by the part's place on it (by its far face when
 * the part hangs there). spill: by which taller parts shelter it from gas that leaves the nozzle; 0 for
 * parts inside the nozzle, on the other side, or without a nozzle. */
typedef struct {
  double sky_hidden, preheat_hidden, spill_sheltered;
} LwLee;

/* One per body of the case (transfer full, g_free). */
LwLee *lw_lee_of_case (const LwCase *self);

G_END_DECLS

#endif
