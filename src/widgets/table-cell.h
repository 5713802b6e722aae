/* A cell of a table that can be edited where it stands: F2, Enter or a double click opens it, Enter takes what
 * was typed, Tab takes it and goes on to the next cell of the row, Escape leaves all as it was. What is refused
 * stays open with the reason beside it. */
#ifndef LW_TABLE_CELL_H
#define LW_TABLE_CELL_H

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define LW_TYPE_TABLE_CELL (lw_table_cell_get_type ())
G_DECLARE_FINAL_TYPE (LwTableCell, lw_table_cell, LW, TABLE_CELL, GtkWidget)

/* Takes TEXT in; FALSE with ERROR when it is refused. */
typedef gboolean (*LwCellCommit) (LwTableCell *cell, const char *text, gpointer user, GError **error);

/* COMMIT NULL = to be read only. */
GtkWidget *lw_table_cell_new (gboolean numeric, LwCellCommit commit, gpointer user);
/* EDITED is what stands in the open cell, NULL = TEXT. */
void lw_table_cell_set_text (LwTableCell *self, const char *text, const char *edited);
void lw_table_cell_set_ellipsize (LwTableCell *self, gboolean ellipsize);
void lw_table_cell_edit (LwTableCell *self);
gboolean lw_table_cell_editing (LwTableCell *self);
/* The entry while it is open, else NULL; the reason shown beside it, else NULL. */
GtkEditable *lw_table_cell_editable (LwTableCell *self);
const char *lw_table_cell_message (LwTableCell *self);

G_END_DECLS

#endif
