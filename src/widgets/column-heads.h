/* Headings over columns of figures: at the same end as the figures. */
#ifndef LW_COLUMN_HEADS_H
#define LW_COLUMN_HEADS_H

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* Puts the heading of the column appended last to VIEW at its end, as the figures under it are. */
void lw_column_head_at_end (GtkColumnView *view);

G_END_DECLS

#endif
