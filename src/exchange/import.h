/* Boards in: one door for every format the program reads. */
#ifndef LW_IMPORT_H
#define LW_IMPORT_H

#include <gio/gio.h>

#include "board/job.h"

G_BEGIN_DECLS

typedef enum {
  LW_IMPORT_ERROR_SYNTAX,
  LW_IMPORT_ERROR_UNSUPPORTED,
  LW_IMPORT_ERROR_TOO_LARGE
} LwImportError;
#define LW_IMPORT_ERROR (lw_import_error_quark ())
GQuark lw_import_error_quark (void);

typedef struct {
  char *file; /* base name */
  guint line; /* 1-based; 0 = the file as a whole */
  char *text; /* translated */
} LwImportWarning;

typedef struct {
  LwJob *job;
  GPtrArray *warnings; /* LwImportWarning */
  char *format;        /* "IDF 3.0", "Leeward 1" */
} LwImport;

void lw_import_free (LwImport *import);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwImport, lw_import_free)

/* Opens FILE by its content (a Leeward document, an IDF board file or a placement table); PARTNER is the
 * second file of a pair or NULL: then one of the same base name is looked for beside it. On error the
 * message is "NAME:LINE: reason" and nothing is returned. */
LwImport *lw_import (GFile *file, GFile *partner, GCancellable *cancellable, GError **error);
/* The IDF reader on text already in memory (LIBRARY may be NULL). */
LwImport *lw_import_idf (const char *board_name, const char *board, gsize board_length,
                         const char *library_name, const char *library, gsize library_length,
                         GError **error);

G_END_DECLS

#endif
