/* The edits the program offers, each a new job made from an old one (transfer full; NULL with ERROR when
 * the value is refused; the old job is untouched). Hand the result to lw_document_edit(). */
#ifndef LW_EDITS_H
#define LW_EDITS_H

#include "board/job.h"

G_BEGIN_DECLS

typedef enum { LW_EDIT_ERROR_RANGE, LW_EDIT_ERROR_REFERENCE } LwEditError;
#define LW_EDIT_ERROR (lw_edit_error_quark ())
GQuark lw_edit_error_quark (void);

LwJob *lw_edit_move_part (const LwJob *job, guint part, double x_mm, double y_mm, GError **error);
LwJob *lw_edit_rotate_part (const LwJob *job, guint part, double rotation_deg, GError **error);
LwJob *lw_edit_flip_part (const LwJob *job, guint part, GError **error);
LwJob *lw_edit_remove_part (const LwJob *job, guint part, GError **error);

/* Any number of the job by its path in the file: "plans[0].stages[2].gas_c", "parts[4].height_mm",
 * "board.thickness_mm", "ambient_c", "station.gas_max_c". Value ranges and contradictions are checked as
 * for a loaded file; NaN writes null where that is allowed. */
LwJob *lw_edit_number (const LwJob *job, const char *path, double value, GError **error);
LwJob *lw_edit_text (const LwJob *job, const char *path, const char *value, GError **error);
/* Current number at a path; NaN when null or absent. */
double lw_job_number (const LwJob *job, const char *path);

/* The plan for a part: makes the one it has active, or adds one with defaults for its package and the
 * station (a matched nozzle, a preheat area round the part, a three-stage profile for its alloy). */
LwJob *lw_edit_choose_target (const LwJob *job, const char *ref, GError **error);
LwJob *lw_edit_add_stage (const LwJob *job, guint plan, guint at, GError **error);
LwJob *lw_edit_remove_stage (const LwJob *job, guint plan, guint stage, GError **error);
LwJob *lw_edit_add_shield (const LwJob *job, guint plan, double x_mm, double y_mm, GError **error);
LwJob *lw_edit_remove_shield (const LwJob *job, guint plan, guint shield, GError **error);
LwJob *lw_edit_add_thermocouple (const LwJob *job, guint plan, const char *ref, double x_mm, double y_mm,
                                 LwSide side, GError **error);
LwJob *lw_edit_remove_thermocouple (const LwJob *job, guint plan, guint index, GError **error);

G_END_DECLS

#endif
