/* Making a package from the outline drawing in a data sheet: the family first, then the figures that family's drawing
 * carries, by its letters, beside a picture to scale. */
#ifndef LW_PACKAGE_MAKER_H
#define LW_PACKAGE_MAKER_H

#include "board/sheet.h"
#include "widgets/desk.h"

G_BEGIN_DECLS

#define LW_TYPE_PACKAGE_MAKER (lw_package_maker_get_type ())
G_DECLARE_FINAL_TYPE (LwPackageMaker, lw_package_maker, LW, PACKAGE_MAKER, GtkWindow)

/* REF: the part that is to have the package, whose present one is where the figures start; NULL = no part. */
GtkWidget *lw_package_maker_new (GtkWindow *parent, LwDesk *desk, const char *ref);

/* For tests and for a name that is already known. */
void lw_package_maker_set_sheet (LwPackageMaker *self, const LwDatasheet *sheet);
const LwDatasheet *lw_package_maker_sheet (LwPackageMaker *self);
/* The field of a figure, or NULL when the family's drawing has none; what is wrong with it, or NULL. */
GtkEditable *lw_package_maker_field (LwPackageMaker *self, LwFigure figure);
const char *lw_package_maker_message (LwPackageMaker *self, LwFigure figure);

G_END_DECLS

#endif
