/* Edits of what is drawn on a board as loops: its edge and cut-outs, copper regions, via fields. The same
 * contract as edits.h. The first fault of a loop is told without its path, so that it can stand beside the
 * field in which it was typed. */
#ifndef LW_EDITS_OUTLINE_H
#define LW_EDITS_OUTLINE_H

#include "board/job.h"

G_BEGIN_DECLS

typedef enum { LW_LOOP_OUTLINE, LW_LOOP_COPPER, LW_LOOP_VIAS, LW_N_LOOP_OWNERS } LwLoopOwner;

/* One loop of a board. Index 0 of the outline is the edge, the others are cut-outs. */
typedef struct {
  LwLoopOwner owner;
  guint index;
} LwLoopPlace;

/* How many things of that kind have a loop: outlines with cut-outs, copper regions, via fields. */
guint lw_job_n_loops (const LwJob *job, LwLoopOwner owner);
/* NULL when there is none (transfer none). */
const LwLoop *lw_job_loop (const LwJob *job, LwLoopPlace place);

/* A job with nothing on its board: a rectangle from (0, 0), the first station of the library. */
LwJob *lw_job_new_rectangle (double length_mm, double width_mm, double radius_mm, double thickness_mm, GError **error);

/* All take LOOP over. */
LwJob *lw_edit_set_loop (const LwJob *job, LwLoopPlace place, LwLoop *loop, GError **error);
LwJob *lw_edit_add_cut_out (const LwJob *job, LwLoop *loop, GError **error);
/* LAYER must name a copper layer. */
LwJob *lw_edit_add_copper (const LwJob *job, const char *layer, double cover, LwLoop *loop, GError **error);
LwJob *lw_edit_add_vias (const LwJob *job, double pitch_mm, double drill_mm, double plating_um, LwLoop *loop,
                         GError **error);
/* The board's edge cannot be removed. */
LwJob *lw_edit_remove_loop (const LwJob *job, LwLoopPlace place, GError **error);

G_END_DECLS

#endif
