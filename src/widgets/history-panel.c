#include "widgets/history-panel.h"

#include <math.h>
#include <string.h>

#include <glib/gi18n.h>

#include "board/edits-history.h"
#include "board/plan-changes.h"
#include "widgets/template.h"
#include "widgets/told-list.h"
#include "widgets/whole-text.h"

struct _LwHistoryPanel {
  GtkWidget parent_instance;

  GtkEntry *note;
  GtkButton *keep, *restore, *delete;
  GtkDropDown *against;
  GtkListBox *list;
  GtkLabel *placeholder;
  GtkScrolledWindow *scroller;
  LwToldList *changes; /* in it */

  LwDesk *desk;
  GSignalGroup *desk_signals;
  gboolean filling;
};

G_DEFINE_FINAL_TYPE (LwHistoryPanel, lw_history_panel, GTK_TYPE_WIDGET)

typedef enum { ROW_REVISION, ROW_FIT } RowKind;

static const LwPlan *
plan_of (LwHistoryPanel *self)
{
  LwJob *job = self->desk != NULL ? lw_desk_job (self->desk) : NULL;
  int plan = job != NULL ? lw_desk_plan (self->desk) : -1;

  return plan >= 0 ? g_ptr_array_index (job->plans, plan) : NULL;
}

/* ---- the list ---- */

/* "2026-03-01T10:00:00Z" as people read it, in the local zone. */
static char *
date_text (const char *date)
{
  g_autoptr (GTimeZone) utc = g_time_zone_new_utc ();
  g_autoptr (GDateTime) time = g_date_time_new_from_iso8601 (date, utc);
  g_autoptr (GDateTime) local = time != NULL ? g_date_time_to_local (time) : NULL;

  return local != NULL ? g_date_time_format (local, "%Y-%m-%d %H:%M") : g_strdup (date);
}

static GtkWidget *
new_row (RowKind kind, guint index, const char *title, const char *detail)
{
  GtkWidget *row = gtk_list_box_row_new (), *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0), *head = gtk_label_new (title),
            *rest = gtk_label_new (detail);
  g_autofree char *heard = g_strdup_printf ("%s, %s", title, detail);

  gtk_label_set_xalign (GTK_LABEL (head), 0);
  gtk_label_set_xalign (GTK_LABEL (rest), 0);
  gtk_label_set_ellipsize (GTK_LABEL (rest), PANGO_ELLIPSIZE_END);
  gtk_label_set_ellipsize (GTK_LABEL (head), PANGO_ELLIPSIZE_END);
  lw_tell_whole_text (head);
  gtk_widget_set_tooltip_text (rest, detail);
  gtk_widget_add_css_class (rest, "quiet");
  gtk_widget_add_css_class (box, "history-row");
  gtk_box_append (GTK_BOX (box), head);
  gtk_box_append (GTK_BOX (box), rest);
  gtk_list_box_row_set_child (GTK_LIST_BOX_ROW (row), box);
  gtk_accessible_update_property (GTK_ACCESSIBLE (row), GTK_ACCESSIBLE_PROPERTY_LABEL, heard, -1);
  g_object_set_data (G_OBJECT (row), "kind", GUINT_TO_POINTER (kind));
  g_object_set_data (G_OBJECT (row), "index", GUINT_TO_POINTER (index));
  return row;
}

static void
add_revision (LwHistoryPanel *self, const LwJob *job, guint index)
{
  const LwRevision *revision = g_ptr_array_index (job->revisions, index);
  g_autofree char *date = date_text (revision->date);
  gboolean now = lw_job_revision_of (job, (guint) lw_desk_plan (self->desk)) == (int) index;
  /* Translators: number of a plan's revision; the second is the plan as it stands. */
  g_autofree char *title = g_strdup_printf (now ? _ ("Revision %u · the plan as it stands") : _ ("Revision %u"), lw_job_revision_number (job, index));
  g_autofree char *detail = g_strdup_printf ("%s · %.8s%s%s", date, revision->hash, revision->note[0] != '\0' ? " · " : "", revision->note);

  gtk_list_box_prepend (self->list, new_row (ROW_REVISION, index, title, detail));
}

static void
add_fit (LwHistoryPanel *self, const LwJob *job, guint index)
{
  const LwFit *fit = g_ptr_array_index (job->fits, index);
  g_autofree char *date = date_text (fit->date);
  g_autofree char *count = g_strdup_printf (ngettext ("%u figure", "%u figures", fit->figures->len), fit->figures->len);
  g_autofree char *detail = g_strdup_printf ("%s · %s", date, count);

  gtk_list_box_prepend (self->list, new_row (ROW_FIT, index, fit->name, detail));
}

static gboolean
selected (LwHistoryPanel *self, RowKind *kind, guint *index)
{
  GtkListBoxRow *row = gtk_list_box_get_selected_row (self->list);

  if (row == NULL)
    return FALSE;
  *kind = (RowKind) GPOINTER_TO_UINT (g_object_get_data (G_OBJECT (row), "kind"));
  *index = GPOINTER_TO_UINT (g_object_get_data (G_OBJECT (row), "index"));
  return TRUE;
}

/* ---- what changed ---- */

/* The plan on the other side of the comparison: the revision before, or the plan as it stands. */
static const LwPlan *
other_plan (LwHistoryPanel *self, const LwJob *job, guint index)
{
  const char *ref = ((const LwRevision *) g_ptr_array_index (job->revisions, index))->plan->ref;

  if (gtk_drop_down_get_selected (self->against) == 0)
    return plan_of (self);
  for (guint i = index; i-- > 0;)
    if (strcmp (((const LwRevision *) g_ptr_array_index (job->revisions, i))->plan->ref, ref) == 0)
      return ((const LwRevision *) g_ptr_array_index (job->revisions, i))->plan;
  return NULL;
}

static void
show_changes (LwHistoryPanel *self, const LwJob *job, guint index)
{
  const LwPlan *this = ((const LwRevision *) g_ptr_array_index (job->revisions, index))->plan, *other = other_plan (self, job, index);
  gboolean to_now = gtk_drop_down_get_selected (self->against) == 0;
  g_autoptr (GPtrArray) changes = NULL;

  if (other == NULL)
    {
      lw_told_list_begin (self->changes, (const char *const[]){ "", NULL });
      lw_told_list_add_text (self->changes, _ ("There is none before it."));
      return;
    }
  changes = to_now ? lw_plan_changes (this, other) : lw_plan_changes (other, this);
  if (changes->len == 0)
    {
      lw_told_list_begin (self->changes, (const char *const[]){ "", NULL });
      lw_told_list_add_text (self->changes, to_now ? _ ("The plan as it stands says the same.") : _ ("Both say the same."));
      return;
    }
  lw_told_list_begin (self->changes, (const char *const[]){ _ ("Member"), to_now ? _ ("Then") : _ ("Before"),
                                                            to_now ? _ ("Now") : _ ("Then"), NULL });
  for (guint i = 0; i < MIN (changes->len, 200); i++)
    {
      const LwPlanChange *change = g_ptr_array_index (changes, i);

      lw_told_list_add (self->changes, (const char *const[]){ change->what, change->before, change->after, NULL });
    }
}

static void
show_fit (LwHistoryPanel *self, const LwFit *fit)
{
  lw_told_list_begin (self->changes, (const char *const[]){ _ ("Figure"), _ ("Before"), _ ("Found"), _ ("± one deviation"), NULL });
  for (guint i = 0; i < fit->figures->len; i++)
    {
      const LwFitFigure *f = g_ptr_array_index (fit->figures, i);
      g_autofree char *before = isnan (f->before) ? g_strdup ("–") : g_strdup_printf ("%.4g %s", f->before, f->unit);
      g_autofree char *value = isnan (f->value) ? g_strdup ("–") : g_strdup_printf ("%.4g %s", f->value, f->unit);
      g_autofree char *sigma = isnan (f->sigma) ? g_strdup ("–") : g_strdup_printf ("%.2g %s", f->sigma, f->unit);

      lw_told_list_add (self->changes, (const char *const[]){ f->text[0] != '\0' ? f->text : f->key, before, value, sigma, NULL });
    }
}

static void
show_selected (LwHistoryPanel *self)
{
  LwJob *job = self->desk != NULL ? lw_desk_job (self->desk) : NULL;
  RowKind kind = ROW_REVISION;
  guint index = 0;
  gboolean any = job != NULL && selected (self, &kind, &index);

  lw_told_list_begin (self->changes, (const char *const[]){ "", NULL });
  gtk_widget_set_sensitive (GTK_WIDGET (self->restore), any && kind == ROW_REVISION);
  gtk_widget_set_sensitive (GTK_WIDGET (self->delete), any);
  gtk_widget_set_sensitive (GTK_WIDGET (self->against), any && kind == ROW_REVISION);
  if (any && kind == ROW_REVISION)
    show_changes (self, job, index);
  else if (any)
    show_fit (self, g_ptr_array_index (job->fits, index));
  lw_told_list_end (self->changes);
}

static void
refresh (LwHistoryPanel *self)
{
  LwJob *job = self->desk != NULL ? lw_desk_job (self->desk) : NULL;
  const LwPlan *plan = plan_of (self);
  RowKind kind = ROW_REVISION;
  guint index = 0;
  gboolean had;
  GtkWidget *child;

  if (self->desk == NULL || lw_desk_may_wait (self->desk, GTK_WIDGET (self)))
    return;
  had = selected (self, &kind, &index);
  self->filling = TRUE;
  while ((child = gtk_widget_get_first_child (GTK_WIDGET (self->list))) != NULL)
    gtk_list_box_remove (self->list, child);
  for (guint i = 0; plan != NULL && i < job->revisions->len; i++)
    if (strcmp (((const LwRevision *) g_ptr_array_index (job->revisions, i))->plan->ref, plan->ref) == 0)
      add_revision (self, job, i);
  for (guint i = 0; plan != NULL && i < job->fits->len; i++)
    if (strcmp (((const LwFit *) g_ptr_array_index (job->fits, i))->ref, plan->ref) == 0)
      add_fit (self, job, i);
  for (child = gtk_widget_get_first_child (GTK_WIDGET (self->list)); child != NULL; child = gtk_widget_get_next_sibling (child))
    if (!had
        || (GPOINTER_TO_UINT (g_object_get_data (G_OBJECT (child), "kind")) == kind
            && GPOINTER_TO_UINT (g_object_get_data (G_OBJECT (child), "index")) == index))
      {
        gtk_list_box_select_row (self->list, GTK_LIST_BOX_ROW (child));
        break;
      }
  gtk_widget_set_visible (GTK_WIDGET (self->placeholder), gtk_widget_get_first_child (GTK_WIDGET (self->list)) == NULL);
  gtk_widget_set_sensitive (GTK_WIDGET (self->keep), plan != NULL);
  self->filling = FALSE;
  show_selected (self);
}

/* ---- edits ---- */

static void
on_keep (LwHistoryPanel *self)
{
  GError *error = NULL;
  LwJob *job;

  if (plan_of (self) == NULL)
    return;
  job = lw_edit_keep_revision (lw_desk_job (self->desk), (guint) lw_desk_plan (self->desk), gtk_editable_get_text (GTK_EDITABLE (self->note)),
                               &error);
  if (job != NULL)
    {
      gtk_list_box_unselect_all (self->list);
      gtk_editable_set_text (GTK_EDITABLE (self->note), "");
    }
  lw_desk_edit (self->desk, job, _ ("Keep Revision"), NULL, error);
}

static void
on_restore (LwHistoryPanel *self)
{
  GError *error = NULL;
  RowKind kind;
  guint index;

  if (!selected (self, &kind, &index) || kind != ROW_REVISION)
    return;
  if (lw_desk_edit (self->desk, lw_edit_restore_revision (lw_desk_job (self->desk), index, &error), _ ("Restore Revision"), NULL, error))
    lw_desk_tell (self->desk, _ ("The plan is that revision again"), TRUE);
}

static void
on_delete (LwHistoryPanel *self)
{
  GError *error = NULL;
  RowKind kind;
  guint index;

  if (!selected (self, &kind, &index))
    return;
  gtk_list_box_unselect_all (self->list);
  if (kind == ROW_REVISION)
    lw_desk_edit (self->desk, lw_edit_remove_revision (lw_desk_job (self->desk), index, &error), _ ("Delete Revision"), NULL, error);
  else
    lw_desk_edit (self->desk, lw_edit_remove_fit (lw_desk_job (self->desk), index, &error), _ ("Delete Fit"), NULL, error);
}

static void
on_selected (LwHistoryPanel *self)
{
  if (!self->filling)
    show_selected (self);
}

/* ---- life ---- */

void
lw_history_panel_set_desk (LwHistoryPanel *self, LwDesk *desk)
{
  g_return_if_fail (LW_IS_HISTORY_PANEL (self));

  if (!g_set_object (&self->desk, desk))
    return;
  g_signal_group_set_target (self->desk_signals, desk);
  if (desk != NULL)
    refresh (self);
}

static void
lw_history_panel_dispose (GObject *object)
{
  LwHistoryPanel *self = LW_HISTORY_PANEL (object);

  self->filling = TRUE;
  g_clear_object (&self->desk_signals);
  g_clear_object (&self->desk);
  lw_template_dispose (GTK_WIDGET (self), LW_TYPE_HISTORY_PANEL);
  G_OBJECT_CLASS (lw_history_panel_parent_class)->dispose (object);
}

static void
lw_history_panel_class_init (LwHistoryPanelClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  G_OBJECT_CLASS (class)->dispose = lw_history_panel_dispose;
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "historypanel");
  gtk_widget_class_set_template_from_resource (widget_class, "/org/leeward/Leeward/ui/history-panel.ui");
  gtk_widget_class_bind_template_child (widget_class, LwHistoryPanel, note);
  gtk_widget_class_bind_template_child (widget_class, LwHistoryPanel, keep);
  gtk_widget_class_bind_template_child (widget_class, LwHistoryPanel, restore);
  gtk_widget_class_bind_template_child (widget_class, LwHistoryPanel, delete);
  gtk_widget_class_bind_template_child (widget_class, LwHistoryPanel, against);
  gtk_widget_class_bind_template_child (widget_class, LwHistoryPanel, list);
  gtk_widget_class_bind_template_child (widget_class, LwHistoryPanel, placeholder);
  gtk_widget_class_bind_template_child (widget_class, LwHistoryPanel, scroller);
  gtk_widget_class_bind_template_callback (widget_class, on_keep);
  gtk_widget_class_bind_template_callback (widget_class, on_restore);
  gtk_widget_class_bind_template_callback (widget_class, on_delete);
  gtk_widget_class_bind_template_callback (widget_class, on_selected);
}

/* In a narrow window long words are cut; the tooltip tells what the button does. */
static void
give_way (GtkButton *button)
{
  gtk_label_set_ellipsize (GTK_LABEL (gtk_button_get_child (button)), PANGO_ELLIPSIZE_END);
}

static void
lw_history_panel_init (LwHistoryPanel *self)
{
  self->filling = TRUE;
  gtk_widget_init_template (GTK_WIDGET (self));
  self->changes = LW_TOLD_LIST (lw_told_list_new (_ ("Changes of the plan")));
  gtk_widget_add_css_class (GTK_WIDGET (self->changes), "run-figures");
  gtk_scrolled_window_set_child (self->scroller, GTK_WIDGET (self->changes));
  lw_tell_whole_text (GTK_WIDGET (self->note));
  give_way (self->keep);
  give_way (self->restore);
  self->filling = FALSE;
  self->desk_signals = g_signal_group_new (LW_TYPE_DESK);
  g_signal_group_connect_swapped (self->desk_signals, "job-changed", G_CALLBACK (refresh), self);
  g_signal_group_connect_swapped (self->desk_signals, "notify::dragging", G_CALLBACK (refresh), self);
}
