/* Several imports of one board as one. */
#ifndef LW_MERGE_H
#define LW_MERGE_H

#include "exchange/import.h"

G_BEGIN_DECLS

typedef struct {
  char *name; /* of the file, or what a set is called */
  LwImport *import;
  GString *taken; /* what the merged job has from it */
} LwMergePiece;

LwMergePiece *lw_merge_piece_new (const char *name, LwImport *import); /* takes IMPORT over */
/* With its import, if it still has one. */
void lw_merge_piece_free (LwMergePiece *self);

/* By the order stated at lw_import_many(). PIECES (of LwMergePiece) are at least one; a piece that shares
 * neither parts nor outline with the others is another board's, and left out. NOTES gets the pieces' own
 * warnings and what is found in comparing them. */
LwJob *lw_merge_jobs (GPtrArray *pieces, GPtrArray *notes, GError **error);

G_END_DECLS

#endif
