/* Distances between outlines seen from above. Inside plan/. */
#ifndef LW_OUTLINE_GAP_H
#define LW_OUTLINE_GAP_H

#include "board/job.h"

G_BEGIN_DECLS

/* A rectangle or disc on the board, mm and degrees in the board's frame. */
typedef struct {
  LwPoint center;
  double length_mm, width_mm, turn_deg;
  gboolean round;
} LwPatch;

/* A nozzle's inner outline where a plan puts it, and the same grown by GROW_MM. */
LwPatch lw_patch_of_nozzle (const LwPlan *plan, const LwPart *target, const LwPackage *package,
                            const LwNozzle *nozzle, double grow_mm);
/* How far inside the patch's edge a point lies, mm; negative outside (for a rectangle: beyond the worse
 * side, not the distance to a corner). */
double lw_patch_inside_mm (const LwPatch *patch, LwPoint at);
GArray *lw_patch_polygon (const LwPatch *patch); /* LwPoint, transfer full */

/* Smallest distance between two polygons, 0 when they overlap. mm */
double lw_polygon_gap_mm (const GArray *a, const GArray *b);

/* Body outline of a part as a polygon (transfer full). */
GArray *lw_part_polygon (const LwPart *part, const LwPackage *package);

G_END_DECLS

#endif
