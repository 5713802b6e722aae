/* Between the libraries and the file of the user's own packages. Internal to the room. */
#ifndef LW_LIBRARY_PRIVATE_H
#define LW_LIBRARY_PRIVATE_H

#include "board/job-json.h"
#include "board/library.h"

G_BEGIN_DECLS

#define LW_LIBRARY_KEY "leeward_library"
#define LW_LIBRARY_VERSION 1
#define LW_LIBRARY_MAX_BYTES (16u * 1024u * 1024u)

char *lw_library_folder (void); /* of the user (transfer full) */
/* A fault when ROOT is no library or one of a later version. */
void lw_library_check_format (LwReadContext *context, JsonObject *root);

/* How often packages have come into the tables or gone since they were read: what was looked up at the same age still
 * holds. */
gint lw_library_age (void);
/* Into the tables (transfer full). */
void lw_library_put (LwPackage *package);

G_END_DECLS

#endif
