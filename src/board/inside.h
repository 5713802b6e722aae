/* Many points, one outline with cut-outs: quick inside tests. Internal to the room. */
#ifndef LW_INSIDE_H
#define LW_INSIDE_H

#include "board/geometry.h"

G_BEGIN_DECLS

typedef struct _LwInside LwInside;

/* LOOPS: GPtrArray of LwLoop; a point is inside when an odd number of loops contain it. Arcs are followed to
 * 0.005 mm. */
LwInside *lw_inside_new (const GPtrArray *loops);
void lw_inside_free (LwInside *inside);
gboolean lw_inside_holds (const LwInside *inside, double x_mm, double y_mm);

G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwInside, lw_inside_free)

G_END_DECLS

#endif
