#include "widgets/finding-row.h"

#include <math.h>

#include <glib/gi18n.h>

#include "board/apart.h"
#include "widgets/finding-groups.h"
#include "widgets/grade-mark.h"
#include "widgets/spoken.h"
#include "widgets/template.h"
#include "widgets/words.h"

struct _LwFindingRow {
  GtkWidget parent_instance;
  LwGradeMark *mark;
  GtkLabel *grade, *ref, *headroom, *text, *figures, *source, *advice;
  GtkButton *fold, *why;
  char *about; /* where the limit comes from: the tooltip */
  char *kind;  /* what the manual explains */
};

G_DEFINE_FINAL_TYPE (LwFindingRow, lw_finding_row, GTK_TYPE_WIDGET)

static guint fold_changed_signal;

static void
set_or_hide (GtkLabel *label, const char *plain)
{
  g_autofree char *text = lw_units_paragraph (lw_shown_units (), plain);

  gtk_label_set_text (label, text == NULL ? "" : text);
  gtk_widget_set_visible (GTK_WIDGET (label), text != NULL && *text != '\0');
}

/* Shares are told in percent; temperatures and seconds to the whole unit, finer where figure and limit would read alike. */
typedef struct {
  double factor;
  int digits;
  const char *unit, *headroom_unit;
} Telling;

/* In the units they are shown in, where a decimal may say more or less. */
static Telling
apart (const LwFinding *finding, Telling as)
{
  LwUnits units = lw_shown_units ();
  int shown = lw_units_digits (units, as.digits, as.unit);
  int needed = lw_decimals_apart (lw_units_shown (units, finding->value * as.factor, as.unit),
                                  lw_units_shown (units, finding->limit * as.factor, as.unit), shown);

  as.digits += needed - shown;
  return as;
}

static Telling
telling_of (const LwFinding *finding)
{
  const char *unit = finding->unit == NULL ? "" : finding->unit;
  int digits = fabs (finding->headroom) < 2 ? 1 : 0; /* near the limit the tenths decide */

  if (*unit == '\0' && fabs (finding->value) <= 1 && fabs (finding->limit) <= 1)
    return apart (finding, (Telling){ 100, 0, "%", "%" });
  if (g_str_equal (unit, "°C"))
    return apart (finding, (Telling){ 1, digits, unit, "K" });
  return apart (finding, (Telling){ 1, g_str_equal (unit, "K") || g_str_equal (unit, "s") ? digits : 1, unit, unit });
}

/* "241 ± 6 °C, limit 235 °C, at 87 s" */
static char *
figures_text (const LwFinding *finding)
{
  Telling as = telling_of (finding);
  gboolean timed = isfinite (finding->moment_s);
  g_autofree char *moment = lw_figure_unit (finding->moment_s, 0, "s");
  g_autofree char *value
    = lw_figure_doubt (finding->value * as.factor, finding->doubt * as.factor, as.digits, as.unit);
  g_autofree char *limit = lw_figure_unit (finding->limit * as.factor, as.digits, as.unit);

  if (!isfinite (finding->value))
    /* Translators: the moment at which it is worst. */
    return timed ? g_strdup_printf (_("at %s"), moment) : g_strdup ("");
  if (!isfinite (finding->limit))
    /* Translators: a predicted figure and the moment at which it is worst, both with unit. */
    return timed ? g_strdup_printf (_("%s, at %s"), value, moment) : g_steal_pointer (&value);
  /* Translators: a predicted figure, its limit and the moment at which it is worst, all with unit. */
  return timed ? g_strdup_printf (_("%s, limit %s, at %s"), value, limit, moment)
               /* Translators: a predicted figure and its limit, both with unit. */
               : g_strdup_printf (_("%s, limit %s"), value, limit);
}

static char *
headroom_text (const LwFinding *finding)
{
  Telling as = telling_of (finding);
  double headroom = finding->headroom * as.factor;
  g_autofree char *amount = NULL;

  if (!isfinite (headroom))
    return NULL;
  if (fabs (headroom) < 0.5 * pow (10, -as.digits))
    return g_strdup (_("at the limit"));
  amount = lw_figure_unit (fabs (headroom), as.digits, as.headroom_unit);
  if (headroom >= 0)
    /* Translators: how far away a limit still is. */
    return g_strdup_printf (_("%s left"), amount);
  /* Translators: how far a limit from above is passed, or how much is missing to one from below. */
  return finding->upper ? g_strdup_printf (_("%s over"), amount) : g_strdup_printf (_("%s short"), amount);
}

static void
set_grade (LwFindingRow *self, LwGrade grade)
{
  static const char *classes[] = { "grade-stop", "grade-watch", "grade-fine" };

  if (gtk_widget_has_css_class (GTK_WIDGET (self), classes[grade]))
    return;
  for (guint i = 0; i < G_N_ELEMENTS (classes); i++)
    gtk_widget_remove_css_class (GTK_WIDGET (self), classes[i]);
  gtk_widget_add_css_class (GTK_WIDGET (self), classes[grade]);
  lw_grade_mark_set_grade (self->mark, grade);
  gtk_label_set_text (self->grade, lw_grade_label (grade));
}

void
lw_finding_row_set (LwFindingRow *self, const LwFinding *finding)
{
  g_autofree char *figures = NULL, *headroom = NULL, *advice = NULL;

  g_return_if_fail (LW_IS_FINDING_ROW (self));

  if (finding == NULL)
    return;
  figures = figures_text (finding);
  headroom = headroom_text (finding);
  if (finding->advice != NULL && *finding->advice != '\0')
    advice = g_strconcat ("→ ", finding->advice, NULL);
  set_grade (self, finding->grade);
  gtk_label_set_text (self->ref, *finding->ref == '\0' ? _("Board") : finding->ref);
  set_or_hide (self->headroom, headroom);
  set_or_hide (self->text, finding->text);
  set_or_hide (self->figures, figures);
  set_or_hide (self->source, finding->grade == LW_GRADE_FINE ? NULL : finding->source);
  g_free (self->about);
  self->about = g_strdup (finding->source);
  g_free (self->kind);
  self->kind = g_strdup (finding->kind);
  /* A part that is well needs no advice, and a fine row stays low. */
  set_or_hide (self->advice, finding->grade == LW_GRADE_FINE ? NULL : advice);
}

static void
set_head (LwFindingRow *self, LwFindingItem *item)
{
  const LwFinding *worst = lw_finding_item_finding (item);
  guint n = lw_finding_item_members (item)->len;
  gboolean open = lw_finding_item_open (item);
  g_autofree char *names = lw_finding_group_names (item), *said = NULL, *title = NULL;

  /* Translators: a number of parts, and what they have in common: "Joint temperature". */
  title = g_strdup_printf (ngettext ("%u part · %s", "%u parts · %s", n), n, lw_finding_kind_label (worst->kind));
  gtk_label_set_text (self->ref, title);
  /* Translators: the finding of the worst of several parts. */
  said = g_strdup_printf (_("Worst: %s"), worst->text);
  set_or_hide (self->text, said);
  set_or_hide (self->figures, open ? NULL : names);
  set_or_hide (self->source, NULL);
  set_or_hide (self->advice, NULL);
  gtk_button_set_icon_name (self->fold, open ? "pan-down-symbolic" : "pan-end-symbolic");
  lw_widget_set_tooltip (GTK_WIDGET (self->fold), open ? _("Fold these findings") : _("List each of them"));
  lw_spoken_name_icon (GTK_WIDGET (self->fold), open ? _("Fold these findings") : _("List each of them"));
  gtk_accessible_update_state (GTK_ACCESSIBLE (self->fold), GTK_ACCESSIBLE_STATE_EXPANDED, open, -1);
}

void
lw_finding_row_set_item (LwFindingRow *self, LwFindingItem *item)
{
  gboolean head;

  g_return_if_fail (LW_IS_FINDING_ROW (self));
  head = lw_finding_item_members (item)->len > 0;
  lw_finding_row_set (self, lw_finding_item_finding (item));
  gtk_widget_set_visible (GTK_WIDGET (self->fold), head);
  gtk_widget_set_margin_start (GTK_WIDGET (self), lw_finding_item_head (item) != NULL ? 18 : 0);
  if (head)
    set_head (self, item);
}

static void
on_fold (GtkButton *button, LwFindingRow *self)
{
  g_signal_emit (self, fold_changed_signal, 0);
}

static void
on_why (GtkButton *button, LwFindingRow *self)
{
  g_autofree char *topic = self->kind == NULL ? NULL : g_strconcat ("findings#", self->kind, NULL);

  if (topic != NULL)
    gtk_widget_activate_action (GTK_WIDGET (self), "app.manual", "s", topic);
}

/* Asked for when it is wanted: telling GTK each time costs a question to the display. */
static gboolean
lw_finding_row_query_tooltip (GtkWidget *widget, int x, int y, gboolean keyboard, GtkTooltip *tooltip)
{
  const char *about = LW_FINDING_ROW (widget)->about;

  if (about == NULL || *about == '\0')
    return FALSE;
  gtk_tooltip_set_text (tooltip, about);
  return TRUE;
}

static void
lw_finding_row_finalize (GObject *object)
{
  g_free (LW_FINDING_ROW (object)->about);
  g_free (LW_FINDING_ROW (object)->kind);
  G_OBJECT_CLASS (lw_finding_row_parent_class)->finalize (object);
}

static void
lw_finding_row_dispose (GObject *object)
{
  lw_template_dispose (GTK_WIDGET (object), LW_TYPE_FINDING_ROW);
  G_OBJECT_CLASS (lw_finding_row_parent_class)->dispose (object);
}

static void
lw_finding_row_class_init (LwFindingRowClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  G_OBJECT_CLASS (class)->dispose = lw_finding_row_dispose;
  G_OBJECT_CLASS (class)->finalize = lw_finding_row_finalize;
  widget_class->query_tooltip = lw_finding_row_query_tooltip;
  g_type_ensure (LW_TYPE_GRADE_MARK);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "findingrow");
  gtk_widget_class_set_template_from_resource (widget_class, "/org/leeward/Leeward/ui/finding-row.ui");
  gtk_widget_class_bind_template_child (widget_class, LwFindingRow, mark);
  gtk_widget_class_bind_template_child (widget_class, LwFindingRow, grade);
  gtk_widget_class_bind_template_child (widget_class, LwFindingRow, ref);
  gtk_widget_class_bind_template_child (widget_class, LwFindingRow, headroom);
  gtk_widget_class_bind_template_child (widget_class, LwFindingRow, text);
  gtk_widget_class_bind_template_child (widget_class, LwFindingRow, figures);
  gtk_widget_class_bind_template_child (widget_class, LwFindingRow, source);
  gtk_widget_class_bind_template_child (widget_class, LwFindingRow, advice);
  gtk_widget_class_bind_template_child (widget_class, LwFindingRow, fold);
  gtk_widget_class_bind_template_child (widget_class, LwFindingRow, why);
  gtk_widget_class_bind_template_callback (widget_class, on_fold);
  gtk_widget_class_bind_template_callback (widget_class, on_why);
  fold_changed_signal = g_signal_new ("fold-changed", G_TYPE_FROM_CLASS (class), G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                                      NULL, G_TYPE_NONE, 0);
}

static void
lw_finding_row_init (LwFindingRow *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  gtk_widget_set_has_tooltip (GTK_WIDGET (self), TRUE);
}

GtkWidget *
lw_finding_row_new (void)
{
  return g_object_new (LW_TYPE_FINDING_ROW, NULL);
}
