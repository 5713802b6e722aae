/* Findings from geometry alone, before anything is predicted: nozzle, station, preheat area, lee. Expected figures by hand. */
#include "findings-fixture.h"

static GPtrArray *
judge_place (const char *package, double x_mm, double y_mm, double rotation, LwSide side)
{
  g_autoptr (LwJob) job = new_job ();
  LwPart *part = new_part ("N1", package, x_mm, y_mm, side);
  part->rotation_deg = rotation;
  g_ptr_array_add (job->parts, part);
  return lw_judge_geometry (job, 0);
}

/* The nozzle's outside reaches from 46.75 to 73.25 mm; its skirt comes down to 1.5 mm. */
static void
nozzle_clash (void)
{
  g_autoptr (GPtrArray) hits = judge_place ("ELCAP-8x10.2", 77, 50, 0, LW_SIDE_TOP);
  g_autoptr (GPtrArray) tight = judge_place ("ELCAP-8x10.2", 79, 50, 0, LW_SIDE_TOP);
  g_autoptr (GPtrArray) free_of = judge_place ("ELCAP-8x10.2", 81, 50, 0, LW_SIDE_TOP);
  g_autoptr (GPtrArray) below = judge_place ("ELCAP-8x10.2", 77, 50, 0, LW_SIDE_BOTTOM);
  g_autoptr (GPtrArray) low = judge_place ("C0402", 73, 50, 0, LW_SIDE_TOP);
  g_autoptr (GPtrArray) corner = judge_place ("R2512", 75, 65, 45, LW_SIDE_TOP);

  const LwFinding *f = expect (hits, "nozzle-clash", "N1", LW_GRADE_STOP);
  g_assert_cmpfloat (f->value, ==, 0);
  f = expect (tight, "nozzle-clash", "N1", LW_GRADE_WATCH);
  /* 79 - 8.3 / 2 - 73.25 */
  g_assert_cmpfloat_with_epsilon (f->value, 1.6, 0.03);
  f = expect (free_of, "nozzle-clash", "N1", LW_GRADE_FINE);
  g_assert_cmpfloat_with_epsilon (f->value, 3.6, 0.03);
  g_assert_null (find (below, "nozzle-clash", "N1"));
  f = expect (low, "nozzle-skirt", "N1", LW_GRADE_FINE);
  g_assert_cmpfloat_with_epsilon (f->value, 1.0, 1e-9);
  g_assert_null (find (corner, "nozzle-clash", "N1")); /* 0.6 mm tall */
}

static GPtrArray *
judge_plan (void (*tune) (LwJob *job, LwPlan *plan))
{
  g_autoptr (LwJob) job = new_job ();
  tune (job, lw_job_edit_plan (job, 0));
  return lw_judge_geometry (job, 0);
}

static void
set_nozzle (LwPlan *plan, const char *name)
{
  g_free (plan->nozzle);
  plan->nozzle = g_strdup (name);
}

static void
small_nozzle (LwJob *job, LwPlan *plan)
{
  set_nozzle (plan, "Square 18.5");
}

static void
shifted_nozzle (LwJob *job, LwPlan *plan)
{
  plan->nozzle_dx_mm = 0.5;
}

static void
turned_nozzle (LwJob *job, LwPlan *plan)
{
  plan->nozzle_turn_deg = 45;
}

static void
wide_nozzle (LwJob *job, LwPlan *plan)
{
  LwNozzle *nozzle = lw_nozzle_copy (lw_station_find_nozzle (job->station, "Square 28.5"));
  nozzle->length_mm = nozzle->width_mm = 30;
  g_free (nozzle->name);
  nozzle->name = g_strdup ("Wide");
  g_ptr_array_add (lw_job_edit_station (job)->nozzles, nozzle);
  set_nozzle (plan, "Wide");
}

static void
no_nozzle (LwJob *job, LwPlan *plan)
{
  set_nozzle (plan, "Square 99");
}

/* By hand: gaps (24.5 - 23) / 2 = 0.75; (18.5 - 23) / 2 = -2.25; 0.75 - 0.5 = 0.25; turned by 45 degrees
 * a corner at 11.5 sqrt 2 = 16.26 against 12.25; (30 - 23) / 2 = 3.5. */
static void
nozzle_cover (void)
{
  g_autoptr (LwJob) job = new_job ();
  g_autoptr (GPtrArray) good = lw_judge_geometry (job, 0);
  g_autoptr (GPtrArray) small = judge_plan (small_nozzle);
  g_autoptr (GPtrArray) shifted = judge_plan (shifted_nozzle);
  g_autoptr (GPtrArray) turned = judge_plan (turned_nozzle);
  g_autoptr (GPtrArray) wide = judge_plan (wide_nozzle);
  g_autoptr (GPtrArray) none = judge_plan (no_nozzle);

  g_assert_cmpfloat_with_epsilon (expect (good, "nozzle-cover", "U1", LW_GRADE_FINE)->value, 0.75, 1e-9);
  g_assert_cmpfloat_with_epsilon (expect (small, "nozzle-cover", "U1", LW_GRADE_STOP)->value, -2.25,
                                  1e-9);
  g_assert_cmpfloat_with_epsilon (expect (shifted, "nozzle-cover", "U1", LW_GRADE_WATCH)->value, 0.25,
                                  1e-9);
  g_assert_cmpfloat_with_epsilon (expect (turned, "nozzle-cover", "U1", LW_GRADE_STOP)->value,
                                  12.25 - 11.5 * sqrt (2), 1e-9);
  g_assert_cmpfloat_with_epsilon (expect (wide, "nozzle-cover", "U1", LW_GRADE_WATCH)->value, 3.5, 1e-9);
  expect (none, "nozzle-missing", NULL, LW_GRADE_STOP);
}

static void
too_much (LwJob *job, LwPlan *plan)
{
  g_ptr_array_add (plan->stages, new_stage (10, 421, 61, 421));
  plan->preheat_length_mm = 321;
}

static void
too_little (LwJob *job, LwPlan *plan)
{
  g_ptr_array_add (plan->stages, new_stage (10, 99, 7, 79));
}

/* The bench: gas 100 to 420 °C, 8 to 60 L/min, preheater 80 to 420 °C and 320 x 260 mm. */
static void
station_range (void)
{
  g_autoptr (GPtrArray) much = judge_plan (too_much), little = judge_plan (too_little);

  g_assert_cmpfloat (expect (much, "gas-range", "", LW_GRADE_STOP)->headroom, ==, -1);
  g_assert_cmpfloat (expect (much, "flow-range", "", LW_GRADE_STOP)->headroom, ==, -1);
  g_assert_cmpfloat (expect (much, "preheat-range", "", LW_GRADE_STOP)->headroom, ==, -1);
  g_assert_cmpfloat (expect (much, "preheat-size", "", LW_GRADE_STOP)->headroom, ==, -1);
  g_assert_cmpfloat (expect (little, "gas-range", "", LW_GRADE_STOP)->headroom, ==, -1);
  g_assert_cmpfloat (expect (little, "flow-range", "", LW_GRADE_STOP)->headroom, ==, -1);
  g_assert_cmpfloat (expect (little, "preheat-range", "", LW_GRADE_STOP)->headroom, ==, -1);
}

static void
narrow_area (LwJob *job, LwPlan *plan)
{
  plan->preheat_length_mm = 80;
}

static void
astray_area (LwJob *job, LwPlan *plan)
{
  plan->preheat_x_mm = 120;
  plan->preheat_length_mm = 100;
}

static void
preheat_area (void)
{
  g_autoptr (GPtrArray) narrow = judge_plan (narrow_area), astray = judge_plan (astray_area);

  g_assert_cmpfloat (expect (narrow, "preheat-area", "", LW_GRADE_WATCH)->value, ==, 20);
  expect (narrow, "preheat-place", "U1", LW_GRADE_FINE);
  expect (astray, "preheat-place", "U1", LW_GRADE_STOP);
}

/* A box 10.2 mm high beside the middle of the right edge. The wall beside it may hide at most what a
 * long wall does: (1/2)(1 - d / sqrt (d2 + h2)), see tests/heat. */
static void
lee (void)
{
  g_autoptr (GPtrArray) tall = judge_place ("CONN-RJ45", 82, 50, 0, LW_SIDE_TOP);
  g_autoptr (GPtrArray) under = judge_place ("ELCAP-8x10.2", 76, 50, 0, LW_SIDE_BOTTOM);
  g_autoptr (GPtrArray) away = judge_place ("ELCAP-8x10.2", 110, 50, 0, LW_SIDE_TOP);

  /* RJ45: 16 mm long, face at 74 mm, 2.5 mm from the edge at 71.5 mm; 13.5 mm high */
  const LwFinding *f = expect (tall, "lee-sky", "U1", LW_GRADE_WATCH);
  g_assert_cmpfloat (f->value, <, 0.5 * (1 - 2.5 / hypot (2.5, 13.5)));
  g_assert_cmpfloat (f->value, >, 0.25);
  g_assert_nonnull (strstr (f->text, "N1"));
  f = expect (under, "lee-preheat", "U1", LW_GRADE_WATCH);
  g_assert_nonnull (strstr (f->text, "N1"));
  expect (under, "lee-sky", "U1", LW_GRADE_FINE);
  expect (away, "lee-sky", "U1", LW_GRADE_FINE);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/findings/nozzle-clash", nozzle_clash);
  g_test_add_func ("/findings/nozzle-cover", nozzle_cover);
  g_test_add_func ("/findings/station-range", station_range);
  g_test_add_func ("/findings/preheat-area", preheat_area);
  g_test_add_func ("/findings/lee", lee);
  return g_test_run ();
}
