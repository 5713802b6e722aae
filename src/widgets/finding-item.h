/* A finding as an item of a list model. */
#ifndef LW_FINDING_ITEM_H
#define LW_FINDING_ITEM_H

#include <gio/gio.h>

#include "plan/findings.h"

G_BEGIN_DECLS

#define LW_TYPE_FINDING_ITEM (lw_finding_item_get_type ())
G_DECLARE_FINAL_TYPE (LwFindingItem, lw_finding_item, LW, FINDING_ITEM, GObject)

/* FINDING stays FINDINGS' own; the item keeps the array alive. */
LwFindingItem *lw_finding_item_new (GPtrArray *findings, const LwFinding *finding);
const LwFinding *lw_finding_item_finding (LwFindingItem *self);
/* The same matter: kind and part agree. */
gboolean lw_finding_item_same (LwFindingItem *self, const LwFinding *other);

G_END_DECLS

#endif
