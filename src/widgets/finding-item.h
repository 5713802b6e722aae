/* A finding as an item of a list model; or the head of several like ones, which shows the worst of them. */
#ifndef LW_FINDING_ITEM_H
#define LW_FINDING_ITEM_H

#include <gio/gio.h>

#include "plan/findings.h"

G_BEGIN_DECLS

#define LW_TYPE_FINDING_ITEM (lw_finding_item_get_type ())
G_DECLARE_FINAL_TYPE (LwFindingItem, lw_finding_item, LW, FINDING_ITEM, GObject)

/* FINDING stays FINDINGS' own; the item keeps the array alive. Signal "changed": it shows another finding, or another
 * figure of it. */
LwFindingItem *lw_finding_item_new (GPtrArray *findings, const LwFinding *finding);
/* Of what it shows now. */
LwFindingItem *lw_finding_item_copy (LwFindingItem *self);
const LwFinding *lw_finding_item_finding (LwFindingItem *self);
/* The same matter: kind and part agree. */
gboolean lw_finding_item_same (LwFindingItem *self, const LwFinding *other);

/* KEPT's items, one by one, show what FRESH's show, groups and all: rows of a list stay while an answer moves their
 * figures. Both have the same number of LwFindingItem. Whether any of KEPT has another grade or place in a group now. */
gboolean lw_finding_items_follow (const GPtrArray *kept, const GPtrArray *fresh);

/* SELF is the head of a group of MEMBERS (LwFinding of its array; held, not written to any more). */
void lw_finding_item_lead (LwFindingItem *self, GPtrArray *members);
/* NULL unless it is a member of a group. */
LwFindingItem *lw_finding_item_head (LwFindingItem *self);
/* Of a head (LwFinding, transfer none); empty for all others. They are items only where the head is open. */
const GPtrArray *lw_finding_item_members (LwFindingItem *self);
/* An item for each member of a head, folded under it (transfer full). */
GPtrArray *lw_finding_item_unfold (LwFindingItem *self);
/* Whether a head's members are to be seen. */
gboolean lw_finding_item_open (LwFindingItem *self);
void lw_finding_item_set_open (LwFindingItem *self, gboolean open);

G_END_DECLS

#endif
