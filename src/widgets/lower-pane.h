/* Under the board: the profile, and the lists that equal what is drawn. */
#ifndef LW_LOWER_PANE_H
#define LW_LOWER_PANE_H

#include "widgets/outline-panel.h"
#include "widgets/package-list.h"
#include "widgets/part-list.h"
#include "widgets/run-panel.h"
#include "widgets/stack-panel.h"
#include "widgets/thing-list.h"

G_BEGIN_DECLS

#define LW_TYPE_LOWER_PANE (lw_lower_pane_get_type ())
G_DECLARE_FINAL_TYPE (LwLowerPane, lw_lower_pane, LW, LOWER_PANE, GtkWidget)

/* Property "desk". Signals "show-part" (int part), passed on from the part list, and "package-chosen" (char *name)
 * from the list of packages, and "import-run" (GFile *file, NULL = to be chosen) from the panel of runs. */
void lw_lower_pane_set_desk (LwLowerPane *self, LwDesk *desk);
/* "profile", "doubt", "runs", "history", "parts", "stages", "thermocouples", "shields", "outline", "stack-up", "packages". */
void lw_lower_pane_show_page (LwLowerPane *self, const char *name);
/* The page in front, by the names above; its lists and panels, there from the beginning (all transfer none). */
const char *lw_lower_pane_page (LwLowerPane *self);
/* The page in view. */
GtkWidget *lw_lower_pane_child (LwLowerPane *self);
LwPartList *lw_lower_pane_parts (LwLowerPane *self);
LwOutlinePanel *lw_lower_pane_outline (LwLowerPane *self);
LwStackPanel *lw_lower_pane_stack (LwLowerPane *self);
LwPackageList *lw_lower_pane_packages (LwLowerPane *self);
LwRunPanel *lw_lower_pane_runs (LwLowerPane *self); /* with the recorded run that is looked at */

G_END_DECLS

#endif
