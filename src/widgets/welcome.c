#include "widgets/welcome.h"

#include "plan/bench.h"
#include "widgets/recent.h"
#include "widgets/template.h"

#define MOST_RECENT 5

struct _LwWelcome {
  GtkWidget parent_instance;
  GtkBox *cautions, *recent, *recent_files;
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

static void
add_cautions (GtkBox *box)
{
  for (guint i = 0; lw_bench_caution (i) != NULL; i++)
    add_caution (box, lw_bench_caution (i));
}

/* ---- recent files ---- */

static GtkWidget *
recent_new (GtkRecentInfo *info)
{
  g_autofree char *folder = gtk_recent_info_get_uri_display (info);
  GtkWidget *button = gtk_button_new_with_label (gtk_recent_info_get_display_name (info));
  GtkWidget *label = gtk_button_get_child (GTK_BUTTON (button));

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_MIDDLE);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 34);
  gtk_widget_set_tooltip_text (button, folder);
  gtk_widget_add_css_class (button, "flat");
  gtk_widget_add_css_class (button, "recent-file");
  gtk_actionable_set_action_name (GTK_ACTIONABLE (button), "win.open-uri");
  gtk_actionable_set_action_target (GTK_ACTIONABLE (button), "s", gtk_recent_info_get_uri (info));
  return button;
}

/* Only while it can be seen: asking the disk about each file is not for every window. */
static void
fill_recent (LwWelcome *self)
{
  g_autoptr (GPtrArray) files = gtk_widget_get_mapped (GTK_WIDGET (self)) ? lw_recent_files (MOST_RECENT) : NULL;
  GtkWidget *child;

  if (files == NULL)
    return;
  while ((child = gtk_widget_get_first_child (GTK_WIDGET (self->recent_files))) != NULL)
    gtk_box_remove (self->recent_files, child);
  for (guint i = 0; i < files->len; i++)
    gtk_box_append (self->recent_files, recent_new (g_ptr_array_index (files, i)));
  gtk_widget_set_visible (GTK_WIDGET (self->recent), files->len > 0);
}

static void
lw_welcome_map (GtkWidget *widget)
{
  GTK_WIDGET_CLASS (lw_welcome_parent_class)->map (widget);
  fill_recent (LW_WELCOME (widget));
}

/* ---- the object ---- */

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
  gtk_widget_class_bind_template_child (widget_class, LwWelcome, recent);
  gtk_widget_class_bind_template_child (widget_class, LwWelcome, recent_files);
  widget_class->map = lw_welcome_map;
}

static void
lw_welcome_init (LwWelcome *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  add_cautions (self->cautions);
  g_signal_connect_object (gtk_recent_manager_get_default (), "changed", G_CALLBACK (fill_recent), self,
                           G_CONNECT_SWAPPED);
}
