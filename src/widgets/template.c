#include "widgets/template.h"

void
lw_template_dispose (GtkWidget *widget, GType type)
{
  GtkWidget *child;

  while ((child = gtk_widget_get_first_child (widget)) != NULL)
    gtk_widget_unparent (child);
  gtk_widget_dispose_template (widget, type);
}

void
lw_widget_set_tooltip (GtkWidget *widget, const char *text)
{
  if (g_strcmp0 (gtk_widget_get_tooltip_text (widget), text) != 0)
    gtk_widget_set_tooltip_text (widget, text);
}
