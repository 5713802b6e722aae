/* Boxes found by where they lie: among thousands, only those near a name are looked at. */
#ifndef LW_LABEL_GRID_H
#define LW_LABEL_GRID_H

#include "board/geometry.h"

G_BEGIN_DECLS

/* Squares over a frame; what lies beyond it is in those at its edge. */
typedef struct {
  LwBox frame;
  int nx, ny;
  int *first;    /* of a square: into ENTRIES, -1 = none */
  GArray *entries;
} LwLabelGrid;

/* Nothing is in it yet. Cleared when done with. */
void lw_label_grid_init (LwLabelGrid *self, LwBox frame);
/* Frees what it holds. */
void lw_label_grid_clear (LwLabelGrid *self);
void lw_label_grid_add (LwLabelGrid *self, const LwBox *box);
/* Whether BOX, within the frame, overlaps one of those that were added; what area of it they share, one by one. */
gboolean lw_label_grid_hit (const LwLabelGrid *self, const LwBox *box);
double lw_label_grid_shared (const LwLabelGrid *self, const LwBox *box);

G_END_DECLS

#endif
