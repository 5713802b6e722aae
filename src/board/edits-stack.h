/* Edits of the stack-up, layer by layer from the top. The same contract as edits.h; single figures of a layer are
 * edited by their paths. */
#ifndef LW_EDITS_STACK_H
#define LW_EDITS_STACK_H

#include "board/job.h"

G_BEGIN_DECLS

/* An ordinary stack-up of N_COPPER layers (1 to 64) for the board's thickness: outside 1 oz/ft2 copper 30 % covered,
 * inside 1 oz 90 % covered, laminate between (the stated default of plan/stack.h, made the board's own). Only for
 * a board that has none. */
LwJob *lw_edit_start_stack (const LwJob *job, guint n_copper, GError **error);
/* A new layer before AT (at the end when AT is the number of layers). */
LwJob *lw_edit_add_layer (const LwJob *job, guint at, LwLayerKind kind, GError **error);
/* Copper regions on it go with it. */
LwJob *lw_edit_remove_layer (const LwJob *job, guint at, GError **error);
LwJob *lw_edit_move_layer (const LwJob *job, guint from, guint to, GError **error);
/* The board becomes as thick as its layers. */
LwJob *lw_edit_thickness_from_layers (const LwJob *job, GError **error);

G_END_DECLS

#endif
