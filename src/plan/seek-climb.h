/* From a starting point uphill: the least of many headrooms is raised until nothing near is better. Inside
 * plan/. */
#ifndef LW_SEEK_CLIMB_H
#define LW_SEEK_CLIMB_H

#include "plan/seek-trial.h"

G_BEGIN_DECLS

typedef struct {
  double *shares; /* [n] */
  double least;   /* steps; -INFINITY = not known */
} LwSpot;

/* Raises SPOT, which holds a start and its least, by at most MOST guesses (marches, of a trial that has not learned); the first steps are REACH (a share
 * of each range) long. Deterministic. Looks at CANCELLABLE (may be NULL) before each.
 *
 * The least of the headrooms has a crease wherever another limit takes over, so what is climbed is a level
 * under all of them, kept below each by a constraint of its own: M. J. D. Powell's COBYLA (1994), by NLopt. */
void lw_seek_climb (LwTrial *trial, LwSpot *spot, double reach, guint most, GCancellable *cancellable);

G_END_DECLS

#endif
