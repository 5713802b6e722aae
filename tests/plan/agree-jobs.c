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
  LwNozzle *nozzle = lw_nozzle_new ();
  put (&nozzle->name, "box");
  nozzle->length_mm = length;
  nozzle->width_mm = width;
  nozzle->wall_mm = 1;
  nozzle->skirt_gap_mm = 2;
  g_ptr_array_add (job->station->nozzles, nozzle);
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
  g_autofree char *path = g_test_build_filename (G_TEST_DIST, "..", "data", name, NULL);
  g_autoptr (GFile) file = g_file_new_for_path (path);
  g_autoptr (GError) error = NULL;
  g_autoptr (LwImport) import = lw_import (file, NULL, NULL, &error);
  g_assert_no_error (error);
  LwJob *job = lw_job_ref (import->job);
  const LwPart *part;
  const LwPackage *package = find_part (job, ref, &part);
  if (job->station == NULL)
    job->station = lw_station_new ();
  fill_station (job->station, LW_PREHEATER_WARM_AIR, 4);
  add_nozzle (job, package->length_mm + 2, package->width_mm + 2);
  LwPlan *plan = add_plan (job, ref, 120);
  bench_add_stage (plan, "soak", 90, NAN, 0, 160, LW_SHAPE_STEP);
  bench_add_stage (plan, "lift", 40, 380, 30, 160, LW_SHAPE_RAMP);
  bench_add_stage (plan, "melt", 50, 380, 30, 160, LW_SHAPE_STEP);
  bench_add_stage (plan, "cool", 40, NAN, 0, NAN, LW_SHAPE_STEP);
  return job;
}

LwJob *
agree_made (guint n)
{
  (void) n;
  return bench_job (LW_SIDE_TOP, 0, 0);
}
