/* Which part is reworked: the plans there are, and under them every other part. */
#ifndef LW_TARGET_CHOOSER_H
#define LW_TARGET_CHOOSER_H

#include "widgets/desk.h"

G_BEGIN_DECLS

#define LW_TYPE_TARGET_CHOOSER (lw_target_chooser_get_type ())
G_DECLARE_FINAL_TYPE (LwTargetChooser, lw_target_chooser, LW, TARGET_CHOOSER, GtkWidget)

/* Property "desk". A choice activates "win.rework-part" with the reference. */
void lw_target_chooser_set_desk (LwTargetChooser *self, LwDesk *desk);
void lw_target_chooser_popup (LwTargetChooser *self);
/* What is offered now (GtkStringObject, references): plans first. */
GListModel *lw_target_chooser_offers (LwTargetChooser *self);

G_END_DECLS

#endif
