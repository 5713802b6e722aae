/* Reading and writing `.leeward` documents (docs/format.md). */
#ifndef LW_JOB_FILE_H
#define LW_JOB_FILE_H

#include <gio/gio.h>

#include "board/job.h"

G_BEGIN_DECLS

#define LW_JOB_FORMAT 1
#define LW_JOB_MAX_BYTES (64u * 1024u * 1024u)

typedef enum {
  LW_FILE_ERROR_SYNTAX,    /* not JSON, truncated, not UTF-8, NUL bytes */
  LW_FILE_ERROR_FORMAT,    /* not a Leeward document, or of a newer format */
  LW_FILE_ERROR_VALUE,     /* a member has the wrong type, unit or range */
  LW_FILE_ERROR_CONFLICT,  /* members contradict each other */
  LW_FILE_ERROR_TOO_LARGE
} LwFileError;
#define LW_FILE_ERROR (lw_file_error_quark ())
GQuark lw_file_error_quark (void);

/* Both give "NAME:LINE: reason" (NAME: reason where no line is known); the reason names the member's
 * path. Errors of G_IO_ERROR pass through with the file's name in front. Nothing is returned on error. */
LwJob *lw_job_load (GFile *file, GCancellable *cancellable, GError **error);
LwJob *lw_job_from_data (const char *name, const char *data, gsize length, GError **error);

/* FALSE when JOB is so large that a document of it would be refused. */
gboolean lw_job_fits (const LwJob *job);

/* Pretty-printed UTF-8 with a last newline; independent of the locale; numbers round-trip exactly. */
char *lw_job_to_data (const LwJob *job, gsize *length);
/* Writes a new file beside the old, syncs it and renames it over: whole old or whole new, never less. */
gboolean lw_job_save (const LwJob *job, GFile *file, GCancellable *cancellable, GError **error);

/* Everything contradictory in a job, in the order of the file: GPtrArray of LwFault (transfer full,
 * freed with lw_fault_free). fatal: computing is refused. lw_job_load() refuses fatal faults. */
typedef struct {
  gboolean fatal;
  char *path; /* "board.outline", "parts[3].height_mm" */
  char *text; /* translated */
} LwFault;
GPtrArray *lw_job_check (const LwJob *job);
void lw_fault_free (LwFault *fault);

G_END_DECLS

#endif
