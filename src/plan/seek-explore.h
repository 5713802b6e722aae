/* The search itself: the set points at the plan's own place, then each other nozzle, height, area and shielding by
 * itself, then the best of them together, all in coarse models. Inside plan/. */
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
  guint cycles;         /* climbs and marches from there, and in each other place */
  guint single_climb;   /* guesses of each climb in other places */
  guint final, final_cycles, final_rounds; /* at the last: lessons, climbs and marches in the default mesh, how often both */
} LwSeekPlanOfWork;

/* See seek-final.h. */
typedef struct LwSeekGiven LwSeekGiven;

typedef struct {
  const LwSeekPlanOfWork *work;
  const LwSeekPlaces *places;
  LwJob *job;
  guint plan;
  const LwSeekSpace *space;
  const LwPrediction *doubts;
  LwTrial *own;        /* of the given plan, coarse */
  LwSeekGiven *given;
  const double *start; /* the given plan's shares */
  LwWatch watch;
} LwSeekExplorer;

typedef struct {
  LwJob *job;      /* with the place that was found; its set points are SPOT's */
  LwSpot spot;     /* shares, [n] */
  LwTrial *given, *trial; /* default mesh: the given plan marched; the candidate, rounded and marched */
  guint n_tried, n_places;
} LwSeekFound;

/* A coarse model; NEAR as in LwQuickOptions. NULL with ERROR. */
LwQuick *lw_seek_scout (LwJob *job, guint plan, LwQuick *near, GCancellable *cancellable, GError **error);

/* FALSE with ERROR, and nothing to be cleared. Independent of the number of threads. */
gboolean lw_seek_explore (const LwSeekExplorer *self, LwSeekFound *found, GError **error);
void lw_seek_found_clear (LwSeekFound *found);

G_END_DECLS

#endif
