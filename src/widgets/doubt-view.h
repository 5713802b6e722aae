/* What a finding depends on: the worst one, the selected part's, or another that is chosen; so that a person
 * knows what to measure. */
#ifndef LW_DOUBT_VIEW_H
#define LW_DOUBT_VIEW_H

#include "widgets/desk.h"

G_BEGIN_DECLS

#define LW_TYPE_DOUBT_VIEW (lw_doubt_view_get_type ())
G_DECLARE_FINAL_TYPE (LwDoubtView, lw_doubt_view, LW, DOUBT_VIEW, GtkWidget)

/* NULL = none. */
void lw_doubt_view_set_desk (LwDoubtView *self, LwDesk *desk);

G_END_DECLS

#endif
