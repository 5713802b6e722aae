#include "app/fit-window.h"

#include <glib/gi18n.h>
#include <math.h>

#include "app/fit-outcome.h"
#include "app/fit-print.h"
#include "app/loose-parent.h"
#include "board/edits-history.h"
#include "board/edits.h"
#include "plan/fit.h"

/* As many places for thermocouples are named. */
#define NEXT 3

struct _LwFitWindow {
  GtkWindow parent_instance;

  GtkStack *stack;
  GtkBox *runs;
  GtkFlowBox *figures;
  GtkLabel *no_runs, *problem;
  GtkScrolledWindow *scroller;
  GtkProgressBar *bar;
  GtkButton *start, *discard, *print, *keep;
  LwFitOutcome *outcome;

  LwDesk *desk;
  GSignalGroup *desk_signals;
  char *ref;                 /* part of the plan it is for */
  GHashTable *ticked;        /* names of runs */
  GtkCheckButton *free[LW_N_FIT];
  GCancellable *cancellable; /* of the fit in flight */
  GPtrArray *used;           /* names of the runs it is made of */
  LwFitAnswer *fit;
  LwSuggestions *suggestions;
  char *kept;                /* name of the document's fit that came of it */
  gboolean filling;
};

G_DEFINE_FINAL_TYPE (LwFitWindow, lw_fit_window, GTK_TYPE_WINDOW)

static int
plan_of (LwFitWindow *self)
{
  LwJob *job = lw_desk_job (self->desk);

  return job != NULL ? lw_job_find_plan (job, self->ref) : -1;
}

/* ---- what is asked ---- */

static gboolean
has_couples (const LwRun *run)
{
  for (guint i = 0; i < run->columns->len; i++)
    if (*((const LwRunColumn *) g_ptr_array_index (run->columns, i))->thermocouple != '\0')
      return TRUE;
  return FALSE;
}

static guint
n_ticked (LwFitWindow *self)
{
  return g_hash_table_size (self->ticked);
}

static gboolean
is_kept (LwFitWindow *self)
{
  LwJob *job = lw_desk_job (self->desk);

  for (guint i = 0; self->kept != NULL && job != NULL && i < job->fits->len; i++)
    if (g_str_equal (((const LwFit *) g_ptr_array_index (job->fits, i))->name, self->kept))
      return TRUE;
  return FALSE;
}

static gboolean
may_keep (LwFitWindow *self)
{
  for (guint i = 0; self->fit != NULL && i < self->fit->remarks->len; i++)
    if (((const LwFitRemark *) g_ptr_array_index (self->fit->remarks, i))->kind != LW_FIT_STRANGE)
      return FALSE;
  return self->fit != NULL;
}

static void
refresh (LwFitWindow *self)
{
  gboolean busy = self->cancellable != NULL, found = self->fit != NULL && !busy, kept = is_kept (self);

  gtk_stack_set_visible_child_name (self->stack, found ? "outcome" : "question");
  gtk_widget_set_sensitive (GTK_WIDGET (self->runs), !busy);
  gtk_widget_set_sensitive (GTK_WIDGET (self->figures), !busy);
  gtk_widget_set_visible (GTK_WIDGET (self->start), !found);
  gtk_button_set_label (self->start, busy ? _("_Cancel") : _("_Fit"));
  gtk_button_set_use_underline (self->start, TRUE);
  if (busy)
    gtk_widget_remove_css_class (GTK_WIDGET (self->start), "suggested-action");
  else
    gtk_widget_add_css_class (GTK_WIDGET (self->start), "suggested-action");
  gtk_widget_set_sensitive (GTK_WIDGET (self->start), busy || n_ticked (self) > 0);
  gtk_widget_set_opacity (GTK_WIDGET (self->bar), busy ? 1 : 0);
  gtk_widget_set_visible (GTK_WIDGET (self->discard), found);
  gtk_button_set_label (self->discard, kept ? _("_Fit Again") : _("D_iscard"));
  gtk_button_set_use_underline (self->discard, TRUE);
  gtk_widget_set_visible (GTK_WIDGET (self->print), found);
  gtk_widget_set_visible (GTK_WIDGET (self->keep), found);
  gtk_widget_set_sensitive (GTK_WIDGET (self->keep), found && !kept && may_keep (self));
  gtk_button_set_label (self->keep, kept ? _("Kept") : _("_Keep"));
  gtk_button_set_use_underline (self->keep, TRUE);
  gtk_widget_set_tooltip_text (GTK_WIDGET (self->keep), found && !kept && !may_keep (self)
                                                            ? _("Not while names, clock or the whole run look wrong")
                                                            : _("From now on predictions rest on these figures"));
}

static void
tick_cb (LwFitWindow *self, GParamSpec *pspec, GtkCheckButton *button)
{
  const char *name = g_object_get_data (G_OBJECT (button), "run");

  if (self->filling)
    return;
  if (gtk_check_button_get_active (button))
    g_hash_table_add (self->ticked, g_strdup (name));
  else
    g_hash_table_remove (self->ticked, name);
  refresh (self);
}

static void
add_run (LwFitWindow *self, const LwRun *run)
{
  g_autofree char *label = has_couples (run) ? g_strdup (run->name)
                                             : g_strdup_printf (_("%s (none of its columns belongs to a thermocouple)"), run->name);
  GtkWidget *button = gtk_check_button_new_with_label (label);

  gtk_widget_set_sensitive (button, has_couples (run));
  gtk_check_button_set_active (GTK_CHECK_BUTTON (button), has_couples (run) && g_hash_table_contains (self->ticked, run->name));
  g_object_set_data_full (G_OBJECT (button), "run", g_strdup (run->name), g_free);
  g_signal_connect_swapped (button, "notify::active", G_CALLBACK (tick_cb), self);
  gtk_box_append (self->runs, button);
}

/* Runs that are there no more are not ticked either. */
static void
fill_runs (LwFitWindow *self)
{
  LwJob *job = lw_desk_job (self->desk);
  GHashTable *left = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  GtkWidget *child;
  guint n = 0;

  self->filling = TRUE;
  while ((child = gtk_widget_get_first_child (GTK_WIDGET (self->runs))) != NULL)
    gtk_box_remove (self->runs, child);
  for (guint i = 0; job != NULL && i < job->runs->len; i++) {
    const LwRun *run = g_ptr_array_index (job->runs, i);

    if (!g_str_equal (run->ref, self->ref))
      continue;
    add_run (self, run);
    n++;
    if (has_couples (run) && g_hash_table_contains (self->ticked, run->name))
      g_hash_table_add (left, g_strdup (run->name));
  }
  g_hash_table_unref (self->ticked);
  self->ticked = left;
  gtk_widget_set_visible (GTK_WIDGET (self->no_runs), n == 0);
  self->filling = FALSE;
}

static void
fill_figures (LwFitWindow *self)
{
  gboolean has[LW_N_FIT] = { FALSE };

  if (plan_of (self) >= 0)
    lw_fit_has (lw_desk_job (self->desk), (guint) plan_of (self), has);
  for (guint i = 0; i < LW_N_FIT; i++) {
    GtkWidget *button = gtk_check_button_new_with_label (lw_fit_figure_name (i));

    self->free[i] = GTK_CHECK_BUTTON (button);
    gtk_check_button_set_active (self->free[i], has[i]);
    gtk_widget_set_sensitive (button, has[i]);
    if (!has[i])
      gtk_widget_set_tooltip_text (button, _("This job does not have it, or it is known"));
    gtk_flow_box_append (self->figures, button);
    gtk_widget_set_focusable (gtk_widget_get_parent (button), FALSE);
  }
}

/* ---- the fit ---- */

static void
show_problem (LwFitWindow *self, const char *text)
{
  gtk_label_set_text (self->problem, text != NULL ? text : "");
  gtk_widget_set_visible (GTK_WIDGET (self->problem), text != NULL);
}

static void
drop (LwFitWindow *self)
{
  lw_desk_propose (self->desk, NULL);
  lw_fit_outcome_show (self->outcome, NULL, NULL);
  g_clear_pointer (&self->suggestions, lw_suggestions_free);
  g_clear_pointer (&self->fit, lw_fit_answer_free);
  g_clear_pointer (&self->kept, g_free);
}

static void
progress_cb (double done, gpointer user)
{
  gtk_progress_bar_set_fraction (LW_FIT_WINDOW (user)->bar, done);
}

static void
fitted_cb (GObject *source, GAsyncResult *result, gpointer user)
{
  g_autoptr (LwFitWindow) self = user;
  g_autoptr (GError) error = NULL;
  LwFitAnswer *fit = lw_fit_job_runs_finish (result, &error);

  g_clear_object (&self->cancellable);
  if (self->desk == NULL) { /* closed meanwhile */
    lw_fit_answer_free (fit);
    return;
  }
  if (fit != NULL) {
    self->fit = fit;
    self->suggestions = lw_fit_suggest (fit->senses, NEXT);
    lw_fit_outcome_show (self->outcome, fit, self->suggestions);
    gtk_adjustment_set_value (gtk_scrolled_window_get_vadjustment (self->scroller), 0);
  } else if (!g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
    show_problem (self, error->message);
  refresh (self);
  gtk_widget_grab_focus (GTK_WIDGET (fit == NULL ? self->start : gtk_widget_is_sensitive (GTK_WIDGET (self->keep)) ? self->keep : self->discard));
}

/* Indices of the runs USED names; NULL with what is missing when one is not there any more. */
static GArray *
find_runs (LwFitWindow *self, const char **missing)
{
  g_autoptr (GArray) out = g_array_new (FALSE, FALSE, sizeof (guint));

  for (guint i = 0; i < self->used->len; i++) {
    int run = lw_job_find_run (lw_desk_job (self->desk), g_ptr_array_index (self->used, i));
    if (run < 0) {
      *missing = g_ptr_array_index (self->used, i);
      return NULL;
    }
    g_array_append_vals (out, &(guint){ (guint) run }, 1);
  }
  return g_steal_pointer (&out);
}

static void
take_names (LwFitWindow *self)
{
  LwJob *job = lw_desk_job (self->desk);

  g_ptr_array_set_size (self->used, 0);
  for (guint i = 0; i < job->runs->len; i++) {
    const LwRun *run = g_ptr_array_index (job->runs, i);
    if (g_str_equal (run->ref, self->ref) && g_hash_table_contains (self->ticked, run->name))
      g_ptr_array_add (self->used, g_strdup (run->name));
  }
}

static void
start (LwFitWindow *self)
{
  const char *missing = NULL;
  LwFitOptions options = { 0 };
  g_autoptr (GArray) runs = NULL;

  take_names (self);
  runs = find_runs (self, &missing);
  if (runs == NULL || runs->len == 0)
    return;
  for (guint i = 0; i < LW_N_FIT; i++)
    options.hold[i] = !gtk_check_button_get_active (self->free[i]);
  drop (self);
  show_problem (self, NULL);
  gtk_progress_bar_set_fraction (self->bar, 0);
  self->cancellable = g_cancellable_new ();
  lw_fit_job_runs_async (lw_desk_job (self->desk), (const guint *) (gpointer) runs->data, runs->len, &options, self->cancellable,
                         progress_cb, self, fitted_cb, g_object_ref (self));
  refresh (self);
}

static void
on_start (LwFitWindow *self)
{
  if (self->cancellable != NULL)
    g_cancellable_cancel (self->cancellable);
  else if (lw_desk_job (self->desk) != NULL)
    start (self);
}

static void
on_discard (LwFitWindow *self)
{
  drop (self);
  refresh (self);
  gtk_widget_grab_focus (GTK_WIDGET (self->start));
}

static void
on_print (LwFitWindow *self)
{
  if (self->fit != NULL)
    lw_fit_print (GTK_WINDOW (self), self->fit, self->suggestions, GTK_PRINT_OPERATION_ACTION_PRINT_DIALOG, NULL);
}

static void
on_keep (LwFitWindow *self)
{
  const char *missing = NULL;
  GError *error = NULL;
  g_autoptr (GArray) runs = find_runs (self, &missing);

  if (runs == NULL) {
    g_autofree char *text = g_strdup_printf (_("The run “%s” is not in the document any more: fit again"), missing);
    lw_desk_tell (self->desk, text, FALSE);
    return;
  }
  LwJob *job = lw_fit_keep (self->fit, lw_desk_job (self->desk), (const guint *) (gpointer) runs->data, runs->len, &error);
  g_autofree char *name = job != NULL ? g_strdup (((const LwFit *) g_ptr_array_index (job->fits, job->fits->len - 1))->name) : NULL;
  if (lw_desk_edit (self->desk, job, _("Keep Fit"), NULL, error)) {
    g_free (self->kept);
    self->kept = g_steal_pointer (&name);
    lw_desk_tell (self->desk, _("The fitted figures were kept; predictions rest on them from now on"), TRUE);
  }
  refresh (self);
}

/* ---- what the outcome asks for ---- */

static int
column_named (const LwRun *run, const char *thermocouple)
{
  for (guint i = 0; i < run->columns->len; i++)
    if (g_str_equal (((const LwRunColumn *) g_ptr_array_index (run->columns, i))->thermocouple, thermocouple))
      return (int) i;
  return -1;
}

static const char *
channel_name (LwFitWindow *self, int channel)
{
  return ((const LwFitChannel *) g_ptr_array_index (self->fit->channels, channel))->name;
}

/* The shift that brings a run where the fit would have it. */
static LwJob *
moved (LwFitWindow *self, guint run, const LwFitRemark *remark, GError **error)
{
  LwJob *job = lw_desk_job (self->desk);
  g_autofree char *path = g_strdup_printf ("runs[%u].shift_s", run);
  double now = ((const LwRun *) g_ptr_array_index (job->runs, run))->shift_s;
  const LwComparison *comparison = lw_desk_comparison (self->desk);

  if (isnan (now))
    now = remark->run < self->fit->aligned_s->len ? g_array_index (self->fit->aligned_s, double, remark->run)
          : comparison != NULL                    ? comparison->shift_s
                                                  : 0;
  return lw_edit_number (job, path, round (10 * (now - remark->shift_s)) / 10, error);
}

static void
mend_cb (LwFitOutcome *outcome, guint index, LwFitWindow *self)
{
  const LwFitRemark *remark = g_ptr_array_index (self->fit->remarks, index);
  const char *missing = NULL;
  GError *error = NULL;
  g_autoptr (GArray) runs = find_runs (self, &missing);
  LwJob *job;
  gboolean swap = remark->kind == LW_FIT_SWAPPED;

  if (runs == NULL || remark->run >= runs->len)
    return;
  guint run = g_array_index (runs, guint, remark->run);
  if (swap) {
    int column = column_named (g_ptr_array_index (lw_desk_job (self->desk)->runs, run), channel_name (self, remark->a));
    if (column < 0)
      return;
    job = lw_edit_map_run (lw_desk_job (self->desk), run, (guint) column, channel_name (self, remark->b), &error);
  } else
    job = moved (self, run, remark, &error);
  if (lw_desk_edit (self->desk, job, swap ? _("Map Column") : _("Align Run"), NULL, error))
    start (self);
}

static void
chosen_cb (LwFitOutcome *outcome, LwThermocouple *couple, LwFitWindow *self)
{
  if (couple != NULL)
    lw_desk_set_side (self->desk, couple->side);
  lw_desk_propose (self->desk, couple);
}

static void
add_cb (LwFitOutcome *outcome, LwThermocouple *couple, LwFitWindow *self)
{
  GError *error = NULL;
  int plan = plan_of (self);

  if (plan < 0)
    return;
  if (lw_desk_edit (self->desk,
                    lw_edit_add_thermocouple (lw_desk_job (self->desk), (guint) plan, couple->ref, couple->x_mm, couple->y_mm,
                                              couple->side, &error),
                    _("Add Thermocouple"), NULL, error))
    lw_desk_tell (self->desk, _("A thermocouple was added to the plan"), TRUE);
}

/* ---- life ---- */

static void
job_changed_cb (LwFitWindow *self)
{
  fill_runs (self);
  refresh (self);
}

static gboolean
lw_fit_window_close_request (GtkWindow *window)
{
  LwFitWindow *self = LW_FIT_WINDOW (window);

  if (self->cancellable != NULL)
    g_cancellable_cancel (self->cancellable);
  return GTK_WINDOW_CLASS (lw_fit_window_parent_class)->close_request (window);
}

static void
lw_fit_window_dispose (GObject *object)
{
  LwFitWindow *self = LW_FIT_WINDOW (object);

  if (self->cancellable != NULL)
    g_cancellable_cancel (self->cancellable);
  if (self->desk != NULL)
    drop (self);
  g_clear_object (&self->desk_signals);
  g_clear_object (&self->desk);
  g_clear_pointer (&self->ref, g_free);
  g_clear_pointer (&self->ticked, g_hash_table_unref);
  g_clear_pointer (&self->used, g_ptr_array_unref);
  gtk_widget_dispose_template (GTK_WIDGET (self), LW_TYPE_FIT_WINDOW);
  G_OBJECT_CLASS (lw_fit_window_parent_class)->dispose (object);
}

static void
bind_children (GtkWidgetClass *class)
{
  gtk_widget_class_bind_template_child (class, LwFitWindow, stack);
  gtk_widget_class_bind_template_child (class, LwFitWindow, runs);
  gtk_widget_class_bind_template_child (class, LwFitWindow, figures);
  gtk_widget_class_bind_template_child (class, LwFitWindow, no_runs);
  gtk_widget_class_bind_template_child (class, LwFitWindow, problem);
  gtk_widget_class_bind_template_child (class, LwFitWindow, scroller);
  gtk_widget_class_bind_template_child (class, LwFitWindow, bar);
  gtk_widget_class_bind_template_child (class, LwFitWindow, start);
  gtk_widget_class_bind_template_child (class, LwFitWindow, discard);
  gtk_widget_class_bind_template_child (class, LwFitWindow, print);
  gtk_widget_class_bind_template_child (class, LwFitWindow, keep);
  gtk_widget_class_bind_template_child (class, LwFitWindow, outcome);
}

static void
lw_fit_window_class_init (LwFitWindowClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  G_OBJECT_CLASS (class)->dispose = lw_fit_window_dispose;
  GTK_WINDOW_CLASS (class)->close_request = lw_fit_window_close_request;
  gtk_widget_class_set_template_from_resource (widget_class, "/org/leeward/Leeward/ui/fit-window.ui");
  bind_children (widget_class);
  gtk_widget_class_bind_template_callback (widget_class, on_start);
  gtk_widget_class_bind_template_callback (widget_class, on_discard);
  gtk_widget_class_bind_template_callback (widget_class, on_print);
  gtk_widget_class_bind_template_callback (widget_class, on_keep);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Escape, 0, "window.close", NULL);
}

static void
lw_fit_window_init (LwFitWindow *self)
{
  g_type_ensure (LW_TYPE_FIT_OUTCOME);
  self->ticked = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  self->used = g_ptr_array_new_with_free_func (g_free);
  gtk_widget_init_template (GTK_WIDGET (self));
  g_signal_connect (self->outcome, "mend", G_CALLBACK (mend_cb), self);
  g_signal_connect (self->outcome, "chosen", G_CALLBACK (chosen_cb), self);
  g_signal_connect (self->outcome, "add", G_CALLBACK (add_cb), self);
  self->desk_signals = g_signal_group_new (LW_TYPE_DESK);
  g_signal_group_connect_swapped (self->desk_signals, "job-changed", G_CALLBACK (job_changed_cb), self);
}

GtkWidget *
lw_fit_window_new (GtkWindow *parent, LwDesk *desk, int run)
{
  LwFitWindow *self = g_object_new (LW_TYPE_FIT_WINDOW, "transient-for", parent, NULL);
  LwJob *job = lw_desk_job (desk);
  int plan = lw_desk_plan (desk);

  lw_hold_parent_loosely (GTK_WINDOW (self), parent, &self->cancellable);
  self->desk = g_object_ref (desk);
  self->ref = g_strdup (plan >= 0 ? ((const LwPlan *) g_ptr_array_index (job->plans, plan))->ref : "");
  if (run >= 0 && (guint) run < job->runs->len)
    g_hash_table_add (self->ticked, g_strdup (((const LwRun *) g_ptr_array_index (job->runs, run))->name));
  fill_figures (self);
  fill_runs (self);
  g_signal_group_set_target (self->desk_signals, desk);
  refresh (self);
  return GTK_WIDGET (self);
}
