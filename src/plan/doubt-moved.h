/* How far a prediction may be off: one input at a time is moved, the changes of each peak are added as a
 * root sum of squares. Half-bands of about 95 %, one-sided in the sense that the band is used as a
 * margin. */
#ifndef LW_DOUBT_MOVED_H
#define LW_DOUBT_MOVED_H

#include "plan/compile.h"
#include "plan/solve-scene.h"

G_BEGIN_DECLS

/* Fills the doubts of PREDICTION's parts, which must be those of the case in its order, and adds a note
 * when the nozzle's film is out of its published range. The perturbed runs use coarser cells and steps
 * than the prediction; only differences between such runs are used. */
gboolean lw_doubt_moved (const LwCase *self, LwPrediction *prediction, const LwWatch *watch, GError **error);

G_END_DECLS

#endif
