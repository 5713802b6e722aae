#include "app/help-window.h"

#include <glib/gi18n.h>

#include "widgets/welcome.h"

struct _LwHelpWindow {
  GtkWindow parent_instance;
  GtkBox *body;
};

G_DEFINE_FINAL_TYPE (LwHelpWindow, lw_help_window, GTK_TYPE_WINDOW)

typedef struct {
  const char *title, *text;
} Entry;

static const Entry job[] = {
  { N_ ("Open a board"),
    N_ ("Open a Leeward job, or an IDF board with its library beside it. Parts whose height the file does not give "
        "are marked; a stated default is used for computing until you type the real one.") },
  { N_ ("Choose the part to rework"),
    N_ ("Use the drop-down in the header bar, or “Rework This Part” in a part’s menu or inspector. Every part keeps "
        "its own plan; choosing it again brings the plan back.") },
  { N_ ("Shape the plan"),
    N_ ("Drag the nozzle and the preheat area on the board, drag set points and stage ends in the profile, or type "
        "figures in the inspector. Every change is computed again and can be undone.") },
  { N_ ("Read the findings"),
    N_ ("Worst first. Choosing one shows its part and the moment at which it is worst. The lists under the board "
        "say the same as the pictures and can be used with the keyboard alone.") },
  { N_ ("Take it to the bench"),
    N_ ("“Print the Bench Sheet” (Ctrl+P) puts the plan on paper: where everything goes, set points, what the "
        "thermocouples should show, and when to stop. It states which solution its figures are from, and can be "
        "written as a PDF or as tables too.") },
};

static const Entry words[] = {
  { N_ ("Lee"),
    N_ ("Where a thermal shadow falls: a taller part keeps gas, spill or preheat from what stands behind it, so that "
        "it stays colder than its surroundings.") },
  { N_ ("Headroom"),
    N_ ("The distance between a limit and the predicted figure, on the safe side. “12 K left” is twelve kelvin of "
        "room; “3 K over” means that the limit is passed.") },
  { N_ ("Stop, watch, fine"),
    N_ ("The three grades of a finding. Stop (octagon): do not run this plan. Watch (triangle): it holds, but the "
        "headroom is less than the doubt. Fine (ring): room enough.") },
  { N_ ("Doubt"),
    N_ ("How far a figure may be off, from what is not known exactly: films, heights, copper, packages. It is shown "
        "after ±.") },
  { N_ ("Spill"), N_ ("Gas that leaves under the nozzle’s edge and runs along the board; it heats close neighbours.") },
  { N_ ("Liquidus"), N_ ("The temperature above which an alloy is wholly liquid.") },
};

static GtkWidget *
add_label (LwHelpWindow *self, const char *text, const char *class)
{
  GtkWidget *label = gtk_label_new (text);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 70);
  if (class != NULL)
    gtk_widget_add_css_class (label, class);
  gtk_box_append (self->body, label);
  return label;
}

static void
add_entries (LwHelpWindow *self, const char *heading, const Entry *entries, guint n)
{
  add_label (self, heading, "help-heading");
  for (guint i = 0; i < n; i++) {
    add_label (self, _(entries[i].title), "panel-title");
    add_label (self, _(entries[i].text), NULL);
  }
}

static void
lw_help_window_dispose (GObject *object)
{
  gtk_widget_dispose_template (GTK_WIDGET (object), LW_TYPE_HELP_WINDOW);
  G_OBJECT_CLASS (lw_help_window_parent_class)->dispose (object);
}

static void
lw_help_window_class_init (LwHelpWindowClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  G_OBJECT_CLASS (class)->dispose = lw_help_window_dispose;
  gtk_widget_class_set_template_from_resource (widget_class, "/org/leeward/Leeward/ui/help-window.ui");
  gtk_widget_class_bind_template_child (widget_class, LwHelpWindow, body);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Escape, 0, "window.close", NULL);
}

static void
lw_help_window_init (LwHelpWindow *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  add_label (self, _("Cautions"), "help-heading");
  lw_cautions_add (self->body);
  add_entries (self, _("How a job goes"), job, G_N_ELEMENTS (job));
  add_entries (self, _("Words"), words, G_N_ELEMENTS (words));
}

GtkWidget *
lw_help_window_new (GtkWindow *parent)
{
  return g_object_new (LW_TYPE_HELP_WINDOW, "transient-for", parent, NULL);
}
