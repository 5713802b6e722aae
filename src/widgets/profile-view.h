/* The profile: set points one drags, predicted curves, limits, stages, a time cursor. */
#ifndef LW_PROFILE_VIEW_H
#define LW_PROFILE_VIEW_H

#include "widgets/desk.h"

G_BEGIN_DECLS

#define LW_TYPE_PROFILE_VIEW (lw_profile_view_get_type ())
G_DECLARE_FINAL_TYPE (LwProfileView, lw_profile_view, LW, PROFILE_VIEW, GtkWidget)

/* Property "desk". Arrow keys move the cursor by 1 s (10 s with Shift), Home/End to the ends; widget
 * actions "profile.play" (starts and pauses the cursor), "profile.stage-next", "profile.stage-previous". */
GtkWidget *lw_profile_view_new (LwDesk *desk);
void lw_profile_view_set_desk (LwProfileView *self, LwDesk *desk);

G_END_DECLS

#endif
