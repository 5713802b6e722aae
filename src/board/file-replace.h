/* Replacing a file whole or not at all: whatever this program writes, it writes so. */
#ifndef LW_FILE_REPLACE_H
#define LW_FILE_REPLACE_H

#include <gio/gio.h>

G_BEGIN_DECLS

/* Writes DATA to a new file in the folder of PATH, syncs it, gives it the old file's permissions (owner, group and access list
 * as far as we may) and renames it over PATH, then syncs the folder. A symbolic link is followed: its target is replaced, the link
 * stays. Another hard link keeps the old text. What is no regular file, and what we may not write, is refused.
 * Errors are G_IO_ERROR, with PATH's base name in front; the old file is then untouched. */
gboolean lw_file_replace (const char *path, const char *data, gsize length, GCancellable *cancellable,
                          GError **error);
/* Whether that would begin: to be asked before hours of computing. The disk may be full all the same. */
gboolean lw_file_may_replace (const char *path, GError **error);

G_END_DECLS

#endif
