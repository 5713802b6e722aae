/* Parts from the clipboard's text, whether our own or rows of a table. */
#ifndef LW_PART_PASTE_H
#define LW_PART_PASTE_H

#include "widgets/desk.h"

G_BEGIN_DECLS

/* The middle of whole parts goes to TO (NULL, or off the board: where they came from). What is pasted is
 * selected; what is refused is told. */
gboolean lw_parts_paste (LwDesk *desk, const char *text, const LwPoint *to);
/* Reads the clipboard of WIDGET first; TO is copied. */
void lw_parts_paste_clipboard (LwDesk *desk, GtkWidget *widget, const LwPoint *to);

G_END_DECLS

#endif
