/* What the presenting window's picture shows at a moment, as a list for everybody. */
#ifndef LW_SHOW_LIST_H
#define LW_SHOW_LIST_H

#include "draw/show-page.h"
#include "widgets/told-list.h"

G_BEGIN_DECLS

/* Tells LIST of each plan of PAGE at T_S: what is happening, the figures, then the parts of the page's side with their coldest and
 * hottest joint and the top of their body. Rows that stay keep the keyboard. */
void lw_show_list_tell (LwToldList *list, const LwShowPage *page, double t_s);

G_END_DECLS

#endif
