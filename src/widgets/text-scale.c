#include "widgets/text-scale.h"

#include <math.h>

#define USUAL_DPI 96.0
#define FEWEST_CHARS 3

static void
fit (GtkLabel *label)
{
  int chars = GPOINTER_TO_INT (g_object_get_data (G_OBJECT (label), "chars")), dpi = 0;
  double scale;

  g_object_get (gtk_widget_get_settings (GTK_WIDGET (label)), "gtk-xft-dpi", &dpi, NULL);
  scale = dpi > 0 ? fmax (dpi / 1024.0 / USUAL_DPI, 1) : 1;
  gtk_label_set_width_chars (label, MAX ((int) floor (chars / (scale * scale)), FEWEST_CHARS));
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
