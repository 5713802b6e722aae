#include "bench.h"

#include <math.h>

static void
put (char **text, const char *value)
{
  g_free (*text);
  *text = g_strdup (value);
}

LwPart *
bench_add_part (LwJob *job, const char *ref, const char *package, double x_mm, double y_mm, LwSide side)
{
  LwPart *part = lw_part_new ();

  put (&part->ref, ref);
  put (&part->package, package);
  part->x_mm = x_mm;
  part->y_mm = y_mm;
  part->side = side;
  g_ptr_array_add (job->parts, part);
  return part;
}

LwPackage *
bench_add_package (LwJob *job, const char *name, LwPackageKind kind, double length_mm, double width_mm,
                   double height_mm)
{
  LwPackage *package = lw_package_new ();

  put (&package->name, name);
  package->kind = kind;
  package->length_mm = length_mm;
  package->width_mm = width_mm;
  package->height_mm = height_mm;
  g_ptr_array_add (job->packages, package);
  return package;
}

LwStage *
bench_add_stage (LwPlan *plan, const char *name, double duration_s, double gas_c, double flow,
                 double preheat_c, LwStageShape shape)
{
  LwStage *stage = lw_stage_new ();

  put (&stage->name, name);
  stage->duration_s = duration_s;
  stage->gas_c = gas_c;
  stage->flow_l_per_min = flow;
  stage->preheat_c = preheat_c;
  stage->shape = shape;
  g_ptr_array_add (plan->stages, stage);
  return stage;
}

LwJob *
bench_empty_job (double x0, double y0, double length, double width, double thickness)
{
  LwJob *job = lw_job_new ();

  if (job->board == NULL)
    job->board = lw_board_new ();
  if (job->station == NULL)
    job->station = lw_station_new ();
  g_ptr_array_add (job->board->outline, lw_loop_new_rectangle (x0, y0, x0 + length, y0 + width));
  job->board->thickness_mm = thickness;
  return job;
}

LwNozzle *
bench_add_nozzle (LwJob *job, double length, double width)
{
  LwNozzle *nozzle = lw_nozzle_new ();

  put (&nozzle->name, "box");
  nozzle->length_mm = length;
  nozzle->width_mm = width;
  nozzle->wall_mm = 0.5;
  nozzle->skirt_gap_mm = 1;
  g_ptr_array_add (job->station->nozzles, nozzle);
  return nozzle;
}

static LwPlan *
add_plan (LwJob *job, const char *ref, double x, double y, double length, double width)
{
  LwPlan *plan = lw_plan_new ();

  put (&plan->ref, ref);
  put (&plan->nozzle, "box");
  plan->nozzle_height_mm = 3;
  plan->preheat_x_mm = x;
  plan->preheat_y_mm = y;
  plan->preheat_length_mm = length;
  plan->preheat_width_mm = width;
  g_ptr_array_add (job->plans, plan);
  return plan;
}

void
bench_add_small_joints (LwPackage *chip, LwPackage *plug, LwPackage *can)
{
  chip->joints = (LwJoints){ .pattern = LW_JOINTS_TWO_ENDS,
                             .span_x_mm = 1.6,
                             .length_mm = 0.5,
                             .width_mm = 1.2,
                             .standoff_mm = 0.03,
                             .lead_w_per_k = NAN };
  plug->joints = (LwJoints){ .pattern = LW_JOINTS_TWO_SIDES,
                             .rows = 2,
                             .pitch_mm = 2.5,
                             .span_x_mm = plug->length_mm - 2,
                             .length_mm = 1.5,
                             .width_mm = 0.8,
                             .standoff_mm = 0.1,
                             .lead_w_per_k = NAN };
  can->round = TRUE;
  can->joints = (LwJoints){ .pattern = LW_JOINTS_TWO_ENDS,
                            .span_x_mm = 6,
                            .length_mm = 2,
                            .width_mm = 1,
                            .standoff_mm = 0.1,
                            .lead_w_per_k = NAN };
}

/* ---- the ordinary job ---- */

static void
add_packages (LwJob *job)
{
  LwPackage *array = bench_add_package (job, "array", LW_KIND_AREA_ARRAY, 17, 17, 1.6);
  LwPackage *chip = bench_add_package (job, "chip", LW_KIND_CERAMIC_CAPACITOR, 2, 1.25, 1.25);
  LwPackage *plug = bench_add_package (job, "plug", LW_KIND_CONNECTOR, 18, 5, 7);
  LwPackage *can = bench_add_package (job, "can", LW_KIND_ELECTROLYTIC, 8, 8, 10.2);

  array->joints = (LwJoints){ .pattern = LW_JOINTS_GRID,
                              .columns = 16,
                              .rows = 16,
                              .pitch_mm = 1,
                              .length_mm = 0.45,
                              .width_mm = 0.45,
                              .standoff_mm = 0.4,
                              .lead_w_per_k = NAN };
  bench_add_small_joints (chip, plug, can);
}

static void
fill_station (LwStation *station)
{
  station->gas_min_c = 50;
  station->gas_max_c = 450;
  station->flow_min_l_per_min = 5;
  station->flow_max_l_per_min = 60;
  station->gas_lag_s = 4;
  station->preheater = (LwPreheater){ LW_PREHEATER_WARM_AIR, 300, 200, 40, 250, 20, 15, 0.9, 1.5 };
  station->holder = (LwHolder){ TRUE, 3, 150, 10, NAN };
}

static void
add_stages (LwPlan *plan)
{
  bench_add_stage (plan, "soak", 100, NAN, 0, 180, LW_SHAPE_STEP);
  bench_add_stage (plan, "lift", 40, 400, 35, 180, LW_SHAPE_RAMP);
  bench_add_stage (plan, "melt", 50, 400, 35, 180, LW_SHAPE_STEP);
  bench_add_stage (plan, "cool", 50, NAN, 0, NAN, LW_SHAPE_STEP);
}

LwJob *
bench_job (LwSide side, double x0, double y0)
{
  LwJob *job = bench_empty_job (x0, y0, 100, 80, 1.6);
  gboolean turned = side == LW_SIDE_BOTTOM;
  LwSide other = turned ? LW_SIDE_TOP : LW_SIDE_BOTTOM;
  double mirror = turned ? -1 : 1, xm = x0 + 50;
  LwPlan *plan;

  add_packages (job);
  fill_station (job->station);
  bench_add_nozzle (job, 19, 19);
  bench_add_part (job, "U1", "array", xm - 4 * mirror, y0 + 38, side);
  bench_add_part (job, "C1", "chip", xm + 13 * mirror, y0 + 41, side)->rotation_deg = 90;
  bench_add_part (job, "J1", "plug", xm - 30 * mirror, y0 + 60, side)->rotation_deg = 30;
  bench_add_part (job, "K1", "can", xm + 22 * mirror, y0 + 40, side);
  bench_add_part (job, "R1", "chip", xm - 2 * mirror, y0 + 36, other)->rotation_deg = 20;
  plan = add_plan (job, "U1", xm - 4 * mirror, y0 + 40, 80, 60);
  plan->nozzle_dx_mm = 0.25 * mirror;
  add_stages (plan);
  return job;
}

/* ---- the prescribed one ---- */

static void
prescribe_films (LwPrescribedFilms *films)
{
  films->given = TRUE;
  films->nozzle_w_per_m2k = 80;
  films->preheater_w_per_m2k = 30;
  films->room_up_w_per_m2k = films->room_down_w_per_m2k = 20;
  films->board_emissivity = films->part_emissivity = 0;
}

LwJob *
bench_prescribed (double k_w_mk, double h_w_m2k)
{
  LwJob *job = bench_empty_job (0, 0, 40, 30, 2);
  LwPart *part;
  LwPlan *plan;

  job->board->prescribed_k_in_plane_w_per_mk = job->board->prescribed_k_through_w_per_mk = k_w_mk;
  job->board->prescribed_heat_capacity_j_per_m3k = 2e6;
  prescribe_films (&job->station->films);
  job->station->preheater.kind = LW_PREHEATER_WARM_AIR;
  bench_add_nozzle (job, 20, 15);
  bench_add_package (job, "block", LW_KIND_AREA_ARRAY, 20, 15, 1.5);
  part = bench_add_part (job, "U1", "block", 20, 15, LW_SIDE_TOP);
  part->prescribed_body_thickness_mm = 1.5;
  part->prescribed_body_k_w_per_mk = k_w_mk;
  part->prescribed_body_heat_capacity_j_per_m3k = 1.8e6;
  part->prescribed_joint_h_w_per_m2k = h_w_m2k;
  plan = add_plan (job, "U1", 20, 15, 60, 60);
  plan->table = g_array_new (FALSE, FALSE, sizeof (LwKnot));
  g_array_append_vals (
      plan->table, (LwKnot[]){ { 0, NAN, 150 }, { 60, NAN, 150 }, { 60, 300, 150 }, { 120, 300, 150 } },
      4);
  return job;
}
