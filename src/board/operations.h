/* The operations of a site: what is done to a part, one thing after the other. Each is a plan of the job; those of one
 * part stand in the order of the work. */
#ifndef LW_OPERATIONS_H
#define LW_OPERATIONS_H

#include "board/job.h"

G_BEGIN_DECLS

/* Whether it brings gas or preheat to the board. Removing and reflowing do, even before they have stages; placing does
 * when it has stages of its own (the part is put down and melted in one go), and cleaning (else it is done with a hand
 * tool); printing and dispensing never do. */
gboolean lw_plan_heats (const LwPlan *plan);
/* Index of the plan, or -1. */
int lw_job_find_operation (const LwJob *job, const char *ref, LwOperation operation);
/* Plans of a part in the order of the work (GArray of guint: indices into job->plans; transfer full). */
GArray *lw_job_operations (const LwJob *job, const char *ref);
/* -1 when unknown. */
int lw_operation_from_word (const char *word);
const char *lw_msl_word (LwMoistureLevel level); /* "unknown", "2a", ... */

/* Edits, by the contract of edits.h. Adding puts the operation where the work has it (remove, clean, print, dispense, place,
 * reflow) and makes it active; one that heats takes nozzle, preheat area, shields and thermocouples from the part's first
 * plan that heats, and gets stages by the solder that is melted. Refused when the part has one of that operation. */
LwJob *lw_edit_add_operation (const LwJob *job, const char *ref, LwOperation operation, GError **error);
LwJob *lw_edit_remove_operation (const LwJob *job, guint plan, GError **error);
/* One place earlier or later among those of its part; refused at the end. */
LwJob *lw_edit_move_operation (const LwJob *job, guint plan, gboolean later, GError **error);

G_END_DECLS

#endif
