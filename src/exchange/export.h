/* Boards out: to an IDF 3.0 pair and to a placement table. What a format has no place for is told. */
#ifndef LW_EXPORT_H
#define LW_EXPORT_H

#include <gio/gio.h>

#include "board/job.h"

G_BEGIN_DECLS

/* What was left out or changed, LEFT_OUT below: a GPtrArray of char * made with lw_export_notes_new(),
 * or NULL. The texts are translated. */
GPtrArray *lw_export_notes_new (void);

/* The board file: outline, thickness, parts, notes. What is not known is written as IDF has it:
 * thickness and height 0, body missing. (transfer full) */
char *lw_export_idf_board (const LwJob *job, GPtrArray *left_out);
/* The library file that goes with it: bodies and heights. (transfer full) */
char *lw_export_idf_library (const LwJob *job, GPtrArray *left_out);

/* A comma-separated table with a header that names columns and units, and one line for each placed part.
 * Bottom parts are turned as most tables have it: counted from the top, flipped top to bottom
 * (LW_CENTROID_BOTTOM_TOP_VIEW_FLIP_Y). (transfer full) */
char *lw_export_centroid (const LwJob *job, GPtrArray *left_out);

/* Which of these a file name asks for. */
typedef enum {
  LW_EXPORT_NONE,    /* another format, such as a document's own */
  LW_EXPORT_IDF,     /* .emn; the library goes beside it as .emp */
  LW_EXPORT_CENTROID /* .csv */
} LwExportKind;
LwExportKind lw_export_kind (const char *file_name);

/* The file that is written beside FILE, which nobody has named: the library of an IDF board; NULL: none.
 * (transfer full) */
GFile *lw_export_beside (GFile *file);
/* Writes FILE by its name, which must ask for one of these. An old file is replaced as a whole or not at
 * all. */
gboolean lw_export (const LwJob *job, GFile *file, GPtrArray *left_out, GCancellable *cancellable,
                    GError **error);

G_END_DECLS

#endif
