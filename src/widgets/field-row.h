/* One value of the job in the inspector: its name, an entry with its unit, and under it, while the person
 * types, what is wrong with it. The last good value stays in the job until a better one is typed. */
#ifndef LW_FIELD_ROW_H
#define LW_FIELD_ROW_H

#include "widgets/desk.h"

G_BEGIN_DECLS

#define LW_TYPE_FIELD_ROW (lw_field_row_get_type ())
G_DECLARE_FINAL_TYPE (LwFieldRow, lw_field_row, LW, FIELD_ROW, GtkWidget)

/* A number at PATH (see board/edits.h), shown with at most DIGITS decimals and changed by STEP with the
 * arrow keys. ABSENT is shown for an unknown or absent value; NULL when a value is required. */
GtkWidget *lw_field_row_new_number (LwDesk *desk, const char *path, const char *title, const char *unit,
                                    int digits, double step, const char *absent);
/* Text at PATH; READ gives the current one from the job (transfer none). */
typedef const char *(*LwReadText) (const LwJob *job, const char *path);
GtkWidget *lw_field_row_new_text (LwDesk *desk, const char *path, const char *title, LwReadText read);

/* Limits of the station or the standard, told with the unit before the job's own checks. */
void lw_field_row_set_range (LwFieldRow *self, double low, double high);
/* The message under the field now; NULL when the text is good. */
const char *lw_field_row_message (LwFieldRow *self);
GtkEditable *lw_field_row_editable (LwFieldRow *self);
/* Where in the job the value stands (transfer none). */
const char *lw_field_row_path (LwFieldRow *self);
/* Hands the typed value over at once instead of when the person pauses. */
void lw_field_row_commit (LwFieldRow *self);

G_END_DECLS

#endif
