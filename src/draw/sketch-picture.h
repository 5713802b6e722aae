/* What drawing by hand puts over the board: copper regions and via fields, corners and edges that can be taken
 * hold of, guides, the shape being drawn with its measures, the measuring line, the selecting band. */
#ifndef LW_SKETCH_PICTURE_H
#define LW_SKETCH_PICTURE_H

#include "board/edits-outline.h"
#include "draw/draw.h"

G_BEGIN_DECLS

/* A line that a dragged body shares with a neighbour, and the gap between them along it. */
typedef struct {
  gboolean upright;        /* at x = AT_MM, running along y; else the other way */
  double at_mm, from_mm, to_mm;
  gboolean gap;
  double gap_from_mm, gap_to_mm;
} LwSketchLine;

typedef struct {
  LwLook look;
  LwUnits units; /* of what is written; all FALSE = metric */
  const LwJob *job;
  gboolean show_grips;            /* corners and edges of all loops, PLACE's in full */
  LwLoopPlace place;
  int corner, edge;               /* that stand out, -1 = none */
  const GArray *guides_x, *guides_y; /* of double, mm; NULL = none */
  double grid_mm;                 /* 0 = none is drawn */
  const LwLoop *draft;            /* being drawn, or NULL */
  gboolean draft_open;            /* its last edge is not there yet */
  gboolean mark;                  /* a cross at ... */
  LwPoint at;
  gboolean measured;
  LwPoint from, to;
  LwSketchLine lines[2];
  guint n_lines;
  const char *label;              /* of what is dragged, or NULL; under ... */
  LwPoint label_at;
  gboolean band;                  /* picture units */
  LwBox band_box;
  double letters;                 /* see lw_letters() */
} LwSketchPicture;

/* Over a board drawn with the same viewport; CR is left as it was. Nothing without a job. */
void lw_draw_sketch (cairo_t *cr, const LwViewport *viewport, const LwSketchPicture *picture);

/* What of the loops lies under a picture point: a corner, else an edge. FALSE when neither is near. The loop
 * PREFER is taken first where several lie near. */
gboolean lw_sketch_hit (const LwJob *job, const LwViewport *viewport, LwLoopPlace prefer, double px, double py,
                        LwLoopPlace *place, int *corner, int *edge);

G_END_DECLS

#endif
