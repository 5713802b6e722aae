/* Inside the room: where a stack-up is cut into the slices that are the layers of a scene. */
#ifndef LW_SLICES_H
#define LW_SLICES_H

#include "plan/stack.h"

G_BEGIN_DECLS

enum { LW_SLICES_MAX = 6 };

/* CUT_M[0] = 0 and CUT_M[n] = the stack's thickness, from its top face; slice I lies between CUT_M[I] and
 * CUT_M[I + 1]. */
typedef struct {
  guint n;
  double cut_m[LW_SLICES_MAX + 1];
} LwSlices;

/* EVEN: of equal thickness, as suits a board of one material; else the outermost copper of either face has a slice that holds
 * no other copper, whose node can then stand where that copper lies (HeatLayer.off_middle). */
LwSlices lw_slices_of (const LwStack *stack, gboolean even);

G_END_DECLS

#endif
