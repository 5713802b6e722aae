/* What was said when a file was read, in a window of its own that can be opened again. */
#ifndef LW_REMARKS_H
#define LW_REMARKS_H

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* WARNINGS: of LwImportWarning. FORMAT may be NULL. */
void lw_remarks_show (GtkWindow *parent, const char *format, const GPtrArray *warnings);

G_END_DECLS

#endif
