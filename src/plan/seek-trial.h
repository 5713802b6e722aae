/* One candidate plan after another through one model. Belongs to one thread. Inside plan/.
 *
 * A trial marches the reduced model; one that has learned (seek-learn.h) can guess as well, a hundred times as fast. */
#ifndef LW_SEEK_TRIAL_H
#define LW_SEEK_TRIAL_H

#include "plan/compact.h"
#include "plan/gauge.h"
#include "plan/quick.h"
#include "plan/seek-space.h"

G_BEGIN_DECLS

typedef struct {
  LwQuick *quick;
  LwQuickRun *run;       /* NULL until the first march */
  LwCompact *compact;    /* NULL: has not learned */
  HeatCompactRun *guess; /* NULL until the first guess */
  const LwSeekSpace *space;
  LwGauge *gauge;
  LwPlan *plan; /* the candidate */
  LwSetTables tables;
  double *room;
  HeatFigures *figures; /* of the candidate, [n_bodies] */
  double board_peak_c;
  double heating_end_s;
  guint n_tried;
  double *shift;    /* what guesses of each rule's figure are put right by, or NULL */
  gboolean guessed; /* the candidate's figures are */
} LwTrial;

/* DOUBTS as for lw_gauge_new(). */
LwTrial *lw_trial_new (LwQuick *quick, const LwSeekSpace *space, const LwPrediction *doubts);
/* For another thread: the same models. */
LwTrial *lw_trial_twin (const LwTrial *self);
void lw_trial_free (LwTrial *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwTrial, lw_trial_free)

/* The candidate at SHARES (see lw_seek_space_put; NULL: the plan as it stands in the trial) as a drive, good until the next. */
HeatDrive lw_trial_drive (LwTrial *self, const double *shares, gboolean round);
/* Marches the candidate and takes its figures; FALSE when the march fails: such a candidate is worth nothing. */
gboolean lw_trial_march (LwTrial *self, const double *shares, gboolean round);
/* The same by the compact model, unrounded; of a trial that has not learned, a march. */
gboolean lw_trial_guess (LwTrial *self, const double *shares);
/* SELF has guessed the candidate that SURE, of the same job, has marched: from now on guesses are put right by the difference. */
void lw_trial_correct (LwTrial *self, const LwTrial *sure);
/* Steps of the last candidate by one rule; NaN without a figure. */
double lw_trial_steps (const LwTrial *self, guint rule);
/* Least steps of the last candidate, and whose. */
double lw_trial_least (const LwTrial *self, guint *rule);

G_END_DECLS

#endif
