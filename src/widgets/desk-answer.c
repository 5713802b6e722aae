/* The desk's answer: the newest prediction and findings, how old they are, what is laid over them. */
#include <math.h>

#include "board/edits-history.h"
#include "widgets/desk-private.h"

/* Motions an answer may lag behind a hand before it counts as old: half a second of a mouse's. */
#define LAG_MOTIONS 50

void
lw_desk_update_stale (LwDesk *self)
{
  guint64 lag = self->prediction != NULL && self->document != NULL
                  ? lw_document_revision (self->document) - self->prediction_revision : 0;
  gboolean stale = lag > (self->dragging ? LAG_MOTIONS : 0);

  if (stale == self->stale)
    return;
  self->stale = stale;
  lw_desk_notify (self, LW_DESK_PROP_STALE);
}

void
lw_desk_drop_answer (LwDesk *self)
{
  gboolean had = self->prediction != NULL || self->findings != NULL;

  g_clear_pointer (&self->prediction, lw_prediction_unref);
  g_clear_pointer (&self->findings, g_ptr_array_unref);
  self->prediction_revision = self->findings_revision = 0;
  if (had)
    lw_desk_emit (self, LW_DESK_ANSWER_CHANGED);
}

/* An answer may be shown for a later job only while its part numbers still mean the same parts and the
 * same part is being reworked. */
static gboolean
answer_fits (LwDesk *self, const LwPrediction *answer)
{
  const LwJob *job = lw_desk_job (self);

  if (job == NULL || (int) answer->plan != lw_desk_plan (self))
    return FALSE;
  for (guint i = 0; i < answer->parts->len; i++) {
    const LwPartTrace *trace = g_ptr_array_index (answer->parts, i);
    const LwPart *part;

    if (trace->part >= job->parts->len)
      return FALSE;
    part = g_ptr_array_index (job->parts, trace->part);
    if (g_strcmp0 (part->ref, trace->ref) != 0 || part->side != trace->side)
      return FALSE;
  }
  return TRUE;
}

/* What is kept of the past changes nothing of the answer: it goes on being the newest. */
static void
carry_answer (LwDesk *self)
{
  LwJob *job = lw_desk_job (self);
  guint64 revision = self->document == NULL ? 0 : lw_document_revision (self->document);

  if (job != NULL && self->seen != NULL && lw_job_same_work (job, self->seen)) {
    if (self->prediction != NULL && self->prediction_revision == self->seen_revision)
      self->prediction_revision = revision;
    if (self->findings != NULL && self->findings_revision == self->seen_revision)
      self->findings_revision = revision;
  }
  g_clear_pointer (&self->seen, lw_job_unref);
  self->seen = job == NULL ? NULL : lw_job_ref (job);
  self->seen_revision = revision;
}

static gboolean
plan_is_another (LwDesk *self)
{
  const LwPlan *plan = lw_desk_active_plan (self);
  const char *ref = plan == NULL ? NULL : plan->ref;

  if (g_strcmp0 (ref, self->plan_ref) == 0)
    return FALSE;
  g_free (self->plan_ref);
  self->plan_ref = g_strdup (ref);
  return TRUE;
}

void
lw_desk_follow_job (LwDesk *self)
{
  carry_answer (self);
  if (plan_is_another (self)) {
    lw_desk_drop_answer (self);
    self->moment_chosen = FALSE;
  }
  else if (self->prediction != NULL && !answer_fits (self, self->prediction))
    lw_desk_drop_answer (self);
}

LwPrediction *
lw_desk_prediction (LwDesk *self)
{
  g_return_val_if_fail (LW_IS_DESK (self), NULL);
  return self->prediction;
}

const GPtrArray *
lw_desk_findings (LwDesk *self)
{
  g_return_val_if_fail (LW_IS_DESK (self), NULL);
  return self->findings;
}

guint64
lw_desk_answer_revision (LwDesk *self)
{
  g_return_val_if_fail (LW_IS_DESK (self), 0);
  return self->prediction == NULL ? 0 : self->prediction_revision;
}

/* The first answer for a plan shows its worst moment for the target: the peak of its hottest joint. */
static void
show_peak (LwDesk *self)
{
  const LwPrediction *answer = self->prediction;
  double end = answer->n_times == 0 ? 0 : answer->t_s[answer->n_times - 1];
  double at = end;

  if (self->moment_chosen)
    at = MIN (self->moment_s, end);
  else if (answer->target >= 0 && answer->target < (int) answer->parts->len)
    at = ((const LwPartTrace *) g_ptr_array_index (answer->parts, answer->target))->joint_peak_s;
  if (isfinite (at) && at != self->moment_s) {
    self->moment_s = at;
    lw_desk_notify (self, LW_DESK_PROP_MOMENT);
  }
}

/* Whether what is there for the same revision is worth more. */
static gboolean
is_lesser (LwDesk *self, guint64 revision, const LwPrediction *prediction)
{
  const LwPrediction *have = self->prediction;

  if (have == NULL || revision != self->prediction_revision)
    return FALSE;
  return (have->full && !prediction->full) || (!have->rough && prediction->rough);
}

gboolean
lw_desk_take_answer (LwDesk *self, guint64 revision, LwPrediction *prediction, GPtrArray *findings)
{
  g_return_val_if_fail (LW_IS_DESK (self), FALSE);

  if (self->document == NULL || revision > lw_document_revision (self->document)
      || (prediction != NULL && (revision < self->prediction_revision || is_lesser (self, revision, prediction)
              || !answer_fits (self, prediction))))
    return FALSE;
  if (prediction != NULL) {
    lw_prediction_ref (prediction);
    g_clear_pointer (&self->prediction, lw_prediction_unref);
    self->prediction = prediction;
    self->prediction_revision = revision;
    show_peak (self);
  }
  if (findings != NULL && revision >= self->findings_revision) {
    g_ptr_array_ref (findings);
    g_clear_pointer (&self->findings, g_ptr_array_unref);
    self->findings = findings;
    self->findings_revision = revision;
  }
  lw_desk_update_stale (self);
  lw_desk_emit (self, LW_DESK_ANSWER_CHANGED);
  return TRUE;
}

gboolean
lw_desk_stale (LwDesk *self)
{
  g_return_val_if_fail (LW_IS_DESK (self), FALSE);
  return self->stale;
}

const LwComparison *
lw_desk_comparison (LwDesk *self)
{
  g_return_val_if_fail (LW_IS_DESK (self), NULL);
  return self->comparison;
}

void
lw_desk_take_comparison (LwDesk *self, LwComparison *comparison)
{
  g_return_if_fail (LW_IS_DESK (self));

  if (self->comparison == NULL && comparison == NULL)
    return;
  lw_comparison_free (self->comparison);
  self->comparison = comparison;
  lw_desk_emit (self, LW_DESK_RUN_CHANGED);
}

const LwThermocouple *
lw_desk_proposed (LwDesk *self)
{
  g_return_val_if_fail (LW_IS_DESK (self), NULL);
  return self->proposed;
}

void
lw_desk_propose (LwDesk *self, LwThermocouple *couple)
{
  LwThermocouple *before;

  g_return_if_fail (LW_IS_DESK (self));
  before = self->proposed;
  if (couple == before)
    return;
  self->proposed = couple != NULL ? lw_thermocouple_ref (couple) : NULL;
  if (before != NULL)
    lw_thermocouple_unref (before);
  lw_desk_emit (self, LW_DESK_PROPOSED_CHANGED);
}
