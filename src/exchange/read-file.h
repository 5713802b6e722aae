/* The bytes of a file, never more than a limit: a device or a pipe may have no end. */
#ifndef LW_READ_FILE_H
#define LW_READ_FILE_H

#include <gio/gio.h>

G_BEGIN_DECLS

/* All of FILE. NULL with an error that begins with NAME: it is no regular file, is larger than LIMIT, or cannot be read.
 * (transfer full) */
GByteArray *lw_read_file (GFile *file, const char *name, gsize limit, GCancellable *cancellable, GError **error);
/* At least its first BYTES, or all of it (transfer full). */
GByteArray *lw_read_start (GFile *file, const char *name, gsize bytes, GCancellable *cancellable, GError **error);

G_END_DECLS

#endif
