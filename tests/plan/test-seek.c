/* The search: a best plan that is known beforehand, a grid that must find nothing better, the station's ranges,
 * contradictory limits, sameness, cancelling. */
#include "../as-shown.h"
#include <math.h>
#include <string.h>

#include "bench.h"
#include "plan/seek-learn.h"
#include "plan/seek-places.h"
#include "plan/seek-space.h"
#include "plan/seek-trial.h"
#include "plan/seek.h"

static LwSeek *
seek (LwJob *job, const LwSeekOptions *options)
{
  g_autoptr (GError) error = NULL;
  LwSeek *found = lw_seek (job, 0, options, NULL, NULL, NULL, &error);

  g_assert_no_error (error);
  return found;
}

static LwPlan *
plan_of (LwJob *job)
{
  return g_ptr_array_index (job->plans, 0);
}

static void
set_limit (LwJob *job, const char *ref, LwLimitKind kind, double value)
{
  LwPart *part = lw_job_edit_part (job, (guint) lw_job_find_part (job, ref));
  lw_limits_add (part->limits, kind, value, NAN, "of this test");
}

/* ---- a known answer ---- */

/* A board of one temperature (conductivity of copper) heated from below alone. The joints of its one part
 * must reach 100 C, where a unit is the 5 K of target-limits.h; its body must stay below 130 C, where a unit
 * is 5 % of the way from the room at 25 C (judge.h), 5.25 K. Whatever the films, the least of (T - 100) / 5
 * and (130 - T) / 5.25 is largest where both are equal: T = (100 * 5.25 + 130 * 5) / 10.25. */
static LwJob *
one_temperature (void)
{
  LwJob *job = bench_prescribed (400, 2e4);
  LwPlan *plan = lw_job_edit_plan (job, 0);

  job->ambient_c = 25;
  lw_job_edit_package (job, 0)->joints = (LwJoints){ .pattern = LW_JOINTS_GRID,
                                                     .columns = 4,
                                                     .rows = 4,
                                                     .pitch_mm = 3,
                                                     .length_mm = 0.5,
                                                     .width_mm = 0.5,
                                                     .standoff_mm = 0.3,
                                                     .lead_w_per_k = NAN };
  g_clear_pointer (&plan->table, g_array_unref);
  bench_add_stage (plan, "warm", 300, NAN, 0, 120, LW_SHAPE_STEP);
  plan->wanted = (LwWanted){ 0, 1000, 100, 250, 50, 3 };
  job->station->preheater.min_c = 40;
  job->station->preheater.max_c = 250;
  job->station->preheater.max_length_mm = job->station->preheater.max_width_mm = 100;
  set_limit (job, "U1", LW_LIMIT_BODY_PEAK_C, 130);
  return job;
}

static void
test_known (void)
{
  g_autoptr (LwJob) job = one_temperature ();
  LwSeekOptions options = { .effort = 1, .keep_nozzle = TRUE, .keep_height = TRUE, .keep_area = TRUE };
  g_autoptr (LwSeek) found = seek (job, &options);
  const double best_c = (100 * 5.25 + 130 * 5) / 10.25, best_steps = (best_c - 100) / 5;
  const LwPartTrace *trace = g_ptr_array_index (found->after->parts, found->after->target);

  g_test_message ("least headroom %.3f steps, known %.3f; body %.2f C, joints %.2f C, known %.2f C", found->steps_after,
                  best_steps, trace->body_peak_c, trace->joint_peak_c, best_c);
  g_assert_true (found->better);
  g_assert_true (found->satisfies);
  g_assert_cmpfloat (fabs (found->steps_after - best_steps), <, 0.1); /* set points are whole degrees */
  g_assert_cmpfloat (fabs (trace->body_peak_c - best_c), <, 1);
}

/* ---- nothing better on a grid ---- */

/* Three things to turn: how long it soaks, how long and how hot it melts. */
static LwJob *
three_to_turn (guint seed)
{
  LwJob *job = bench_job (LW_SIDE_TOP, 0, 0);
  LwPlan *plan = lw_job_edit_plan (job, 0);
  LwStation *station = lw_job_edit_station (job);
  g_autoptr (GRand) random = g_rand_new_with_seed (seed);
  double preheat = g_rand_double_range (random, 150, 190);

  g_ptr_array_set_size (plan->stages, 0);
  bench_add_stage (plan, "soak", 120, NAN, 0, preheat, LW_SHAPE_STEP);
  bench_add_stage (plan, "melt", 60, 330, 35, preheat, LW_SHAPE_STEP);
  bench_add_stage (plan, "cool", 40, NAN, 0, NAN, LW_SHAPE_STEP);
  station->flow_min_l_per_min = station->flow_max_l_per_min = 35;
  station->preheater.min_c = station->preheater.max_c = preheat;
  set_limit (job, "K1", LW_LIMIT_BODY_PEAK_C, g_rand_double_range (random, 140, 200));
  set_limit (job, "C1", LW_LIMIT_BODY_PEAK_C, g_rand_double_range (random, 170, 230));
  return job;
}

typedef struct {
  double least, unit;
} Best;

/* All points of a grid are guessed; those that may be as good as the best guess, by a step's sixth part, are marched, and
 * so is the plan FOUND, for *STEPS. */
static Best
best_on_grid (LwJob *job, guint points, LwJob *found, double *steps)
{
  g_autoptr (LwSeekSpace) space = lw_seek_space_new (job, plan_of (job));
  g_autoptr (LwQuick) quick = lw_quick_new (job, 0, NULL, NULL, NULL, NULL, NULL);
  g_autoptr (LwTrial) trial = lw_trial_new (quick, space, NULL);
  guint n = points * points * points;
  const double middle[] = { 0.5, 0.5, 0.5 };
  g_auto (LwSpots) lessons = lw_seek_spread (space, middle, 16, 0, 0.5, TRUE);
  g_autofree double *shares = g_new (double, 3 * n), *guess = g_new0 (double, n);
  double most = -INFINITY;
  Best best = { -INFINITY, NAN };

  g_assert_cmpuint (lw_seek_space_n (space), ==, 3);
  g_assert_true (lw_trial_learn (trial, &lessons, NULL));
  for (guint i = 0; i < n; i++) {
    for (guint k = 0, at = i; k < 3; k++, at /= points)
      shares[3 * i + k] = (at % points) / (points - 1.0);
    g_assert_true (lw_trial_guess (trial, shares + 3 * i));
    guess[i] = lw_trial_least (trial, NULL);
    most = fmax (most, guess[i]);
  }
  for (guint i = 0; i < n; i++) {
    guint rule = 0;
    if (guess[i] < most - 1.0 / 6 || !lw_trial_march (trial, shares + 3 * i, FALSE)
        || !(lw_trial_least (trial, &rule) > best.least))
      continue;
    best = (Best){ lw_trial_least (trial, &rule), g_array_index (trial->gauge->rules, LwGaugeRule, rule).unit };
  }
  g_test_message ("%u points, %u tried", n, trial->n_tried - n);
  lw_seek_space_take (space, plan_of (found), shares);
  g_assert_true (lw_trial_march (trial, shares, FALSE));
  *steps = lw_trial_least (trial, NULL);
  return best;
}

static void
test_grid (void)
{
  LwSeekOptions options = { .effort = 1, .keep_nozzle = TRUE, .keep_height = TRUE, .keep_area = TRUE, .keep_shields = TRUE,
                            .unconfirmed = TRUE };

  for (guint seed = 1; seed <= 2; seed++) {
    g_autoptr (LwJob) job = three_to_turn (seed);
    g_autoptr (LwSeek) found = seek (job, &options);
    double steps = NAN;
    Best grid = best_on_grid (job, 11, found->job, &steps);
    double better_c = (grid.least - steps) * grid.unit;

    g_test_message ("job %u: found %.3f (by its own model %.3f), grid of 1331 %.3f steps, better by %.2f units of the figure",
                    seed, steps, found->steps_after, grid.least, better_c);
    g_assert_cmpfloat (better_c, <, 1);
  }
}

/* ---- what it may turn ---- */

static void
test_space (void)
{
  g_autoptr (LwJob) job = bench_job (LW_SIDE_TOP, 0, 0);
  g_autoptr (LwSeekSpace) space = lw_seek_space_new (job, plan_of (job));
  g_autoptr (LwPlan) own = lw_seek_plan_own (plan_of (job));
  guint n = lw_seek_space_n (space);
  g_autofree double *shares = g_new0 (double, n), *again = g_new0 (double, n);
  g_autoptr (GRand) random = g_rand_new_with_seed (3);

  g_assert_cmpuint (n, ==, 2 + 4 + 4); /* soak; lift and melt with gas and flow; cool is all off */
  for (guint i = 0; i < n; i++)
    shares[i] = g_rand_double (random);
  lw_seek_space_put (space, shares, FALSE, own);
  lw_seek_space_take (space, own, again);
  for (guint i = 0; i < n; i++)
    g_assert_cmpfloat_with_epsilon (again[i], shares[i], 1e-12);
  lw_seek_space_put (space, shares, TRUE, own);
  for (guint i = 0; i < own->stages->len; i++) {
    const LwStage *is = g_ptr_array_index (own->stages, i), *was = g_ptr_array_index (plan_of (job)->stages, i);
    g_assert_true (is != was);
    g_assert_cmpfloat (is->duration_s, ==, round (is->duration_s));
    if (!isnan (is->gas_c)) {
      g_assert_cmpfloat (is->gas_c, >=, job->station->gas_min_c);
      g_assert_cmpfloat (is->gas_c, <=, job->station->gas_max_c);
    }
  }
  g_assert_cmpfloat (((LwStage *) g_ptr_array_index (own->stages, 3))->duration_s, ==, 50);
}

/* Whether the station's nozzle of that name is offered and can stand. */
static gboolean
uses_nozzle (const LwSeekPlaces *places, const char *name)
{
  for (guint i = 0; i < lw_seek_places_n (places, LW_SEEK_NOZZLE); i++) {
    LwSeekPick pick = { { [LW_SEEK_NOZZLE] = i } };
    g_autoptr (LwJob) job = lw_seek_places_make (places, pick);
    if (job != NULL && strcmp (plan_of (job)->nozzle, name) == 0)
      return TRUE;
  }
  return FALSE;
}

static void
add_nozzle (LwStation *station, const char *name, double side_mm)
{
  LwNozzle *nozzle = lw_nozzle_new ();
  g_free (nozzle->name);
  nozzle->name = g_strdup (name);
  nozzle->length_mm = nozzle->width_mm = side_mm;
  nozzle->wall_mm = 0.5;
  nozzle->skirt_gap_mm = 1;
  g_ptr_array_add (station->nozzles, nozzle);
}

/* The can K1, 10 mm tall and 26 mm from the target's middle, stops a nozzle of 60 mm; one of 12 mm does not
 * cover the 17 mm part. */
static void
test_places (void)
{
  g_autoptr (LwJob) job = bench_job (LW_SIDE_TOP, 0, 0);
  LwSeekFreedom freedom = { 0 };

  add_nozzle (lw_job_edit_station (job), "wide", 60);
  add_nozzle (lw_job_edit_station (job), "narrow", 12);
  add_nozzle (lw_job_edit_station (job), "other", 20);
  g_autoptr (LwSeekPlaces) places = lw_seek_places_new (job, 0, &freedom);
  g_assert_true (uses_nozzle (places, "box"));
  g_assert_true (uses_nozzle (places, "other"));
  g_assert_false (uses_nozzle (places, "wide"));
  g_assert_false (uses_nozzle (places, "narrow"));
  g_autoptr (GArray) singles = lw_seek_places_singles (places);
  g_assert_cmpuint (singles->len, ==, 1 + 3 + 2 + 2); /* itself, nozzles, heights other than its 3 mm, areas */
  for (guint i = 0; i < singles->len; i++) {
    g_autoptr (LwJob) made = lw_seek_places_make (places, g_array_index (singles, LwSeekPick, i));
    if (made == NULL)
      continue;
    g_assert_cmpfloat (plan_of (made)->preheat_length_mm, <=, job->station->preheater.max_length_mm);
    g_assert_cmpfloat (plan_of (made)->preheat_width_mm, <=, job->station->preheater.max_width_mm);
  }
  freedom = (LwSeekFreedom){ TRUE, TRUE, TRUE, TRUE, NULL };
  g_autoptr (LwSeekPlaces) alone = lw_seek_places_new (job, 0, &freedom);
  g_autoptr (GArray) one = lw_seek_places_singles (alone);
  g_assert_cmpuint (one->len, ==, 1);
}

/* ---- contradictory limits ---- */

/* Joints at 217 C and more cannot be had from a body that must stay below 150 C. */
static void
test_conflict (void)
{
  g_autoptr (LwJob) job = three_to_turn (1);
  LwSeekOptions options = { .effort = 1, .keep_nozzle = TRUE, .keep_height = TRUE, .keep_area = TRUE, .unconfirmed = TRUE };
  gboolean liquid = FALSE, body = FALSE;

  set_limit (job, "U1", LW_LIMIT_BODY_PEAK_C, 150);
  g_autoptr (LwSeek) found = seek (job, &options);
  g_assert_false (found->satisfies);
  g_assert_cmpfloat (found->steps_after, <, 0);
  for (guint i = 0; i < found->limits_after->len; i++) {
    const LwSeekLimit *limit = g_ptr_array_index (found->limits_after, i);
    liquid = liquid || strcmp (limit->kind, "target-liquid") == 0 || strcmp (limit->kind, "target-short") == 0;
    body = body || strcmp (limit->kind, "target-body") == 0;
    g_assert_cmpstr (limit->text, !=, "");
  }
  g_assert_true (liquid && body);
}

/* ---- sameness, use, cancel ---- */

static void
test_same (void)
{
  g_autoptr (LwJob) job = three_to_turn (2);
  LwSeekOptions options = { .seed = 7, .effort = 1, .unconfirmed = TRUE };
  g_autoptr (LwSeek) a = seek (job, &options), b = seek (job, &options);
  g_autoptr (GError) error = NULL;

  g_assert_cmpfloat (a->steps_after, ==, b->steps_after);
  g_assert_cmpuint (a->n_tried, ==, b->n_tried);
  g_assert_cmpuint (a->changes->len, ==, b->changes->len);
  for (guint i = 0; i < a->changes->len; i++)
    g_assert_cmpstr (((LwSeekChange *) a->changes->pdata[i])->after, ==,
                     ((LwSeekChange *) b->changes->pdata[i])->after);

  g_autoptr (LwJob) later = lw_job_copy (job);
  lw_job_edit_part (later, 1)->x_mm += 1; /* what was edited meanwhile stays */
  g_autoptr (LwJob) used = lw_seek_apply (a, later, &error);
  g_assert_no_error (error);
  g_assert_cmpfloat (((LwPart *) used->parts->pdata[1])->x_mm, ==, ((LwPart *) later->parts->pdata[1])->x_mm);
  g_assert_true (plan_of (used) == plan_of (a->job));
  g_ptr_array_set_size (later->plans, 0);
  g_assert_null (lw_seek_apply (a, later, &error));
  g_assert_error (error, LW_PREDICT_ERROR, LW_PREDICT_ERROR_JOB);
}

static void
cancel_at (double done, gpointer user)
{
  if (done > 0.05)
    g_cancellable_cancel (user);
}

static void
test_cancel (void)
{
  g_autoptr (LwJob) job = three_to_turn (2);
  g_autoptr (GCancellable) cancellable = g_cancellable_new ();
  g_autoptr (GError) error = NULL;

  g_assert_null (lw_seek (job, 0, NULL, cancellable, cancel_at, cancellable, &error));
  g_assert_error (error, G_IO_ERROR, G_IO_ERROR_CANCELLED);
}

/* A headroom that is used up is told as how far the limit is passed, not as a number below nought. */
static void
test_steps_said (void)
{
  static const struct {
    double steps;
    const char *said;
  } rows[] = { { 2.14, "2.1 times its doubt left" }, { 0, "0.0 times its doubt left" }, { -3.4, "passed by 3.4 times its doubt" } };

  for (guint i = 0; i < G_N_ELEMENTS (rows); i++) {
    g_autofree char *said = lw_seek_say_steps (rows[i].steps);

    g_assert_cmpstr (said, ==, as_shown (rows[i].said));
  }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/seek/known", test_known);
#if !defined(__SANITIZE_ADDRESS__) /* the same code some hundred times more, ten times as slow */
  g_test_add_func ("/seek/grid", test_grid);
  g_test_add_func ("/seek/conflict", test_conflict);
#else
  (void) test_grid;
  (void) test_conflict;
#endif
  g_test_add_func ("/seek/space", test_space);
  g_test_add_func ("/seek/places", test_places);
  g_test_add_func ("/seek/same", test_same);
  g_test_add_func ("/seek/cancel", test_cancel);
  g_test_add_func ("/seek/steps-said", test_steps_said);
  return g_test_run ();
}
