/* The edits the program offers, each a new job made from an old one (transfer full; NULL with ERROR when
 * the value is refused; the old job is untouched). An edit is refused when it would bring a fatal fault
 * (lw_job_check) that was not there before; locked parts stay where they are. Hand the result to lw_document_edit(). */
#ifndef LW_EDITS_H
#define LW_EDITS_H

#include "board/job.h"

G_BEGIN_DECLS

typedef enum { LW_EDIT_ERROR_RANGE, LW_EDIT_ERROR_REFERENCE } LwEditError;
#define LW_EDIT_ERROR (lw_edit_error_quark ())
GQuark lw_edit_error_quark (void);

/* PART is an index into job->parts. Moved to a place of the board's frame, where it counts as placed; turned to an angle
 * counter-clockwise seen from the top, any number of turns. */
LwJob *lw_edit_move_part (const LwJob *job, guint part, double x_mm, double y_mm, GError **error);
LwJob *lw_edit_rotate_part (const LwJob *job, guint part, double rotation_deg, GError **error);
/* To the other side: turned over about the board's y direction, the body stays where it is. */
LwJob *lw_edit_flip_part (const LwJob *job, guint part, GError **error);

/* Any number of the job by its path in the file (docs/format.md): "plans[0].stages[2].gas_c",
 * "parts[4].height_mm", "plans[0].preheat_area.length_mm", "board.prescribed.k_in_plane_w_per_mk",
 * "board.thickness_mm", "ambient_c", "station.gas_max_c"; a flag counts as 0 or 1. Value ranges and contradictions are checked as
 * for a loaded file; NaN writes null where that is allowed. */
LwJob *lw_edit_number (const LwJob *job, const char *path, double value, GError **error);
/* A text, a word ("remove", "bottom") or a flag ("true", "false"). A new name of a part, package or nozzle is
 * taken up wherever the old one is used. */
LwJob *lw_edit_text (const LwJob *job, const char *path, const char *value, GError **error);
/* Current number at a path; NaN when null or absent. */
double lw_job_number (const LwJob *job, const char *path);
/* Current text, word or flag ("true", "false") at a path (transfer none); NULL when there is none. */
const char *lw_job_text (const LwJob *job, const char *path);

/* PACKAGE goes into the job, in the place of one of the same name; PART (-1 = none) is of that package from now on, and
 * what it said in place of its old package is forgotten. */
LwJob *lw_edit_use_package (const LwJob *job, LwPackage *package, int part, GError **error);

/* The plan for a part: makes the one it has active, or adds one with defaults for its package and the
 * station (a matched nozzle, a preheat area round the part, four stages for its alloy). When nothing is known
 * of the part's package, it and all others of which nothing is known get stand-ins (board/assume.h). Fails when
 * the part is not on the board. */
LwJob *lw_edit_choose_target (const LwJob *job, const char *ref, GError **error);
LwJob *lw_edit_add_stage (const LwJob *job, guint plan, guint at, GError **error);
LwJob *lw_edit_remove_stage (const LwJob *job, guint plan, guint stage, GError **error);
LwJob *lw_edit_add_shield (const LwJob *job, guint plan, double x_mm, double y_mm, GError **error);
LwJob *lw_edit_remove_shield (const LwJob *job, guint plan, guint shield, GError **error);
LwJob *lw_edit_add_thermocouple (const LwJob *job, guint plan, const char *ref, double x_mm, double y_mm,
                                 LwSide side, GError **error);
/* INDEX is the thermocouple's in the plan. */
LwJob *lw_edit_remove_thermocouple (const LwJob *job, guint plan, guint index, GError **error);

G_END_DECLS

#endif
