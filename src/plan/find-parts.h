/* Parts found by what a person knows of them. */
#ifndef LW_FIND_PARTS_H
#define LW_FIND_PARTS_H

#include "board/job.h"

G_BEGIN_DECLS

typedef struct {
  const char *text;      /* see below; NULL or "" = any */
  int side;              /* LwSide, -1 = any */
  int kind;              /* LwPackageKind, -1 = any */
  double limit_at_most_c; /* body peak limit (as lw_limits_of tells it) at or below this; NaN = any */
} LwPartQuery;

#define LW_PART_QUERY_ANY { NULL, -1, -1, NAN }

/* TEXT holds words parted by blanks or commas; a part that fits any of them is found. A word fits a reference
 * that equals it, a range of references ("C10-C25"), a pattern with * and ? that fits the whole reference, or,
 * when it has three letters or more, a package or value it is a piece of. Capitals do not matter. Indices into
 * job->parts, GArray of guint (transfer full). */
GArray *lw_find_parts (const LwJob *job, const LwPartQuery *query);
/* The least body peak limit of a part, C; NaN when it has none. */
double lw_part_body_limit_c (const LwJob *job, const LwPart *part);

G_END_DECLS

#endif
