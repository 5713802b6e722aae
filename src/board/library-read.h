/* The text of a library file, entry by entry. Internal to the room. */
#ifndef LW_LIBRARY_READ_H
#define LW_LIBRARY_READ_H

#include "board/library-entries.h"

G_BEGIN_DECLS

/* Faulty entries told of one file; finding the line of each takes a walk through the file. */
#define LW_LIBRARY_FAULTS_MAX 5

/* Both transfer full. */
typedef void (*LwLibraryTake) (guint kind, gpointer entry, gpointer user_data);
typedef void (*LwLibraryComplain) (GError *error, gpointer user_data);

/* Hands every whole entry of every table to TAKE and every fault to COMPLAIN (LW_FILE_ERROR, "NAME:LINE: reason").
 * Faulty entries are left out; after LW_LIBRARY_FAULTS_MAX of them the rest of the file is, which is told. */
void lw_library_read (const char *name, const char *data, gsize length, LwLibraryTake take, LwLibraryComplain complain,
                      gpointer user_data);

G_END_DECLS

#endif
