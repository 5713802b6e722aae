/* Replacing a file whole or not at all. Internal to the room. */
#ifndef LW_FILE_REPLACE_H
#define LW_FILE_REPLACE_H

#include <gio/gio.h>

G_BEGIN_DECLS

/* Writes DATA to a new file in the folder of PATH, syncs it, gives it the old file's permissions and renames
 * it over PATH, then syncs the folder. A symbolic link is followed: its target is replaced, the link stays.
 * Errors are G_IO_ERROR, with PATH's base name in front; the old file is then untouched. */
gboolean lw_file_replace (const char *path, const char *data, gsize length, GCancellable *cancellable,
                          GError **error);

G_END_DECLS

#endif
