/* The search on a whole job: candidate plans a second, one linear profile, one edit of a set point, a whole seek;
 * with the processor's time beside the wall's, since machines are shared. With "long" as a second argument, a far
 * longer search beside the usual one's outcome. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "board/job-file.h"
#include "plan/compact.h"
#include "plan/findings.h"
#include "plan/seek-ascend.h"
#include "plan/seek-learn.h"
#include "plan/seek-places.h"
#include "plan/seek.h"

typedef struct {
  double wall, processor; /* s */
} Moment;

static Moment
now (void)
{
  return (Moment){ (double) g_get_monotonic_time () * 1e-6, (double) clock () / CLOCKS_PER_SEC };
}

static Moment
since (Moment start)
{
  Moment end = now ();
  return (Moment){ end.wall - start.wall, end.processor - start.processor };
}

static void
row (const char *what, const char *limit, double wall, double processor)
{
  printf ("| %-58s | %-10s | %12.3f | %12.3f |\n", what, limit, wall, processor);
  fflush (stdout);
}

static LwTrial *
taught (LwQuick *quick, const LwSeekSpace *space, double *start, guint lessons)
{
  LwTrial *trial = lw_trial_new (quick, space, NULL);
  lw_seek_space_take (space, trial->plan, start);
  g_auto (LwSpots) spots = lw_seek_spread (space, start, lessons, 0, 0.2, TRUE);
  if (!lw_trial_learn (trial, &spots, NULL))
    g_error ("the plan cannot be marched");
  return trial;
}

static void
measure_candidates (LwTrial *trial, const double *start)
{
  enum { MANY = 20000 };
  LwSpot best[1];
  g_auto (LwSpots) spots = lw_seek_spread (trial->space, start, MANY, 0, 0.2, TRUE);
  Moment begin = now ();
  guint n = lw_trial_look_over (trial, &spots, best, 1, NULL);
  Moment took = since (begin);

  row ("candidate plans a second (wall; a processor alone)", ">= 5000", MANY / took.wall, MANY / took.processor);
  for (guint i = 0; i < n; i++)
    g_free (best[i].shares);
}

static void
measure_profile (LwTrial *trial, const double *start)
{
  enum { MANY = 2000 };
  const HeatCompact *model = lw_compact_model (trial->compact);
  HeatCompactRun *run = heat_compact_run_new (model);
  HeatDrive drive = lw_trial_drive (trial, start, FALSE);
  HeatReducedWants linear = { .linear = TRUE };
  HeatFigures figures;

  Moment begin = now ();
  for (guint i = 0; i < MANY; i++)
    heat_compact_solve (model, run, &drive, &linear);
  Moment took = since (begin);
  row ("a linear profile, ms", "0.2", 1e3 * took.wall / MANY, 1e3 * took.processor / MANY);
  begin = now ();
  for (guint i = 0; i < MANY; i++) {
    heat_compact_solve (model, run, &drive, NULL);
    heat_compact_target_figures (model, run, &figures);
  }
  took = since (begin);
  row ("a profile with losses and melting, all readings, ms", "", 1e3 * took.wall / MANY, 1e3 * took.processor / MANY);
  heat_compact_run_free (run);
}

/* A set point moved by a degree at a time, by the model the window edits with. */
static void
measure_edit (LwQuick *quick, LwJob *job)
{
  enum { MANY = 40 };
  g_autoptr (GError) error = NULL;
  g_autoptr (LwJob) copy = lw_job_copy (job);
  Moment begin = now ();
  g_autoptr (LwCompact) compact = lw_compact_new_live (quick, NULL, &error);
  if (compact == NULL)
    g_error ("%s", error->message);
  Moment took = since (begin), judged = { 0, 0 };
  HeatCompactRun *run = heat_compact_run_new (lw_compact_model (compact));

  row ("the compact model that edits are answered by, s", "", took.wall, took.processor);
  LwPlan *plan = lw_job_edit_plan (copy, 0);
  LwStage *stage = lw_stage_copy (g_ptr_array_index (plan->stages, 0));
  lw_stage_unref (g_ptr_array_index (plan->stages, 0));
  plan->stages->pdata[0] = stage;
  took = (Moment){ 0, 0 };
  for (guint i = 0; i < MANY; i++) {
    stage->duration_s += 1;
    begin = now ();
    g_autoptr (LwPrediction) answer = lw_compact_answer (compact, run, copy, 0, &error);
    if (answer == NULL)
      g_error ("%s", error->message);
    Moment one = since (begin);
    took = (Moment){ took.wall + one.wall, took.processor + one.processor };
    begin = now ();
    GPtrArray *findings = lw_judge (copy, 0, answer);
    one = since (begin);
    judged = (Moment){ judged.wall + one.wall, judged.processor + one.processor };
    g_ptr_array_unref (findings);
  }
  row ("an edit of a set point or time: the prediction, ms", "5", 1e3 * took.wall / MANY, 1e3 * took.processor / MANY);
  row ("its findings, ms", "", 1e3 * judged.wall / MANY, 1e3 * judged.processor / MANY);
  heat_compact_run_free (run);
}

static void
measure_seek (LwJob *job, LwSeekOptions options, const char *what)
{
  g_autoptr (GError) error = NULL;
  Moment begin = now ();
  g_autoptr (LwSeek) seek = lw_seek (job, 0, &options, NULL, NULL, NULL, &error);
  Moment took = since (begin);

  if (seek == NULL)
    g_error ("%s", error->message);
  row (what, options.unconfirmed ? "3" : "", took.wall, took.processor);
  printf ("  %u candidates, %u places, %.2f -> %.2f steps; search %.2f s, full solutions %.2f s, %.2f K apart\n", seek->n_tried,
          seek->n_places, seek->steps_before, seek->steps_after, seek->seconds_search, seek->seconds_confirm, seek->apart_k);
}

/* ---- the long search ---- */

/* What the search counts on being taken off first. */
static void
leave_out (LwSeekSpace *space, const LwCase *of, const GPtrArray *off_first)
{
  for (guint body = 0; body < of->n_bodies; body++) {
    const LwPart *part = g_ptr_array_index (of->job->parts, of->body_of[body].part);
    if (g_ptr_array_find_with_equal_func ((GPtrArray *) off_first, part->ref, g_str_equal, NULL))
      g_array_append_val (space->left_out, body);
  }
}

/* From the given plan, at one place, in the default mesh: lessons of its own over and over. */
static double
long_climb (LwJob *job, const GPtrArray *off_first)
{
  static const double boxes[] = { 0.2, 0.2, 0.2, 0.1, 0.1, 0.05 };
  LwQuickOptions options = { .scout = TRUE };
  g_autoptr (LwQuick) quick = lw_quick_new (job, 0, &options, NULL, NULL, NULL, NULL);
  g_autoptr (LwSeekSpace) space = lw_seek_space_new (job, g_ptr_array_index (job->plans, 0));
  leave_out (space, lw_quick_case (quick), off_first);
  g_autoptr (LwTrial) trial = lw_trial_new (quick, space, NULL);
  double shares[256];
  LwSpot spot = { shares, 0 };
  LwSeekPair pair = { .sure = trial, .worth = -G_MAXDOUBLE };

  lw_seek_space_take (space, trial->plan, shares);
  for (guint i = 0; i < G_N_ELEMENTS (boxes); i++) {
    g_auto (LwSpots) lessons = lw_seek_spread (space, shares, 32, 40 * i, boxes[i], FALSE);
    LwSeekReach reach = { boxes[i] / 2, boxes[i], 1000 };
    if (!lw_trial_learn (trial, &lessons, NULL) || !lw_seek_mark (&pair, &spot))
      g_error ("the plan cannot be marched");
    pair.guide = lw_trial_twin (trial);
    lw_seek_ascend (&pair, &spot, &reach, 8);
    lw_trial_free (pair.guide);
  }
  return spot.least;
}

/* Every choice by itself, and each together with the shields. */
static void
measure_long (LwJob *job)
{
  g_autoptr (GError) error = NULL;
  LwSeekOptions options = { .unconfirmed = TRUE };
  g_autoptr (LwSeek) usual = lw_seek (job, 0, &options, NULL, NULL, NULL, &error);
  if (usual == NULL)
    g_error ("%s", error->message);
  g_autoptr (GPtrArray) shields = g_ptr_array_new ();
  const LwPlan *found = g_ptr_array_index (usual->job->plans, 0);
  for (guint i = 0; i < found->shields->len; i++)
    g_ptr_array_add (shields, ((LwShield *) g_ptr_array_index (found->shields, i))->name);
  LwSeekFreedom freedom = { .to_shield = shields };
  g_autoptr (LwSeekPlaces) places = lw_seek_places_new (job, 0, &freedom);
  g_autoptr (GArray) singles = lw_seek_places_singles (places);

  printf ("usual search: %.3f steps\n", usual->steps_after);
  for (guint i = 0; i < singles->len; i++)
    for (guint shield = 0; shield < lw_seek_places_n (places, LW_SEEK_SHIELDING); shield++) {
      LwSeekPick pick = g_array_index (singles, LwSeekPick, i);
      if (pick.pick[LW_SEEK_SHIELDING] > 0)
        continue;
      pick.pick[LW_SEEK_SHIELDING] = shield;
      g_autoptr (LwJob) place = lw_seek_places_make (places, pick);
      if (place == NULL)
        continue;
      printf ("nozzle %u, height %u, area %u, shields %u: %.3f steps\n", pick.pick[0], pick.pick[1], pick.pick[2],
              pick.pick[3], long_climb (place, usual->off_first));
      fflush (stdout);
    }
}

int
main (int argc, char **argv)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GFile) file = g_file_new_for_path (argv[1]);
  g_autoptr (LwJob) job = lw_job_load (file, NULL, &error);
  if (job == NULL)
    g_error ("%s", error->message);
  LwQuickOptions scout = { .cell_mm = 3, .coarse_mm = 10, .scout = TRUE };
  double start[256];

  if (argc > 2 && strcmp (argv[2], "long") == 0) {
    measure_long (job);
    return 0;
  }
  printf ("| %-58s | %-10s | %12s | %12s |\n|---|---|---|---|\n", "what", "limit", "wall", "processor");
  Moment begin = now ();
  g_autoptr (LwQuick) quick = lw_quick_new (job, 0, &scout, NULL, NULL, NULL, &error);
  Moment took = since (begin);
  g_autoptr (LwSeekSpace) space = lw_seek_space_new (job, g_ptr_array_index (job->plans, 0));
  row ("a coarse reduced model, s", "", took.wall, took.processor);
  begin = now ();
  g_autoptr (LwTrial) trial = taught (quick, space, start, 16);
  took = since (begin);
  row ("16 lessons and the compact model, s", "", took.wall, took.processor);
  measure_candidates (trial, start);
  measure_profile (trial, start);
  measure_edit (quick, job);
  measure_seek (job, (LwSeekOptions){ .unconfirmed = TRUE }, "a whole seek, its search, s");
  if (argc > 2)
    measure_seek (job, (LwSeekOptions){ 0 }, "a whole seek with the full solutions, s");
  return 0;
}
