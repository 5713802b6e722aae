#include "widgets/welcome.h"

#include "plan/bench.h"
#include "widgets/template.h"

struct _LwWelcome {
  GtkWidget parent_instance;
  GtkBox *cautions;
};

G_DEFINE_FINAL_TYPE (LwWelcome, lw_welcome, GTK_TYPE_WIDGET)

static void
add_caution (GtkBox *box, const char *text)
{
  GtkWidget *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  GtkWidget *mark = gtk_label_new ("•"), *label = gtk_label_new (text);

  gtk_widget_set_valign (mark, GTK_ALIGN_START);
  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 72);
  gtk_widget_set_hexpand (label, TRUE);
  gtk_widget_add_css_class (line, "caution-line");
  gtk_box_append (GTK_BOX (line), mark);
  gtk_box_append (GTK_BOX (line), label);
  gtk_box_append (box, line);
}

void
lw_cautions_add (GtkBox *box)
{
  for (guint i = 0; lw_bench_caution (i) != NULL; i++)
    add_caution (box, lw_bench_caution (i));
}

static void
lw_welcome_dispose (GObject *object)
{
  lw_template_dispose (GTK_WIDGET (object), LW_TYPE_WELCOME);
  G_OBJECT_CLASS (lw_welcome_parent_class)->dispose (object);
}

static void
lw_welcome_class_init (LwWelcomeClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  G_OBJECT_CLASS (class)->dispose = lw_welcome_dispose;
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "welcome");
  gtk_widget_class_set_template_from_resource (widget_class, "/org/leeward/Leeward/ui/welcome.ui");
  gtk_widget_class_bind_template_child (widget_class, LwWelcome, cautions);
}

static void
lw_welcome_init (LwWelcome *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  lw_cautions_add (self->cautions);
}
