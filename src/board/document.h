/* The document in hand: the current job, its history, where it is saved.
 *
 * Every edit hands over a whole new job (cheap: what did not change is shared) with a label; undo gives
 * the old one back, to the byte. Revision counts up with every change, undo and redo included, so that
 * an answer computed for an older one can be told from a fresh one. */
#ifndef LW_DOCUMENT_H
#define LW_DOCUMENT_H

#include <gio/gio.h>

#include "board/job.h"

G_BEGIN_DECLS

#define LW_TYPE_DOCUMENT (lw_document_get_type ())
G_DECLARE_FINAL_TYPE (LwDocument, lw_document, LW, DOCUMENT, GObject)

/* Properties (all notify): "job"-less; "title", "modified" (gboolean), "file" (GFile or NULL),
 * "undo-label", "redo-label" (NULL when there is none).
 * Signal "changed" (guint64 revision): the job is another one now. */

/* Takes over JOB (transfer full). */
LwDocument *lw_document_new (LwJob *job, GFile *file);
/* Current job (transfer none; ref it to keep it). Never NULL. */
LwJob *lw_document_job (LwDocument *self);
guint64 lw_document_revision (LwDocument *self);

/* JOB (transfer full) becomes current. LABEL is translated, for the undo menu. Edits with the same
 * non-NULL MERGE_KEY directly after one another are one step until lw_document_seal(). */
void lw_document_edit (LwDocument *self, LwJob *job, const char *label, const char *merge_key);
void lw_document_seal (LwDocument *self); /* a drag has ended */
/* A drag is called off: the step under MERGE_KEY goes as if it had never been, and what could be redone
 * before it can be redone again. FALSE when the newest step is another one, or sealed. */
gboolean lw_document_abandon (LwDocument *self, const char *merge_key);

gboolean lw_document_undo (LwDocument *self); /* FALSE when there is nothing */
/* FALSE when nothing was undone, or an edit has come since. */
gboolean lw_document_redo (LwDocument *self);
/* What undo and redo would take back or do again, as the edit named it (transfer none, until the next change); NULL = nothing. */
const char *lw_document_undo_label (LwDocument *self);
const char *lw_document_redo_label (LwDocument *self);

/* Whether the job is another than the one that was last saved or opened. */
gboolean lw_document_modified (LwDocument *self);
/* Where it was last saved or opened (transfer none); NULL = nowhere yet. */
GFile *lw_document_file (LwDocument *self);
/* The job as it stands lies in FILE (NULL: nowhere, but counts as clean): so it is not modified, and later edits are
 * steps of their own. */
void lw_document_mark_saved (LwDocument *self, GFile *file);
/* Writes the job to FILE, whole or not at all (job-file.h), and marks it saved there. FALSE with ERROR: nothing has changed. */
gboolean lw_document_save (LwDocument *self, GFile *file, GCancellable *cancellable, GError **error);

G_END_DECLS

#endif
