/* Controls in a row that goes on in the next line where it finds no room: large text and long words cut none of them. */
#ifndef LW_WRAP_ROW_H
#define LW_WRAP_ROW_H

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define LW_TYPE_WRAP_ROW (lw_wrap_row_get_type ())
G_DECLARE_FINAL_TYPE (LwWrapRow, lw_wrap_row, LW, WRAP_ROW, GtkWidget)

/* Children stand in their order; one that expands takes what is left of its line. */
GtkWidget *lw_wrap_row_new (void);
void lw_wrap_row_append (LwWrapRow *self, GtkWidget *child);

G_END_DECLS

#endif
