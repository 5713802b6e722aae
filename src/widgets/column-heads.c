#include "widgets/column-heads.h"

/* GTK has no property for it: in the first row of a column view stand the titles, each a label in a box. */
void
lw_column_head_at_end (GtkColumnView *view)
{
  GtkWidget *heads, *title, *box, *label;

  g_return_if_fail (GTK_IS_COLUMN_VIEW (view));
  heads = gtk_widget_get_first_child (GTK_WIDGET (view));
  title = heads ? gtk_widget_get_last_child (heads) : NULL;
  box = title ? gtk_widget_get_first_child (title) : NULL;
  label = box ? gtk_widget_get_first_child (box) : NULL;
  if (!GTK_IS_LABEL (label))
    return;
  gtk_widget_set_hexpand (label, TRUE);
  gtk_label_set_xalign (GTK_LABEL (label), 1.0f);
}
