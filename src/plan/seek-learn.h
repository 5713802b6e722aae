/* A trial learns what a part of its space is like, and looks over that part at once. Inside plan/. */
#ifndef LW_SEEK_LEARN_H
#define LW_SEEK_LEARN_H

#include "plan/seek-climb.h"

G_BEGIN_DECLS

/* Points of the space, [n * lw_seek_space_n()]. */
typedef struct {
  double *shares;
  guint n;
} LwSpots;

/* N points by Sobol's sequence (GSL), from its SKIP-th on, the first of them START itself. Of each pair of the others one lies within NEAR (a share
 * of each range) of START, the other anywhere; with ANYWHERE 0 all are near. */
LwSpots lw_seek_spread (const LwSeekSpace *space, const double *start, guint n, guint skip, double near, gboolean anywhere);
void lw_seek_spots_clear (LwSpots *spots);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (LwSpots, lw_seek_spots_clear)

/* Marches the plans at LESSONS in the reduced model and makes a compact one of them, in place of what TRIAL had learned before.
 * FALSE (and nothing changed) when it is cancelled or the first cannot be marched. */
gboolean lw_trial_learn (LwTrial *trial, const LwSpots *lessons, GCancellable *cancellable);

/* Guesses all of SPOTS, on several threads, and gives up to MOST of the best that are not close to one another, best first, into
 * BEST (their shares are new). Returns how many. Independent of the number of threads. */
guint lw_trial_look_over (LwTrial *trial, const LwSpots *spots, LwSpot *best, guint most, GCancellable *cancellable);

/* Climbs from each of N spots at once, on several threads. */
void lw_trial_climb_all (LwTrial *trial, LwSpot *spots, guint n, const LwSeekReach *reach, GCancellable *cancellable);

G_END_DECLS

#endif
