#include "plan/compact.h"

#include <glib/gi18n.h>

#include "plan/quick-inside.h"
#include "plan/seek-learn.h"
#include "plan/solve-scene.h"

struct LwCompact {
  gint ref_count;
  LwQuick *quick;
  HeatCompact *model;
  HeatFilmReport films; /* of the model's own plan */
};

static unsigned char
bits_of (LwFigure figure)
{
  switch (figure) {
  case LW_FIGURE_JOINT_PEAK:
  case LW_FIGURE_BODY_PEAK:
  case LW_FIGURE_BOARD_PEAK:
    return 0;
  case LW_FIGURE_JOINT_CENTER:
  case LW_FIGURE_JOINT_CORNER:
    return HEAT_COMPACT_SHAPE;
  case LW_FIGURE_RAMP_UP:
  case LW_FIGURE_RAMP_DOWN:
    return HEAT_COMPACT_RAMPS;
  default:
    return HEAT_COMPACT_RAMPS | HEAT_COMPACT_JOINTS;
  }
}

static unsigned char *
asked_by (const LwGauge *gauge, guint n_bodies)
{
  unsigned char *asked = g_new0 (unsigned char, MAX (n_bodies, 1));

  for (guint i = 0; i < gauge->rules->len; i++) {
    const LwGaugeRule *rule = &g_array_index (gauge->rules, LwGaugeRule, i);
    asked[rule->body] |= bits_of (rule->figure);
  }
  return asked;
}

static bool
is_stopped (void *user)
{
  return g_cancellable_is_cancelled (((LwWatch *) user)->cancellable);
}

static LwCompact *
learn (LwQuick *quick, const HeatDrive *drives, guint n, HeatCompactOptions how, GCancellable *cancellable, GError **error)
{
  LwWatch watch = { cancellable, NULL, NULL, 0, 1 };
  HeatCompact *model = NULL;
  HeatStatus status;

  how.parallel = lw_quick_parallel ();
  how.progress = lw_watch_progress;
  how.stopped = is_stopped;
  how.user = &watch;
  if (g_cancellable_set_error_if_cancelled (cancellable, error))
    return NULL;
  status = heat_compact_new (lw_quick_model (quick), drives, n, &how, &model);
  if (status != HEAT_OK) {
    lw_set_heat_error (error, status, "");
    return NULL;
  }
  LwCompact *self = g_new0 (LwCompact, 1);
  *self = (LwCompact){ .ref_count = 1, .quick = lw_quick_ref (quick), .model = model };
  return self;
}

LwCompact *
lw_compact_new (LwQuick *quick, const HeatDrive *drives, guint n, const LwGauge *gauge, GCancellable *cancellable,
                GError **error)
{
  g_autofree unsigned char *asked = gauge != NULL ? asked_by (gauge, lw_quick_n_bodies (quick)) : NULL;

  return learn (quick, drives, n, (HeatCompactOptions){ .asked = asked }, cancellable, error);
}

LwCompact *
lw_compact_ref (LwCompact *self)
{
  g_atomic_int_inc (&self->ref_count);
  return self;
}

void
lw_compact_unref (LwCompact *self)
{
  if (self == NULL || !g_atomic_int_dec_and_test (&self->ref_count))
    return;
  heat_compact_free (self->model);
  lw_quick_unref (self->quick);
  g_free (self);
}

const HeatCompact *
lw_compact_model (const LwCompact *self)
{
  return self->model;
}

/* ---- answers while set points are edited ---- */

static gboolean
take_films (LwCompact *self, GError **error)
{
  g_autoptr (LwQuickRun) run = lw_quick_run_new (self->quick);
  g_autoptr (HeatResult) result = NULL;
  const HeatReducedWants wants = { .no_figures = true };

  if (!lw_quick_run (self->quick, run, NULL, &wants, error))
    return FALSE;
  HeatStatus status = heat_reduced_result (lw_quick_model (self->quick), lw_quick_run_heat (run), &result);
  if (status != HEAT_OK) {
    lw_set_heat_error (error, status, "");
    return FALSE;
  }
  self->films = result->films;
  return TRUE;
}

LwCompact *
lw_compact_new_live (LwQuick *quick, GCancellable *cancellable, GError **error)
{
  const LwCase *of = lw_quick_case (quick);
  g_autoptr (LwSeekSpace) space = lw_seek_space_new (of->job, lw_case_plan (of));
  g_autoptr (LwTrial) trial = lw_trial_new (quick, space, NULL);
  g_autoptr (GPtrArray) writers = g_ptr_array_new_with_free_func ((GDestroyNotify) lw_trial_free);
  guint dim = lw_seek_space_n (space);
  g_autofree double *start = g_new0 (double, MAX (dim, 1));
  HeatDrive drives[LW_COMPACT_LESSONS];

  if (dim == 0) {
    g_set_error_literal (error, LW_PREDICT_ERROR, LW_PREDICT_ERROR_JOB, _("The plan has no stages."));
    return NULL;
  }
  lw_seek_space_take (space, lw_case_plan (of), start);
  g_auto (LwSpots) spots = lw_seek_spread (space, start, LW_COMPACT_LESSONS, 0, LW_COMPACT_REACH, FALSE);
  for (guint i = 0; i < spots.n; i++) {
    LwTrial *writer = lw_trial_twin (trial); /* each drive borrows its tables */
    g_ptr_array_add (writers, writer);
    drives[i] = lw_trial_drive (writer, i > 0 ? spots.shares + i * dim : NULL, FALSE);
  }
  LwCompact *self = learn (quick, drives, spots.n, (HeatCompactOptions){ .whole = true }, cancellable, error);
  if (self == NULL || take_films (self, error))
    return self;
  lw_compact_unref (self);
  return NULL;
}

LwPrediction *
lw_compact_answer (const LwCompact *self, HeatCompactRun *run, LwJob *job, guint plan, GError **error)
{
  g_auto (LwQuickDrive) drive = LW_QUICK_DRIVE_INIT;
  g_autoptr (HeatResult) result = NULL;
  gint64 start = g_get_monotonic_time ();

  if (!lw_quick_drive (self->quick, job, plan, &drive, error))
    return NULL;
  HeatStatus status = heat_compact_solve (self->model, run, &drive.heat, NULL);
  if (status == HEAT_OK)
    status = heat_compact_result (self->model, run, &result);
  HeatReducedPast *past = status == HEAT_OK ? heat_compact_past_new (self->model, run) : NULL;
  if (past == NULL) {
    lw_set_heat_error (error, status != HEAT_OK ? status : HEAT_NO_MEMORY, "");
    return NULL;
  }
  result->films = self->films;
  LwPrediction *answer = lw_quick_predict_from (self->quick, &drive, g_steal_pointer (&result), past);
  answer->rough = TRUE;
  answer->seconds = (double) (g_get_monotonic_time () - start) * 1e-6;
  return answer;
}
