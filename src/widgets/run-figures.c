#include "widgets/run-figures.h"

#include <math.h>
#include <string.h>

#include <glib/gi18n.h>

#include "draw/run-picture.h"
#include "widgets/canvas.h"
#include "widgets/shown-units.h"
#include "widgets/told-list.h"

struct _LwRunFigures {
  GtkWidget parent_instance;
  GtkBox *box;             /* lists of figures, and lines that go across all columns */
  LwToldList *list, *first; /* the last of them while it takes more rows, or NULL; the one with the heads */
  const char *about;       /* whose figures are being put; NULL = the whole run's */
  gboolean filling;
  guint idle; /* a choice is to be told */
  guint chosen_column;
  char *chosen;
};

G_DEFINE_FINAL_TYPE (LwRunFigures, lw_run_figures, GTK_TYPE_WIDGET)

static guint mapped_signal;

/* Filled before it gets its place: GTK keeps the way a box asks for room, and misses that lines which wrap came in later. */
static void
new_box (LwRunFigures *self)
{
  g_clear_pointer ((GtkWidget **) &self->box, gtk_widget_unparent);
  self->box = GTK_BOX (gtk_box_new (GTK_ORIENTATION_VERTICAL, 2));
  self->list = self->first = NULL;
}

/* Across all columns. Not in a grid, which makes too little room for a line that wraps over several columns. */
static void
put_across (LwRunFigures *self, GtkWidget *widget)
{
  gtk_box_append (self->box, widget);
  self->list = NULL;
}

static void
put_text (LwRunFigures *self, const char *text, const char *class)
{
  GtkWidget *label = gtk_label_new (text);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 40);
  if (class != NULL)
    gtk_widget_add_css_class (label, class);
  put_across (self, label);
}

/* The list that takes the next figures; the first shows the heads for all. */
static LwToldList *
list_of (LwRunFigures *self)
{
  const char *const heads[] = { "", _ ("Plan"), _ ("Run"), _ ("Difference"), NULL };

  if (self->list == NULL) {
    self->list = LW_TOLD_LIST (lw_told_list_new (self->about != NULL ? self->about : _ ("Figures of the run")));
    if (self->first != NULL)
      lw_told_list_follow (self->list, self->first);
    else
      self->first = self->list;
    lw_told_list_begin (self->list, heads);
    gtk_box_append (self->box, GTK_WIDGET (self->list));
  }
  return self->list;
}

static double
rounded (double value, const char *unit, int digits)
{
  double scale = pow (10, digits);

  return round (lw_units_shown (lw_shown_units (), value, unit) * scale) / scale + 0.0; /* no "-0" */
}

static char *
number_text (double shown, int digits, gboolean sign)
{
  return isnan (shown) ? g_strdup ("–") : g_strdup_printf (sign ? "%+.*f" : "%.*f", digits, shown);
}

/* The difference is that of the figures beside it: 292, 290 and +1 would look like a mistake. */
static void
put_figure (LwRunFigures *self, const char *name, const char *unit, int digits, double plan, double run)
{
  g_autofree char *title = g_strdup_printf ("%s, %s", name, lw_units_word (lw_shown_units (), unit));
  double shown_plan = rounded (plan, unit, digits), shown_run = rounded (run, unit, digits);
  g_autofree char *should = number_text (shown_plan, digits, FALSE), *is = number_text (shown_run, digits, FALSE);
  g_autofree char *apart = number_text (shown_plan - shown_run + 0.0, digits, TRUE);

  lw_told_list_add (list_of (self), (const char *const[]){ title, should, is, apart, NULL });
}

/* ---- which thermocouple ---- */

static void
draw_mark_cb (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer column)
{
  LwLook look = lw_widget_look (GTK_WIDGET (area));

  cairo_move_to (cr, 0, height / 2.0);
  cairo_line_to (cr, width, height / 2.0);
  LwColor color = lw_run_color (GPOINTER_TO_UINT (column), look);
  cairo_set_source_rgba (cr, color.r, color.g, color.b, color.a);
  cairo_set_line_width (cr, 1.8);
  cairo_stroke (cr);
  lw_draw_run_mark (cr, width / 2.0, height / 2.0, 4.2, GPOINTER_TO_UINT (column), look);
}

static gboolean
tell_choice_cb (gpointer user)
{
  LwRunFigures *self = user;
  g_autofree char *chosen = g_steal_pointer (&self->chosen);

  self->idle = 0;
  g_signal_emit (self, mapped_signal, 0, self->chosen_column, chosen);
  return G_SOURCE_REMOVE;
}

/* Told a moment later: the table is made anew then, and this choice with it. */
static void
chosen_cb (GtkDropDown *choice, GParamSpec *pspec, LwRunFigures *self)
{
  guint chosen = gtk_drop_down_get_selected (choice);
  GtkStringList *names = GTK_STRING_LIST (gtk_drop_down_get_model (choice));

  if (self->filling || chosen == GTK_INVALID_LIST_POSITION)
    return;
  g_free (self->chosen);
  self->chosen = g_strdup (chosen == 0 ? "" : gtk_string_list_get_string (names, chosen));
  self->chosen_column = GPOINTER_TO_UINT (g_object_get_data (G_OBJECT (choice), "column"));
  if (self->idle == 0)
    self->idle = g_idle_add (tell_choice_cb, self);
}

static GtkWidget *
new_choice (LwRunFigures *self, const LwPlan *plan, const LwCompared *c)
{
  GtkStringList *names = gtk_string_list_new (NULL);
  GtkWidget *choice;
  guint selected = 0;
  g_autofree char *label = g_strdup_printf (_ ("Thermocouple that “%s” recorded"), c->name);

  gtk_string_list_append (names, _ ("none of the plan"));
  for (guint i = 0; i < plan->thermocouples->len; i++) {
    const char *name = ((const LwThermocouple *) g_ptr_array_index (plan->thermocouples, i))->name;

    if (name[0] == '\0')
      continue;
    gtk_string_list_append (names, name);
    if (c->couple == (int) i)
      selected = g_list_model_get_n_items (G_LIST_MODEL (names)) - 1;
  }
  choice = gtk_drop_down_new (G_LIST_MODEL (names), NULL);
  gtk_drop_down_set_selected (GTK_DROP_DOWN (choice), selected);
  g_object_set_data (G_OBJECT (choice), "column", GUINT_TO_POINTER (c->column));
  gtk_accessible_update_property (GTK_ACCESSIBLE (choice), GTK_ACCESSIBLE_PROPERTY_LABEL, label, -1);
  g_signal_connect (choice, "notify::selected", G_CALLBACK (chosen_cb), self);
  return choice;
}

static void
put_head (LwRunFigures *self, const LwPlan *plan, const LwCompared *c, gboolean first)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *mark = gtk_drawing_area_new (), *name = gtk_label_new (c->name);

  gtk_drawing_area_set_content_width (GTK_DRAWING_AREA (mark), 30);
  gtk_drawing_area_set_content_height (GTK_DRAWING_AREA (mark), 16);
  gtk_drawing_area_set_draw_func (GTK_DRAWING_AREA (mark), draw_mark_cb, GUINT_TO_POINTER (c->column), NULL);
  gtk_widget_set_valign (mark, GTK_ALIGN_CENTER);
  gtk_label_set_ellipsize (GTK_LABEL (name), PANGO_ELLIPSIZE_END);
  gtk_label_set_xalign (GTK_LABEL (name), 0);
  gtk_label_set_width_chars (GTK_LABEL (name), 6);
  gtk_widget_set_hexpand (name, TRUE);
  gtk_widget_set_tooltip_text (name, c->name);
  gtk_box_append (GTK_BOX (box), mark);
  gtk_box_append (GTK_BOX (box), name);
  gtk_box_append (GTK_BOX (box), new_choice (self, plan, c));
  gtk_widget_set_margin_top (box, first ? 0 : 8);
  put_across (self, box);
}

static void
put_column (LwRunFigures *self, const LwPlan *plan, const LwComparison *run, const LwCompared *c, gboolean first)
{
  g_autofree char *low = g_strdup_printf ("%.0f", lw_units_shown (lw_shown_units (), run->soak_low_c, "°C"));
  g_autofree char *soak = g_strdup_printf (_ ("%s to %.0f %s"), low, lw_units_shown (lw_shown_units (), run->soak_high_c, "°C"),
                                           lw_units_word (lw_shown_units (), "°C"));
  g_autofree char *above = g_strdup_printf (_ ("Above %.0f %s"), lw_units_shown (lw_shown_units (), run->liquidus_c, "°C"),
                                            lw_units_word (lw_shown_units (), "°C"));

  put_head (self, plan, c, first);
  self->about = c->name;
  put_figure (self, _ ("Peak"), "°C", 1, c->plan.peak_c, c->run.peak_c);
  put_figure (self, _ ("Peak at"), "s", 0, c->plan.peak_s, c->run.peak_s);
  put_figure (self, _ ("Fastest rise"), "°C/s", 2, c->plan.ramp_up_c_per_s, c->run.ramp_up_c_per_s);
  put_figure (self, _ ("Fastest fall"), "°C/s", 2, c->plan.ramp_down_c_per_s, c->run.ramp_down_c_per_s);
  put_figure (self, soak, "s", 0, c->plan.soak_s, c->run.soak_s);
  if (!isnan (run->liquidus_c))
    put_figure (self, above, "s", 0, c->plan.above_liquidus_s, c->run.above_liquidus_s);
  if (c->n > 0) {
    g_autofree char *text = g_strdup_printf (_ ("Plan minus run: mean %+.1f K, root mean square %.1f K, most %+.1f K at %.0f s"), c->mean_k,
                                             c->rms_k, c->most_k, c->most_s);
    g_autofree char *shown = lw_units_sentence (lw_shown_units (), text);

    lw_told_list_add_text (list_of (self), shown);
  }
  self->about = NULL;
}

void
lw_run_figures_show (LwRunFigures *self, const LwPlan *plan, const LwComparison *run)
{
  g_return_if_fail (LW_IS_RUN_FIGURES (self));
  self->filling = TRUE;
  new_box (self);
  if (run != NULL && plan != NULL) {
    for (guint i = 0; i < run->remarks->len; i++)
      put_text (self, g_ptr_array_index (run->remarks, i), "remark");
    if (!isnan (run->run_spread_k))
      put_figure (self, _ ("Spread of peaks"), "K", 1, run->plan_spread_k, run->run_spread_k);
    for (guint i = 0; i < run->columns->len; i++)
      put_column (self, plan, run, g_ptr_array_index (run->columns, i), i == 0);
  }
  gtk_widget_set_parent (GTK_WIDGET (self->box), GTK_WIDGET (self));
  self->filling = FALSE;
}

/* ---- the object ---- */

static GtkSizeRequestMode
lw_run_figures_get_request_mode (GtkWidget *widget)
{
  return GTK_SIZE_REQUEST_HEIGHT_FOR_WIDTH;
}

static void
lw_run_figures_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural, int *minimum_baseline,
                        int *natural_baseline)
{
  gtk_widget_measure (GTK_WIDGET (LW_RUN_FIGURES (widget)->box), orientation, for_size, minimum, natural, minimum_baseline,
                      natural_baseline);
}

static void
lw_run_figures_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  gtk_widget_allocate (GTK_WIDGET (LW_RUN_FIGURES (widget)->box), width, height, baseline, NULL);
}

static void
lw_run_figures_dispose (GObject *object)
{
  LwRunFigures *self = LW_RUN_FIGURES (object);

  if (self->idle != 0)
    g_source_remove (self->idle);
  self->idle = 0;
  g_clear_pointer (&self->chosen, g_free);
  if (self->box != NULL)
    gtk_widget_unparent (GTK_WIDGET (self->box));
  self->box = NULL;
  self->list = self->first = NULL;
  G_OBJECT_CLASS (lw_run_figures_parent_class)->dispose (object);
}

static void
lw_run_figures_class_init (LwRunFiguresClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  G_OBJECT_CLASS (class)->dispose = lw_run_figures_dispose;
  widget_class->get_request_mode = lw_run_figures_get_request_mode;
  widget_class->measure = lw_run_figures_measure;
  widget_class->size_allocate = lw_run_figures_size_allocate;
  gtk_widget_class_set_css_name (widget_class, "runfigures");
  mapped_signal = g_signal_new ("mapped", LW_TYPE_RUN_FIGURES, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 2, G_TYPE_UINT,
                                G_TYPE_STRING);
}

static void
lw_run_figures_init (LwRunFigures *self)
{
  new_box (self);
  gtk_widget_set_parent (GTK_WIDGET (self->box), GTK_WIDGET (self));
}
