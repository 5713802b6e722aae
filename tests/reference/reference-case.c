/* A board with five parts on both sides under prescribed films, solved by heat/ and printed as JSON: the
 * scene first, then the traces. five-parts.py reads the scene and solves it its own way.
 * The figures are an invented case; package heat capacities are of the usual order. */
#include "heat/solve.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const HeatXY outline[] = { { 0, 0 }, { 0.066, 0 }, { 0.066, 0.05 }, { 0, 0.05 } };
static const HeatLoop loop = { outline, 4 };

/* Outer layers with copper and vias, poor core: thickness m, k in plane and through W/mK, J/m3K. */
static const HeatLayer board_layers[] = {
  { 0.25e-3, 30, 1.2, 2.2e6 }, { 0.55e-3, 12, 0.4, 2.0e6 }, { 0.55e-3, 12, 0.4, 2.0e6 }, { 0.25e-3, 25, 1.2, 2.2e6 },
};

enum { N_BODIES = 5 };
static HeatBody bodies[N_BODIES];
static HeatXY array_joints[12 * 12], below_joints[10 * 10], gull_joints[16], chip_joints[2], can_joints[2];

static void
fill_array (HeatXY *joints, int n, double pitch, HeatXY center)
{
  for (int i = 0; i < n; i++)
    for (int j = 0; j < n; j++)
      joints[i * n + j] = (HeatXY){ center.x + (j - (n - 1) / 2.0) * pitch, center.y + (i - (n - 1) / 2.0) * pitch };
}

static void
place_area_arrays (void)
{
  bodies[0] = (HeatBody){
    .meshed = true, .center = { 0.024, 0.028 }, .length_m = 0.016, .width_m = 0.016, .standoff_m = 0.5e-3,
    .height_m = 2.2e-3, .layers = { { 0.5e-3, 9, 0.6, 1.9e6 }, { 1.2e-3, 0.9, 0.9, 1.8e6 } }, .n_layers = 2,
    .joints = array_joints, .n_joints = 144, .joint_g_w_k = 0.018, .joint_c_j_k = 1.6e-4, .joint_latent_j = 0.025,
    .solidus_c = 183, .liquidus_c = 191, .gap_h_w_m2k = 60,
  };
  bodies[1] = (HeatBody){
    .below = true, .meshed = true, .center = { 0.048, 0.024 }, .length_m = 0.012, .width_m = 0.012, .standoff_m = 0.3e-3,
    .height_m = 1.1e-3, .layers = { { 0.25e-3, 8, 0.5, 1.9e6 }, { 0.55e-3, 0.9, 0.9, 1.8e6 } }, .n_layers = 2,
    .joints = below_joints, .n_joints = 100, .joint_g_w_k = 0.012, .joint_c_j_k = 0.5e-4, .gap_h_w_m2k = 90,
    .solidus_c = 217, .liquidus_c = 220,
  };
  fill_array (array_joints, 12, 1.27e-3, bodies[0].center);
  fill_array (below_joints, 10, 1.0e-3, bodies[1].center);
}

static void
place_small_parts (void)
{
  bodies[2] = (HeatBody){
    .center = { 0.044, 0.042 }, .length_m = 0.010, .width_m = 0.004, .standoff_m = 0.1e-3, .height_m = 1.75e-3,
    .layers = { { 1.6e-3, 0.9, 0.9, 1.8e6 } }, .n_layers = 1, .joints = gull_joints, .n_joints = 16, .joint_g_w_k = 0.004,
    .joint_c_j_k = 3e-4, .gap_h_w_m2k = 150, .solidus_c = 217, .liquidus_c = 220,
  };
  for (int i = 0; i < 16; i++)
    gull_joints[i] = (HeatXY){ 0.044 + (i % 8 - 3.5) * 1.27e-3, 0.042 + (i < 8 ? -2.7e-3 : 2.7e-3) };
  bodies[3] = (HeatBody){
    .below = true, .center = { 0.024, 0.026 }, .length_m = 0.0032, .width_m = 0.0016, .standoff_m = 0.05e-3,
    .height_m = 1.3e-3, .layers = { { 1.2e-3, 3, 3, 3.0e6 } }, .n_layers = 1, .joints = chip_joints, .n_joints = 2,
    .joint_g_w_k = 0.15, .joint_c_j_k = 2e-3, .gap_h_w_m2k = 300, .solidus_c = 217, .liquidus_c = 220,
  };
  chip_joints[0] = (HeatXY){ 0.0226, 0.026 };
  chip_joints[1] = (HeatXY){ 0.0254, 0.026 };
  bodies[4] = (HeatBody){
    .center = { 0.012, 0.012 }, .length_m = 0.008, .width_m = 0.008, .standoff_m = 0.2e-3, .height_m = 8.2e-3,
    .layers = { { 8e-3, 5, 5, 1.9e6 } }, .n_layers = 1, .joints = can_joints, .n_joints = 2, .joint_g_w_k = 0.03,
    .joint_c_j_k = 2e-3, .gap_h_w_m2k = 100, .solidus_c = 217, .liquidus_c = 220,
  };
  can_joints[0] = (HeatXY){ 0.0095, 0.012 };
  can_joints[1] = (HeatXY){ 0.0145, 0.012 };
}

/* Gas from 90 s to 180 s with a ramp in it; preheater with a ramp from the start. */
static const double gas_t[] = { 90, 120, 180 }, gas_v[] = { 280, 380, 380 };
static const double flow_t[] = { 0, 90, 90, 180, 180 }, flow_v[] = { 0, 0, 0.5e-3, 0.5e-3, 0 };
static const double heat_t[] = { 0, 60, 210 }, heat_v[] = { 80, 180, 180 };

static HeatScene
scene_new (void)
{
  place_area_arrays ();
  place_small_parts ();
  return (HeatScene){
    .board = { .loops = &loop, .n_loops = 1, .layers = board_layers, .n_layers = 4 },
    .bodies = bodies, .n_bodies = N_BODIES, .target = 0,
    .nozzle = { .present = true, .center = { 0.024, 0.028 }, .length_m = 0.018, .width_m = 0.018, .wall_m = 1e-3,
                .height_m = 3e-3, .skirt_gap_m = 1e-3, .set_c = { gas_t, gas_v, 3 }, .flow_m3_s = { flow_t, flow_v, 5 },
                .prescribed_h_w_m2k = 150 },
    .preheat = { .kind = HEAT_PREHEAT_AIR, .center = { 0.029, 0.025 }, .length_m = 0.052, .width_m = 0.042,
                 .gap_m = 0.02, .set_c = { heat_t, heat_v, 3 }, .prescribed_h_w_m2k = 45 },
    .room = { .air_c = 25, .prescribed = true, .prescribed_up_w_m2k = 12, .prescribed_down_w_m2k = 8 },
    .start_c = 25, .end_s = 210, .scale_nozzle_film = 1, .scale_preheat_film = 1, .scale_room_film = 1,
    .scale_conductivity = 1, .scale_capacity = 1,
  };
}

static void
print_row (const char *name, const double *v, size_t n, const char *after)
{
  printf ("\"%s\":[", name);
  for (size_t i = 0; i < n; i++)
    printf ("%s%.9g", i ? "," : "", v[i]);
  printf ("]%s", after);
}

static void
print_table (const char *name, const HeatTable *table)
{
  printf ("\"%s\":{", name);
  print_row ("t", table->t_s, table->n, ",");
  print_row ("v", table->v, table->n, "},\n");
}

static void
print_layers (const HeatLayer *layers, size_t n)
{
  printf ("\"layers\":[");
  for (size_t i = 0; i < n; i++)
    printf ("%s[%.9g,%.9g,%.9g,%.9g]", i ? "," : "", layers[i].thickness_m, layers[i].k_in_w_mk, layers[i].k_thr_w_mk,
            layers[i].rho_c_j_m3k);
  printf ("],\n");
}

static void
print_body (const HeatBody *b, const char *after)
{
  printf ("{\"below\":%d,\"meshed\":%d,\"x\":%.9g,\"y\":%.9g,\"length\":%.9g,\"width\":%.9g,\n", b->below, b->meshed,
          b->center.x, b->center.y, b->length_m, b->width_m);
  printf ("\"joint_g\":%.9g,\"joint_c\":%.9g,\"latent\":%.9g,\"solidus\":%.9g,\"liquidus\":%.9g,\"gap_h\":%.9g,\n",
          b->joint_g_w_k, b->joint_c_j_k, b->joint_latent_j, b->solidus_c, b->liquidus_c, b->gap_h_w_m2k);
  print_layers (b->layers, b->n_layers);
  print_row ("joints", &b->joints[0].x, 2 * b->n_joints, "}");
  printf ("%s\n", after);
}

static void
print_scene (const HeatScene *s)
{
  printf ("\"scene\":{\"length\":%.9g,\"width\":%.9g,", outline[2].x, outline[2].y);
  print_layers (s->board.layers, s->board.n_layers);
  printf ("\"bodies\":[");
  for (size_t i = 0; i < s->n_bodies; i++)
    print_body (&s->bodies[i], i + 1 < s->n_bodies ? "," : "],");
  print_table ("gas", &s->nozzle.set_c);
  print_table ("flow", &s->nozzle.flow_m3_s);
  print_table ("preheat", &s->preheat.set_c);
  const double nozzle[] = { s->nozzle.center.x, s->nozzle.center.y, s->nozzle.length_m, s->nozzle.width_m,
                            s->nozzle.prescribed_h_w_m2k };
  const double preheat[] = { s->preheat.center.x, s->preheat.center.y, s->preheat.length_m, s->preheat.width_m,
                             s->preheat.prescribed_h_w_m2k };
  const double room[] = { s->room.air_c, s->room.prescribed_up_w_m2k, s->room.prescribed_down_w_m2k };
  print_row ("nozzle_area", nozzle, 5, ",");
  print_row ("preheat_area", preheat, 5, ",");
  print_row ("room", room, 3, ",\n");
  printf ("\"start\":%.9g,\"end\":%.9g},\n", s->start_c, s->end_s);
}

static void
print_trace (const HeatTrace *trace, size_t n, const char *after)
{
  printf ("{");
  print_row ("joint_min", trace->joint_min, n, ",\n");
  print_row ("joint_mean", trace->joint_mean, n, ",\n");
  print_row ("joint_max", trace->joint_max, n, ",\n");
  print_row ("body_mean", trace->body_mean, n, "}");
  printf ("%s\n", after);
}

static void
print_result (const HeatResult *r)
{
  print_row ("t", r->t_s, r->n_times, ",\n");
  print_row ("joints", r->joints, r->n_times * r->n_joints, ",\n");
  printf ("\"bodies\":[");
  for (size_t i = 0; i < r->n_bodies; i++)
    print_trace (&r->bodies[i], r->n_times, i + 1 < r->n_bodies ? "," : "],");
  printf ("\"imbalance\":%.9g,\"nodes\":%zu,\"steps\":%zu", r->energy.imbalance_share, r->n_nodes, r->n_steps);
}

/* Without an argument the default mesh and step; "uniform": 1 mm everywhere and 0.25 s. */
int
main (int argc, char **argv)
{
  HeatScene scene = scene_new ();
  HeatOptions uniform = { .cell_m = 1e-3, .coarse_m = 1e-3, .step_s = 0.25 };
  HeatSolver *solver = NULL;
  HeatResult *result = NULL;
  HeatStatus status = heat_solver_new (&scene, argc > 1 && !strcmp (argv[1], "uniform") ? &uniform : NULL, &solver);
  if (status == HEAT_OK)
    status = heat_solver_run (solver, &result);
  if (status != HEAT_OK) {
    const char *fault = heat_scene_fault (&scene);
    fprintf (stderr, "reference-case: %s; %s\n", heat_status_text (status), fault ? fault : "");
    return EXIT_FAILURE;
  }
  printf ("{");
  print_scene (&scene);
  print_result (result);
  printf ("}\n");
  heat_result_free (result);
  heat_solver_free (solver);
  return EXIT_SUCCESS;
}
