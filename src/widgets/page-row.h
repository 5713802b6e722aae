/* Names of a stack's pages in one row. Those that find no room stand in a menu at its end; the page in view keeps
 * its place in the row. */
#ifndef LW_PAGE_ROW_H
#define LW_PAGE_ROW_H

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define LW_TYPE_PAGE_ROW (lw_page_row_get_type ())
G_DECLARE_FINAL_TYPE (LwPageRow, lw_page_row, LW, PAGE_ROW, GtkWidget)

/* Property "stack", given once. The stack's pages are those it has now: they may be renamed, not added or taken away. */

G_END_DECLS

#endif
