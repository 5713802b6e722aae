/* Inside of the desk, for its own files: desk.c (the object), desk-answer.c, desk-selection.c. */
#ifndef LW_DESK_PRIVATE_H
#define LW_DESK_PRIVATE_H

#include "widgets/desk.h"
#include "widgets/desk-group.h"
#include "widgets/sketch.h"

G_BEGIN_DECLS

typedef enum {
  LW_DESK_PROP_0,
  LW_DESK_PROP_DOCUMENT,
  LW_DESK_PROP_SIDE,
  LW_DESK_PROP_MOMENT,
  LW_DESK_PROP_SELECTED_PART,
  LW_DESK_PROP_SELECTED_STAGE,
  LW_DESK_PROP_SELECTION,
  LW_DESK_PROP_BUSY,
  LW_DESK_PROP_PROGRESS,
  LW_DESK_PROP_STALE,
  LW_DESK_PROP_DRAGGING,
  LW_DESK_PROP_FAILURE,
  LW_DESK_PROP_SHOW_FIELD, /* the shows, in the order of the array */
  LW_DESK_PROP_SHOW_ISOTHERMS,
  LW_DESK_PROP_SHOW_NAMES,
  LW_DESK_PROP_SHOW_COPPER,
  LW_DESK_PROP_SHOW_OTHER_SIDE,
  LW_DESK_N_PROPS
} LwDeskProperty;

typedef enum {
  LW_DESK_JOB_CHANGED,
  LW_DESK_ANSWER_CHANGED,
  LW_DESK_MESSAGE, /* has arguments: lw_desk_tell() */
  LW_DESK_GROUP_CHANGED,
  LW_DESK_RUN_CHANGED,
  LW_DESK_PROPOSED_CHANGED,
  LW_DESK_N_SIGNALS
} LwDeskSignal;

struct _LwDesk {
  GObject parent_instance;

  LwDocument *document;
  char *plan_ref;   /* of the active plan when the job last changed */
  char *part_ref;   /* of the selected part, so that it is found again after an edit */

  LwPrediction *prediction;
  GPtrArray *findings;
  guint64 prediction_revision, findings_revision;
  LwJob *seen; /* the job when it last changed, and its revision */
  guint64 seen_revision;
  LwComparison *comparison;
  LwThermocouple *proposed;
  char *failure;
  gboolean moment_chosen; /* by the person, for this plan */

  LwSide side;
  double moment_s;
  LwThing selection;
  int selected_part, selected_stage, selected_other;
  LwDeskGroup group;
  LwSketch *sketch;

  gboolean busy;
  double progress;
  gboolean stale, dragging;
  gboolean shows[LW_DESK_N_PROPS - LW_DESK_PROP_SHOW_FIELD];
};

/* A property is another now; a signal without arguments. */
void lw_desk_notify (LwDesk *self, LwDeskProperty property);
void lw_desk_emit (LwDesk *self, LwDeskSignal signal);
/* The plan in hand (transfer none), NULL = none. */
const LwPlan *lw_desk_active_plan (LwDesk *self);

/* desk-answer.c. The job is another one: the answer is carried on, or dropped where it no longer fits; "job-changed" is
 * not emitted. Drop emits "answer-changed" when there was one; update tells "stale" when that is another. */
void lw_desk_follow_job (LwDesk *self);
void lw_desk_drop_answer (LwDesk *self);
void lw_desk_update_stale (LwDesk *self);

/* desk-selection.c. Keeps the selection on the same parts after some came or went, and off what is gone. */
void lw_desk_mend_selection (LwDesk *self);

G_END_DECLS

#endif
