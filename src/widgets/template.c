#include "widgets/template.h"

void
lw_template_dispose (GtkWidget *widget, GType type)
{
  GtkWidget *child;

  while ((child = gtk_widget_get_first_child (widget)) != NULL)
    gtk_widget_unparent (child);
  gtk_widget_dispose_template (widget, type);
}
