/* The board's surface at a few points over a run of the reduced model, without making whole fields.
 *
 *   HeatSpots *spots = heat_spots_new (model, at, n);         once a model; the model must outlive it
 *   heat_spots_read (spots, run, out);                        after each solve, from any thread
 */
#ifndef HEAT_REDUCED_SPOTS_H
#define HEAT_REDUCED_SPOTS_H

#include "heat/reduced.h"

typedef struct {
  HeatXY at; /* m */
  bool up;   /* upper surface */
} HeatSpot;

typedef struct HeatSpots HeatSpots;

/* Straight between the centres of the four cells around a point; a neighbour off the board counts as the cell the
 * point is in. Points off the board read NAN. NULL when memory is short. */
HeatSpots *heat_spots_new (const HeatReduced *model, const HeatSpot *at, size_t n);
void heat_spots_free (HeatSpots *spots); /* NULL allowed */

/* Moments of the run's last solve. */
size_t heat_reduced_n_times (const HeatReducedRun *run);
const double *heat_reduced_times (const HeatReducedRun *run);
/* OUT [n_times * n], moment after moment. */
void heat_spots_read (const HeatSpots *spots, const HeatReducedRun *run, double *out);
/* The last solve's series, owned by the run and good until its next solve; NULL when there is none. */
const HeatResult *heat_reduced_series (const HeatReduced *model, HeatReducedRun *run);

#endif
