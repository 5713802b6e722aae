#include "widgets/text-scale.h"

#include <math.h>

#define USUAL_DPI 96.0
#define LARGEST 3.0
#define FEWEST_CHARS 3

double
lw_text_scale (GtkWidget *widget)
{
  int dpi = 0;

  g_object_get (gtk_widget_get_settings (widget), "gtk-xft-dpi", &dpi, NULL);
  return dpi > 0 ? CLAMP (dpi / 1024.0 / USUAL_DPI, 1, LARGEST) : 1;
}

static void
fit (GtkLabel *label)
{
  int chars = GPOINTER_TO_INT (g_object_get_data (G_OBJECT (label), "chars"));
  int fewest = GPOINTER_TO_INT (g_object_get_data (G_OBJECT (label), "fewest"));
  double scale = lw_text_scale (GTK_WIDGET (label));

  gtk_label_set_width_chars (label, MAX ((int) floor (chars / (scale * scale)), MAX (fewest, FEWEST_CHARS)));
}

void
lw_label_keep_width (GtkLabel *label, int chars)
{
  g_return_if_fail (GTK_IS_LABEL (label));

  g_object_set_data (G_OBJECT (label), "chars", GINT_TO_POINTER (chars));
  g_signal_connect_object (gtk_widget_get_settings (GTK_WIDGET (label)), "notify::gtk-xft-dpi", G_CALLBACK (fit), label,
                           G_CONNECT_SWAPPED);
  fit (label);
}

void
lw_label_keep_room (GtkLabel *label, int fewest)
{
  g_return_if_fail (GTK_IS_LABEL (label));

  g_object_set_data (G_OBJECT (label), "fewest", GINT_TO_POINTER (fewest));
  fit (label);
}
