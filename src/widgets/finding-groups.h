/* Findings that say the same of many parts, folded under one head. */
#ifndef LW_FINDING_GROUPS_H
#define LW_FINDING_GROUPS_H

#include "widgets/finding-item.h"

G_BEGIN_DECLS

/* So many of one kind and grade are folded; fewer are read faster than opened. */
#define LW_GROUP_LEAST 4

/* Items for FINDINGS (LwFinding, in their order; NULL = none): a head stands where the worst of its group stood. The
 * members of those whose key is in OPENED (char *) follow it; of the others, which may be thousands, there is no item
 * (transfer full). */
GPtrArray *lw_finding_groups (GPtrArray *findings, GHashTable *opened);
/* What names the group that FINDING is of (transfer full). */
char *lw_finding_group_key (const LwFinding *finding);
/* What a head says: "C1, C2, C3 and 12 more" (transfer full). */
char *lw_finding_group_names (LwFindingItem *head);

G_END_DECLS

#endif
