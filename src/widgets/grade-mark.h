/* The mark of a grade: shape and colour together, as on the board. */
#ifndef LW_GRADE_MARK_H
#define LW_GRADE_MARK_H

#include <gtk/gtk.h>

#include "plan/findings.h"

G_BEGIN_DECLS

#define LW_TYPE_GRADE_MARK (lw_grade_mark_get_type ())
G_DECLARE_FINAL_TYPE (LwGradeMark, lw_grade_mark, LW, GRADE_MARK, GtkWidget)

/* Properties "grade" (int, LwGrade; -1 draws nothing) and "size" (px). */
GtkWidget *lw_grade_mark_new (void);
void lw_grade_mark_set_grade (LwGradeMark *self, int grade);

G_END_DECLS

#endif
