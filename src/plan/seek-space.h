/* What a search may turn: set points, flows and times of a plan's stages, inside the station's ranges. Inside
 * plan/. */
#ifndef LW_SEEK_SPACE_H
#define LW_SEEK_SPACE_H

#include "board/job.h"

G_BEGIN_DECLS

typedef enum { LW_VARY_DURATION, LW_VARY_GAS, LW_VARY_FLOW, LW_VARY_PREHEAT } LwVary;

typedef struct {
  LwVary what;
  guint stage;
  double low, high; /* s, C, L/min, C */
} LwSeekVariable;

typedef struct {
  GArray *variables; /* LwSeekVariable */
  GArray *left_out;  /* guint: bodies nothing is asked of, since they come off before the heat */
} LwSeekSpace;

/* Shortest stage, and the longest the search makes one that the plan has shorter; the program's own choice. */
#define LW_SEEK_SHORTEST_S 5.0
#define LW_SEEK_LONGEST_S 420.0

/* Set points of every stage up to the end of the heating; of what follows only how long it lasts, and nothing of
 * stages in which all is off. A plan without stages gives no variables. */
LwSeekSpace *lw_seek_space_new (const LwJob *job, const LwPlan *plan);
void lw_seek_space_free (LwSeekSpace *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwSeekSpace, lw_seek_space_free)

/* How many variables there are. */
guint lw_seek_space_n (const LwSeekSpace *self);
/* Shares 0..1 of each variable's range into the stages of PLAN, which is the caller's own (its stages
 * copied); set points are rounded as a person would set them when ROUND: 1 C, 1 s, 0.5 L/min. */
void lw_seek_space_put (const LwSeekSpace *self, const double *shares, gboolean round, LwPlan *plan);
/* What the I-th variable is rounded to, as a share of its range. */
double lw_seek_space_grain (const LwSeekSpace *self, guint i);
/* The other way round, clamped to 0..1. */
void lw_seek_space_take (const LwSeekSpace *self, const LwPlan *plan, double *shares);
/* A plan whose stages may be written to (transfer full). */
LwPlan *lw_seek_plan_own (const LwPlan *plan);

G_END_DECLS

#endif
