/* Where a point that is drawn or dragged by hand lands: on what lies near, else on the grid. */
#ifndef LW_SNAP_H
#define LW_SNAP_H

#include "board/edits-outline.h"

G_BEGIN_DECLS

typedef enum {
  LW_SNAP_NONE,
  LW_SNAP_GRID,
  LW_SNAP_GUIDE,
  LW_SNAP_EDGE,
  LW_SNAP_MIDDLE, /* of an edge */
  LW_SNAP_CENTER, /* of a part's body */
  LW_SNAP_CORNER
} LwSnapKind;

typedef struct {
  double grid_mm;           /* 0 = no grid */
  double reach_mm;          /* how near is near; 0 = grid only */
  const GArray *guides_x, *guides_y; /* of double, mm; NULL = none */
  gboolean skip;            /* leave out the loop at ... */
  LwLoopPlace skip_place;
  const GArray *skip_parts; /* of guint, NULL = none */
} LwSnapRule;

/* Corners, part centres and middles of edges win over guides, those over edges, all of them over the grid.
 * KIND (may be NULL) tells what it was. */
LwPoint lw_job_snap (const LwJob *job, const LwSnapRule *rule, double x_mm, double y_mm, LwSnapKind *kind);

G_END_DECLS

#endif
