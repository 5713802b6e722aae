/* IPC-2581, revisions A to C: one XML file with outline, stack-up, packages and parts. Read as it comes,
 * so that memory does not grow with the file. */
#ifndef LW_IPC2581_H
#define LW_IPC2581_H

#include "exchange/import.h"

G_BEGIN_DECLS

/* STREAM is read to its end. SIZE in bytes is for PROGRESS, 0 = not known; PROGRESS may be NULL. */
LwImport *lw_import_ipc2581_stream (const char *name, GInputStream *stream, goffset size,
                                    LwImportProgress progress, gpointer user_data,
                                    GCancellable *cancellable, GError **error);
/* The same of text in memory. */
LwImport *lw_import_ipc2581 (const char *name, const char *data, gsize size, GError **error);

/* What a damaged file gave before the damage: as lw_import_ipc2581_stream(), but when the file breaks
 * off after parts were read, they are offered and the first warning tells where and why it ends. */
LwImport *lw_import_ipc2581_salvage (const char *name, GInputStream *stream, goffset size,
                                     LwImportProgress progress, gpointer user_data,
                                     GCancellable *cancellable, GError **error);

G_END_DECLS

#endif
