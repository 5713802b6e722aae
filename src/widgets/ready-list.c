#include "widgets/ready-list.h"

#include <glib/gi18n.h>

#include "board/moment.h"
#include "plan/ready.h"
#include "widgets/grade-mark.h"
#include "widgets/words.h"

struct _LwReadyList {
  GtkWidget parent_instance;

  GtkBox *box;
  LwDesk *desk;
  GSignalGroup *desk_signals;
  guint n;
};

G_DEFINE_FINAL_TYPE (LwReadyList, lw_ready_list, GTK_TYPE_WIDGET)

/* In the person's units; no line ends between a figure and its unit. */
static GtkWidget *
sentence (const char *plain, const char *style)
{
  g_autofree char *text = lw_units_paragraph (lw_shown_units (), plain);
  GtkWidget *label = gtk_label_new (text);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_label_set_selectable (GTK_LABEL (label), TRUE);
  gtk_widget_set_can_focus (label, FALSE); /* as in the inspector: Tab has to pass */
  gtk_widget_set_hexpand (label, TRUE);
  if (style != NULL)
    gtk_widget_add_css_class (label, style);
  return label;
}

/* Text, what helps, and on what it rests. */
static GtkWidget *
words_of (const LwFinding *finding)
{
  GtkWidget *words = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2);

  gtk_box_append (GTK_BOX (words), sentence (finding->text, NULL));
  if (*finding->advice != '\0')
    gtk_box_append (GTK_BOX (words), sentence (finding->advice, "quiet"));
  if (*finding->source != '\0') {
    /* Translators: %s is a standard, a data sheet or "from memory". */
    g_autofree char *source = g_strdup_printf (_("Source: %s"), finding->source);

    gtk_box_append (GTK_BOX (words), sentence (source, "source"));
  }
  return words;
}

static void
add_finding (LwReadyList *self, const LwFinding *finding)
{
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *mark = lw_grade_mark_new ();
  g_autofree char *text = lw_units_sentence (lw_shown_units (), finding->text);
  g_autofree char *told = g_strdup_printf ("%s: %s", lw_grade_label (finding->grade), text);

  lw_grade_mark_set_grade (LW_GRADE_MARK (mark), (int) finding->grade);
  gtk_widget_set_valign (mark, GTK_ALIGN_START);
  gtk_widget_set_tooltip_text (mark, lw_grade_label (finding->grade));
  gtk_box_append (GTK_BOX (row), mark);
  gtk_box_append (GTK_BOX (row), words_of (finding));
  gtk_accessible_update_property (GTK_ACCESSIBLE (row), GTK_ACCESSIBLE_PROPERTY_LABEL, told, -1);
  gtk_box_append (self->box, row);
  self->n++;
}

static void
add_due (GtkGrid *grid, int at, const LwDue *due)
{
  g_autofree char *moment = lw_moment_text (due->at_min);
  GtkWidget *when = NULL;
  g_autofree char *text = due->assumed ? g_strdup_printf (_("%s (assumed)"), due->text) : g_strdup (due->text);

  moment[10] = ' ';
  when = sentence (moment, "numeric");
  gtk_widget_set_hexpand (when, FALSE);
  gtk_widget_set_valign (when, GTK_ALIGN_START);
  gtk_label_set_wrap (GTK_LABEL (when), FALSE);
  gtk_grid_attach (grid, when, 0, at, 1, 1);
  gtk_grid_attach (grid, sentence (text, NULL), 1, at, 1, 1);
}

static void
add_schedule (LwReadyList *self, const GPtrArray *findings)
{
  int plan = lw_desk_plan (self->desk);
  g_autoptr (GPtrArray) dues = lw_ready_schedule (lw_desk_job (self->desk), (guint) plan, findings);
  GtkWidget *grid = gtk_grid_new (), *title = sentence (_("Schedule, backwards from the start"), "section-title");

  gtk_grid_set_column_spacing (GTK_GRID (grid), 12);
  gtk_grid_set_row_spacing (GTK_GRID (grid), 4);
  for (guint i = 0; i < dues->len; i++)
    add_due (GTK_GRID (grid), (int) i, g_ptr_array_index (dues, i));
  gtk_box_append (self->box, title);
  if (dues->len == 0)
    gtk_box_append (self->box, sentence (_("Say below when the work is to begin."), "quiet"));
  gtk_box_append (self->box, grid);
}

static void
refresh (LwReadyList *self)
{
  const GPtrArray *findings = lw_desk_findings (self->desk);
  GtkWidget *child;

  while ((child = gtk_widget_get_first_child (GTK_WIDGET (self->box))) != NULL)
    gtk_widget_unparent (child);
  self->n = 0;
  if (lw_desk_job (self->desk) == NULL || lw_desk_plan (self->desk) < 0)
    return;
  for (guint i = 0; findings != NULL && i < findings->len; i++) {
    const LwFinding *finding = g_ptr_array_index (findings, i);

    if (lw_ready_is_finding (finding) && g_strcmp0 (finding->kind, "readiness-schedule") != 0)
      add_finding (self, finding);
  }
  if (self->n == 0)
    gtk_box_append (self->box, sentence (_("Nothing stands before this operation."), "quiet"));
  add_schedule (self, findings);
}

static void
lw_ready_list_dispose (GObject *object)
{
  LwReadyList *self = LW_READY_LIST (object);

  g_clear_object (&self->desk_signals);
  g_clear_object (&self->desk);
  if (self->box != NULL)
    gtk_widget_unparent (GTK_WIDGET (self->box));
  self->box = NULL;
  G_OBJECT_CLASS (lw_ready_list_parent_class)->dispose (object);
}

static void
lw_ready_list_class_init (LwReadyListClass *class)
{
  G_OBJECT_CLASS (class)->dispose = lw_ready_list_dispose;
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (class), GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_css_name (GTK_WIDGET_CLASS (class), "readylist");
}

static void
lw_ready_list_init (LwReadyList *self)
{
  self->box = GTK_BOX (gtk_box_new (GTK_ORIENTATION_VERTICAL, 10));
  gtk_widget_set_parent (GTK_WIDGET (self->box), GTK_WIDGET (self));
  self->desk_signals = g_signal_group_new (LW_TYPE_DESK);
  g_signal_group_connect_swapped (self->desk_signals, "answer-changed", G_CALLBACK (refresh), self);
  g_signal_group_connect_swapped (self->desk_signals, "job-changed", G_CALLBACK (refresh), self);
}

GtkWidget *
lw_ready_list_new (LwDesk *desk)
{
  LwReadyList *self = g_object_new (LW_TYPE_READY_LIST, NULL);

  self->desk = g_object_ref (desk);
  g_signal_group_set_target (self->desk_signals, desk);
  refresh (self);
  return GTK_WIDGET (self);
}

guint
lw_ready_list_count (LwReadyList *self)
{
  g_return_val_if_fail (LW_IS_READY_LIST (self), 0);
  return self->n;
}
