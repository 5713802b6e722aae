/* Parts put on the board by typing: one form, filled in again and again. */
#ifndef LW_PART_ENTRY_H
#define LW_PART_ENTRY_H

#include "widgets/desk.h"
#include "widgets/form.h"

G_BEGIN_DECLS

/* Over PARENT; the first part is offered at AT with PACKAGE (may be NULL). Rows: "ref", "package", "value", "x",
 * "y", "rotation", "side". */
LwForm *lw_part_entry_new (GtkWidget *parent, LwDesk *desk, const char *package, LwPoint at);

/* Puts one part on the board and selects it; its reference gives way to a free one when REF is NULL. FALSE with
 * ERROR when it may not stand there. */
gboolean lw_part_entry_place (LwDesk *desk, const char *ref, const char *package, const char *value, LwPoint at,
                              double rotation_deg, LwSide side, GError **error);

G_END_DECLS

#endif
