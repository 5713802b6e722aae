#include "widgets/desk.h"

#include <math.h>

#include <glib/gi18n.h>

#include "board/edits-history.h"
#include "widgets/desk-group.h"
#include "widgets/shown-units.h"
#include "widgets/sketch.h"

struct _LwDesk {
  GObject parent_instance;

  LwDocument *document;
  char *plan_ref;   /* of the active plan when the job last changed */
  char *part_ref;   /* of the selected part, so that it is found again after an edit */

  LwPrediction *prediction;
  GPtrArray *findings;
  guint64 prediction_revision, findings_revision;
  LwJob *seen; /* the job when it last changed, and its revision */
  guint64 seen_revision;
  LwComparison *comparison;
  LwThermocouple *proposed;
  char *failure;
  gboolean moment_chosen; /* by the person, for this plan */

  LwSide side;
  double moment_s;
  LwThing selection;
  int selected_part, selected_stage, selected_other;
  LwDeskGroup group;
  LwSketch *sketch;

  gboolean busy;
  double progress;
  gboolean stale, dragging;
  gboolean shows[4];
};

G_DEFINE_FINAL_TYPE (LwDesk, lw_desk, G_TYPE_OBJECT)

enum {
  PROP_0,
  PROP_DOCUMENT,
  PROP_SIDE,
  PROP_MOMENT,
  PROP_SELECTED_PART,
  PROP_SELECTED_STAGE,
  PROP_SELECTION,
  PROP_BUSY,
  PROP_PROGRESS,
  PROP_STALE,
  PROP_DRAGGING,
  PROP_FAILURE,
  PROP_SHOW_FIELD, /* the shows, in the order of the array */
  PROP_SHOW_ISOTHERMS,
  PROP_SHOW_NAMES,
  PROP_SHOW_COPPER,
  PROP_SHOW_OTHER_SIDE,
  N_PROPS
};
enum { JOB_CHANGED, ANSWER_CHANGED, MESSAGE, GROUP_CHANGED, RUN_CHANGED, PROPOSED_CHANGED, N_SIGNALS };

static GParamSpec *props[N_PROPS];
static guint signals[N_SIGNALS];

static void
notify (LwDesk *self, guint prop)
{
  g_object_notify_by_pspec (G_OBJECT (self), props[prop]);
}

static const LwPlan *
active_plan (LwDesk *self)
{
  int plan = lw_desk_plan (self);

  return plan < 0 ? NULL : g_ptr_array_index (lw_desk_job (self)->plans, plan);
}

/* Motions an answer may lag behind a hand before it counts as old: half a second of a mouse's. */
#define LAG_MOTIONS 50

static void
update_stale (LwDesk *self)
{
  guint64 lag = self->prediction != NULL && self->document != NULL
                  ? lw_document_revision (self->document) - self->prediction_revision : 0;
  gboolean stale = lag > (self->dragging ? LAG_MOTIONS : 0);

  if (stale == self->stale)
    return;
  self->stale = stale;
  notify (self, PROP_STALE);
}

static void
drop_answer (LwDesk *self)
{
  gboolean had = self->prediction != NULL || self->findings != NULL;

  g_clear_pointer (&self->prediction, lw_prediction_unref);
  g_clear_pointer (&self->findings, g_ptr_array_unref);
  self->prediction_revision = self->findings_revision = 0;
  if (had)
    g_signal_emit (self, signals[ANSWER_CHANGED], 0);
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

static gboolean
plan_is_another (LwDesk *self)
{
  const LwPlan *plan = active_plan (self);
  const char *ref = plan == NULL ? NULL : plan->ref;

  if (g_strcmp0 (ref, self->plan_ref) == 0)
    return FALSE;
  g_free (self->plan_ref);
  self->plan_ref = g_strdup (ref);
  return TRUE;
}

static guint
count_of (LwDesk *self, LwThing thing)
{
  const LwPlan *plan = active_plan (self);

  if (plan == NULL)
    return 0;
  if (thing == LW_THING_STAGE)
    return plan->stages->len;
  return thing == LW_THING_SHIELD ? plan->shields->len : plan->thermocouples->len;
}

static void set_part (LwDesk *self, int part);

/* PART, one of the group, is now the selected one. */
static void
lead_with (LwDesk *self, int part, LwThing thing)
{
  gboolean other = self->selection != thing || self->selected_other != part;

  self->selection = thing;
  self->selected_other = part;
  set_part (self, part);
  if (other)
    notify (self, PROP_SELECTION);
}

static void
set_group (LwDesk *self, const guint *parts, guint n)
{
  if (lw_desk_group_set (&self->group, lw_desk_job (self), parts, n))
    g_signal_emit (self, signals[GROUP_CHANGED], 0);
}

/* Keeps the selection on the same part after parts came or went, and off stages that are gone. */
static void
mend_selection (LwDesk *self)
{
  const LwJob *job = lw_desk_job (self);
  int part = job == NULL || self->part_ref == NULL ? -1 : lw_job_find_part (job, self->part_ref);
  gboolean others = lw_desk_group_mend (&self->group, job);

  if (part < 0 && self->selected_part >= 0 && self->group.indices->len > 0)
    part = (int) g_array_index (self->group.indices, guint, 0);
  if (self->selected_part >= 0 && part != self->selected_part) {
    if (part < 0)
      lw_desk_select (self, LW_THING_BOARD, -1);
    else
      lead_with (self, part, self->selection == LW_THING_STAGE ? LW_THING_STAGE : LW_THING_PART);
  }
  if (others)
    g_signal_emit (self, signals[GROUP_CHANGED], 0);
  if (self->selected_stage >= (int) count_of (self, LW_THING_STAGE))
    lw_desk_select (self, LW_THING_BOARD, -1);
  if ((self->selection == LW_THING_SHIELD || self->selection == LW_THING_THERMOCOUPLE)
      && self->selected_other >= (int) count_of (self, self->selection))
    lw_desk_select (self, LW_THING_BOARD, -1);
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

static void
job_changed (LwDesk *self)
{
  carry_answer (self);
  if (plan_is_another (self)) {
    drop_answer (self);
    self->moment_chosen = FALSE;
  }
  else if (self->prediction != NULL && !answer_fits (self, self->prediction))
    drop_answer (self);
  mend_selection (self);
  update_stale (self);
  g_signal_emit (self, signals[JOB_CHANGED], 0);
}

static void
document_changed_cb (LwDesk *self)
{
  job_changed (self);
}

LwDesk *
lw_desk_new (void)
{
  return g_object_new (LW_TYPE_DESK, NULL);
}

LwDocument *
lw_desk_document (LwDesk *self)
{
  g_return_val_if_fail (LW_IS_DESK (self), NULL);
  return self->document;
}

void
lw_desk_set_document (LwDesk *self, LwDocument *document)
{
  g_return_if_fail (LW_IS_DESK (self));

  if (self->document == document)
    return;
  if (self->document != NULL)
    g_signal_handlers_disconnect_by_data (self->document, self);
  drop_answer (self);
  g_set_object (&self->document, document);
  g_clear_pointer (&self->plan_ref, g_free);
  self->moment_chosen = FALSE;
  lw_desk_select (self, LW_THING_BOARD, -1);
  lw_sketch_reset (self->sketch);
  lw_desk_set_failure (self, NULL);
  if (document != NULL)
    g_signal_connect_object (document, "changed", G_CALLBACK (document_changed_cb), self,
                             G_CONNECT_SWAPPED);
  notify (self, PROP_DOCUMENT);
  job_changed (self);
}

LwJob *
lw_desk_job (LwDesk *self)
{
  g_return_val_if_fail (LW_IS_DESK (self), NULL);
  return self->document == NULL ? NULL : lw_document_job (self->document);
}

int
lw_desk_plan (LwDesk *self)
{
  const LwJob *job = lw_desk_job (self);

  return job == NULL || job->active_plan >= job->plans->len ? -1 : (int) job->active_plan;
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
    notify (self, PROP_MOMENT);
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
  update_stale (self);
  g_signal_emit (self, signals[ANSWER_CHANGED], 0);
  return TRUE;
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
  g_signal_emit (self, signals[RUN_CHANGED], 0);
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
  g_signal_emit (self, signals[PROPOSED_CHANGED], 0);
}

gboolean
lw_desk_stale (LwDesk *self)
{
  g_return_val_if_fail (LW_IS_DESK (self), FALSE);
  return self->stale;
}

gboolean
lw_desk_dragging (LwDesk *self)
{
  g_return_val_if_fail (LW_IS_DESK (self), FALSE);
  return self->dragging;
}

void
lw_desk_set_dragging (LwDesk *self, gboolean dragging)
{
  g_return_if_fail (LW_IS_DESK (self));

  if (self->dragging == !!dragging)
    return;
  self->dragging = !!dragging;
  notify (self, PROP_DRAGGING);
  update_stale (self);
}

gboolean
lw_desk_may_wait (LwDesk *self, GtkWidget *widget)
{
  return self != NULL && self->dragging && !gtk_widget_get_mapped (widget);
}

const char *
lw_desk_failure (LwDesk *self)
{
  g_return_val_if_fail (LW_IS_DESK (self), NULL);
  return self->failure;
}

void
lw_desk_set_failure (LwDesk *self, const char *reason)
{
  g_return_if_fail (LW_IS_DESK (self));

  if (g_strcmp0 (reason, self->failure) == 0)
    return;
  g_free (self->failure);
  self->failure = g_strdup (reason);
  notify (self, PROP_FAILURE);
}

void
lw_desk_tell (LwDesk *self, const char *text, gboolean offer_undo)
{
  g_return_if_fail (LW_IS_DESK (self));
  g_signal_emit (self, signals[MESSAGE], 0, text, offer_undo);
}

LwSide
lw_desk_side (LwDesk *self)
{
  g_return_val_if_fail (LW_IS_DESK (self), LW_SIDE_TOP);
  return self->side;
}

void
lw_desk_set_side (LwDesk *self, LwSide side)
{
  g_return_if_fail (LW_IS_DESK (self));

  if (self->side == side)
    return;
  self->side = side;
  notify (self, PROP_SIDE);
}

double
lw_desk_moment (LwDesk *self)
{
  g_return_val_if_fail (LW_IS_DESK (self), 0);
  return self->moment_s;
}

void
lw_desk_set_moment (LwDesk *self, double t_s)
{
  g_return_if_fail (LW_IS_DESK (self));

  if (!isfinite (t_s))
    return;
  self->moment_chosen = TRUE;
  if (t_s == self->moment_s)
    return;
  self->moment_s = MAX (t_s, 0);
  notify (self, PROP_MOMENT);
}

static void
set_part (LwDesk *self, int part)
{
  const LwJob *job = lw_desk_job (self);

  if (job == NULL || part >= (int) job->parts->len)
    part = -1;
  g_clear_pointer (&self->part_ref, g_free);
  if (part >= 0)
    self->part_ref = g_strdup (((const LwPart *) g_ptr_array_index (job->parts, part))->ref);
  if (part == self->selected_part)
    return;
  self->selected_part = part;
  notify (self, PROP_SELECTED_PART);
}

static void
set_stage (LwDesk *self, int stage)
{
  if (stage >= (int) count_of (self, LW_THING_STAGE))
    stage = -1;
  if (stage == self->selected_stage)
    return;
  self->selected_stage = stage;
  notify (self, PROP_SELECTED_STAGE);
}

/* A thing that comes in numbers is one of those there are: a menu may offer the first stage of a plan that has none. */
static gboolean
is_there (LwDesk *self, LwThing thing, int index)
{
  const LwJob *job = lw_desk_job (self);

  switch (thing) {
  case LW_THING_PART:
    return index >= 0 && job != NULL && index < (int) job->parts->len;
  case LW_THING_STAGE:
  case LW_THING_SHIELD:
  case LW_THING_THERMOCOUPLE:
    return index >= 0 && index < (int) count_of (self, thing);
  default:
    return TRUE;
  }
}

/* A stage is chosen beside a part: its plot shows both. */
void
lw_desk_select (LwDesk *self, LwThing thing, int index)
{
  LwThing before = self->selection;
  int other_before = self->selected_other;

  g_return_if_fail (LW_IS_DESK (self));

  if (!is_there (self, thing, index)) {
    thing = LW_THING_BOARD;
    index = -1;
  }
  self->selection = thing;
  self->selected_other = index;
  if (thing == LW_THING_PART) {
    set_part (self, index);
    set_group (self, &(guint){ (guint) index }, 1);
  }
  else if (thing != LW_THING_STAGE) {
    set_part (self, -1);
    set_group (self, NULL, 0);
  }
  set_stage (self, thing == LW_THING_STAGE ? index : -1);
  if (before != self->selection || other_before != self->selected_other)
    notify (self, PROP_SELECTION);
}

LwThing
lw_desk_selection (LwDesk *self, int *index)
{
  g_return_val_if_fail (LW_IS_DESK (self), LW_THING_BOARD);

  if (index != NULL)
    *index = self->selection == LW_THING_PART    ? self->selected_part
             : self->selection == LW_THING_STAGE ? self->selected_stage
                                                 : self->selected_other;
  return self->selection;
}

int
lw_desk_selected_part (LwDesk *self)
{
  g_return_val_if_fail (LW_IS_DESK (self), -1);
  return self->selected_part;
}

void
lw_desk_select_part (LwDesk *self, int part)
{
  lw_desk_select (self, LW_THING_PART, part);
}

const GArray *
lw_desk_selected_parts (LwDesk *self)
{
  g_return_val_if_fail (LW_IS_DESK (self), NULL);
  return self->group.indices;
}

gboolean
lw_desk_has_selected (LwDesk *self, int part)
{
  g_return_val_if_fail (LW_IS_DESK (self), FALSE);
  return lw_desk_group_has (&self->group, part);
}

void
lw_desk_select_parts (LwDesk *self, const GArray *parts, int lead)
{
  g_return_if_fail (LW_IS_DESK (self));

  if (parts->len == 0) {
    lw_desk_select (self, LW_THING_BOARD, -1);
    return;
  }
  set_stage (self, -1);
  set_group (self, (const guint *) parts->data, parts->len);
  if (self->group.indices->len == 0)
    lw_desk_select (self, LW_THING_BOARD, -1);
  else
    lead_with (self,
               lw_desk_group_has (&self->group, lead) ? lead : (int) g_array_index (self->group.indices, guint, 0),
               LW_THING_PART);
}

void
lw_desk_toggle_part (LwDesk *self, int part)
{
  g_autoptr (GArray) next = NULL;

  g_return_if_fail (LW_IS_DESK (self));
  next = g_array_new (FALSE, FALSE, sizeof (guint));
  for (guint i = 0; i < self->group.indices->len; i++) {
    guint index = g_array_index (self->group.indices, guint, i);

    if ((int) index != part)
      g_array_append_val (next, index);
  }
  if (!lw_desk_group_has (&self->group, part) && part >= 0) {
    guint index = (guint) part;

    g_array_append_val (next, index);
    lw_desk_select_parts (self, next, part);
  }
  else
    lw_desk_select_parts (self, next, self->selected_part);
}

LwSketch *
lw_desk_sketch (LwDesk *self)
{
  g_return_val_if_fail (LW_IS_DESK (self), NULL);
  return self->sketch;
}

int
lw_desk_selected_stage (LwDesk *self)
{
  g_return_val_if_fail (LW_IS_DESK (self), -1);
  return self->selected_stage;
}

void
lw_desk_select_stage (LwDesk *self, int stage)
{
  lw_desk_select (self, LW_THING_STAGE, stage);
}

gboolean
lw_desk_shows (LwDesk *self, const char *property)
{
  gboolean value = FALSE;

  g_return_val_if_fail (LW_IS_DESK (self), FALSE);
  g_object_get (self, property, &value, NULL);
  return value;
}

gboolean
lw_desk_busy (LwDesk *self)
{
  g_return_val_if_fail (LW_IS_DESK (self), FALSE);
  return self->busy;
}

double
lw_desk_progress (LwDesk *self)
{
  g_return_val_if_fail (LW_IS_DESK (self), 0);
  return self->progress;
}

void
lw_desk_set_run (LwDesk *self, gboolean busy, double progress)
{
  g_return_if_fail (LW_IS_DESK (self));

  if (self->progress != progress) {
    self->progress = progress;
    notify (self, PROP_PROGRESS);
  }
  if (self->busy != !!busy) {
    self->busy = !!busy;
    notify (self, PROP_BUSY);
  }
}

gboolean
lw_desk_edit (LwDesk *self, LwJob *job, const char *label, const char *merge_key, GError *error)
{
  g_return_val_if_fail (LW_IS_DESK (self), FALSE);

  if (job == NULL) {
    lw_desk_tell (self, error == NULL ? _("That edit was refused.") : error->message, FALSE);
    g_clear_error (&error);
    return FALSE;
  }
  g_clear_error (&error);
  if (self->document == NULL) {
    lw_job_unref (job);
    return FALSE;
  }
  lw_document_edit (self->document, job, label, merge_key);
  return TRUE;
}

gboolean
lw_widget_is_dark (GtkWidget *widget)
{
  GdkRGBA text;

  gtk_style_context_get_color (gtk_widget_get_style_context (widget), &text);
  return 0.2126 * text.red + 0.7152 * text.green + 0.0722 * text.blue > 0.5;
}

static void
lw_desk_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  LwDesk *self = LW_DESK (object);

  switch (id) {
  case PROP_DOCUMENT: g_value_set_object (value, self->document); break;
  case PROP_SIDE: g_value_set_int (value, self->side); break;
  case PROP_MOMENT: g_value_set_double (value, self->moment_s); break;
  case PROP_SELECTED_PART: g_value_set_int (value, self->selected_part); break;
  case PROP_SELECTED_STAGE: g_value_set_int (value, self->selected_stage); break;
  case PROP_SELECTION: g_value_set_int (value, self->selection); break;
  case PROP_BUSY: g_value_set_boolean (value, self->busy); break;
  case PROP_PROGRESS: g_value_set_double (value, self->progress); break;
  case PROP_STALE: g_value_set_boolean (value, self->stale); break;
  case PROP_DRAGGING: g_value_set_boolean (value, self->dragging); break;
  case PROP_FAILURE: g_value_set_string (value, self->failure); break;
  case PROP_SHOW_FIELD:
  case PROP_SHOW_ISOTHERMS:
  case PROP_SHOW_NAMES:
  case PROP_SHOW_COPPER:
  case PROP_SHOW_OTHER_SIDE:
    g_value_set_boolean (value, self->shows[id - PROP_SHOW_FIELD]);
    break;
  default: G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
  }
}

static void
set_shows (LwDesk *self, guint id, gboolean value)
{
  if (self->shows[id - PROP_SHOW_FIELD] == value)
    return;
  self->shows[id - PROP_SHOW_FIELD] = value;
  notify (self, id);
}

static void
lw_desk_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  LwDesk *self = LW_DESK (object);

  switch (id) {
  case PROP_DOCUMENT: lw_desk_set_document (self, g_value_get_object (value)); break;
  case PROP_SIDE: lw_desk_set_side (self, g_value_get_int (value)); break;
  case PROP_MOMENT: lw_desk_set_moment (self, g_value_get_double (value)); break;
  case PROP_SELECTED_PART: lw_desk_select_part (self, g_value_get_int (value)); break;
  case PROP_SELECTED_STAGE: lw_desk_select_stage (self, g_value_get_int (value)); break;
  case PROP_SHOW_FIELD:
  case PROP_SHOW_ISOTHERMS:
  case PROP_SHOW_NAMES:
  case PROP_SHOW_COPPER:
  case PROP_SHOW_OTHER_SIDE:
    set_shows (self, id, g_value_get_boolean (value));
    break;
  default: G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
  }
}

static void
lw_desk_dispose (GObject *object)
{
  LwDesk *self = LW_DESK (object);

  if (self->document != NULL)
    g_signal_handlers_disconnect_by_data (self->document, self);
  g_clear_object (&self->document);
  g_clear_pointer (&self->prediction, lw_prediction_unref);
  g_clear_pointer (&self->findings, g_ptr_array_unref);
  g_clear_pointer (&self->comparison, lw_comparison_free);
  g_clear_pointer (&self->proposed, lw_thermocouple_unref);
  g_clear_pointer (&self->seen, lw_job_unref);
  G_OBJECT_CLASS (lw_desk_parent_class)->dispose (object);
}

static void
lw_desk_finalize (GObject *object)
{
  LwDesk *self = LW_DESK (object);

  g_free (self->plan_ref);
  g_free (self->part_ref);
  g_free (self->failure);
  lw_desk_group_clear (&self->group);
  g_clear_object (&self->sketch);
  G_OBJECT_CLASS (lw_desk_parent_class)->finalize (object);
}

static void
install_properties (GObjectClass *class)
{
  GParamFlags rw = G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY | G_PARAM_STATIC_STRINGS;
  GParamFlags ro = G_PARAM_READABLE | G_PARAM_EXPLICIT_NOTIFY | G_PARAM_STATIC_STRINGS;

  props[PROP_DOCUMENT] = g_param_spec_object ("document", NULL, NULL, LW_TYPE_DOCUMENT, rw);
  props[PROP_SIDE] = g_param_spec_int ("side", NULL, NULL, LW_SIDE_TOP, LW_SIDE_BOTTOM, LW_SIDE_TOP, rw);
  props[PROP_MOMENT] = g_param_spec_double ("moment", NULL, NULL, 0, G_MAXDOUBLE, 0, rw);
  props[PROP_SELECTED_PART] = g_param_spec_int ("selected-part", NULL, NULL, -1, G_MAXINT, -1, rw);
  props[PROP_SELECTED_STAGE] = g_param_spec_int ("selected-stage", NULL, NULL, -1, G_MAXINT, -1, rw);
  props[PROP_SELECTION]
    = g_param_spec_int ("selection", NULL, NULL, LW_THING_BOARD, LW_THING_THERMOCOUPLE, LW_THING_BOARD, ro);
  props[PROP_BUSY] = g_param_spec_boolean ("busy", NULL, NULL, FALSE, ro);
  props[PROP_PROGRESS] = g_param_spec_double ("progress", NULL, NULL, 0, 1, 0, ro);
  props[PROP_STALE] = g_param_spec_boolean ("stale", NULL, NULL, FALSE, ro);
  props[PROP_DRAGGING] = g_param_spec_boolean ("dragging", NULL, NULL, FALSE, ro);
  props[PROP_FAILURE] = g_param_spec_string ("failure", NULL, NULL, NULL, ro);
  props[PROP_SHOW_FIELD] = g_param_spec_boolean ("show-field", NULL, NULL, TRUE, rw);
  props[PROP_SHOW_ISOTHERMS] = g_param_spec_boolean ("show-isotherms", NULL, NULL, TRUE, rw);
  props[PROP_SHOW_NAMES] = g_param_spec_boolean ("show-names", NULL, NULL, TRUE, rw);
  props[PROP_SHOW_COPPER] = g_param_spec_boolean ("show-copper", NULL, NULL, TRUE, rw);
  props[PROP_SHOW_OTHER_SIDE] = g_param_spec_boolean ("show-other-side", NULL, NULL, FALSE, rw);
  g_object_class_install_properties (class, N_PROPS, props);
}

static void
lw_desk_class_init (LwDeskClass *class)
{
  GObjectClass *object_class = G_OBJECT_CLASS (class);

  object_class->dispose = lw_desk_dispose;
  object_class->finalize = lw_desk_finalize;
  object_class->get_property = lw_desk_get_property;
  object_class->set_property = lw_desk_set_property;
  install_properties (object_class);

  signals[JOB_CHANGED] = g_signal_new ("job-changed", G_TYPE_FROM_CLASS (class), G_SIGNAL_RUN_LAST, 0, NULL,
                                       NULL, NULL, G_TYPE_NONE, 0);
  signals[ANSWER_CHANGED] = g_signal_new ("answer-changed", G_TYPE_FROM_CLASS (class), G_SIGNAL_RUN_LAST, 0,
                                          NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[GROUP_CHANGED] = g_signal_new ("group-changed", G_TYPE_FROM_CLASS (class), G_SIGNAL_RUN_LAST, 0, NULL,
                                         NULL, NULL, G_TYPE_NONE, 0);
  signals[PROPOSED_CHANGED] = g_signal_new ("proposed-changed", G_TYPE_FROM_CLASS (class), G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                            G_TYPE_NONE, 0);
  signals[RUN_CHANGED] = g_signal_new ("run-changed", G_TYPE_FROM_CLASS (class), G_SIGNAL_RUN_LAST, 0, NULL,
                                         NULL, NULL, G_TYPE_NONE, 0);
  signals[MESSAGE] = g_signal_new ("message", G_TYPE_FROM_CLASS (class), G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                                   NULL, G_TYPE_NONE, 2, G_TYPE_STRING, G_TYPE_BOOLEAN);
}

/* The same job and the same answer, in other units. */
static void
tell_anew (LwDesk *self)
{
  g_signal_emit (self, signals[JOB_CHANGED], 0);
  g_signal_emit (self, signals[ANSWER_CHANGED], 0);
}

static void
lw_desk_init (LwDesk *self)
{
  self->selected_part = self->selected_stage = self->selected_other = -1;
  self->shows[0] = self->shows[1] = self->shows[2] = TRUE;
  lw_desk_group_init (&self->group);
  self->sketch = lw_sketch_new ();
  g_signal_connect_object (lw_shown_units_signal (), "changed", G_CALLBACK (tell_anew), self, G_CONNECT_SWAPPED);
}
