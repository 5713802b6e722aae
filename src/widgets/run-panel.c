#include "widgets/run-panel.h"

#include <math.h>
#include <string.h>

#include <glib/gi18n.h>

#include "board/edits-history.h"
#include "board/edits.h"
#include "widgets/run-figures.h"
#include "widgets/run-view.h"
#include "widgets/template.h"

struct _LwRunPanel {
  GtkWidget parent_instance;

  GtkStack *stack;
  GtkLabel *empty_reason;
  GtkDropDown *choice;
  GtkMenuButton *details;
  GtkEntry *name, *date, *operator_entry, *lot;
  GtkLabel *source, *notes;
  GtkSpinButton *shift;
  GtkButton *by_ramp;
  LwRunView *view;
  LwRunFigures *figures;

  LwDesk *desk;
  GSignalGroup *desk_signals;
  GArray *runs;      /* int: indices in the job of those that are listed */
  char *chosen;      /* name of the run; NULL = none */
  LwPrediction *read_from; /* what SHOULD was made of */
  const LwPlan *read_plan;
  LwBenchReadings *should;
  gboolean filling;
};

G_DEFINE_FINAL_TYPE (LwRunPanel, lw_run_panel, GTK_TYPE_WIDGET)

static guint import_signal;

static const LwPlan *
plan_of (LwRunPanel *self)
{
  LwJob *job = self->desk != NULL ? lw_desk_job (self->desk) : NULL;
  int plan = job != NULL ? lw_desk_plan (self->desk) : -1;

  return plan >= 0 ? g_ptr_array_index (job->plans, plan) : NULL;
}

int
lw_run_panel_run (LwRunPanel *self)
{
  g_return_val_if_fail (LW_IS_RUN_PANEL (self), -1);
  if (self->desk == NULL || lw_desk_job (self->desk) == NULL || self->chosen == NULL)
    return -1;
  return lw_job_find_run (lw_desk_job (self->desk), self->chosen);
}

static LwRun *
run_of (LwRunPanel *self)
{
  int index = lw_run_panel_run (self);

  return index >= 0 ? g_ptr_array_index (lw_desk_job (self->desk)->runs, index) : NULL;
}

/* ---- what is shown ---- */

/* Made anew for another prediction or other thermocouples only: a drag asks for it many times a second. */
static void
update_readings (LwRunPanel *self, const LwPlan *plan)
{
  LwPrediction *prediction = lw_desk_prediction (self->desk);

  if (prediction != NULL && prediction == self->read_from && plan == self->read_plan)
    return;
  g_clear_pointer (&self->should, lw_bench_readings_free);
  g_clear_pointer (&self->read_from, lw_prediction_unref);
  self->read_plan = plan;
  if (prediction == NULL || plan == NULL)
    return;
  self->read_from = lw_prediction_ref (prediction);
  self->should = lw_run_readings (lw_desk_job (self->desk), plan, prediction);
}

static void
compare (LwRunPanel *self)
{
  const LwPlan *plan = plan_of (self);
  LwRun *run = run_of (self);
  LwComparison *comparison = NULL;

  if (run != NULL && plan != NULL)
    {
      update_readings (self, plan);
      comparison = lw_run_compare (lw_desk_job (self->desk), (guint) lw_desk_plan (self->desk), self->should, run);
    }
  lw_run_view_show (self->view, comparison, self->should);
  lw_run_figures_show (self->figures, plan, comparison);
  self->filling = TRUE;
  gtk_spin_button_set_value (self->shift, comparison != NULL ? comparison->shift_s : 0);
  gtk_widget_set_sensitive (GTK_WIDGET (self->by_ramp), comparison != NULL && comparison->by_hand);
  self->filling = FALSE;
  lw_desk_take_comparison (self->desk, comparison);
}

static void
show_details (LwRunPanel *self)
{
  const LwRun *run = run_of (self);
  g_autofree char *source = run != NULL ? g_strdup_printf (_ ("%s, %u moments"), run->file[0] != '\0' ? run->file : _ ("no file"), run->t_s->len)
                                        : g_strdup ("");

  self->filling = TRUE;
  gtk_editable_set_text (GTK_EDITABLE (self->name), run != NULL ? run->name : "");
  gtk_editable_set_text (GTK_EDITABLE (self->date), run != NULL ? run->date : "");
  gtk_editable_set_text (GTK_EDITABLE (self->operator_entry), run != NULL ? run->operator_name : "");
  gtk_editable_set_text (GTK_EDITABLE (self->lot), run != NULL ? run->lot : "");
  gtk_label_set_text (self->source, source);
  gtk_label_set_text (self->notes, run == NULL ? "" : run->notes[0] != '\0' ? run->notes : _ ("Nothing was left out."));
  self->filling = FALSE;
}

#define NAME_LETTERS 16 /* a longer name would push the page wider than a small screen */

static char *
short_name (const char *name)
{
  g_autofree char *head = g_utf8_substring (name, 0, NAME_LETTERS - 1);

  return g_strconcat (g_strchomp (head), "…", NULL);
}

static void
fill_choice (LwRunPanel *self)
{
  LwJob *job = lw_desk_job (self->desk);
  const LwPlan *plan = plan_of (self);
  g_autoptr (GtkStringList) names = gtk_string_list_new (NULL);
  guint selected = GTK_INVALID_LIST_POSITION;

  g_array_set_size (self->runs, 0);
  for (guint i = 0; job != NULL && plan != NULL && i < job->runs->len; i++)
    {
      const LwRun *run = g_ptr_array_index (job->runs, i);
      int index = (int) i;

      if (strcmp (run->ref, plan->ref) != 0)
        continue;
      if (g_strcmp0 (self->chosen, run->name) == 0)
        selected = self->runs->len;
      g_array_append_val (self->runs, index);
      g_autofree char *shown = g_utf8_strlen (run->name, -1) > NAME_LETTERS ? short_name (run->name) : g_strdup (run->name);
      gtk_string_list_append (names, shown);
    }
  if (selected == GTK_INVALID_LIST_POSITION && self->runs->len > 0)
    {
      selected = self->runs->len - 1;
      g_free (self->chosen);
      self->chosen = g_strdup (((const LwRun *) g_ptr_array_index (job->runs, g_array_index (self->runs, int, selected)))->name);
    }
  else if (self->runs->len == 0)
    g_clear_pointer (&self->chosen, g_free);
  gtk_drop_down_set_model (self->choice, G_LIST_MODEL (names));
  gtk_drop_down_set_selected (self->choice, selected);
}

static void
refresh (LwRunPanel *self)
{
  /* While something is dragged on the board, answers are rough and come many a second. */
  if (self->desk == NULL || lw_desk_dragging (self->desk))
    return;
  self->filling = TRUE;
  fill_choice (self);
  self->filling = FALSE;
  gtk_stack_set_visible_child_name (self->stack, self->runs->len > 0 ? "runs" : "empty");
  gtk_label_set_text (self->empty_reason, plan_of (self) != NULL
                                              ? _ ("Import a logger’s table of temperatures, or drop its file here.")
                                              : _ ("Choose a part to rework first: runs belong to its plan."));
  show_details (self);
  compare (self);
}

void
lw_run_panel_choose (LwRunPanel *self, int run)
{
  LwJob *job = lw_desk_job (self->desk);

  g_return_if_fail (LW_IS_RUN_PANEL (self));
  if (job == NULL || run < 0 || (guint) run >= job->runs->len)
    return;
  g_free (self->chosen);
  self->chosen = g_strdup (((const LwRun *) g_ptr_array_index (job->runs, run))->name);
  refresh (self);
}

/* ---- edits ---- */

static void
on_choice (LwRunPanel *self)
{
  guint selected = gtk_drop_down_get_selected (self->choice);

  if (!self->filling && selected < self->runs->len)
    lw_run_panel_choose (self, g_array_index (self->runs, int, selected));
}

static void
on_import (LwRunPanel *self)
{
  g_signal_emit (self, import_signal, 0, NULL);
}

static void
on_delete (LwRunPanel *self)
{
  GError *error = NULL;
  int run = lw_run_panel_run (self);

  if (run < 0)
    return;
  gtk_menu_button_popdown (self->details);
  LwJob *job = lw_edit_remove_run (lw_desk_job (self->desk), (guint) run, &error);
  if (lw_desk_edit (self->desk, job, _ ("Delete Run"), NULL, error))
    lw_desk_tell (self->desk, _ ("The run was deleted"), TRUE);
}

static void
set_shift (LwRunPanel *self, double shift_s, const char *merge_key)
{
  GError *error = NULL;
  int run = lw_run_panel_run (self);
  g_autofree char *path = g_strdup_printf ("runs[%d].shift_s", run);

  if (run < 0)
    return;
  lw_desk_edit (self->desk, lw_edit_number (lw_desk_job (self->desk), path, shift_s, &error), _ ("Align Run"), merge_key, error);
}

static void
on_shift (LwRunPanel *self)
{
  if (!self->filling)
    set_shift (self, gtk_spin_button_get_value (self->shift), "run-shift");
}

static void
on_by_ramp (LwRunPanel *self)
{
  set_shift (self, NAN, NULL);
}

static void
shift_cb (LwRunView *view, double shift_s, gboolean done, LwRunPanel *self)
{
  set_shift (self, shift_s, "run-shift");
  if (done)
    lw_document_seal (lw_desk_document (self->desk));
}

static void
column_cb (LwRunView *view, int column, LwRunPanel *self)
{
  lw_run_view_set_column (view, column);
}

static void
mapped_cb (LwRunFigures *figures, guint column, const char *thermocouple, LwRunPanel *self)
{
  GError *error = NULL;
  int run = lw_run_panel_run (self);

  if (run >= 0)
    lw_desk_edit (self->desk, lw_edit_map_run (lw_desk_job (self->desk), (guint) run, column, thermocouple, &error), _ ("Map Column"),
                  NULL, error);
}

/* An entry of the details is handed over when it is left or Enter is pressed. */
static void
commit (LwRunPanel *self, GtkEntry *entry, const char *member, const char *label)
{
  GError *error = NULL;
  LwRun *run = run_of (self);
  const char *text = gtk_editable_get_text (GTK_EDITABLE (entry));
  g_autofree char *path = g_strdup_printf ("runs[%d].%s", lw_run_panel_run (self), member);
  const char *now = run == NULL ? "" : entry == self->name ? run->name : entry == self->date ? run->date : entry == self->lot ? run->lot
                                                                                                       : run->operator_name;

  if (self->filling || run == NULL || strcmp (text, now) == 0)
    return;
  LwJob *job = lw_edit_text (lw_desk_job (self->desk), path, text, &error);
  if (job != NULL && entry == self->name)
    {
      g_free (self->chosen);
      self->chosen = g_strdup (text);
    }
  if (!lw_desk_edit (self->desk, job, label, NULL, error))
    show_details (self);
}

static void
commit_all (LwRunPanel *self)
{
  commit (self, self->name, "name", _ ("Rename Run"));
  commit (self, self->date, "date", _ ("Date of Run"));
  commit (self, self->operator_entry, "operator", _ ("Operator of Run"));
  commit (self, self->lot, "lot", _ ("Lot of Run"));
}

static void
on_details_closed (LwRunPanel *self)
{
  commit_all (self);
}

static void
on_entry (LwRunPanel *self)
{
  commit_all (self);
}

static gboolean
drop_cb (GtkDropTarget *target, const GValue *value, double x, double y, LwRunPanel *self)
{
  GSList *files = g_value_get_boxed (value);

  if (files == NULL || plan_of (self) == NULL)
    return FALSE;
  g_signal_emit (self, import_signal, 0, files->data);
  return TRUE;
}

/* ---- life ---- */

void
lw_run_panel_set_desk (LwRunPanel *self, LwDesk *desk)
{
  g_return_if_fail (LW_IS_RUN_PANEL (self));

  if (!g_set_object (&self->desk, desk))
    return;
  g_signal_group_set_target (self->desk_signals, desk);
  lw_run_view_set_desk (self->view, desk);
  if (desk != NULL)
    refresh (self);
}

static void
lw_run_panel_dispose (GObject *object)
{
  LwRunPanel *self = LW_RUN_PANEL (object);

  g_clear_object (&self->desk_signals);
  if (self->view != NULL)
    {
      lw_run_view_show (self->view, NULL, NULL);
      lw_run_view_set_desk (self->view, NULL);
    }
  g_clear_object (&self->desk);
  g_clear_pointer (&self->should, lw_bench_readings_free);
  g_clear_pointer (&self->read_from, lw_prediction_unref);
  lw_template_dispose (GTK_WIDGET (self), LW_TYPE_RUN_PANEL);
  G_OBJECT_CLASS (lw_run_panel_parent_class)->dispose (object);
}

static void
lw_run_panel_finalize (GObject *object)
{
  g_array_unref (LW_RUN_PANEL (object)->runs);
  g_free (LW_RUN_PANEL (object)->chosen);
  G_OBJECT_CLASS (lw_run_panel_parent_class)->finalize (object);
}

static void
bind_children (GtkWidgetClass *widget_class)
{
  gtk_widget_class_bind_template_child (widget_class, LwRunPanel, stack);
  gtk_widget_class_bind_template_child (widget_class, LwRunPanel, empty_reason);
  gtk_widget_class_bind_template_child (widget_class, LwRunPanel, choice);
  gtk_widget_class_bind_template_child (widget_class, LwRunPanel, details);
  gtk_widget_class_bind_template_child (widget_class, LwRunPanel, name);
  gtk_widget_class_bind_template_child (widget_class, LwRunPanel, date);
  gtk_widget_class_bind_template_child (widget_class, LwRunPanel, operator_entry);
  gtk_widget_class_bind_template_child (widget_class, LwRunPanel, lot);
  gtk_widget_class_bind_template_child (widget_class, LwRunPanel, source);
  gtk_widget_class_bind_template_child (widget_class, LwRunPanel, notes);
  gtk_widget_class_bind_template_child (widget_class, LwRunPanel, shift);
  gtk_widget_class_bind_template_child (widget_class, LwRunPanel, by_ramp);
  gtk_widget_class_bind_template_child (widget_class, LwRunPanel, view);
  gtk_widget_class_bind_template_child (widget_class, LwRunPanel, figures);
}

static void
lw_run_panel_class_init (LwRunPanelClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  G_OBJECT_CLASS (class)->dispose = lw_run_panel_dispose;
  G_OBJECT_CLASS (class)->finalize = lw_run_panel_finalize;
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "runpanel");
  gtk_widget_class_set_template_from_resource (widget_class, "/org/leeward/Leeward/ui/run-panel.ui");
  bind_children (widget_class);
  gtk_widget_class_bind_template_callback (widget_class, on_choice);
  gtk_widget_class_bind_template_callback (widget_class, on_import);
  gtk_widget_class_bind_template_callback (widget_class, on_delete);
  gtk_widget_class_bind_template_callback (widget_class, on_shift);
  gtk_widget_class_bind_template_callback (widget_class, on_by_ramp);
  gtk_widget_class_bind_template_callback (widget_class, on_details_closed);
  gtk_widget_class_bind_template_callback (widget_class, on_entry);
  import_signal = g_signal_new ("import", LW_TYPE_RUN_PANEL, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_FILE);
}

static void
lw_run_panel_init (LwRunPanel *self)
{
  GtkDropTarget *target = gtk_drop_target_new (GDK_TYPE_FILE_LIST, GDK_ACTION_COPY);

  g_type_ensure (LW_TYPE_RUN_VIEW);
  g_type_ensure (LW_TYPE_RUN_FIGURES);
  self->runs = g_array_new (FALSE, FALSE, sizeof (int));
  self->filling = TRUE;
  gtk_widget_init_template (GTK_WIDGET (self));
  self->filling = FALSE;
  g_signal_connect (self->view, "shift", G_CALLBACK (shift_cb), self);
  g_signal_connect (self->view, "column", G_CALLBACK (column_cb), self);
  g_signal_connect (self->figures, "mapped", G_CALLBACK (mapped_cb), self);
  g_signal_connect (target, "drop", G_CALLBACK (drop_cb), self);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (target));
  self->desk_signals = g_signal_group_new (LW_TYPE_DESK);
  g_signal_group_connect_swapped (self->desk_signals, "job-changed", G_CALLBACK (refresh), self);
  g_signal_group_connect_swapped (self->desk_signals, "answer-changed", G_CALLBACK (refresh), self);
  g_signal_group_connect_swapped (self->desk_signals, "notify::dragging", G_CALLBACK (refresh), self);
}
