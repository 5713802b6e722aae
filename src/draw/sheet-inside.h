/* What the files of the bench sheet share. Inside draw/. */
#ifndef LW_SHEET_INSIDE_H
#define LW_SHEET_INSIDE_H

#include "draw/sheet-flow.h"
#include "plan/bench.h"

G_BEGIN_DECLS

struct LwBenchSheet {
  LwSheetInput input; /* its texts and counted things are this sheet's own */
  LwJob *job;
  char *date, *revision, *plan_hash;
  LwBenchReadings *readings; /* NULL where nothing heats; so are the stops */
  GPtrArray *stops;  /* LwBenchStop */
  GPtrArray *before; /* LwFinding */
  GArray *items;     /* LwSheetItem */
  guint n_pages;
  double map_share, profile_share; /* of the pictures' full height */
  gboolean tight; /* rows closer together, since the paper is short */
  guint n_before; /* pages before the run's */
};

/* The plan on the sheet (transfer none); whether it is worked with heat: then there is a prediction. */
const LwPlan *lw_sheet_plan (const LwBenchSheet *self);
gboolean lw_sheet_heats (const LwBenchSheet *self);
const LwPart *lw_sheet_target (const LwBenchSheet *self); /* NULL: not on the board */

/* Whole number or "–" where it is off (transfer full). */
char *lw_sheet_number (double value, int decimals);

/* The pieces, in their order. */
void lw_sheet_lay_facts (LwBenchSheet *self, LwSheetFlow *flow);
void lw_sheet_lay_map (LwBenchSheet *self, LwSheetFlow *flow);
void lw_sheet_lay_places (LwBenchSheet *self, LwSheetFlow *flow);
void lw_sheet_lay_before (LwBenchSheet *self, LwSheetFlow *flow);
void lw_sheet_lay_steps (LwBenchSheet *self, LwSheetFlow *flow); /* of work done by hand */
void lw_sheet_lay_cautions (LwBenchSheet *self, LwSheetFlow *flow);
/* With heat alone: the stages by the clock, what thermocouples should show, when to stop, the profile. */
void lw_sheet_lay_stages (LwBenchSheet *self, LwSheetFlow *flow);
void lw_sheet_lay_seen (LwBenchSheet *self, LwSheetFlow *flow);
void lw_sheet_lay_stops (LwBenchSheet *self, LwSheetFlow *flow);
void lw_sheet_lay_profile (LwBenchSheet *self, LwSheetFlow *flow);
/* To be filled in by hand: lots of material, what happened. */
void lw_sheet_lay_lots (LwBenchSheet *self, LwSheetFlow *flow);
void lw_sheet_lay_record (LwBenchSheet *self, LwSheetFlow *flow);

G_END_DECLS

#endif
