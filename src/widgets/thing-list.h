/* Stages, thermocouples or shields of the active plan, as an equal of what is drawn of them. */
#ifndef LW_THING_LIST_H
#define LW_THING_LIST_H

#include "widgets/desk.h"

G_BEGIN_DECLS

#define LW_TYPE_THING_LIST (lw_thing_list_get_type ())
G_DECLARE_FINAL_TYPE (LwThingList, lw_thing_list, LW, THING_LIST, GtkWidget)

/* Properties "desk" and, once, "thing" (int: LW_THING_STAGE, _THERMOCOUPLE or _SHIELD). Widget actions
 * "things.add" and "things.remove". */
void lw_thing_list_set_desk (LwThingList *self, LwDesk *desk);
GtkSingleSelection *lw_thing_list_selection (LwThingList *self);

G_END_DECLS

#endif
