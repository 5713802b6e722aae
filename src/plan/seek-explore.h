/* The search itself: the set points at the plan's own place, then each other nozzle, height, area and shielding by
 * itself, then the best of them together; guessed by compact models that learned from coarse ones, and last in the default
 * mesh. Inside plan/. */
#ifndef LW_SEEK_EXPLORE_H
#define LW_SEEK_EXPLORE_H

#include "plan/seek-climb.h"
#include "plan/seek-places.h"
#include "plan/solve-scene.h"

G_BEGIN_DECLS

typedef struct {
  guint32 seed;
  guint lessons;        /* marches of the reduced model scattered over the plan's own place */
  guint samples;        /* guesses there */
  guint climb;          /* guesses of each climb there */
  guint again;          /* lessons round the best of them */
  guint single, single_climb; /* lessons and guesses in each place that differs in one thing */
  guint last_climb;     /* guesses where the best of these are put together */
  guint polish;         /* guesses of the last climb, put right by the default mesh */
} LwSeekPlanOfWork;

typedef struct {
  const LwSeekPlanOfWork *work;
  const LwSeekPlaces *places;
  guint plan;
  const LwSeekSpace *space;
  const LwPrediction *doubts;
  LwQuick *own; /* of the given plan, in the default mesh */
  LwWatch watch;
} LwSeekExplorer;

typedef struct {
  LwJob *job;      /* with the place that was found; NULL: nothing better than the given plan */
  LwSpot spot;     /* shares, [n] */
  LwTrial *trial;  /* default mesh, holding the candidate rounded and marched; NULL with JOB */
  guint n_tried, n_places;
} LwSeekFound;

/* START: the given plan's own shares. FALSE with ERROR, and nothing to be
 * cleared. Independent of the number of threads. */
gboolean lw_seek_explore (const LwSeekExplorer *self, const double *start, LwSeekFound *found, GError **error);
void lw_seek_found_clear (LwSeekFound *found);

G_END_DECLS

#endif
