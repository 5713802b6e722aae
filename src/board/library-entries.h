/* One entry of a library, read from its JSON by the table of its struct. Internal to the room. */
#ifndef LW_LIBRARY_ENTRIES_H
#define LW_LIBRARY_ENTRIES_H

#include "board/job-json.h"
#include "board/library.h"

G_BEGIN_DECLS

enum {
  LW_LIBRARY_ALLOYS,
  LW_LIBRARY_LAMINATES,
  LW_LIBRARY_PACKAGES,
  LW_LIBRARY_SHIELDS,
  LW_LIBRARY_STATIONS,
  LW_LIBRARY_N_KINDS
};

/* Member of the file that lists entries of that kind. */
const char *lw_library_member (guint kind);
/* NULL or an entry that is not complete after a fault (transfer full). */
gpointer lw_library_entry_read (guint kind, LwReadContext *context, JsonObject *object);
void lw_library_entry_free (guint kind, gpointer entry);
const char *lw_library_entry_name (guint kind, gconstpointer entry);

G_END_DECLS

#endif
