#include "app/fit-outcome.h"

#include <math.h>

#include <glib/gi18n.h>

#include "draw/fit-picture.h"
#include "draw/fit-words.h"
#include "widgets/canvas.h"
#include "widgets/shown-units.h"
#include "widgets/text-scale.h"
#include "widgets/told-list.h"
#include "widgets/words.h"

struct _LwFitOutcome {
  GtkWidget parent_instance;

  GtkBox *box;
  GtkListBox *places;
  GtkWidget *add;
  const LwFitAnswer *fit;
  const LwSuggestions *suggestions;
};

G_DEFINE_FINAL_TYPE (LwFitOutcome, lw_fit_outcome, GTK_TYPE_WIDGET)

static guint mend_signal, chosen_signal, add_signal;

static GtkWidget *
new_text (const char *text, const char *class)
{
  g_autofree char *shown = lw_units_paragraph (lw_shown_units (), text);
  GtkWidget *label = gtk_label_new (shown);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 60);
  if (class != NULL)
    gtk_widget_add_css_class (label, class);
  return label;
}

static void
add_text (LwFitOutcome *self, const char *text, const char *class)
{
  gtk_box_append (self->box, new_text (text, class));
}

/* ---- remarks ---- */

static void
mend_cb (GtkButton *button, LwFitOutcome *self)
{
  g_signal_emit (self, mend_signal, 0, GPOINTER_TO_UINT (g_object_get_data (G_OBJECT (button), "remark")));
}

static void
add_remark (LwFitOutcome *self, guint index)
{
  const LwFitRemark *remark = g_ptr_array_index (self->fit->remarks, index);
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12), *label = new_text (remark->text, NULL), *button;

  gtk_widget_add_css_class (row, "remark");
  gtk_widget_set_hexpand (label, TRUE);
  gtk_box_append (GTK_BOX (row), label);
  if (remark->kind == LW_FIT_SWAPPED || remark->kind == LW_FIT_SHIFTED) {
    button = gtk_button_new_with_mnemonic (remark->kind == LW_FIT_SWAPPED ? _("E_xchange Them") : _("_Move the Run"));
    gtk_widget_set_tooltip_text (button, remark->kind == LW_FIT_SWAPPED
                                             ? _("Give each of the two columns the other’s thermocouple, and fit again")
                                             : _("Shift the run by that time, and fit again"));
    gtk_widget_set_valign (button, GTK_ALIGN_CENTER);
    g_object_set_data (G_OBJECT (button), "remark", GUINT_TO_POINTER (index));
    g_signal_connect (button, "clicked", G_CALLBACK (mend_cb), self);
    gtk_box_append (GTK_BOX (row), button);
  }
  gtk_box_append (self->box, row);
}

/* ---- figures ---- */

enum { BEFORE = 1, FITTED, WITHIN, TOLD_BY, N_COLUMNS };

/* What the run does not tell stands back. */
static void
mark_figure (LwToldList *list, gboolean told)
{
  if (told)
    lw_told_list_mark (list, FITTED, "chosen");
  else
    for (guint i = 0; i < N_COLUMNS; i++)
      lw_told_list_mark (list, i, "quiet");
}

static void
put_figure (LwFitOutcome *self, LwToldList *list, const LwFitted *figure)
{
  LwUnits units = lw_shown_units ();
  gboolean told = lw_fit_is_told (figure);
  g_autofree char *before = lw_fit_range (figure, figure->before_low, figure->before_high, units);
  g_autofree char *value = told ? lw_fit_amount (figure, figure->value, units) : g_strdup ("–");
  g_autofree char *after = told ? lw_fit_range (figure, figure->low, figure->high, units) : g_strdup ("–");
  g_autofree char *by = lw_fit_told_by (self->fit, figure), *shown = lw_units_paragraph (units, by);

  lw_told_list_add (list, (const char *const[]){ lw_fit_figure_name (figure->figure), before, value, after, shown, NULL });
  mark_figure (list, told);
}

/* Those that are told first. */
static void
put_figures (LwFitOutcome *self, LwToldList *list, gboolean told)
{
  for (guint i = 0; i < LW_N_FIT; i++) {
    const LwFitted *figure = &self->fit->figures[i];

    if (figure->verdict != LW_VERDICT_GIVEN && lw_fit_is_told (figure) == told)
      put_figure (self, list, figure);
  }
}

static void
add_figures (LwFitOutcome *self)
{
  LwToldList *list = LW_TOLD_LIST (lw_told_list_new (_("Fitted figures")));

  lw_told_list_end_in_words (list);
  lw_told_list_begin (list, (const char *const[]){ _("Figure"), _("Before"), _("Fitted"), _("95 of 100"), _("Told by"), NULL });
  put_figures (self, list, TRUE);
  put_figures (self, list, FALSE);
  lw_told_list_end (list);
  gtk_box_append (self->box, GTK_WIDGET (list));
}

/* ---- what is left ---- */

static void
draw_cb (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer user)
{
  LwFitOutcome *self = user;
  LwFitPicture picture = { lw_widget_look (GTK_WIDGET (area)), lw_shown_units (), self->fit, width, height,
                           lw_text_scale (GTK_WIDGET (area)) };

  lw_draw_fit (cr, &picture);
}

static char *
kelvin (const char *format, double value)
{
  g_autofree char *text = isfinite (value) ? g_strdup_printf (format, value) : g_strdup ("–");

  return lw_units_sentence (lw_shown_units (), text);
}

static void
add_picture (LwFitOutcome *self)
{
  GtkWidget *area = gtk_drawing_area_new ();
  g_autofree char *name = g_strdup_printf (_("Measured minus predicted over time, %u thermocouples"), self->fit->channels->len);

  add_text (self, _("What is left unexplained"), "section-title");
  gtk_drawing_area_set_content_height (GTK_DRAWING_AREA (area), (int) (lw_text_scale (GTK_WIDGET (self)) * lw_fit_picture_height (self->fit)));
  gtk_drawing_area_set_draw_func (GTK_DRAWING_AREA (area), draw_cb, self, NULL);
  gtk_accessible_update_property (GTK_ACCESSIBLE (area), GTK_ACCESSIBLE_PROPERTY_LABEL, name, -1);
  gtk_box_append (self->box, area);
}

/* The strips of the picture in figures, K. */
static void
add_strips (LwFitOutcome *self)
{
  LwToldList *list = LW_TOLD_LIST (lw_told_list_new (_("What is left unexplained")));

  lw_told_list_begin (list, (const char *const[]){ _("Thermocouple"), _("Scatter before"), _("Scatter after"), _("Mean"), _("Most"), NULL });
  for (guint k = 0; k < self->fit->channels->len; k++) {
    const LwFitChannel *c = g_ptr_array_index (self->fit->channels, k);
    g_autofree char *before = kelvin ("%.1f K", c->rms_before_k), *after = kelvin ("%.1f K", c->rms_after_k);
    g_autofree char *mean = kelvin ("%+.1f K", c->mean_k), *most = kelvin ("%+.1f K", c->worst_k);

    lw_told_list_add (list, (const char *const[]){ c->name, before, after, mean, most, NULL });
  }
  lw_told_list_end (list);
  gtk_box_append (self->box, GTK_WIDGET (list));
}

/* ---- where to look next ---- */

static LwThermocouple *
chosen_couple (LwFitOutcome *self)
{
  GtkListBoxRow *row = self->places != NULL ? gtk_list_box_get_selected_row (self->places) : NULL;

  return row != NULL ? ((LwSuggestion *) g_ptr_array_index (self->suggestions->next, gtk_list_box_row_get_index (row)))->couple : NULL;
}

static void
row_cb (LwFitOutcome *self)
{
  LwThermocouple *couple = chosen_couple (self);

  gtk_widget_set_sensitive (self->add, couple != NULL);
  g_signal_emit (self, chosen_signal, 0, couple);
}

static void
add_cb (LwFitOutcome *self)
{
  LwThermocouple *couple = chosen_couple (self);

  if (couple != NULL)
    g_signal_emit (self, add_signal, 0, couple);
}

static void
add_place (LwFitOutcome *self, const LwSuggestion *suggestion)
{
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12), *place = new_text (suggestion->text, NULL);
  g_autofree char *sure = lw_fit_half (self->suggestions, suggestion->half, lw_shown_units ());
  /* Translators: how sure a figure would be then, as "± 3.2 K". */
  g_autofree char *left = g_strdup_printf (_("leaves %s"), sure);
  GtkWidget *half = new_text (left, "numeric"), *line = gtk_list_box_row_new ();
  g_autofree char *heard = g_strdup_printf ("%s, %s", suggestion->text, left);

  gtk_widget_set_hexpand (place, TRUE);
  gtk_box_append (GTK_BOX (row), place);
  gtk_box_append (GTK_BOX (row), half);
  gtk_list_box_row_set_child (GTK_LIST_BOX_ROW (line), row);
  gtk_accessible_update_property (GTK_ACCESSIBLE (line), GTK_ACCESSIBLE_PROPERTY_LABEL, heard, -1);
  gtk_list_box_append (self->places, line);
}

static void
add_places (LwFitOutcome *self)
{
  const LwSuggestions *s = self->suggestions;
  g_autofree char *text = NULL, *before = NULL, *now = NULL;

  add_text (self, _("Where the next thermocouples tell most"), "section-title");
  if (s == NULL || s->next->len == 0) {
    add_text (self, s == NULL ? _("No limit of this plan depends on an uncertain figure.")
                              : _("No further thermocouple would make the tightest limit surer."), "quiet");
    return;
  }
  before = lw_fit_half (s, s->half_before, lw_shown_units ());
  now = lw_fit_half (s, s->half_now, lw_shown_units ());
  /* Translators: what the limit is about, part, then how sure its figure was and is, as "± 3.2 K". */
  text = g_strdup_printf (_("The tightest limit (%s, %s) was known within %s and is within %s now. Choose a place to see it on the "
                            "board."),
                          lw_finding_kind_label (s->kind), *s->ref != '\0' ? s->ref : _("board"), before, now);
  add_text (self, text, NULL);
  self->places = GTK_LIST_BOX (gtk_list_box_new ());
  gtk_widget_add_css_class (GTK_WIDGET (self->places), "operation-rows");
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->places), GTK_ACCESSIBLE_PROPERTY_LABEL, _("Places for thermocouples"), -1);
  for (guint i = 0; i < s->next->len; i++)
    add_place (self, g_ptr_array_index (s->next, i));
  g_signal_connect_swapped (self->places, "row-selected", G_CALLBACK (row_cb), self);
  self->add = gtk_button_new_with_mnemonic (_("_Add a Thermocouple There"));
  gtk_widget_set_halign (self->add, GTK_ALIGN_START);
  gtk_widget_set_sensitive (self->add, FALSE);
  g_signal_connect_swapped (self->add, "clicked", G_CALLBACK (add_cb), self);
  gtk_box_append (self->box, GTK_WIDGET (self->places));
  gtk_box_append (self->box, self->add);
}

/* ---- all of it ---- */

void
lw_fit_outcome_show (LwFitOutcome *self, const LwFitAnswer *fit, const LwSuggestions *suggestions)
{
  GtkWidget *child;

  g_return_if_fail (LW_IS_FIT_OUTCOME (self));
  self->fit = fit;
  self->suggestions = suggestions;
  if (self->places != NULL) /* an event it is handling may keep it longer than the button it talks to */
    g_signal_handlers_disconnect_by_func (self->places, row_cb, self);
  self->places = NULL;
  while ((child = gtk_widget_get_first_child (GTK_WIDGET (self->box))) != NULL)
    gtk_box_remove (self->box, child);
  if (fit == NULL)
    return;
  g_autofree char *headline = lw_fit_headline (fit), *apart = lw_fit_apart (fit, lw_shown_units ());
  add_text (self, headline, "panel-title");
  add_text (self, apart, NULL);
  for (guint i = 0; i < fit->remarks->len; i++)
    add_remark (self, i);
  add_figures (self);
  add_picture (self);
  add_strips (self);
  add_places (self);
}

static void
lw_fit_outcome_dispose (GObject *object)
{
  LwFitOutcome *self = LW_FIT_OUTCOME (object);

  if (self->box != NULL)
    gtk_widget_unparent (GTK_WIDGET (self->box));
  self->box = NULL;
  G_OBJECT_CLASS (lw_fit_outcome_parent_class)->dispose (object);
}

static void
lw_fit_outcome_class_init (LwFitOutcomeClass *class)
{
  G_OBJECT_CLASS (class)->dispose = lw_fit_outcome_dispose;
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (class), GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_css_name (GTK_WIDGET_CLASS (class), "fitoutcome");
  mend_signal = g_signal_new ("mend", LW_TYPE_FIT_OUTCOME, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_UINT);
  chosen_signal = g_signal_new ("chosen", LW_TYPE_FIT_OUTCOME, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_POINTER);
  add_signal = g_signal_new ("add", LW_TYPE_FIT_OUTCOME, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_POINTER);
}

static void
lw_fit_outcome_init (LwFitOutcome *self)
{
  self->box = GTK_BOX (gtk_box_new (GTK_ORIENTATION_VERTICAL, 8));
  gtk_widget_set_parent (GTK_WIDGET (self->box), GTK_WIDGET (self));
}
