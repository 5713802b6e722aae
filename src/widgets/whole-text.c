#include "widgets/whole-text.h"

static gboolean
label_cb (GtkWidget *widget, int x, int y, gboolean keyboard, GtkTooltip *tooltip, gpointer user)
{
  GtkLabel *label = GTK_LABEL (widget);

  if (!pango_layout_is_ellipsized (gtk_label_get_layout (label)))
    return FALSE;
  gtk_tooltip_set_text (tooltip, gtk_label_get_text (label));
  return TRUE;
}

static gboolean
entry_cb (GtkWidget *widget, int x, int y, gboolean keyboard, GtkTooltip *tooltip, gpointer user)
{
  GtkEditable *inside = gtk_editable_get_delegate (GTK_EDITABLE (widget));
  const char *text = gtk_editable_get_text (GTK_EDITABLE (widget));
  g_autofree char *hint = NULL;
  g_autoptr (PangoLayout) layout = NULL;
  int width;

  g_object_get (widget, "placeholder-text", &hint, NULL);
  if (*text == '\0')
    text = hint;
  if (text == NULL)
    return FALSE;
  layout = gtk_widget_create_pango_layout (GTK_WIDGET (inside), text);
  pango_layout_get_pixel_size (layout, &width, NULL);
  if (width <= gtk_widget_get_width (GTK_WIDGET (inside)))
    return FALSE;
  gtk_tooltip_set_text (tooltip, text);
  return TRUE;
}

void
lw_tell_whole_text (GtkWidget *widget)
{
  g_return_if_fail (GTK_IS_LABEL (widget) || GTK_IS_ENTRY (widget) || GTK_IS_SEARCH_ENTRY (widget));
  gtk_widget_set_has_tooltip (widget, TRUE);
  g_signal_connect (widget, "query-tooltip", GTK_IS_LABEL (widget) ? G_CALLBACK (label_cb) : G_CALLBACK (entry_cb), NULL);
}
