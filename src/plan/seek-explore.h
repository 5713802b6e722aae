/* The search itself: many places at once in coarse models, then the best few in finer ones. Inside plan/. */
#ifndef LW_SEEK_EXPLORE_H
#define LW_SEEK_EXPLORE_H

#include "plan/seek-climb.h"
#include "plan/solve-scene.h"

G_BEGIN_DECLS

typedef struct {
  guint32 seed;
  guint samples;      /* scattered over each place before the climb */
  guint climb;        /* marches of a place's first climb */
  guint finalists;    /* places that are looked at again */
  guint second_climb; /* marches of each of their further climbs */
  guint polish;       /* marches of the last climb, in the default mesh */
} LwSeekPlanOfWork;

typedef struct {
  const LwSeekPlanOfWork *work;
  const GPtrArray *places; /* LwJob */
  guint plan;
  const LwSeekSpace *space;
  const LwPrediction *doubts;
  LwWatch watch;
} LwSeekExplorer;

typedef struct {
  guint place;
  LwSpot spot;       /* shares, [n] */
  LwTrial *trial;    /* default mesh, holding the candidate rounded and marched */
  guint n_tried;
} LwSeekFound;

/* The best of all places, or NULL with ERROR. START is the given plan's own shares; BASE a trial of it in the default
 * mesh. When nothing beats it, FOUND is the given plan. Independent of the number of threads. */
gboolean lw_seek_explore (const LwSeekExplorer *self, LwTrial *base, const double *start, LwSeekFound *found,
                          GError **error);
void lw_seek_found_clear (LwSeekFound *found);

G_END_DECLS

#endif
