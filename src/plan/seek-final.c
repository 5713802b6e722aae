#include "plan/seek-final.h"

#include <glib/gi18n.h>
#include <math.h>

#include "plan/seek-ascend.h"
#include "plan/seek-learn.h"

/* What is learned in the default mesh lies this near to the best, and how much nearer each time. */
#define FINAL_SHARE 0.1
#define NEARER 0.5
#define STEP_OF_BOX 0.5

/* As coarse ones are, but for the mesh: see docs/seek.md. NEAR NULL: the first. */
static LwQuick *
model_of (const LwSeekExplorer *self, LwJob *job, LwQuick *near, GError **error)
{
  LwQuickOptions options = { .scout = TRUE, .keep = TRUE, .near = near };

  return lw_quick_new (job, self->plan, &options, self->watch.cancellable, NULL, NULL, error);
}

gboolean
lw_seek_final_given (const LwSeekExplorer *self, LwSeekFound *found, GError **error)
{
  g_autoptr (LwQuick) quick = model_of (self, self->job, NULL, error);

  if (quick == NULL)
    return FALSE;
  found->given = lw_trial_new (quick, self->space, self->doubts);
  if (lw_trial_march (found->given, NULL, FALSE))
    return TRUE;
  g_set_error (error, LW_PREDICT_ERROR, LW_PREDICT_ERROR_SOLVER,
               _("The plan as it stands cannot be computed, so there is nothing to start from."));
  return FALSE;
}

/* Lessons of the coarse model round the best so far; up from there by guesses that each march of the default mesh puts right;
 * each time nearer. */
static void
climb_on (const LwSeekExplorer *self, LwTrial *trial, LwTrial *coarse, LwSpot *spot)
{
  const LwSeekPlanOfWork *w = self->work;
  LwSeekPair pair = { .sure = trial, .round = TRUE, .worth = -INFINITY, .cancellable = self->watch.cancellable };
  double box = FINAL_SHARE;

  for (guint i = 0; i < w->final_rounds && lw_seek_space_n (self->space) > 0; i++, box *= NEARER) {
    g_auto (LwSpots) round = lw_seek_spread (self->space, spot->shares, w->final, w->seed % 1024 + i * w->final, box, FALSE);
    LwSeekReach reach = { STEP_OF_BOX * box, box, w->climb };
    if ((i > 0 && !lw_trial_learn (coarse, &round, pair.cancellable)) || !lw_seek_mark (&pair, spot))
      return;
    pair.guide = lw_trial_twin (coarse);
    lw_seek_ascend (&pair, spot, &reach, w->final_cycles);
    trial->n_tried += pair.guide->n_tried;
    lw_trial_free (pair.guide);
  }
}

gboolean
lw_seek_final (const LwSeekExplorer *self, LwJob *job, LwTrial *coarse, const LwSpot *best, LwSeekFound *found, GError **error)
{
  guint n = lw_seek_space_n (self->space);
  LwQuick *given = found->given->quick;
  g_autoptr (LwQuick) quick = lw_quick_fits (self->own->quick, job, self->plan) ? lw_quick_ref (given)
                                                                                : model_of (self, job, given, error);

  if (quick == NULL)
    return FALSE;
  found->job = lw_job_ref (job);
  found->spot = (LwSpot){ g_memdup2 (best->shares, MAX (n, 1) * sizeof (double)), -INFINITY };
  found->trial = lw_trial_new (quick, self->space, self->doubts);
  LwSeekPair pair = { .sure = found->trial, .round = TRUE, .worth = -INFINITY };
  if (lw_seek_mark (&pair, &found->spot))
    climb_on (self, found->trial, coarse, &found->spot);
  found->n_tried += found->trial->n_tried;
  return !g_cancellable_set_error_if_cancelled (self->watch.cancellable, error);
}
