/* Where names go: inside their bodies when they fit, else beside, never one on another. Pure geometry. */
#ifndef LW_LABELS_H
#define LW_LABELS_H

#include "board/geometry.h"

G_BEGIN_DECLS

/* All lengths are picture units here (an LwBox's y grows downward like the picture's). */
typedef struct {
  LwBox body;
  const LwBox *edge;    /* the board's, which words beside a body on it should not cross; or NULL */
  double width, height; /* of the text at size 10 */
  int priority;         /* higher first; ties by body area */
  gboolean wanted;      /* may lie over other bodies if there is no free place */
  gboolean inside_only; /* nothing beside a body too small to be picked out */
  /* out */
  gboolean placed, inside, upright; /* upright: turned a quarter, reading upward */
  double x, y, size;                /* centre and letter size */
  LwBox taken;
} LwLabel;

/* Whether two boxes share more than an edge, and how large what they share is, in the square of their unit. */
gboolean lw_boxes_overlap (const LwBox *a, const LwBox *b);
double lw_boxes_shared_area (const LwBox *a, const LwBox *b);

/* Places the N labels; BODIES are all drawn bodies (soft: avoided beside their own), TAKEN holds boxes no
 * label may touch and receives the places given (GArray of LwBox); FRAME is what is seen. */
void lw_labels_place (LwLabel *labels, guint n, const LwBox *bodies, guint n_bodies, GArray *taken,
                      LwBox frame);

G_END_DECLS

#endif
