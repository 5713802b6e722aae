#include "plan/seek-final.h"

#include <glib/gi18n.h>
#include <math.h>

#include "plan/background.h"
#include "plan/seek-ascend.h"
#include "plan/seek-learn.h"

/* What is learned in the default mesh lies this near to the best, and how much nearer each time. */
#define FINAL_SHARE 0.1
#define NEARER 0.5
#define STEP_OF_BOX 0.5

struct LwSeekGiven {
  LwJob *job;
  guint plan;
  GCancellable *cancellable;
  GThread *thread;
  LwQuick *quick; /* the thread's until it has ended, as is ERROR */
  GError *error;
};

/* As coarse ones are, but for the mesh: see docs/seek.md. NEAR NULL: the first. */
static LwQuick *
model_of (LwJob *job, guint plan, LwQuick *near, GCancellable *cancellable, GError **error)
{
  LwQuickOptions options = { .scout = TRUE, .keep = TRUE, .near = near };

  return lw_quick_new (job, plan, &options, cancellable, NULL, NULL, error);
}

/* ---- the given plan's model ---- */

static gpointer
build_given (gpointer data)
{
  LwSeekGiven *given = data;

  lw_background_thread ();
  given->quick = model_of (given->job, given->plan, NULL, given->cancellable, &given->error);
  return NULL;
}

LwSeekGiven *
lw_seek_given_new (LwJob *job, guint plan, GCancellable *cancellable)
{
  LwSeekGiven *given = g_new0 (LwSeekGiven, 1);

  given->job = lw_job_ref (job);
  given->plan = plan;
  g_set_object (&given->cancellable, cancellable);
  given->thread = g_thread_new ("seek-given", build_given, given);
  return given;
}

static void
wait_for (LwSeekGiven *given)
{
  if (given->thread != NULL)
    g_thread_join (g_steal_pointer (&given->thread));
}

void
lw_seek_given_free (LwSeekGiven *given)
{
  if (given == NULL)
    return;
  wait_for (given);
  g_clear_error (&given->error);
  lw_quick_unref (given->quick);
  g_clear_object (&given->cancellable);
  lw_job_unref (given->job);
  g_free (given);
}

static gboolean
march_given (const LwSeekExplorer *self, LwSeekFound *found, GError **error)
{
  LwSeekGiven *given = self->given;

  wait_for (given);
  if (given->quick == NULL) {
    g_propagate_error (error, g_steal_pointer (&given->error));
    return FALSE;
  }
  found->given = lw_trial_new (given->quick, self->space, self->doubts);
  if (lw_trial_march (found->given, NULL, FALSE))
    return TRUE;
  g_set_error (error, LW_PREDICT_ERROR, LW_PREDICT_ERROR_SOLVER,
               _("The plan as it stands cannot be computed, so there is nothing to start from."));
  return FALSE;
}

/* ---- the best found ---- */

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

  if (!march_given (self, found, error))
    return FALSE;
  LwQuick *given = self->given->quick;
  g_autoptr (LwQuick) quick = lw_quick_fits (self->own->quick, job, self->plan)
                                  ? lw_quick_ref (given)
                                  : model_of (job, self->plan, given, self->watch.cancellable, error);
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
