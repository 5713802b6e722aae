/* The full solution against exact ones. */
#include "plain-scene.h"

#include "heat/table.h"

/* Annular fin to infinity, theta / theta0 = K0 (m r) / K0 (m r0), m^2 = hsum / (k t): F. P. Incropera et
 * al., Fundamentals of Heat and Mass Transfer, section 3.6.4; values by SciPy's k0. Disc of 15.233 mm
 * (area of 27 x 27 mm), k 20, 1.6 mm, 20 + 20 W/m2K. */
static void
test_ring (void)
{
  const double r0 = 15.233e-3, far = 0.2;
  Plain p;
  plain_board (&p, -far, far, -far, far, 3, (HeatLayer){ 1.6e-3, 20, 400, 2.09e6 });
  p.scene.room.prescribed_up_w_m2k = p.scene.room.prescribed_down_w_m2k = 20;
  plain_nozzle (&p, (HeatXY){ 0, 0 }, 2 * r0, 0, true, 1e6, 100);
  p.scene.end_s = 4000;
  HeatOptions o = { .step_s = 100, .frame_s = 4000 };
  HeatResult *r = plain_solve (&p.scene, &o);
  const double away[3] = { 5e-3, 10e-3, 20e-3 }, ratio[3] = { 0.7465, 0.5702, 0.3467 };
  for (int i = 0; i < 3; i++)
    for (int way = 0; way < 4; way++) {
      double angle = way * G_PI / 8, d = r0 + away[i];
      double found = plain_at (r, d * cos (angle), d * sin (angle)) / 100;
      g_assert_cmpfloat_with_epsilon (found, ratio[i], 0.02 * ratio[i]);
    }
  /* Heat into the ring: what leaves through both its faces. */
  double heat = 0;
  const float *top = r->frames[r->n_frames - 1].top;
  for (size_t iy = 0; iy < r->ny; iy++)
    for (size_t ix = 0; ix < r->nx; ix++) {
      double x = (r->x_edges[ix] + r->x_edges[ix + 1]) / 2,
             y = (r->y_edges[iy] + r->y_edges[iy + 1]) / 2;
      double area = (r->x_edges[ix + 1] - r->x_edges[ix]) * (r->y_edges[iy + 1] - r->y_edges[iy]);
      if (hypot (x, y) > r0)
        heat += area * 40 * top[iy * r->nx + ix];
    }
  g_assert_cmpfloat_with_epsilon (heat / 100, 0.18868, 0.02 * 0.18868);
  heat_result_free (r);
}

/* Annular fin with an insulated rim (same source, table 3.5; values by SciPy's iv and kv): a round board
 * of 60 mm radius held hot within 15 mm. */
static void
test_round_board (void)
{
  Plain p;
  plain_board (&p, -1, 1, -1, 1, 3, (HeatLayer){ 1.6e-3, 20, 400, 2.09e6 });
  p.loop.n = 240;
  for (size_t i = 0; i < p.loop.n; i++)
    p.edge[i] = (HeatXY){ 0.06 * cos (2 * G_PI * i / p.loop.n), 0.06 * sin (2 * G_PI * i / p.loop.n) };
  p.scene.room.prescribed_up_w_m2k = p.scene.room.prescribed_down_w_m2k = 20;
  plain_nozzle (&p, (HeatXY){ 0, 0 }, 30e-3, 0, true, 1e6, 100);
  p.scene.end_s = 4000;
  HeatOptions o = { .step_s = 100, .frame_s = 4000, .coarse_m = 2e-3 };
  HeatResult *r = plain_solve (&p.scene, &o);
  const double at[3] = { 20e-3, 30e-3, 45e-3 }, ratio[3] = { 0.76887, 0.49964, 0.32371 };
  for (int i = 0; i < 3; i++) {
    g_assert_cmpfloat_with_epsilon (plain_at (r, at[i], 0) / 100, ratio[i], 0.02 * ratio[i]);
    g_assert_cmpfloat_with_epsilon (plain_at (r, -at[i] * sqrt (0.5), at[i] * sqrt (0.5)) / 100,
                                    ratio[i], 0.02 * ratio[i]);
  }
  g_assert_cmpfloat_with_epsilon (plain_at (r, 0, -58.9e-3) / 100, 0.2795, 0.02 * 0.2795);
  heat_result_free (r);
}

/* Strip [0, 40 mm] beside a base held at 100 K over the room; returns the tip's ratio. */
static HeatResult *
solve_fin (Plain *p, double cell)
{
  plain_board (p, -8e-3, 40e-3, 0, 8e-3, 3, (HeatLayer){ 1.6e-3, 15, 2e3, 2.09e6 });
  p->scene.room.prescribed_up_w_m2k = p->scene.room.prescribed_down_w_m2k = 30;
  plain_nozzle (p, (HeatXY){ -4e-3, 4e-3 }, 8e-3, 8e-3, false, 1e8, 100);
  p->scene.end_s = 4000;
  HeatOptions o
      = { .step_s = 100, .frame_s = 4000, .cell_m = cell, .coarse_m = cell, .tolerance_k = 1e-7 };
  return plain_solve (&p->scene, &o);
}

/* Straight fin with an insulated tip, 1 / cosh (m L) and tanh (m L) / (m L), m^2 = hsum / (k t):
 * Incropera, table 3.4. k 15, 1.6 mm, 30 + 30 W/m2K, 40 mm: m 50 1/m. */
static void
test_fin (void)
{
  Plain p;
  HeatResult *r = solve_fin (&p, 0.5e-3);
  /* The base is hot up to the last cell's centre, a quarter of a millimetre before the fin. */
  double base = cosh (50 * 40e-3) / cosh (50 * 40.25e-3);
  g_assert_cmpfloat_with_epsilon (plain_at (r, 39.75e-3, 4e-3) / 100, base * 0.26580, 0.001);
  double heat = 0;
  for (size_t ix = 0; ix < r->nx; ix++)
    if (r->x_edges[ix] > -1e-9)
      heat += 60 * 8e-3 * (r->x_edges[ix + 1] - r->x_edges[ix]) * r->frames[r->n_frames - 1].top[ix];
  g_assert_cmpfloat_with_epsilon (heat / (60 * 8e-3 * 40e-3 * 100), base * 0.48201, 0.001);
  heat_result_free (r);
}

/* Error against the exact profile falls with the square of the cell. The base is hot as far as the last
 * cell under the nozzle, so x is counted from its centre. */
static void
test_order_in_space (void)
{
  double error[3];
  for (int i = 0; i < 3; i++) {
    Plain p;
    double cell = 4e-3 / (1 << i);
    HeatResult *r = solve_fin (&p, cell);
    const float *top = r->frames[r->n_frames - 1].top;
    size_t base = (size_t) (8e-3 / cell + 0.5) - 1;
    double length = 40e-3 + cell / 2, tip = 40e-3 - r->x_edges[r->nx - 1];
    double exact = cosh (50 * tip / 2) / cosh (50 * length);
    error[i] = fabs (top[r->nx - 1] / top[base] - exact);
    heat_result_free (r);
  }
  g_assert_cmpfloat (error[0] / error[1], >, 3.2);
  g_assert_cmpfloat (error[1] / error[2], >, 3.2);
  g_assert_cmpfloat (error[1] / error[2], <, 6);
}

/* q = sigma (T1^4 - T2^4) / (1/e1 + 1/e2 - 1) between large plates and a lumped board; steady state and
 * history by independent quadrature of the one-node equation. Plate 300 C, upper face h 10 and e 0.9 to
 * 25 C. */
static void
test_infrared_plate (void)
{
  Plain p;
  plain_board (&p, 0, 0.1, 0, 0.1, 3, (HeatLayer){ 1.6e-3, 20, 1e4, 2.09e6 });
  HeatScene *s = &p.scene;
  s->board.emissivity = 0.9;
  s->room = (HeatRoom){ .air_c = 25, .prescribed = true, .prescribed_up_w_m2k = 10 };
  s->start_c = 25;
  s->end_s = 1500;
  p.pre_v[0] = 300;
  s->preheat = (HeatPreheat){ .kind = HEAT_PREHEAT_INFRARED,
                              .center = { 0.05, 0.05 },
                              .length_m = 50,
                              .width_m = 50,
                              .gap_m = 0.01,
                              .emissivity = 0.9,
                              .set_c = { p.pre_t, p.pre_v, 1 } };
  HeatOptions o = { .cell_m = 10e-3, .coarse_m = 10e-3, .step_s = 1, .frame_s = 1500 };
  HeatResult *r = plain_solve (s, &o);
  g_assert_cmpfloat_with_epsilon (plain_when (r, r->board_mean, 60), 93.11, 0.2);
  g_assert_cmpfloat_with_epsilon (plain_when (r, r->board_mean, 120), 133.85, 0.2);
  g_assert_cmpfloat_with_epsilon (plain_when (r, r->board_mean, 300), 170.57, 0.2);
  g_assert_cmpfloat_with_epsilon (plain_when (r, r->board_mean, 95.39), 120, 0.2);
  g_assert_cmpfloat_with_epsilon (plain_when (r, r->board_mean, 1500), 174.55, 0.2);
  heat_result_free (r);
  const double plate[4] = { 200, 250, 350, 400 }, steady[4] = { 102.94, 137.03, 214.40, 255.72 };
  o.step_s = 20;
  for (int i = 0; i < 4; i++) {
    p.pre_v[0] = plate[i];
    r = plain_solve (s, &o);
    g_assert_cmpfloat_with_epsilon (plain_when (r, r->board_mean, 1500), steady[i], 0.2);
    heat_result_free (r);
  }
}

/* Part 2.6 J/K on a board of 8 J/K: 0.35 W/K between, 0.06 W/K to gas at 350 C, 0.05 W/K to 150 C. */
static HeatResult *
solve_two_nodes (double step, double end)
{
  static Plain p;
  plain_board (&p, 0, 0.1, 0, 0.1, 1, (HeatLayer){ 1.6e-3, 1e6, 1e6, 8 / (0.01 * 1.6e-3) });
  HeatScene *s = &p.scene;
  s->room = (HeatRoom){ .air_c = 150, .prescribed = true, .prescribed_down_w_m2k = 5 };
  s->start_c = 120;
  s->end_s = end;
  p.joint[0] = (HeatXY){ 0.05, 0.05 };
  p.bodies[0] = (HeatBody){ .center = { 0.05, 0.05 },
                            .length_m = 0.02,
                            .width_m = 0.02,
                            .height_m = 1e-3,
                            .layers = { { 1e-3, 1, 1, 2.6 / (4e-4 * 1e-3) } },
                            .n_layers = 1,
                            .joints = p.joint,
                            .n_joints = 1,
                            .joint_g_w_k = 0.35 };
  s->n_bodies = 1;
  s->target = 0;
  plain_nozzle (&p, p.joint[0], 0.02, 0.02, false, 150, 350);
  HeatOptions o = { .cell_m = 5e-3, .coarse_m = 5e-3, .step_s = step, .tolerance_k = 1e-7 };
  return plain_solve (s, &o);
}

/* Eigenvalues of the two-node system (computed from the matrix with NumPy). */
static void
test_two_nodes (void)
{
  HeatResult *r = solve_two_nodes (0.25, 1200);
  const double at[4] = { 10, 30, 60, 120 };
  const double part[4] = { 149.651, 173.129, 197.352, 228.392 };
  const double board[4] = { 127.959, 149.825, 176.308, 210.340 };
  for (int i = 0; i < 4; i++) {
    g_assert_cmpfloat_with_epsilon (plain_when (r, r->bodies[0].body_mean, at[i]), part[i], 0.05);
    g_assert_cmpfloat_with_epsilon (plain_when (r, r->board_mean, at[i]), board[i], 0.05);
  }
  g_assert_cmpfloat_with_epsilon (plain_when (r, r->bodies[0].body_mean, 1200), 265.663, 0.05);
  g_assert_cmpfloat_with_epsilon (plain_when (r, r->board_mean, 1200), 251.205, 0.05);
  /* A joint without capacity lies half-way. */
  size_t last = r->n_times - 1;
  g_assert_cmpfloat_with_epsilon (r->bodies[0].joint_mean[last],
                                  (r->bodies[0].body_mean[last] + r->board_mean[last]) / 2, 0.01);
  heat_result_free (r);
}

static void
test_order_in_time (void)
{
  double error[3];
  for (int i = 0; i < 3; i++) {
    HeatResult *r = solve_two_nodes (4.0 / (1 << i), 32), *fine = solve_two_nodes (0.02, 32);
    error[i]
        = fabs (r->bodies[0].body_mean[r->n_times - 1] - fine->bodies[0].body_mean[fine->n_times - 1]);
    heat_result_free (r);
    heat_result_free (fine);
  }
  g_assert_cmpfloat (error[0] / error[1], >, 3.3);
  g_assert_cmpfloat (error[1] / error[2], >, 3.5);
}

static const double pulse_alpha = 20 / 2.09e6, pulse_tau = 2.09e6 * 1.6e-3 / 40;

static double
pulse_excess (double r, double t)
{
  return 1 / (4 * G_PI * 20 * 1.6e-3 * t) * exp (-r * r / (4 * pulse_alpha * t) - t / pulse_tau);
}

static double
pulse_start (double x, double y, size_t layer, void *user)
{
  return pulse_excess (hypot (x, y), *(double *) user);
}

/* Instantaneous line source of 1 J in a sheet that loses heat (H. S. Carslaw, J. C. Jaeger, Conduction
 * of Heat in Solids, 1959, 10.3 with the substitution of 1.14): k 20, 1.6 mm, rho c 2.09e6, 20 + 20
 * W/m2K. The march starts from the exact field at 1 s. */
static void
test_pulse (void)
{
  const double to[2] = { 5, 20 };
  double start = 1;
  for (int i = 0; i < 2; i++) {
    Plain p;
    plain_board (&p, -80.5e-3, 80.5e-3, -80.5e-3, 80.5e-3, 3, (HeatLayer){ 1.6e-3, 20, 1e4, 2.09e6 });
    p.scene.room.prescribed_up_w_m2k = p.scene.room.prescribed_down_w_m2k = 20;
    p.scene.end_s = to[i] - start;
    HeatOptions o
        = { .cell_m = 1e-3, .coarse_m = 1e-3, .step_s = 0.1, .frame_s = 100, .tolerance_k = 1e-6 };
    HeatSolver *solver = plain_solver (&p.scene, &o);
    solver->initial = pulse_start;
    solver->initial_user = &start;
    HeatResult *r = plain_run (solver);
    const double centre[2] = { 0.46848, NAN }, ten[2] = { 0.27783, 0.08590 },
                 thirty[2] = { NAN, 0.03021 };
    if (i == 0)
      g_assert_cmpfloat_with_epsilon (plain_at (r, 0, 0), centre[0], 0.01 * centre[0]);
    g_assert_cmpfloat_with_epsilon (plain_at (r, 6e-3, 8e-3), ten[i], 0.01 * ten[i]);
    if (i == 1)
      g_assert_cmpfloat_with_epsilon (plain_at (r, 0, -30e-3), thirty[1], 0.01 * thirty[1]);
    double held = r->board_mean[r->n_times - 1] * 161e-3 * 161e-3 * 1.6e-3 * 2.09e6;
    g_assert_cmpfloat_with_epsilon (held, exp (-to[i] / pulse_tau), 1e-3 * exp (-to[i] / pulse_tau));
    heat_result_free (r);
    heat_solver_free (solver);
  }
}

/* Plane wall, theta = sum Cn exp (-zn^2 Fo) cos (zn x / L), z tan z = Bi (Incropera, section 5.5; fifty
 * terms by SciPy): Bi 1; centre and surface at Fo 0.1, 0.2, 0.5. Half-thickness 0.8 mm, k 0.3. */
static void
test_slab (void)
{
  const double fo[3] = { 0.1, 0.2, 0.5 };
  const double centre[3] = { 0.99311, 0.95064, 0.77253 }, surface[3] = { 0.72358, 0.64339, 0.50452 };
  const double half = 0.8e-3, alpha = 0.3 / 2.09e6;
  for (int i = 0; i < 3; i++) {
    Plain p;
    plain_board (&p, 0, 4e-3, 0, 4e-3, 33, (HeatLayer){ 2 * half, 1, 0.3, 2.09e6 });
    p.scene.room.prescribed_up_w_m2k = p.scene.room.prescribed_down_w_m2k = 0.3 / half;
    p.scene.start_c = 100;
    p.scene.end_s = fo[i] * half * half / alpha;
    HeatOptions o
        = { .cell_m = 1e-3, .coarse_m = 1e-3, .step_s = p.scene.end_s / 100, .tolerance_k = 1e-5 };
    HeatSolver *solver = plain_solver (&p.scene, &o);
    HeatResult *r = plain_run (solver);
    g_assert_cmpfloat_with_epsilon (solver->march.t[16 * 16 + 5] / 100, centre[i], 5e-4);
    g_assert_cmpfloat_with_epsilon (r->frames[r->n_frames - 1].top[5] / 100, surface[i], 1e-3);
    g_assert_cmpfloat_with_epsilon (r->frames[r->n_frames - 1].bottom[5] / 100, surface[i], 1e-3);
    heat_result_free (r);
    heat_solver_free (solver);
  }
}

/* One node, exp (-t / tau): 1.6 mm, rho c 2.09e6, 25 + 25 W/m2K, 25 C into 180 C. */
static void
test_lumped_board (void)
{
  Plain p;
  plain_board (&p, 0, 0.05, 0, 0.05, 3, (HeatLayer){ 1.6e-3, 20, 1e4, 2.09e6 });
  p.scene.room = (HeatRoom){
    .air_c = 180, .prescribed = true, .prescribed_up_w_m2k = 25, .prescribed_down_w_m2k = 25
  };
  p.scene.start_c = 25;
  p.scene.end_s = 120;
  HeatResult *r = plain_solve (&p.scene, NULL);
  g_assert_cmpfloat_with_epsilon (plain_when (r, r->board_mean, 60), 116.80, 0.02);
  g_assert_cmpfloat_with_epsilon (plain_when (r, r->board_mean, 109.83), 150, 0.02);
  heat_result_free (r);
}

/* y = s - m tau + m tau exp (-t / tau) for a ramp of m: 2 C/s from 25 C, 30 s. */
static void
test_lag (void)
{
  const double t[2] = { 0, 120 }, v[2] = { 25, 265 };
  HeatTable ramp = { t, v, 2 };
  g_assert_cmpfloat_with_epsilon (heat_table_lagged (&ramp, 30, 30, HEAT_BEFORE), 47.073, 1e-3);
  g_assert_cmpfloat_with_epsilon (heat_table_lagged (&ramp, 30, 60, HEAT_BEFORE), 93.120, 1e-3);
  g_assert_cmpfloat_with_epsilon (heat_table_lagged (&ramp, 30, 120, HEAT_BEFORE), 206.099, 1e-3);
  g_assert_cmpfloat_with_epsilon (heat_table_lagged (&ramp, 30, 1e4, HEAT_BEFORE), 265, 1e-9);
  g_assert_cmpfloat_with_epsilon (heat_table_lagged (&ramp, 30, -5, HEAT_BEFORE), 25, 1e-9);
  /* A jump: 1 - exp (-1) of it after one time constant. */
  const double jump_t[2] = { 10, 10 }, jump_v[2] = { 20, 120 };
  HeatTable jump = { jump_t, jump_v, 2 };
  g_assert_cmpfloat (heat_table_at (&jump, 10, HEAT_BEFORE), ==, 20);
  g_assert_cmpfloat (heat_table_at (&jump, 10, HEAT_AFTER), ==, 120);
  g_assert_cmpfloat (heat_table_lagged (&jump, 30, 10, HEAT_AFTER), ==, 20);
  g_assert_cmpfloat_with_epsilon (heat_table_lagged (&jump, 30, 40, HEAT_BEFORE), 120 - 100 * exp (-1),
                                  1e-9);
}

/* The same lag as the march delivers it. */
static void
test_lag_delivered (void)
{
  Plain p;
  plain_board (&p, 0, 0.02, 0, 0.02, 3, (HeatLayer){ 1.6e-3, 20, 0.3, 2.09e6 });
  plain_nozzle (&p, (HeatXY){ 0.01, 0.01 }, 0.01, 0.01, false, 50, 25);
  p.knot_t[1] = 120;
  p.knot_v[1] = 265;
  p.scene.nozzle.set_c.n = 2;
  p.scene.nozzle.lag_s = 30;
  p.scene.end_s = 120;
  HeatResult *r = plain_solve (&p.scene, NULL);
  g_assert_cmpfloat_with_epsilon (plain_when (r, r->gas_c, 30), 47.073, 2e-3);
  g_assert_cmpfloat_with_epsilon (plain_when (r, r->gas_c, 120), 206.099, 2e-3);
  heat_result_free (r);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/solve/ring", test_ring);
  g_test_add_func ("/solve/round-board", test_round_board);
  g_test_add_func ("/solve/fin", test_fin);
  g_test_add_func ("/solve/order-in-space", test_order_in_space);
  g_test_add_func ("/solve/infrared-plate", test_infrared_plate);
  g_test_add_func ("/solve/two-nodes", test_two_nodes);
  g_test_add_func ("/solve/order-in-time", test_order_in_time);
  g_test_add_func ("/solve/pulse", test_pulse);
  g_test_add_func ("/solve/slab", test_slab);
  g_test_add_func ("/solve/lumped-board", test_lumped_board);
  g_test_add_func ("/solve/lag", test_lag);
  g_test_add_func ("/solve/lag-delivered", test_lag_delivered);
  return g_test_run ();
}
