/* One document in hand: the desk its widgets look at, the runner that keeps the answer fresh, the recovery
 * copy, what was said when it was read, and the watch over its file. No widgets here. */
#ifndef LW_SESSION_H
#define LW_SESSION_H

#include "app/runner.h"
#include "exchange/import.h"
#include "widgets/desk.h"

G_BEGIN_DECLS

#define LW_TYPE_SESSION (lw_session_get_type ())
G_DECLARE_FINAL_TYPE (LwSession, lw_session, LW, SESSION, GObject)

/* Signal "changed-on-disk": another program wrote the file of the document. */
LwSession *lw_session_new (void);
LwDesk *lw_session_desk (LwSession *self);
LwRunner *lw_session_runner (LwSession *self);

/* IMPORT (transfer full) becomes the open document. FILE is where it came from; a board of another format,
 * or FILE NULL, opens as an untitled document that Save As has yet to name. */
void lw_session_take (LwSession *self, LwImport *import, GFile *file);
void lw_session_take_document (LwSession *self, LwDocument *document);
/* The demo job that is compiled in. */
LwImport *lw_session_demo (GError **error);

/* Of LwImportWarning, from the last lw_session_take(). Never NULL. */
const GPtrArray *lw_session_warnings (LwSession *self);
/* What the files left open (LwImportUnknown), and what each of them gave (LwImportSource). Never NULL. */
const GPtrArray *lw_session_unknowns (LwSession *self);
const GPtrArray *lw_session_sources (LwSession *self);
/* Whether any of these holds something. */
gboolean lw_session_has_remarks (LwSession *self);
const char *lw_session_format (LwSession *self);
/* Parts of an opened board whose package nothing describes: a library file is likely missing. */
guint lw_session_count_unknown_packages (LwSession *self);

/* Writes the document to FILE, and watches that file from now on. FALSE with ERROR: nothing has changed. */
gboolean lw_session_save (LwSession *self, GFile *file, GError **error);
/* Whether the document's file is another than we last read or wrote: saving would take another's work away. */
gboolean lw_session_is_changed_elsewhere (LwSession *self);
/* The file as it stands now has been read, or is known to the person. */
void lw_session_has_read (LwSession *self);
/* Writes the recovery copy now, not after the usual pause. */
gboolean lw_session_keep (LwSession *self, GError **error);
/* Gives up unsaved changes: drops the recovery copy. */
void lw_session_close (LwSession *self);
/* "Board X" or the file's name; never empty. (transfer full) */
char *lw_session_title (LwSession *self);
/* Folder of the file, or "" (transfer full). */
char *lw_session_place (LwSession *self);

G_END_DECLS

#endif
