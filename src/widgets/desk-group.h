/* The selected parts as the desk keeps them: by reference, so that they are found again after every edit. For
 * the desk's own files. */
#ifndef LW_DESK_GROUP_H
#define LW_DESK_GROUP_H

#include "board/job.h"

G_BEGIN_DECLS

typedef struct {
  GPtrArray *refs;  /* char * */
  GArray *indices;  /* of guint, rising */
} LwDeskGroup;

/* Empty; clear frees what it holds. */
void lw_desk_group_init (LwDeskGroup *self);
void lw_desk_group_clear (LwDeskGroup *self);
/* Both give TRUE when the indices are others than before. PARTS may hold any indices in any order. */
gboolean lw_desk_group_set (LwDeskGroup *self, const LwJob *job, const guint *parts, guint n);
gboolean lw_desk_group_mend (LwDeskGroup *self, const LwJob *job);
gboolean lw_desk_group_has (const LwDeskGroup *self, int part);

G_END_DECLS

#endif
