/* The desk as an object: its document, what is shown and under way, its properties and signals. */
#include <math.h>

#include <glib/gi18n.h>

#include "widgets/desk-private.h"
#include "widgets/shown-units.h"

G_DEFINE_FINAL_TYPE (LwDesk, lw_desk, G_TYPE_OBJECT)

static GParamSpec *props[LW_DESK_N_PROPS];
static guint signals[LW_DESK_N_SIGNALS];

void
lw_desk_notify (LwDesk *self, LwDeskProperty property)
{
  g_object_notify_by_pspec (G_OBJECT (self), props[property]);
}

void
lw_desk_emit (LwDesk *self, LwDeskSignal signal)
{
  g_signal_emit (self, signals[signal], 0);
}

const LwPlan *
lw_desk_active_plan (LwDesk *self)
{
  int plan = lw_desk_plan (self);

  return plan < 0 ? NULL : g_ptr_array_index (lw_desk_job (self)->plans, plan);
}

static void
job_changed (LwDesk *self)
{
  lw_desk_follow_job (self);
  lw_desk_mend_selection (self);
  lw_desk_update_stale (self);
  lw_desk_emit (self, LW_DESK_JOB_CHANGED);
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
  lw_desk_drop_answer (self);
  g_set_object (&self->document, document);
  g_clear_pointer (&self->plan_ref, g_free);
  self->moment_chosen = FALSE;
  lw_desk_select (self, LW_THING_BOARD, -1);
  lw_sketch_reset (self->sketch);
  lw_desk_set_failure (self, NULL);
  if (document != NULL)
    g_signal_connect_object (document, "changed", G_CALLBACK (document_changed_cb), self,
                             G_CONNECT_SWAPPED);
  lw_desk_notify (self, LW_DESK_PROP_DOCUMENT);
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
  lw_desk_notify (self, LW_DESK_PROP_DRAGGING);
  lw_desk_update_stale (self);
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
  lw_desk_notify (self, LW_DESK_PROP_FAILURE);
}

void
lw_desk_tell (LwDesk *self, const char *text, gboolean offer_undo)
{
  g_return_if_fail (LW_IS_DESK (self));
  g_signal_emit (self, signals[LW_DESK_MESSAGE], 0, text, offer_undo);
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
  lw_desk_notify (self, LW_DESK_PROP_SIDE);
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
  lw_desk_notify (self, LW_DESK_PROP_MOMENT);
}

LwSketch *
lw_desk_sketch (LwDesk *self)
{
  g_return_val_if_fail (LW_IS_DESK (self), NULL);
  return self->sketch;
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
    lw_desk_notify (self, LW_DESK_PROP_PROGRESS);
  }
  if (self->busy != !!busy) {
    self->busy = !!busy;
    lw_desk_notify (self, LW_DESK_PROP_BUSY);
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
  case LW_DESK_PROP_DOCUMENT: g_value_set_object (value, self->document); break;
  case LW_DESK_PROP_SIDE: g_value_set_int (value, self->side); break;
  case LW_DESK_PROP_MOMENT: g_value_set_double (value, self->moment_s); break;
  case LW_DESK_PROP_SELECTED_PART: g_value_set_int (value, self->selected_part); break;
  case LW_DESK_PROP_SELECTED_STAGE: g_value_set_int (value, self->selected_stage); break;
  case LW_DESK_PROP_SELECTION: g_value_set_int (value, self->selection); break;
  case LW_DESK_PROP_BUSY: g_value_set_boolean (value, self->busy); break;
  case LW_DESK_PROP_PROGRESS: g_value_set_double (value, self->progress); break;
  case LW_DESK_PROP_STALE: g_value_set_boolean (value, self->stale); break;
  case LW_DESK_PROP_DRAGGING: g_value_set_boolean (value, self->dragging); break;
  case LW_DESK_PROP_FAILURE: g_value_set_string (value, self->failure); break;
  case LW_DESK_PROP_SHOW_FIELD:
  case LW_DESK_PROP_SHOW_ISOTHERMS:
  case LW_DESK_PROP_SHOW_NAMES:
  case LW_DESK_PROP_SHOW_COPPER:
  case LW_DESK_PROP_SHOW_OTHER_SIDE:
    g_value_set_boolean (value, self->shows[id - LW_DESK_PROP_SHOW_FIELD]);
    break;
  default: G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
  }
}

static void
set_shows (LwDesk *self, guint id, gboolean value)
{
  if (self->shows[id - LW_DESK_PROP_SHOW_FIELD] == value)
    return;
  self->shows[id - LW_DESK_PROP_SHOW_FIELD] = value;
  lw_desk_notify (self, id);
}

static void
lw_desk_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  LwDesk *self = LW_DESK (object);

  switch (id) {
  case LW_DESK_PROP_DOCUMENT: lw_desk_set_document (self, g_value_get_object (value)); break;
  case LW_DESK_PROP_SIDE: lw_desk_set_side (self, g_value_get_int (value)); break;
  case LW_DESK_PROP_MOMENT: lw_desk_set_moment (self, g_value_get_double (value)); break;
  case LW_DESK_PROP_SELECTED_PART: lw_desk_select_part (self, g_value_get_int (value)); break;
  case LW_DESK_PROP_SELECTED_STAGE: lw_desk_select_stage (self, g_value_get_int (value)); break;
  case LW_DESK_PROP_SHOW_FIELD:
  case LW_DESK_PROP_SHOW_ISOTHERMS:
  case LW_DESK_PROP_SHOW_NAMES:
  case LW_DESK_PROP_SHOW_COPPER:
  case LW_DESK_PROP_SHOW_OTHER_SIDE:
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

  props[LW_DESK_PROP_DOCUMENT] = g_param_spec_object ("document", NULL, NULL, LW_TYPE_DOCUMENT, rw);
  props[LW_DESK_PROP_SIDE] = g_param_spec_int ("side", NULL, NULL, LW_SIDE_TOP, LW_SIDE_BOTTOM, LW_SIDE_TOP, rw);
  props[LW_DESK_PROP_MOMENT] = g_param_spec_double ("moment", NULL, NULL, 0, G_MAXDOUBLE, 0, rw);
  props[LW_DESK_PROP_SELECTED_PART] = g_param_spec_int ("selected-part", NULL, NULL, -1, G_MAXINT, -1, rw);
  props[LW_DESK_PROP_SELECTED_STAGE] = g_param_spec_int ("selected-stage", NULL, NULL, -1, G_MAXINT, -1, rw);
  props[LW_DESK_PROP_SELECTION]
    = g_param_spec_int ("selection", NULL, NULL, LW_THING_BOARD, LW_THING_THERMOCOUPLE, LW_THING_BOARD, ro);
  props[LW_DESK_PROP_BUSY] = g_param_spec_boolean ("busy", NULL, NULL, FALSE, ro);
  props[LW_DESK_PROP_PROGRESS] = g_param_spec_double ("progress", NULL, NULL, 0, 1, 0, ro);
  props[LW_DESK_PROP_STALE] = g_param_spec_boolean ("stale", NULL, NULL, FALSE, ro);
  props[LW_DESK_PROP_DRAGGING] = g_param_spec_boolean ("dragging", NULL, NULL, FALSE, ro);
  props[LW_DESK_PROP_FAILURE] = g_param_spec_string ("failure", NULL, NULL, NULL, ro);
  props[LW_DESK_PROP_SHOW_FIELD] = g_param_spec_boolean ("show-field", NULL, NULL, TRUE, rw);
  props[LW_DESK_PROP_SHOW_ISOTHERMS] = g_param_spec_boolean ("show-isotherms", NULL, NULL, TRUE, rw);
  props[LW_DESK_PROP_SHOW_NAMES] = g_param_spec_boolean ("show-names", NULL, NULL, TRUE, rw);
  props[LW_DESK_PROP_SHOW_COPPER] = g_param_spec_boolean ("show-copper", NULL, NULL, TRUE, rw);
  props[LW_DESK_PROP_SHOW_OTHER_SIDE] = g_param_spec_boolean ("show-other-side", NULL, NULL, FALSE, rw);
  g_object_class_install_properties (class, LW_DESK_N_PROPS, props);
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

  signals[LW_DESK_JOB_CHANGED] = g_signal_new ("job-changed", G_TYPE_FROM_CLASS (class), G_SIGNAL_RUN_LAST, 0, NULL,
                                       NULL, NULL, G_TYPE_NONE, 0);
  signals[LW_DESK_ANSWER_CHANGED] = g_signal_new ("answer-changed", G_TYPE_FROM_CLASS (class), G_SIGNAL_RUN_LAST, 0,
                                          NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[LW_DESK_GROUP_CHANGED] = g_signal_new ("group-changed", G_TYPE_FROM_CLASS (class), G_SIGNAL_RUN_LAST, 0, NULL,
                                         NULL, NULL, G_TYPE_NONE, 0);
  signals[LW_DESK_PROPOSED_CHANGED] = g_signal_new ("proposed-changed", G_TYPE_FROM_CLASS (class), G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                            G_TYPE_NONE, 0);
  signals[LW_DESK_RUN_CHANGED] = g_signal_new ("run-changed", G_TYPE_FROM_CLASS (class), G_SIGNAL_RUN_LAST, 0, NULL,
                                         NULL, NULL, G_TYPE_NONE, 0);
  signals[LW_DESK_MESSAGE] = g_signal_new ("message", G_TYPE_FROM_CLASS (class), G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                                   NULL, G_TYPE_NONE, 2, G_TYPE_STRING, G_TYPE_BOOLEAN);
}

/* The same job and the same answer, in other units. */
static void
tell_anew (LwDesk *self)
{
  lw_desk_emit (self, LW_DESK_JOB_CHANGED);
  lw_desk_emit (self, LW_DESK_ANSWER_CHANGED);
}

static void
lw_desk_init (LwDesk *self)
{
  self->selected_part = self->selected_stage = self->selected_other = -1;
  for (guint i = 0; i < G_N_ELEMENTS (self->shows); i++)
    self->shows[i] = g_value_get_boolean (g_param_spec_get_default_value (props[LW_DESK_PROP_SHOW_FIELD + i]));
  lw_desk_group_init (&self->group);
  self->sketch = lw_sketch_new ();
  g_signal_connect_object (lw_shown_units_signal (), "changed", G_CALLBACK (tell_anew), self, G_CONNECT_SWAPPED);
}
