/* Readiness: what stands before heat. Moisture, reflow cycles, the bake, the schedule backwards from the wanted start, and
 * the steps of each operation in words. Pure: nothing here asks a clock. The findings made of it come with lw_judge():
 * kinds that begin with "readiness-" (docs/readiness.md). */
#ifndef LW_READY_H
#define LW_READY_H

#include "plan/findings.h"
#include "plan/ready-tables.h"

G_BEGIN_DECLS

/* ---- moisture ---- */

typedef enum {
  LW_WET_FREE,    /* level 1, or no moisture sensitive part */
  LW_WET_WITHIN,  /* inside its floor life */
  LW_WET_PAST,
  LW_WET_UNKNOWN  /* a fact is missing: MISSING says which */
} LwWet;

typedef struct {
  LwWet wet;
  LwMoistureLevel level;
  double exposure_h;   /* at the wanted start; NaN = unknown */
  LwReadyFigure life;
  gboolean room_assumed; /* nobody said how warm and humid it was */
  const char *missing; /* translated, static: the fact to find out; "" = none */
} LwMoisture;

/* Of the part on the board, or (SPARE) of the one that takes its place. */
LwMoisture lw_ready_moisture (const LwJob *job, const LwPart *part, gboolean spare);
/* Whether its package is of a kind that J-STD-020 classes: the level of others is not asked for. */
gboolean lw_ready_is_classed (const LwJob *job, const LwPart *part);
/* Whether PLAN melts a part that was not on the board before: placing does, reflowing does after removing or placing. */
gboolean lw_ready_uses_spare (const LwJob *job, const LwPlan *plan);

/* The bake of one part. */
typedef struct {
  double c, hours;    /* NaN hours = ask its maker; NaN c = it bears no row of the table */
  const char *source; /* translated, static */
} LwReadyBake;

/* ALONE: in its tray; else with everything that is on the board, all of which has to bear it. */
LwReadyBake lw_ready_bake_of (const LwJob *job, const LwPart *part, gboolean spare, gboolean alone);
/* The hottest that everything that stays on the board bears for hours, °C, and which part says so (NULL = the table's own). */
double lw_ready_bake_limit_c (const LwJob *job, const LwPart **weakest);

/* ---- cycles ---- */

/* Reflows; USED NaN = nobody knows. AFTER counts those of the part's operations up to and with PLAN; NaN as USED. */
typedef struct {
  double part_used, part_after, part_allowed;
  double site_used, site_after, site_allowed;
  gboolean spare;            /* the part's figures are the new one's */
  gboolean part_allowed_said, site_allowed_said; /* by the document, not by the program */
} LwReadyCycles;
LwReadyCycles lw_ready_cycles (const LwJob *job, guint plan);
/* Reflows that PLAN itself gives the lands: one when it melts their solder. */
guint lw_ready_melts (const LwPlan *plan);

/* ---- schedule ---- */

typedef enum {
  LW_DUE_BAKE,      /* the bake of board or part begins */
  LW_DUE_COOL,      /* it ends, the cooling begins */
  LW_DUE_WARM_UP,   /* the station is switched on */
  LW_DUE_SET_UP,    /* the board is fixed */
  LW_DUE_START,
  LW_DUE_USE_BY     /* floor life of the part to be soldered ends */
} LwDueKind;

typedef struct {
  LwDueKind kind;
  gint64 at_min;     /* moment.h */
  double minutes;    /* how long it takes, NaN = a moment */
  gboolean assumed;  /* the duration is the program's figure */
  char *text;        /* translated */
} LwDue;
/* With its text; NULL not allowed. */
void lw_due_free (LwDue *due);

/* Backwards from the job's wanted start, in the order of time; empty when no start is given. The bake is that of what
 * FINDINGS ask to be baked (may be NULL: the board's own). GPtrArray of LwDue (transfer full). */
GPtrArray *lw_ready_schedule (const LwJob *job, guint plan, const GPtrArray *findings);
/* Hours and °C of the longest bake that FINDINGS ask for; hours 0 = none. */
LwReadyBake lw_ready_bake_wanted (const LwJob *job, guint plan, const LwFinding *finding); /* by one of them */
LwReadyBake lw_ready_longest_bake (const LwJob *job, guint plan, const GPtrArray *findings);

/* ---- words ---- */

/* Steps and cautions of an operation, in order; NULL after the last (translated, static). */
const char *lw_ready_step (LwOperation operation, guint index);
/* Whether a finding is one of readiness. */
gboolean lw_ready_is_finding (const LwFinding *finding);

G_END_DECLS

#endif
