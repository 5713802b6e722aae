/* What a picture or a table shows, as a list for everybody: a row for each thing, figures in columns, gone through with the arrows and
 * heard row by row with the heads of the columns. */
#ifndef LW_TOLD_LIST_H
#define LW_TOLD_LIST_H

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define LW_TYPE_TOLD_LIST (lw_told_list_get_type ())
G_DECLARE_FINAL_TYPE (LwToldList, lw_told_list, LW, TOLD_LIST, GtkWidget)

#define LW_TOLD_COLUMNS_MOST 7

/* NAME is what the list is called when it is heard. */
GtkWidget *lw_told_list_new (const char *name);
/* Columns of figures as wide as those of OTHER, which shows the heads for both: SELF shows none. */
void lw_told_list_follow (LwToldList *self, LwToldList *other);
/* The last column holds words too; before the first telling. */
void lw_told_list_end_in_words (LwToldList *self);
/* A telling: begun with the heads (NULL after the last; the first is that of the words), then row by row with as many cells, then ended:
 * rows of the telling before that are left over go. Rows that are there already are kept, and the keyboard on them. */
void lw_told_list_begin (LwToldList *self, const char *const *heads);
void lw_told_list_add (LwToldList *self, const char *const *cells);
/* A style class for a cell of the row just added, until it is told again. */
void lw_told_list_mark (LwToldList *self, guint column, const char *class);
/* A sentence across all columns. */
void lw_told_list_add_text (LwToldList *self, const char *text);
void lw_told_list_end (LwToldList *self);
/* Text of a cell, "" where there is none; for tests. */
const char *lw_told_list_cell (LwToldList *self, guint row, guint column);
guint lw_told_list_length (LwToldList *self);

G_END_DECLS

#endif
