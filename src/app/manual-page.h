/* One chapter of the manual as widgets, in a column that can be scrolled. */
#ifndef LW_MANUAL_PAGE_H
#define LW_MANUAL_PAGE_H

#include <gtk/gtk.h>

#include "app/manual.h"

G_BEGIN_DECLS

#define LW_TYPE_MANUAL_PAGE (lw_manual_page_get_type ())
G_DECLARE_FINAL_TYPE (LwManualPage, lw_manual_page, LW, MANUAL_PAGE, GtkWidget)

/* Signal "link" (char *): a link was followed; it is told as the chapter writes it. */
GtkWidget *lw_manual_page_new (void);
/* Shows CHAPTER from BLOCK on (-1 = its top), the words of NEEDLE marked (NULL = none). */
void lw_manual_page_show (LwManualPage *self, const LwManualChapter *chapter, int block, const char *needle);
/* Shows that there is nothing to read, and why. */
void lw_manual_page_show_problem (LwManualPage *self, const char *title, const char *detail);
/* How far it is scrolled, and its keyboard. */
GtkAdjustment *lw_manual_page_scroll (LwManualPage *self);

G_END_DECLS

#endif
