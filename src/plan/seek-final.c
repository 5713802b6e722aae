#include "plan/seek-final.h"

#include <glib/gi18n.h>
#include <math.h>

#include "plan/seek-ascend.h"
#include "plan/seek-learn.h"

/* What is learned in the default mesh lies this near to the best, and how much nearer each time. */
#define FINAL_SHARE 0.1
#define NEARER 0.5
#define STEP_OF_BOX 0.5

typedef struct {
  const LwSeekExplorer *of;
  LwJob *job;
  LwQuick *quick;
  GError *error;
} Build;

/* As coarse ones are, but for the mesh: see docs/seek.md. */
static void
build_one (void *data, size_t i)
{
  Build *build = (Build *) data + i;
  LwQuickOptions options = { .scout = TRUE };

  build->quick = lw_quick_new (build->job, build->of->plan, &options, build->of->watch.cancellable, NULL, NULL, &build->error);
}

/* Lessons round the best so far and up from there, each time nearer. */
static void
climb_on (const LwSeekExplorer *self, LwTrial *trial, LwSpot *spot)
{
  const LwSeekPlanOfWork *w = self->work;
  LwSeekPair pair = { .sure = trial, .round = TRUE, .worth = -INFINITY, .cancellable = self->watch.cancellable };
  double box = FINAL_SHARE;

  for (guint i = 0; i < w->final_rounds && lw_seek_space_n (self->space) > 0; i++, box *= NEARER) {
    g_auto (LwSpots) round = lw_seek_spread (self->space, spot->shares, w->final, w->seed % 1024 + i * w->final, box, FALSE);
    LwSeekReach reach = { STEP_OF_BOX * box, box, w->climb };
    if (!lw_trial_learn (trial, &round, pair.cancellable) || !lw_seek_mark (&pair, spot))
      return;
    pair.guide = lw_trial_twin (trial);
    lw_seek_ascend (&pair, spot, &reach, w->final_cycles);
    trial->n_tried += pair.guide->n_tried;
    lw_trial_free (pair.guide);
  }
}

static LwTrial *
march_given (const LwSeekExplorer *self, LwQuick *quick, GError **error)
{
  g_autoptr (LwTrial) trial = lw_trial_new (quick, self->space, self->doubts);

  if (lw_trial_march (trial, NULL, FALSE))
    return g_steal_pointer (&trial);
  g_set_error (error, LW_PREDICT_ERROR, LW_PREDICT_ERROR_SOLVER,
               _("The plan as it stands cannot be computed, so there is nothing to start from."));
  return NULL;
}

static gboolean
finish (const LwSeekExplorer *self, LwQuick *given, LwQuick *quick, const LwSpot *best, LwSeekFound *found, GError **error)
{
  guint n = lw_seek_space_n (self->space);

  found->given = march_given (self, given, error);
  if (found->given == NULL)
    return FALSE;
  found->spot = (LwSpot){ g_memdup2 (best->shares, MAX (n, 1) * sizeof (double)), -INFINITY };
  found->trial = lw_trial_new (quick, self->space, self->doubts);
  LwSeekPair pair = { .sure = found->trial, .round = TRUE, .worth = -INFINITY };
  if (lw_seek_mark (&pair, &found->spot))
    climb_on (self, found->trial, &found->spot);
  found->n_tried += found->trial->n_tried;
  return !g_cancellable_set_error_if_cancelled (self->watch.cancellable, error);
}

static GError *
take_error (Build *builds)
{
  Build *failed = &builds[builds[0].error != NULL ? 0 : 1];

  return g_steal_pointer (&failed->error);
}

gboolean
lw_seek_final (const LwSeekExplorer *self, LwJob *job, const LwSpot *best, LwSeekFound *found, GError **error)
{
  const HeatParallel *parallel = lw_quick_parallel ();
  gboolean same = lw_quick_fits (self->own->quick, job, self->plan), done = FALSE;
  Build builds[] = { { self, job }, { self, self->job } };

  parallel->run (parallel->pool, same ? 1 : 2, build_one, builds);
  LwQuick *given = builds[same ? 0 : 1].quick;
  found->job = lw_job_ref (job);
  if (builds[0].quick != NULL && given != NULL)
    done = finish (self, given, builds[0].quick, best, found, error);
  else
    g_propagate_error (error, take_error (builds));
  for (guint i = 0; i < G_N_ELEMENTS (builds); i++) {
    lw_quick_unref (builds[i].quick);
    g_clear_error (&builds[i].error);
  }
  return done;
}
