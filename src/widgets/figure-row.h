/* One figure of a drawing being typed: its letter and name, an entry, its unit, and under it what is wrong. Unlike a
 * field row it belongs to no job. */
#ifndef LW_FIGURE_ROW_H
#define LW_FIGURE_ROW_H

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define LW_TYPE_FIGURE_ROW (lw_figure_row_get_type ())
G_DECLARE_FINAL_TYPE (LwFigureRow, lw_figure_row, LW, FIGURE_ROW, GtkBox)

/* Signals "changed" (typed by a person) and "focused". LETTER may be "". */
GtkWidget *lw_figure_row_new (const char *letter, const char *title, const char *unit);
void lw_figure_row_set_value (LwFigureRow *self, double value); /* NaN = empty */
/* What stands there in grey while nothing is typed; NaN = nothing. */
void lw_figure_row_set_usual (LwFigureRow *self, double value);
/* FALSE when what is typed is no number; empty reads as NaN. */
gboolean lw_figure_row_read (LwFigureRow *self, double *value);
void lw_figure_row_set_message (LwFigureRow *self, const char *text); /* NULL = all is well */
const char *lw_figure_row_message (LwFigureRow *self);
GtkEditable *lw_figure_row_editable (LwFigureRow *self);

G_END_DECLS

#endif
