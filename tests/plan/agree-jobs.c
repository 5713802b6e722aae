#include "agree-jobs.h"

#include <math.h>
#include <string.h>

#include "bench.h"
#include "board/job-file.h"
#include "exchange/import.h"

LwJob *
agree_demo (void)
{
  g_autoptr (GFile) file = g_file_new_for_uri ("resource:///leeward/data/demo.leeward");
  g_autoptr (GError) error = NULL;
  LwJob *job = lw_job_load (file, NULL, &error);
  g_assert_no_error (error);
  return job;
}

static void
put (char **text, const char *value)
{
  g_free (*text);
  *text = g_strdup (value);
}

static void
fill_station (LwStation *station, LwPreheaterKind kind, double lag_s)
{
  station->gas_min_c = 50;
  station->gas_max_c = 450;
  station->flow_min_l_per_min = 5;
  station->flow_max_l_per_min = 80;
  station->gas_lag_s = lag_s;
  station->preheater = (LwPreheater){ kind, 300, 300, 40, 600, 25, 10, 0.9, 0.5 };
  station->holder = (LwHolder){ TRUE, 3, 150, 10, NAN };
}

static void
add_nozzle (LwJob *job, double length, double width)
{
  LwNozzle *nozzle = bench_add_nozzle (job, length, width);
  nozzle->wall_mm = 1;
  nozzle->skirt_gap_mm = 2;
}

/* Where a part's body stands, and its size. */
static const LwPackage *
find_part (const LwJob *job, const char *ref, const LwPart **part)
{
  int index = lw_job_find_part (job, ref);
  g_assert_cmpint (index, >=, 0);
  *part = g_ptr_array_index (job->parts, index);
  const LwPackage *package = lw_job_package_of (job, *part);
  g_assert_nonnull (package);
  return package;
}

static LwPlan *
add_plan (LwJob *job, const char *ref, double preheat_mm)
{
  const LwPart *part;
  find_part (job, ref, &part);
  LwPlan *plan = lw_plan_new ();
  put (&plan->ref, ref);
  put (&plan->nozzle, "box");
  plan->nozzle_height_mm = 3;
  plan->preheat_x_mm = part->x_mm;
  plan->preheat_y_mm = part->y_mm;
  plan->preheat_length_mm = plan->preheat_width_mm = preheat_mm;
  g_ptr_array_add (job->plans, plan);
  return plan;
}

LwJob *
agree_board (const char *name, const char *ref)
{
  g_autofree char *path = g_test_build_filename (G_TEST_DIST, "data", name, NULL);
  g_autoptr (GFile) file = g_file_new_for_path (path);
  g_autoptr (GError) error = NULL;
  g_autoptr (LwImport) import = lw_import (file, NULL, NULL, &error);
  g_assert_no_error (error);
  LwJob *job = lw_job_ref (import->job);
  const LwPart *part;
  const LwPackage *package = find_part (job, ref, &part);
  LwStation *own = job->station != NULL ? lw_station_copy (job->station) : lw_station_new ();
  lw_station_unref (job->station);
  job->station = own; /* what an import gives may be shared */
  fill_station (job->station, LW_PREHEATER_WARM_AIR, 4);
  add_nozzle (job, package->length_mm + 2, package->width_mm + 2);
  LwPlan *plan = add_plan (job, ref, 120);
  bench_add_stage (plan, "soak", 90, NAN, 0, 160, LW_SHAPE_STEP);
  bench_add_stage (plan, "lift", 40, 380, 30, 160, LW_SHAPE_RAMP);
  bench_add_stage (plan, "melt", 50, 380, 30, 160, LW_SHAPE_STEP);
  bench_add_stage (plan, "cool", 40, NAN, 0, NAN, LW_SHAPE_STEP);
  return job;
}

/* ---- generated jobs ---- */

static double
between (GRand *rand, double low, double high)
{
  return g_rand_double_range (rand, low, high);
}

static void
add_kinds (LwJob *job, GRand *rand)
{
  double side = between (rand, 9, 20);
  guint balls = (guint) (side / 1.27) - 1;
  LwPackage *array = bench_add_package (job, "array", LW_KIND_AREA_ARRAY, side, side, between (rand, 1.2, 2.6));
  LwPackage *chip = bench_add_package (job, "chip", LW_KIND_CERAMIC_CAPACITOR, 2, 1.25, 1.25);
  LwPackage *plug = bench_add_package (job, "plug", LW_KIND_CONNECTOR, between (rand, 6, 11), 5, between (rand, 3, 9));
  LwPackage *can = bench_add_package (job, "can", LW_KIND_ELECTROLYTIC, 8, 8, 10.2);
  array->joints = (LwJoints){ .pattern = LW_JOINTS_GRID,
                              .columns = balls,
                              .rows = balls,
                              .pitch_mm = 1.27,
                              .length_mm = 0.6,
                              .width_mm = 0.6,
                              .standoff_mm = 0.4,
                              .lead_w_per_k = NAN };
  bench_add_small_joints (chip, plug, can);
}

/* Parts on a ring of places round the target, on both sides. */
static void
add_parts (LwJob *job, GRand *rand, double x, double y, double reach)
{
  static const char *const kinds[] = { "chip", "chip", "plug", "can" };
  guint n = (guint) g_rand_int_range (rand, 3, 9);
  bench_add_part (job, "U1", "array", x, y, LW_SIDE_TOP);
  for (guint i = 0; i < n; i++) {
    g_autofree char *ref = g_strdup_printf ("P%u", i);
    double angle = 2 * G_PI * (i + between (rand, 0, 0.4)) / n, away = between (rand, 0.8, 1) * reach;
    LwSide side = g_rand_int_range (rand, 0, 4) ? LW_SIDE_TOP : LW_SIDE_BOTTOM;
    LwPart *part = bench_add_part (job, ref, kinds[g_rand_int_range (rand, 0, 4)], x + away * cos (angle),
                                   y + away * sin (angle), side);
    part->rotation_deg = 45 * g_rand_int_range (rand, 0, 8);
  }
}

static void
add_stages (LwPlan *plan, GRand *rand)
{
  double preheat = between (rand, 120, 200), gas = between (rand, 300, 430), flow = between (rand, 20, 60);
  LwStageShape shape = g_rand_int_range (rand, 0, 2) ? LW_SHAPE_RAMP : LW_SHAPE_STEP;
  bench_add_stage (plan, "soak", between (rand, 50, 100), NAN, 0, preheat, LW_SHAPE_STEP);
  bench_add_stage (plan, "lift", between (rand, 15, 40), gas, flow, preheat, shape);
  bench_add_stage (plan, "melt", between (rand, 20, 50), gas, flow, preheat, LW_SHAPE_STEP);
  bench_add_stage (plan, "cool", between (rand, 20, 40), NAN, 0, NAN, LW_SHAPE_STEP);
}

LwJob *
agree_made (guint n)
{
  GRand *rand = g_rand_new_with_seed (1000 + n);
  double length = between (rand, 70, 110), width = between (rand, 66, 90);
  LwJob *job = bench_empty_job (0, 0, length, width, between (rand, 0.8, 2.4));
  add_kinds (job, rand);
  fill_station (job->station, g_rand_int_range (rand, 0, 2) ? LW_PREHEATER_WARM_AIR : LW_PREHEATER_INFRARED,
                between (rand, 0, 6));
  const LwPackage *array = g_ptr_array_index (job->packages, 0);
  add_nozzle (job, array->length_mm + 2, array->width_mm + 2);
  add_parts (job, rand, length / 2, width / 2, fmin (length, width) / 2 - 6);
  add_stages (add_plan (job, "U1", between (rand, 50, 100)), rand);
  g_rand_free (rand);
  return job;
}
