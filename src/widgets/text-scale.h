/* Large text in narrow places. */
#ifndef LW_TEXT_SCALE_H
#define LW_TEXT_SCALE_H

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* How large the desktop's text is beside the usual; at least 1, at most 3. */
double lw_text_scale (GtkWidget *widget);

/* Keeps LABEL, which ellipsizes, at least as wide as CHARS characters are at the usual size of text: with larger text
 * it holds fewer of them, so that what stands in one line with it still fits a small screen. */
void lw_label_keep_width (GtkLabel *label, int chars);
/* However large the text, LABEL of the call above keeps room for FEWEST characters. */
void lw_label_keep_room (GtkLabel *label, int fewest);

G_END_DECLS

#endif
