#include "widgets/run-state.h"

#include <math.h>

#include <glib/gi18n.h>

#include "widgets/spoken.h"
#include "widgets/template.h"
#include "widgets/text-scale.h"
#include "widgets/words.h"

struct _LwRunState {
  GtkWidget parent_instance;

  GtkLabel *label;
  GtkProgressBar *bar;
  GtkStack *stack;

  LwDesk *desk;
  GSignalGroup *desk_signals;
  guint64 told; /* revision whose full answer was said to be there, and one; 0 = none */
  char *told_failure;
};

G_DEFINE_FINAL_TYPE (LwRunState, lw_run_state, GTK_TYPE_WIDGET)

enum { PROP_0, PROP_DESK, N_PROPS };
static GParamSpec *props[N_PROPS];

static guint64
edits_since (LwRunState *self)
{
  return lw_document_revision (lw_desk_document (self->desk)) - lw_desk_answer_revision (self->desk);
}

/* While a hand moves: how many of its edits the answer has not seen. Told in steps, so that the words can be read; at
 * a hundred motions a second one or two are no matter. */
static char *
lag_text (const LwPrediction *answer, guint64 edits)
{
  guint step = edits < 10 ? 5 : 10;

  if (answer->rough && edits < 5)
    /* Translators: the temperatures shown follow the pointer and are coarse; how many edits ago they were right. */
    return g_strdup_printf (ngettext ("Rough, %u edit old", "Rough, %u edits old", (gulong) edits), (guint) edits);
  if (edits < 5)
    /* Translators: a quick answer; how many edits ago it was right. */
    return g_strdup_printf (ngettext ("Quick, %u edit old", "Quick, %u edits old", (gulong) edits), (guint) edits);
  /* Translators: temperatures that follow the pointer were right so many edits ago, or more. */
  return g_strdup_printf (_("%u or more edits old"), (guint) (edits / step) * step);
}

/* Which of the three answers is looked at. How far the quick one was off, the tooltip says: beside the answer it would be
 * taken for the answer's own accuracy. */
static char *
answer_text (LwRunState *self)
{
  const LwPrediction *answer = lw_desk_prediction (self->desk);
  int percent = (int) (lw_desk_progress (self->desk) * 100);
  guint64 edits = edits_since (self);

  if (edits > 1)
    return lag_text (answer, edits);
  if (answer->full && lw_desk_busy (self->desk))
    /* Translators: the answer is there; how uncertain it is, is being computed. */
    return g_strdup_printf (_("Doubt %d %%"), percent);
  if (answer->full)
    /* Translators: the temperatures shown are those of the full solution, no longer a quick answer's. Neither a measurement
     * nor an accuracy: what only thermocouples confirm is not called confirmed. */
    return g_strdup (_("Full answer"));
  if (answer->rough)
    /* Translators: the temperatures shown follow the pointer and are coarse. */
    return g_strdup (_("Rough, moving"));
  if (lw_desk_busy (self->desk))
    /* Translators: the temperatures shown are a quick answer; the full solution is being computed. */
    return g_strdup_printf (_("Quick, %d %%"), percent);
  return g_strdup (_("Quick answer"));
}

static char *
state_text (LwRunState *self)
{
  gboolean answered = lw_desk_prediction (self->desk) != NULL && !lw_desk_stale (self->desk);

  if (lw_desk_job (self->desk) == NULL)
    return g_strdup ("");
  if (lw_desk_busy (self->desk) && !answered)
    /* Translators: share of a computation that is done. */
    return g_strdup_printf (_("Computing %d %%"), (int) (lw_desk_progress (self->desk) * 100));
  if (lw_desk_failure (self->desk) != NULL)
    return g_strdup (_("Not computed"));
  if (lw_desk_plan (self->desk) < 0)
    return g_strdup (_("No target yet"));
  if (answered)
    return answer_text (self);
  return g_strdup (lw_desk_stale (self->desk) ? _("Out of date") : _("Not computed"));
}

static void
set_class (LwRunState *self, const char *name, gboolean on)
{
  if (on)
    gtk_widget_add_css_class (GTK_WIDGET (self), name);
  else
    gtk_widget_remove_css_class (GTK_WIDGET (self), name);
}

static char *
about_full (const LwPrediction *answer)
{
  g_autofree char *cost = g_strdup_printf (_("%u nodes, %u steps, %.1f s"), answer->n_nodes, answer->n_steps,
                                           answer->seconds);

  if (isnan (answer->apart_k))
    return g_strdup_printf (_("The full solution: %s"), cost);
  return g_strdup_printf (_("The full solution: %s\nThe quick answer before it was off by %.2f K at most, at %s, over "
                            "all joints and bodies and the whole time."),
                          cost, answer->apart_k, answer->apart_ref != NULL ? answer->apart_ref : "?");
}

static char *
tooltip (LwRunState *self)
{
  const LwPrediction *answer = lw_desk_prediction (self->desk);

  if (lw_desk_failure (self->desk) != NULL)
    return g_strdup (lw_desk_failure (self->desk));
  if (lw_desk_stale (self->desk))
    return g_strdup (_("The temperatures shown are for an earlier version of the job."));
  if (answer == NULL)
    return NULL;
  if (answer->full)
    return about_full (answer);
  return g_strdup_printf (answer->rough
                            ? _("A reduced model on a coarse mesh, so that the figures follow the hand (%u nodes, %.0f "
                                "ms). A finer one answers when you let go.")
                            : _("A reduced model (%u nodes, %.0f ms). The full solution confirms it when nothing has "
                                "changed for a moment."),
                          answer->n_nodes, 1e3 * answer->seconds);
}

static gboolean
is_quick (LwRunState *self)
{
  const LwPrediction *answer = lw_desk_prediction (self->desk);

  return answer != NULL && !answer->full && !lw_desk_stale (self->desk);
}

/* That a computation has come to its end, and how; not each step on its way. */
static void
tell_end (LwRunState *self)
{
  const LwPrediction *answer = lw_desk_prediction (self->desk);
  const char *failure = lw_desk_failure (self->desk);
  g_autofree char *text = NULL;

  if (failure != NULL && g_strcmp0 (failure, self->told_failure) != 0)
    text = g_strdup_printf ("%s: %s", _("Not computed"), failure);
  else if (failure == NULL && answer != NULL && answer->full && lw_desk_answer_revision (self->desk) + 1 != self->told && !lw_desk_busy (self->desk)
           && !lw_desk_stale (self->desk)) {
    g_autofree char *counts = lw_findings_counts (lw_desk_findings (self->desk));

    text = g_strdup_printf ("%s: %s", gtk_label_get_text (self->label), counts);
    self->told = lw_desk_answer_revision (self->desk) + 1;
  }
  g_free (self->told_failure);
  self->told_failure = g_strdup (failure);
  if (text != NULL)
    lw_spoken_tell (GTK_WIDGET (self), text);
}

static void
refresh (LwRunState *self)
{
  gboolean busy = lw_desk_busy (self->desk);
  g_autofree char *text = state_text (self), *tip = tooltip (self);

  gtk_label_set_text (self->label, text);
  lw_widget_set_tooltip (GTK_WIDGET (self), tip != NULL ? tip : text); /* which large text cuts short */
  gtk_progress_bar_set_fraction (self->bar, busy ? lw_desk_progress (self->desk) : 0);
  gtk_widget_set_visible (GTK_WIDGET (self->bar), busy);
  gtk_stack_set_visible_child_name (self->stack, busy ? "cancel" : "again");
  set_class (self, "failure", lw_desk_failure (self->desk) != NULL);
  set_class (self, "stale", lw_desk_stale (self->desk));
  set_class (self, "quick", is_quick (self));
  tell_end (self);
}

void
lw_run_state_set_desk (LwRunState *self, LwDesk *desk)
{
  g_return_if_fail (LW_IS_RUN_STATE (self));

  if (!g_set_object (&self->desk, desk))
    return;
  g_signal_group_set_target (self->desk_signals, desk);
  if (desk != NULL)
    refresh (self);
  g_object_notify_by_pspec (G_OBJECT (self), props[PROP_DESK]);
}

const char *
lw_run_state_text (LwRunState *self)
{
  g_return_val_if_fail (LW_IS_RUN_STATE (self), NULL);
  return gtk_label_get_text (self->label);
}

static void
lw_run_state_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  g_value_set_object (value, LW_RUN_STATE (object)->desk);
}

static void
lw_run_state_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  lw_run_state_set_desk (LW_RUN_STATE (object), g_value_get_object (value));
}

static void
lw_run_state_dispose (GObject *object)
{
  LwRunState *self = LW_RUN_STATE (object);

  g_clear_object (&self->desk_signals);
  g_clear_object (&self->desk);
  g_clear_pointer (&self->told_failure, g_free);
  lw_template_dispose (GTK_WIDGET (self), LW_TYPE_RUN_STATE);
  G_OBJECT_CLASS (lw_run_state_parent_class)->dispose (object);
}

static void
lw_run_state_class_init (LwRunStateClass *class)
{
  GObjectClass *object_class = G_OBJECT_CLASS (class);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  object_class->dispose = lw_run_state_dispose;
  object_class->get_property = lw_run_state_get_property;
  object_class->set_property = lw_run_state_set_property;
  props[PROP_DESK] = g_param_spec_object ("desk", NULL, NULL, LW_TYPE_DESK,
                                          G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, props);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "runstate");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_STATUS);
  gtk_widget_class_set_template_from_resource (widget_class, "/org/leeward/Leeward/ui/run-state.ui");
  gtk_widget_class_bind_template_child (widget_class, LwRunState, label);
  gtk_widget_class_bind_template_child (widget_class, LwRunState, bar);
  gtk_widget_class_bind_template_child (widget_class, LwRunState, stack);
}

static void
lw_run_state_init (LwRunState *self)
{
  static const char *watched[] = { "notify::busy", "notify::progress", "notify::stale", "notify::failure",
                                   "job-changed", "answer-changed" };

  gtk_widget_init_template (GTK_WIDGET (self));
  lw_label_keep_width (self->label, 15);
  self->desk_signals = g_signal_group_new (LW_TYPE_DESK);
  for (guint i = 0; i < G_N_ELEMENTS (watched); i++)
    g_signal_group_connect_swapped (self->desk_signals, watched[i], G_CALLBACK (refresh), self);
}
