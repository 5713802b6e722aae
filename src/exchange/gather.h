/* From files, folders and archives to plain files. */
#ifndef LW_GATHER_H
#define LW_GATHER_H

#include "exchange/notes.h"

G_BEGIN_DECLS

/* More than any board has; what is beyond is told, not read. */
#define LW_GATHER_MAX_FILES 1000
#define LW_GATHER_MAX_BYTES (256u * 1024u * 1024u) /* unpacked from one archive */
#define LW_GATHER_MAX_DEPTH 4

typedef struct {
  GPtrArray *files; /* GFile, folders after one another, names ascending */
  GPtrArray *temporary; /* char *: paths to remove, files before their folders */
} LwGathered;

/* Archives are unpacked into folders of their own, under base names only; archives inside archives stay
 * closed. NULL when cancelled, or when one of FILES cannot be opened at all. */
LwGathered *lw_gather (GFile *const *files, guint n, GPtrArray *notes, GCancellable *cancellable, GError **error);
/* Removes what was unpacked. */
void lw_gathered_free (LwGathered *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwGathered, lw_gathered_free)

G_END_DECLS

#endif
