/* Parts as text: what goes through the clipboard between windows (JSON of our own, whole parts with the
 * packages they need) and tables to and from a spreadsheet (tab-separated). */
#ifndef LW_PART_TEXT_H
#define LW_PART_TEXT_H

#include "board/job.h"

G_BEGIN_DECLS

/* PARTS: GArray of guint. (transfer full) */
char *lw_parts_to_text (const LwJob *job, const GArray *parts);
/* Whether TEXT looks like the above. */
gboolean lw_parts_text_is_ours (const char *text);
/* PARTS (of LwPart) and PACKAGES (of LwPackage), both transfer full; FALSE with ERROR (LW_FILE_ERROR). */
gboolean lw_parts_from_text (const char *text, GPtrArray **parts, GPtrArray **packages, GError **error);

/* A heading row, then one row a part: ref, package, value, x, y, rotation, side, height, locked. */
char *lw_parts_to_table (const LwJob *job, const GArray *parts);
/* Takes rows in: a row whose reference the job has changes that part, another one adds it. The first row may
 * name the columns, in any order (the words above, "reference", "designator", "x_mm" and the like); without
 * such a row they stand in the order above. Cells left empty change nothing. Points and commas both end the
 * whole part of a number. The first fault refuses the whole: ERROR names its row, column and text. TOUCHED (may
 * be NULL) receives the parts' indices. (transfer full) */
LwJob *lw_edit_paste_table (const LwJob *job, const char *text, GArray **touched, GError **error);

G_END_DECLS

#endif
