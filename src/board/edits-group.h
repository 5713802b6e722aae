/* Edits of several parts at once, each one step. PARTS is a GArray of guint: indices into job->parts, each at
 * most once. The same contract as edits.h: a new job, or NULL with ERROR. Locked parts stay where they are
 * while the others move; an edit that could move none is refused. */
#ifndef LW_EDITS_GROUP_H
#define LW_EDITS_GROUP_H

#include "board/job.h"

G_BEGIN_DECLS

/* By so much from where each stands. */
LwJob *lw_edit_move_parts (const LwJob *job, const GArray *parts, double dx_mm, double dy_mm, GError **error);
/* Counter-clockwise seen from the top, about the middle of the box round their bodies. */
LwJob *lw_edit_turn_parts (const LwJob *job, const GArray *parts, double turn_deg, GError **error);
/* Over about the board's y direction through the same middle: bodies mirror left to right, sides change. */
LwJob *lw_edit_flip_parts (const LwJob *job, const GArray *parts, GError **error);
/* With their plans and the thermocouples on them, locked or not. */
LwJob *lw_edit_remove_parts (const LwJob *job, const GArray *parts, GError **error);
LwJob *lw_edit_lock_parts (const LwJob *job, const GArray *parts, gboolean locked, GError **error);

typedef enum {
  LW_ALIGN_LEFT,     /* low x of the bodies */
  LW_ALIGN_MIDDLE_X,
  LW_ALIGN_RIGHT,
  LW_ALIGN_LOW,
  LW_ALIGN_MIDDLE_Y,
  LW_ALIGN_HIGH
} LwAlign;

/* Bodies' edges or middles to those of the box round all of them; a locked part among them sets the line. */
LwJob *lw_edit_align_parts (const LwJob *job, const GArray *parts, LwAlign align, GError **error);
/* Equal gaps between neighbouring bodies, the outermost two staying; three parts at least. */
LwJob *lw_edit_spread_parts (const LwJob *job, const GArray *parts, gboolean upwards, GError **error);

/* Copies so that each part stands in COLUMNS x ROWS places at these pitches (either sign), named by the next
 * free references. MADE (may be NULL) receives the indices of the copies (transfer full). At most 10,000. */
LwJob *lw_edit_repeat_parts (const LwJob *job, const GArray *parts, guint columns, guint rows, double pitch_x_mm,
                             double pitch_y_mm, GArray **made, GError **error);
/* Adds PARTS (GPtrArray of LwPart, copied), moved by (dx, dy), with those of PACKAGES (of LwPackage) whose names
 * are new to the job and not in the library. Taken references give way to the next free ones. */
LwJob *lw_edit_add_parts (const LwJob *job, const GPtrArray *parts, const GPtrArray *packages, double dx_mm,
                          double dy_mm, GArray **made, GError **error);

/* Numbers the parts of each prefix from FIRST on: by rows from the top left (as seen from the top), or by
 * columns. Plans and thermocouples follow. Numbers used by other parts are passed over. */
LwJob *lw_edit_renumber_parts (const LwJob *job, const GArray *parts, guint first, gboolean by_columns,
                               GError **error);

/* Length of the letters a reference begins with; *NUMBER what follows, or 0. */
gsize lw_ref_prefix (const char *ref, guint *number);
/* REF when no part has it, else its prefix with the next number that is free (transfer full). */
char *lw_job_free_ref (const LwJob *job, const char *ref);

/* Box round the bodies of parts, mm; all zero when there are none. */
LwBox lw_parts_box (const LwJob *job, const GArray *parts);

G_END_DECLS

#endif
