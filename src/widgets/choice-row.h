/* One choice of the job in the inspector: its name and a drop-down. */
#ifndef LW_CHOICE_ROW_H
#define LW_CHOICE_ROW_H

#include "widgets/desk.h"

G_BEGIN_DECLS

#define LW_TYPE_CHOICE_ROW (lw_choice_row_get_type ())
G_DECLARE_FINAL_TYPE (LwChoiceRow, lw_choice_row, LW, CHOICE_ROW, GtkWidget)

/* The word at a path now (transfer none; NULL = none of them). */
typedef const char *(*LwReadWord) (const LwJob *job, const char *path);

/* WORDS are written to PATH (board/edits.h), LABELS shown for them; both NULL-terminated, copied. */
GtkWidget *lw_choice_row_new (LwDesk *desk, const char *path, const char *title, const char *const *words,
                              const char *const *labels, LwReadWord read);
GtkDropDown *lw_choice_row_drop_down (LwChoiceRow *self);

G_END_DECLS

#endif
