/* A joint smaller than the cells of the board, against the exact field round it. */
#include <math.h>

#include "plain-scene.h"

static const double sheet_k = 20, sheet_m = 1e-3, room_h = 10, gas_h = 2000, gas_c = 300, room_c = 20, joint_g = 0.05;

/* From a square that sends heat evenly into a wide sheet, by its mean temperature, to the room on both sides: the
 * annular fin of infinite width, K0 / (x K1) with x = a sqrt (2 h / S) (H. S. Carslaw and J. C. Jaeger, "Conduction of Heat in
 * Solids", 2nd ed., 1959, section 5.4; small arguments as in Abramowitz and Stegun 9.6.10 to 9.6.13), and 1/4 more for the mean over
 * an even disc. The disc has the square's mean square distance from the centre. */
static double
exact_resistance (double side_m)
{
  const double euler = 0.5772156649015329, sheet = sheet_k * sheet_m, x = side_m / sqrt (3) * sqrt (2 * room_h / sheet);
  double k0 = -(log (x / 2) + euler) * (1 + x * x / 4) + x * x / 4;
  double x_k1 = 1 + x * x / 2 * (log (x / 2) + euler - 0.5);
  return (k0 / x_k1 + 0.25) / (2 * G_PI * sheet);
}

/* A cube of 2 mm on one joint, blown at from above until nothing changes; its temperature. */
static double
cube_c (double cell_m, double dx, double dy)
{
  Plain p;
  plain_board (&p, -0.09, 0.09, -0.09, 0.09, 1, (HeatLayer){ sheet_m, sheet_k, 1e3, 2e6 });
  HeatScene *s = &p.scene;
  p.joint[0] = (HeatXY){ dx, dy };
  p.bodies[0] = (HeatBody){ .center = p.joint[0],
                            .length_m = 2e-3,
                            .width_m = 2e-3,
                            .height_m = 2e-3,
                            .n_layers = 1,
                            .layers = { { 2e-3, 10, 10, 1e6 } },
                            .joints = p.joint,
                            .n_joints = 1,
                            .joint_g_w_k = joint_g,
                            .emissivity = 0.9 };
  s->n_bodies = 1;
  s->room.air_c = s->start_c = room_c;
  s->room.prescribed_up_w_m2k = s->room.prescribed_down_w_m2k = room_h;
  s->end_s = 2000;
  plain_nozzle (&p, p.joint[0], 2e-3, 2e-3, false, gas_h, gas_c);
  HeatOptions options = { .cell_m = cell_m, .coarse_m = cell_m, .step_s = 20 };
  HeatResult *r = plain_solve (s, &options);
  double last = r->bodies[0].body_mean[r->n_times - 1];
  heat_result_free (r);
  return last;
}

/* Wherever among the cells the joint lies. Without what the cells leave out, the cube is 6 to 9 K too cold on cells of
 * 2 mm and 2.7 K on cells of 1 mm. */
static void
test_small_joint (void)
{
  const double cells[] = { 2e-3, 1e-3 }, limit_k[] = { 2.5, 0.2 };
  double side = 0.6 * 2e-3, in = gas_h * 4e-6, out = 1 / (1 / joint_g + exact_resistance (side));
  double exact = (in * gas_c + out * room_c) / (in + out);

  for (size_t i = 0; i < G_N_ELEMENTS (cells); i++)
    for (int k = 0; k < 4; k++) {
      double c = cube_c (cells[i], 0.25 * k * cells[i], 0.125 * k * cells[i]);
      g_test_message ("cells of %.0f mm, %d quarters off: %.2f for %.2f C", cells[i] * 1e3, k, c, exact);
      g_assert_cmpfloat_with_epsilon (c, exact, limit_k[i]);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/strait/small-joint", test_small_joint);
  return g_test_run ();
}
