#include "widgets/doubt-view.h"

#include <math.h>
#include <string.h>

#include <glib/gi18n.h>

#include "plan/doubt.h"
#include "widgets/canvas.h"
#include "widgets/template.h"
#include "widgets/shown-units.h"
#include "widgets/text-scale.h"
#include "widgets/told-list.h"
#include "widgets/words.h"

#define CHOICES_MAX 100

struct _LwDoubtView {
  GtkWidget parent_instance;

  GtkWidget *tools;
  GtkDropDown *choice;
  GtkDrawingArea *area;
  GtkScrolledWindow *scroller;
  LwToldList *list; /* in it */

  LwDesk *desk;
  GSignalGroup *desk_signals;
  GPtrArray *findings; /* LwFinding, borrowed from HELD */
  GPtrArray *held;
  gboolean filling;
};

#define USUAL_LIST_PX 350

G_DEFINE_FINAL_TYPE (LwDoubtView, lw_doubt_view, GTK_TYPE_WIDGET)

/* The finding whose bars are shown; NULL = none has any. */
static const LwFinding *
shown_finding (LwDoubtView *self)
{
  guint at = gtk_drop_down_get_selected (self->choice);

  return at < self->findings->len ? g_ptr_array_index (self->findings, at) : NULL;
}

static const LwDoubt *
doubt_of (LwDoubtView *self)
{
  LwPrediction *prediction = self->desk == NULL ? NULL : lw_desk_prediction (self->desk);

  return prediction == NULL ? NULL : prediction->doubt;
}

static void
draw_cb (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer user)
{
  LwDoubtView *self = user;
  LwTornadoPicture picture = { lw_widget_look (GTK_WIDGET (area)), shown_finding (self), doubt_of (self),
                               width, height, lw_text_scale (GTK_WIDGET (area)) };

  lw_draw_tornado (cr, &picture);
  lw_canvas_paint_focus (cr, GTK_WIDGET (area));
}

/* "+3.1 K" */
static char *
change_text (double change, const char *unit)
{
  g_autofree char *text = g_strdup_printf ("%+.1f %s", change, strcmp (unit, "°C") == 0 ? "K" : unit);

  return lw_units_sentence (lw_shown_units (), text);
}

/* A row for each bar, and one for all of them together. */
static void
list_bars (LwDoubtView *self, const LwFinding *finding, const LwDependence *depends, guint n)
{
  const char *const heads[] = { _("Input"), _("at its 5 %"), _("at its 95 %"), C_ ("of the doubt", "Share"), NULL };

  lw_told_list_begin (self->list, heads);
  for (guint i = 0; i < n; i++) {
    g_autofree char *low = change_text (depends[i].low, finding->unit), *high = change_text (depends[i].high, finding->unit);
    g_autofree char *share = g_strdup_printf ("%.0f %%", 100 * depends[i].share);

    lw_told_list_add (self->list, (const char *const[]){ lw_unsure_name (depends[i].input), low, high, share, NULL });
  }
  if (n > 0) {
    LwBand all = lw_doubt_band (doubt_of (self), (guint) finding->body, (LwFigure) finding->figure, finding->value);
    g_autofree char *low = change_text (all.low - finding->value, finding->unit);
    g_autofree char *high = change_text (all.high - finding->value, finding->unit);

    lw_told_list_add (self->list, (const char *const[]){ _("All together"), low, high, "", NULL });
  }
  lw_told_list_end (self->list);
  gtk_widget_set_visible (GTK_WIDGET (self->scroller), n > 0);
}

/* What the bars say, for those who do not see them. */
static void
tell (LwDoubtView *self)
{
  const LwFinding *finding = shown_finding (self);
  const LwDoubt *doubt = doubt_of (self);
  LwDependence depends[LW_N_UNSURE];
  guint n = finding == NULL || doubt == NULL
              ? 0
              : lw_doubt_depends (doubt, (guint) finding->body, (LwFigure) finding->figure, depends);
  g_autoptr (GString) text = g_string_new (n == 0 ? _("Nothing is known of what the findings depend on.") : "");

  for (guint i = 0; i < n; i++) {
    if (i > 0)
      g_string_append (text, C_ ("between members of a list", ", "));
    g_string_append_printf (text, C_ ("an input and its share", "%s %.0f %%"), lw_unsure_name (depends[i].input),
                            100 * depends[i].share);
  }
  list_bars (self, finding, depends, n);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->area), GTK_ACCESSIBLE_PROPERTY_LABEL, text->str, -1);
  gtk_widget_queue_draw (GTK_WIDGET (self->area));
}

static void
on_choice (GtkDropDown *choice, GParamSpec *pspec, LwDoubtView *self)
{
  if (!self->filling)
    tell (self);
}

static gboolean
has_bars (const LwDoubt *doubt, const LwFinding *finding)
{
  LwDependence depends[LW_N_UNSURE];

  return finding->body >= 0 && finding->figure >= 0 && !isnan (finding->chance)
         && lw_doubt_depends (doubt, (guint) finding->body, (LwFigure) finding->figure, depends) > 0;
}

static char *
title_of (const LwFinding *finding)
{
  g_autofree char *chance = lw_chance_number (finding->chance);

  /* Translators: part, what is judged, grade, chance of passing the limit. */
  return g_strdup_printf (_("%s · %s · %s, chance %s"), *finding->ref == '\0' ? _("Board") : finding->ref,
                          lw_finding_kind_label (finding->kind), lw_grade_label (finding->grade), chance);
}

/* The same matter as before, else the worst. */
static guint
find_same (const GPtrArray *findings, const char *kind, const char *ref)
{
  for (guint i = 0; i < findings->len; i++) {
    const LwFinding *finding = g_ptr_array_index (findings, i);
    if (g_strcmp0 (finding->kind, kind) == 0 && g_strcmp0 (finding->ref, ref) == 0)
      return i;
  }
  return 0;
}

static void
refresh (LwDoubtView *self)
{
  GPtrArray *findings = (GPtrArray *) lw_desk_findings (self->desk);
  const LwFinding *before = shown_finding (self);
  g_autofree char *kind = before == NULL ? NULL : g_strdup (before->kind);
  g_autofree char *ref = before == NULL ? NULL : g_strdup (before->ref);
  g_autoptr (GtkStringList) titles = gtk_string_list_new (NULL);
  const LwDoubt *doubt = doubt_of (self);

  if (lw_desk_may_wait (self->desk, GTK_WIDGET (self)))
    return;
  self->filling = TRUE;
  g_ptr_array_set_size (self->findings, 0);
  for (guint i = 0; doubt != NULL && findings != NULL && i < findings->len && self->findings->len < CHOICES_MAX; i++)
    if (has_bars (doubt, g_ptr_array_index (findings, i))) {
      g_autofree char *title = title_of (g_ptr_array_index (findings, i));
      g_ptr_array_add (self->findings, g_ptr_array_index (findings, i));
      gtk_string_list_append (titles, title);
    }
  g_clear_pointer (&self->held, g_ptr_array_unref);
  self->held = findings == NULL ? NULL : g_ptr_array_ref (findings);
  gtk_drop_down_set_model (self->choice, G_LIST_MODEL (titles));
  if (self->findings->len > 0)
    gtk_drop_down_set_selected (self->choice, find_same (self->findings, kind, ref));
  gtk_widget_set_visible (self->tools, self->findings->len > 0);
  self->filling = FALSE;
  tell (self);
}

/* The selected part's worst finding, when it has one here. */
static void
part_selected_cb (LwDoubtView *self)
{
  const LwJob *job = lw_desk_job (self->desk);
  int part = lw_desk_selected_part (self->desk);

  if (job == NULL || part < 0 || (guint) part >= job->parts->len)
    return;
  for (guint i = 0; i < self->findings->len; i++) {
    const LwFinding *finding = g_ptr_array_index (self->findings, i);
    if (g_strcmp0 (finding->ref, ((const LwPart *) g_ptr_array_index (job->parts, part))->ref) == 0) {
      gtk_drop_down_set_selected (self->choice, i);
      return;
    }
  }
}

void
lw_doubt_view_set_desk (LwDoubtView *self, LwDesk *desk)
{
  g_return_if_fail (LW_IS_DOUBT_VIEW (self));

  if (!g_set_object (&self->desk, desk))
    return;
  g_signal_group_set_target (self->desk_signals, desk);
  if (desk != NULL)
    refresh (self);
}

static void
lw_doubt_view_dispose (GObject *object)
{
  LwDoubtView *self = LW_DOUBT_VIEW (object);

  g_clear_object (&self->desk_signals);
  g_clear_object (&self->desk);
  lw_template_dispose (GTK_WIDGET (self), LW_TYPE_DOUBT_VIEW);
  G_OBJECT_CLASS (lw_doubt_view_parent_class)->dispose (object);
}

static void
lw_doubt_view_finalize (GObject *object)
{
  g_ptr_array_unref (LW_DOUBT_VIEW (object)->findings);
  g_clear_pointer (&LW_DOUBT_VIEW (object)->held, g_ptr_array_unref);
  G_OBJECT_CLASS (lw_doubt_view_parent_class)->finalize (object);
}

static void
lw_doubt_view_class_init (LwDoubtViewClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  G_OBJECT_CLASS (class)->dispose = lw_doubt_view_dispose;
  G_OBJECT_CLASS (class)->finalize = lw_doubt_view_finalize;
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "doubtview");
  gtk_widget_class_set_template_from_resource (widget_class, "/org/leeward/Leeward/ui/doubt-view.ui");
  gtk_widget_class_bind_template_child (widget_class, LwDoubtView, tools);
  gtk_widget_class_bind_template_child (widget_class, LwDoubtView, choice);
  gtk_widget_class_bind_template_child (widget_class, LwDoubtView, area);
  gtk_widget_class_bind_template_child (widget_class, LwDoubtView, scroller);
  gtk_widget_class_bind_template_callback (widget_class, on_choice);
}

static void
lw_doubt_view_init (LwDoubtView *self)
{
  self->findings = g_ptr_array_new ();
  gtk_widget_init_template (GTK_WIDGET (self));
  self->list = LW_TOLD_LIST (lw_told_list_new (_("What the finding depends on")));
  gtk_scrolled_window_set_child (self->scroller, GTK_WIDGET (self->list));
  /* Most inputs in one line; large text scrolls, since the bars need their room too. */
  if (lw_text_scale (GTK_WIDGET (self)) == 1)
    gtk_widget_set_size_request (GTK_WIDGET (self->scroller), USUAL_LIST_PX, -1);
  gtk_drawing_area_set_draw_func (self->area, draw_cb, self, NULL);
  g_signal_connect (self->area, "notify::has-focus", G_CALLBACK (gtk_widget_queue_draw), NULL); /* its frame */
  self->desk_signals = g_signal_group_new (LW_TYPE_DESK);
  g_signal_group_connect_swapped (self->desk_signals, "answer-changed", G_CALLBACK (refresh), self);
  g_signal_group_connect_swapped (self->desk_signals, "notify::dragging", G_CALLBACK (refresh), self);
  g_signal_group_connect_swapped (self->desk_signals, "notify::selected-part", G_CALLBACK (part_selected_cb), self);
}
