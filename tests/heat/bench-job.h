/* The job benchmarks and whole-job tests share: a board of 200 x 150 x 1.6 mm with a 25 mm, 289-ball
 * tin-lead area array in its middle and a few neighbours; bath of warm air at 150 C from the start, gas
 * at 240 C through a matched nozzle 3 mm above the part for the last 90 s of 210. Our own figures;
 * materials from handbooks (FR-4, copper, mould compound) as in docs/physics.md. */
#ifndef BENCH_JOB_H
#define BENCH_JOB_H

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "heat/solve.h"

typedef struct {
  HeatXY edge[4], balls[289], legs[2][2];
  HeatLoop loops[1];
  HeatLayer layers[3];
  HeatBody bodies[5];
  double gas_t[2], gas_v[2], flow_t[2], flow_v[2], pre_t[1], pre_v[1];
  HeatScene scene;
} BenchJob;

static inline void
bench_board (BenchJob *j, double length, double width)
{
  const HeatXY edge[4] = { { 0, 0 }, { length, 0 }, { length, width }, { 0, width } };
  memcpy (j->edge, edge, sizeof edge);
  j->loops[0] = (HeatLoop){ j->edge, 4 };
  for (int i = 0; i < 3; i++)
    j->layers[i] = (HeatLayer){ 1.6e-3 / 3, 20, 0.33, 2.09e6 };
  j->scene.board = (HeatBoard){
    .loops = j->loops, .n_loops = 1, .layers = j->layers, .n_layers = 3, .emissivity = 0.9
  };
}

static inline HeatBody
bench_array (BenchJob *j, HeatXY center)
{
  for (int i = 0; i < 289; i++)
    j->balls[i] = (HeatXY){ center.x + (i % 17 - 8) * 1.27e-3, center.y + (i / 17 - 8) * 1.27e-3 };
  return (HeatBody){
    .meshed = true,
    .center = center,
    .length_m = 25e-3,
    .width_m = 25e-3,
    .standoff_m = 0.5e-3,
    .height_m = 2.2e-3,
    .layers = { { 0.56e-3, 15, 0.6, 2.0e6 }, { 1.14e-3, 0.9, 0.9, 1.76e6 } },
    .n_layers = 2,
    .emissivity = 0.9,
    .joints = j->balls,
    .n_joints = 289,
    .joint_g_w_k = 50 * 0.25 * 3.14159 * 0.7e-3 * 0.7e-3 / 0.5e-3,
    .joint_c_j_k = 8.4e3 * 190 * 0.22e-9,
    .joint_latent_j = 8.4e3 * 46e3 * 0.22e-9,
    .solidus_c = 183,
    .liquidus_c = 183,
    .gap_h_w_m2k = 0.033 / 0.5e-3,
  };
}

static inline HeatBody
bench_lump (BenchJob *j, int legs, HeatXY center, double length, double width, double height, bool below)
{
  j->legs[legs][0] = (HeatXY){ center.x - length / 2, center.y };
  j->legs[legs][1] = (HeatXY){ center.x + length / 2, center.y };
  return (HeatBody){
    .below = below,
    .center = center,
    .length_m = length,
    .width_m = width,
    .height_m = height,
    .layers = { { height, 5, 5, 2.5e6 } },
    .n_layers = 1,
    .emissivity = 0.9,
    .joints = j->legs[legs],
    .n_joints = 2,
    .joint_g_w_k = 0.1,
    .joint_c_j_k = 1e-3,
    .joint_latent_j = 0.2,
    .solidus_c = 183,
    .liquidus_c = 183,
  };
}

static inline void
bench_station (BenchJob *j, HeatXY center)
{
  HeatScene *s = &j->scene;
  j->gas_t[0] = 0;
  j->gas_v[0] = 240;
  j->flow_t[0] = j->flow_t[1] = 120;
  j->flow_v[0] = 0;
  j->flow_v[1] = 40e-3 / 60;
  j->pre_v[0] = 150;
  s->nozzle = (HeatNozzle){ .present = true,
                            .center = center,
                            .length_m = 27e-3,
                            .width_m = 27e-3,
                            .wall_m = 1e-3,
                            .height_m = 3e-3,
                            .skirt_gap_m = 2e-3,
                            .set_c = { j->gas_t, j->gas_v, 1 },
                            .flow_m3_s = { j->flow_t, j->flow_v, 2 } };
  s->preheat = (HeatPreheat){ .kind = HEAT_PREHEAT_AIR,
                              .center = center,
                              .length_m = 0.25,
                              .width_m = 0.2,
                              .gap_m = 20e-3,
                              .emissivity = 0.9,
                              .speed_m_s = 0.5,
                              .set_c = { j->pre_t, j->pre_v, 1 } };
  s->room.air_c = s->start_c = 25;
  s->end_s = 210;
  s->scale_nozzle_film = s->scale_preheat_film = s->scale_room_film = 1;
  s->scale_conductivity = s->scale_capacity = 1;
}

/* Board of LENGTH x WIDTH; NEIGHBOURS: with four of them, meshed and not, on both sides. */
static inline void
bench_job (BenchJob *j, double length, double width, bool neighbours)
{
  memset (j, 0, sizeof *j);
  HeatXY c = { length / 2, width / 2 };
  bench_board (j, length, width);
  bench_station (j, c);
  j->bodies[0] = bench_array (j, c);
  j->scene.bodies = j->bodies;
  j->scene.n_bodies = 1;
  j->scene.target = 0;
  if (!neighbours)
    return;
  j->bodies[1] = bench_lump (j, 0, (HeatXY){ c.x + 20e-3, c.y + 3e-3 }, 3.2e-3, 1.6e-3, 1.2e-3, false);
  j->bodies[2] = bench_lump (j, 1, (HeatXY){ c.x - 6e-3, c.y + 5e-3 }, 5e-3, 4e-3, 1.5e-3, true);
  j->bodies[3] = j->bodies[0];
  j->bodies[3].center = (HeatXY){ c.x + 4e-3, c.y - 28e-3 };
  j->bodies[3].length_m = j->bodies[3].width_m = 12e-3;
  j->bodies[3].joints = NULL;
  j->bodies[3].n_joints = 0;
  j->bodies[3].prescribed_h_w_m2k = 8000;
  j->bodies[3].angle_rad = 0.5;
  j->bodies[4] = (HeatBody){ .meshed = true,
                             .round = true,
                             .center = { c.x - 24e-3, c.y },
                             .length_m = 10e-3,
                             .standoff_m = 0.2e-3,
                             .height_m = 10e-3,
                             .layers = { { 9.8e-3, 20, 20, 2.4e6 } },
                             .n_layers = 1,
                             .emissivity = 0.3,
                             .joints = NULL,
                             .gap_h_w_m2k = 200 };
  j->scene.n_bodies = 5;
}

#endif
