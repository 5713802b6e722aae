/* A plain table of rows that are edited in place: the owner says what stands in a cell and takes in what is typed. */
#ifndef LW_EDIT_TABLE_H
#define LW_EDIT_TABLE_H

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define LW_TYPE_EDIT_TABLE (lw_edit_table_get_type ())
G_DECLARE_FINAL_TYPE (LwEditTable, lw_edit_table, LW, EDIT_TABLE, GtkWidget)

typedef struct {
  const char *title;                        /* msgid with context "column" */
  char *(*text) (gpointer user, guint row); /* transfer full */
  gboolean (*commit) (gpointer user, guint row, const char *text, GError **error); /* NULL = only read */
  gboolean numeric, expand;
} LwTableColumn;

/* COLUMNS ends with a NULL title and is kept. Signal "row-chosen" (int row): the person chose a row, -1 = none. */
GtkWidget *lw_edit_table_new (const LwTableColumn *columns, const char *label, gpointer user);
/* All cells are read again; selection and scrolling stay. */
void lw_edit_table_refresh (LwEditTable *self, guint n_rows);
/* Selects without telling. */
void lw_edit_table_choose (LwEditTable *self, int row);
int lw_edit_table_chosen (LwEditTable *self);

G_END_DECLS

#endif
