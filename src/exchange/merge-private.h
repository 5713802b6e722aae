/* Inside merging: what each piece is, and where. */
#ifndef LW_MERGE_PRIVATE_H
#define LW_MERGE_PRIVATE_H

#include "exchange/merge.h"

G_BEGIN_DECLS

typedef enum
{
  LW_PIECE_IPC2581,
  LW_PIECE_PLOTS,
  LW_PIECE_IDF,
  LW_PIECE_TABLE,
  LW_PIECE_NETLIST, /* IPC-D-356 */
  LW_N_PIECES
} LwPieceKind;

typedef struct {
  LwMergePiece *piece;
  const LwJob *job;
  LwPieceKind kind;
  double dx_mm, dy_mm;  /* to be added to its places */
  GHashTable *refs;     /* designator -> LwPart *, those that stand once */
  GHashTable *packages; /* name -> LwPackage * that the piece itself brings */
} LwMergeView;

typedef struct {
  GArray *views; /* LwMergeView */
  GPtrArray *notes;
  LwJob *job;    /* being made */
} LwMerge;

/* The views in the order of KINDS (of LW_N_PIECES), within a kind as given; the I-th, or NULL. */
const LwMergeView *lw_merge_view (const LwMerge *self, const LwPieceKind *kinds, guint i);
/* Adds to what is said to be taken from VIEW. */
void lw_merge_taken (const LwMergeView *view, const char *what);

/* Steps. */
void lw_merge_align (LwMerge *self);
void lw_merge_board (LwMerge *self);
void lw_merge_parts (LwMerge *self);

G_END_DECLS

#endif
