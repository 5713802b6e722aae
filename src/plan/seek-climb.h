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

/* How far a climb may go: first steps, and the most by which a share may differ from where it began (1 = anywhere), as shares
 * of each range; guesses it may take. */
typedef struct {
  double step, box;
  guint most;
} LwSeekReach;

/* Raises SPOT, which holds a start (its least may be unknown), by guesses (marches, of a trial that has not learned). Deterministic. Looks at
 * CANCELLABLE (may be NULL) before each.
 *
 * The least of the headrooms has a crease wherever another limit takes over, so what is climbed is a level
 * under all of them, kept below each by a constraint of its own: M. J. D. Powell's COBYLA (1994), by NLopt. */
void lw_seek_climb (LwTrial *trial, LwSpot *spot, const LwSeekReach *reach, GCancellable *cancellable);

G_END_DECLS

#endif
