/* The desk: what every widget of one window looks at together. It holds the document, the newest answer,
 * and what the person is looking at (side, moment, selection). Widgets read it and connect to its
 * notifications; only the app's runner puts answers in. No widget computes physics. */
#ifndef LW_DESK_H
#define LW_DESK_H

#include <gtk/gtk.h>

#include "board/document.h"
#include "plan/findings.h"
#include "plan/predict.h"
#include "plan/run-compare.h"

G_BEGIN_DECLS

#define LW_TYPE_DESK (lw_desk_get_type ())
G_DECLARE_FINAL_TYPE (LwDesk, lw_desk, LW, DESK, GObject)

/* What the inspector shows. Parts and stages are also reachable by their own properties. */
typedef enum {
  LW_THING_BOARD, /* nothing in particular */
  LW_THING_PART,
  LW_THING_NOZZLE,
  LW_THING_PREHEAT,
  LW_THING_STAGE,
  LW_THING_STATION,
  LW_THING_SHIELD,
  LW_THING_THERMOCOUPLE,
  LW_THING_READINESS,  /* of the active plan */
  LW_THING_OPERATIONS  /* of its part */
} LwThing;

/* Properties, all notified: "document" (LwDocument), "side" (int, LwSide), "moment" (double, s),
 * "selected-part" (int, -1 none), "selected-stage" (int, -1 none), "selection" (int, LwThing), "busy" (gboolean), "progress" (double),
 * "stale" (gboolean: the answer is for an older revision; while something is dragged it may lag by a few motions),
 * "dragging" (gboolean), "show-field" (gboolean),
 * "show-isotherms", "show-names", "show-copper", "show-other-side" (gboolean).
 * Signals: "job-changed" (the document's job is another one), "answer-changed" (prediction or findings),
 * "message" (char *text, gboolean offer_undo): something the person should be told in passing,
 * "group-changed" (the selected parts are others), "run-changed" (another recorded run is laid over the plan),
 * "proposed-changed" (a place is proposed, or none any more). */

/* Without a document: nothing is selected (transfer full). */
LwDesk *lw_desk_new (void);

LwDocument *lw_desk_document (LwDesk *self); /* NULL when nothing is open */
/* Another document, or NULL: the answer, the selection and what was being drawn go. */
void lw_desk_set_document (LwDesk *self, LwDocument *document);
LwJob *lw_desk_job (LwDesk *self); /* NULL when nothing is open */
int lw_desk_plan (LwDesk *self);   /* active plan or -1 */

LwPrediction *lw_desk_prediction (LwDesk *self);  /* NULL before the first answer */
const GPtrArray *lw_desk_findings (LwDesk *self); /* of LwFinding, NULL before the first judgement */
/* Drops answers older than the one it has, and for the same revision lesser ones: rough, reduced, full (FALSE); REVISION is the document's when the run began. Keeps
 * references of its own. PREDICTION NULL: only the findings are newer; the prediction stays, stale. */
gboolean lw_desk_take_answer (LwDesk *self, guint64 revision, LwPrediction *prediction, GPtrArray *findings);

/* The recorded run that is laid over the plan; NULL = none. Whoever compares hands it in (transfer full). */
const LwComparison *lw_desk_comparison (LwDesk *self);
void lw_desk_take_comparison (LwDesk *self, LwComparison *comparison);

/* A place where another thermocouple would tell something, shown on the board; NULL = none. Whoever proposes it takes it back. */
const LwThermocouple *lw_desk_proposed (LwDesk *self);
void lw_desk_propose (LwDesk *self, LwThermocouple *couple);

/* The side of the board that is looked at. */
LwSide lw_desk_side (LwDesk *self);
void lw_desk_set_side (LwDesk *self, LwSide side);
/* The moment that is shown, s from the start. Set clamps to 0 and passes over what is no number; until then the first
 * answer for a plan sets it to the target's peak. */
double lw_desk_moment (LwDesk *self);
void lw_desk_set_moment (LwDesk *self, double t_s);
/* The selected part, -1 = none; selecting one makes it the only one. */
int lw_desk_selected_part (LwDesk *self);
void lw_desk_select_part (LwDesk *self, int part);
/* All selected parts, rising indices (transfer none, until the selection changes). Whenever there is any, the
 * selected part is one of them: the one that was chosen last. */
const GArray *lw_desk_selected_parts (LwDesk *self);
gboolean lw_desk_has_selected (LwDesk *self, int part);
/* PARTS (of guint) replace the selection; LEAD among them is the selected part, -1 = the first. */
void lw_desk_select_parts (LwDesk *self, const GArray *parts, int lead);
/* Adds a part to the selection, or takes it out. */
void lw_desk_toggle_part (LwDesk *self, int part);
/* Tool, grid, guides and loops of drawing by hand (sketch.h). */
struct _LwSketch *lw_desk_sketch (LwDesk *self);
/* The selected stage of the active plan, -1 = none. It may be selected beside a part. */
int lw_desk_selected_stage (LwDesk *self);
void lw_desk_select_stage (LwDesk *self, int stage);
/* Selects anything at all; INDEX counts parts, stages, shields or thermocouples, and one that is not there selects the board; else it
 * is ignored. */
void lw_desk_select (LwDesk *self, LwThing thing, int index);
/* What lw_desk_select() chose, its number in *INDEX, which may be NULL. */
LwThing lw_desk_selection (LwDesk *self, int *index); /* INDEX may be NULL */
/* Revision the prediction belongs to; 0 = none. */
guint64 lw_desk_answer_revision (LwDesk *self);
/* Whether the answer is for an older revision, see "stale". */
gboolean lw_desk_stale (LwDesk *self);
/* Something is under the hand: its edits come many a second. Set by the widget that drags. */
gboolean lw_desk_dragging (LwDesk *self);
void lw_desk_set_dragging (LwDesk *self, gboolean dragging);
/* Whether WIDGET, which nobody sees, may leave its contents until "dragging" is notified again. */
gboolean lw_desk_may_wait (LwDesk *self, GtkWidget *widget);
/* Why the last run ended without an answer; NULL = it did not. Notified as "failure". */
const char *lw_desk_failure (LwDesk *self);
void lw_desk_set_failure (LwDesk *self, const char *reason);
/* Makes REF the part to rework, as one edit called LABEL; when packages had to be assumed for it, says so. */
gboolean lw_desk_choose_target (LwDesk *self, const char *ref, const char *label);
/* Emits "message". */
void lw_desk_tell (LwDesk *self, const char *text, gboolean offer_undo);
/* A switch of what is shown, by its property: "show-field" and so on. */
gboolean lw_desk_shows (LwDesk *self, const char *property);
/* Whether a run is under way, and the share of it that is done, 0..1. Set by the runner alone. */
gboolean lw_desk_busy (LwDesk *self);
double lw_desk_progress (LwDesk *self);
void lw_desk_set_run (LwDesk *self, gboolean busy, double progress);

/* Hands an edit to the document, or tells ERROR's message as a "message" when JOB is NULL. Takes both. */
gboolean lw_desk_edit (LwDesk *self, LwJob *job, const char *label, const char *merge_key, GError *error);

/* Light or dark, from the widget's theme colours. */
gboolean lw_widget_is_dark (GtkWidget *widget);

G_END_DECLS

#endif
