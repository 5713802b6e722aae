/* What the windows that ask how a text table reads share: its lines in a grid, a choice above each column, the list of
 * separators, and what comes of it. */
#ifndef LW_COLUMN_GRID_H
#define LW_COLUMN_GRID_H

#include <gtk/gtk.h>

G_BEGIN_DECLS

enum { LW_COLUMN_GRID_ROWS = 12, LW_COLUMN_GRID_COLUMNS = 24 }; /* shown at most */

/* The place of what COLUMN (from 0) holds in its list of choices. */
typedef guint (*LwColumnChoice) (gpointer user, guint column);

/* Puts ROWS (of LwCentroidRow; NULL is none) from the FROM-th on into the emptied GRID, comments and lines before FIRST_LINE
 * quietly. Returns how many columns they have, at most LW_COLUMN_GRID_COLUMNS. */
guint lw_column_grid_fill (GtkGrid *grid, const GPtrArray *rows, guint from, guint first_line);
/* A choice among NAMES (taken) above COLUMN; CHOSEN hears "notify::selected" with USER. */
void lw_column_grid_add_choice (GtkGrid *grid, guint column, GtkStringList *names, guint selected, GCallback chosen, gpointer user);
/* Sets every choice to what CHOICE says. */
void lw_column_grid_show_choices (GtkGrid *grid, LwColumnChoice choice, gpointer user);
/* The column that a choice stands above. */
guint lw_column_grid_column (GtkDropDown *choice);

/* LIST holds the separators in the order of the windows' templates; one that is not among them changes nothing, and
 * nothing chosen is '\0'. */
void lw_delimiter_list_set (GtkDropDown *list, char delimiter);
char lw_delimiter_list_get (GtkDropDown *list);

/* TEXT in OUTCOME, as a fault or not. */
void lw_outcome_show (GtkLabel *outcome, const char *text, gboolean fault);

G_END_DECLS

#endif
