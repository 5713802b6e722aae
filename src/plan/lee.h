/* Thermal shadow of the parts of a case: what each stands in the lee of. */
#ifndef LW_LEE_H
#define LW_LEE_H

#include "plan/compile.h"

G_BEGIN_DECLS

/* Where the bodies of a case stand, so that their shadow can be asked for when one is looked at: on a board of
 * thousands all of it takes seconds. Never written to once it is made; any thread may ask. */
typedef struct LwLee LwLee;

LwLee *lw_lee_new (const LwCase *self); /* keeps nothing of the case */
LwLee *lw_lee_ref (LwLee *self); /* a reference more, returned */
void lw_lee_unref (LwLee *self); /* NULL allowed */
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwLee, lw_lee_unref)

/* Shares 0..1 hidden from a body by others. SKY: of the half-space in front of its far face (its own side of the board).
 * PREHEAT: of the half-space below the board, as seen by its place on it (by its far face when it hangs there). */
void lw_lee_hidden (const LwLee *self, guint body, double *sky, double *preheat);
/* Share 0..1 by which taller parts shelter a body from gas that leaves the nozzle; 0 for parts inside the nozzle, on the
 * other side, or without a nozzle. */
double lw_lee_spill (const LwLee *self, guint body);

G_END_DECLS

#endif
