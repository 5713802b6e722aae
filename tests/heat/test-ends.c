/* Of many joints those that can be hottest or coldest: against all of them, one by one, in fields of every kind. */
#include "plain-scene.h"

#include "heat/network.h"
#include "heat/reduced-rows.h"

enum { SIDE = 18, JOINTS = SIDE * SIDE };

/* An array of 18 x 18 joints at 1 mm in the middle of a board of 60 x 50 mm, or beyond a corner of it. */
static void
array (Plain *p, HeatXY joints[JOINTS], bool meshed, double angle, bool beyond)
{
  const double c = cos (angle), s = sin (angle), x0 = beyond ? 0.055 : 0.03, y0 = beyond ? 0.045 : 0.025;
  plain_board (p, 0, 0.06, 0, 0.05, 3, (HeatLayer){ 1.6e-3, 20, 0.4, 2e6 });
  p->bodies[0] = (HeatBody){ .meshed = meshed,
                             .center = { x0, y0 },
                             .angle_rad = angle,
                             .length_m = 19e-3,
                             .width_m = 19e-3,
                             .standoff_m = 0.4e-3,
                             .height_m = 1.6e-3,
                             .layers = { { 1.2e-3, 0.8, 0.8, 2e6 } },
                             .n_layers = 1,
                             .joints = joints,
                             .n_joints = JOINTS,
                             .joint_g_w_k = 0.02,
                             .joint_c_j_k = 2e-4,
                             .gap_h_w_m2k = 100 };
  for (size_t i = 0; i < JOINTS; i++) {
    double x = ((double) (i % SIDE) - (SIDE - 1) / 2.0) * 1e-3, y = ((double) (i / SIDE) - (SIDE - 1) / 2.0) * 1e-3;
    joints[i] = (HeatXY){ x0 + c * x - s * y, y0 + s * x + c * y };
  }
  p->scene.n_bodies = 1;
}

static double
extreme (const HeatReader *list, size_t n, const bool *wanted, double sign, const double *t)
{
  double most = -INFINITY;
  for (size_t i = 0; i < n; i++)
    if (!wanted || wanted[i])
      most = MAX (most, sign * heat_read (&list[i], t));
  return sign * most;
}

static void
compare_field (const HeatPlaced *p, const double *t)
{
  const HeatEnds *e = &p->ends;
  double mean = 0, sum = 0;
  for (size_t i = 0; i < JOINTS; i++)
    mean += heat_read (&p->joints[i], t) / JOINTS;
  for (size_t i = 0; i < e->n_nodes; i++)
    sum += e->w[i] * t[e->node[i]];
  g_assert_cmpfloat_with_epsilon (sum, mean, 1e-9);
  for (int sign = -1; sign <= 1; sign += 2)
    g_assert_cmpfloat_with_epsilon (extreme (e->end, e->n, NULL, sign, t), extreme (p->joints, JOINTS, NULL, sign, t), 1e-6);
  g_assert_cmpfloat_with_epsilon (extreme (e->corner, e->n_corners, NULL, 1, t), extreme (p->joints, JOINTS, p->corner, 1, t),
                                  1e-6);
}

/* Returns how many joints are read. */
static size_t
compare (bool meshed, double angle, bool beyond, double cell_m)
{
  Plain p;
  HeatXY joints[JOINTS];
  HeatArena arena = HEAT_ARENA_INIT;
  HeatNetwork net = { 0 };
  HeatMeshSize size = { .cell_m = cell_m, .coarse_m = cell_m };
  g_autoptr (GRand) rand = g_rand_new_with_seed (7);
  array (&p, joints, meshed, angle, beyond);
  g_assert_cmpint (heat_network_new (&arena, &p.scene, &size, 1000000, &net), ==, HEAT_OK);
  double *t = g_new (double, net.stencil.layout.n);
  for (int field = 0; field < 50; field++) {
    for (size_t i = 0; i < net.stencil.layout.n; i++)
      t[i] = g_rand_double_range (rand, 20, 300);
    compare_field (&net.bodies[0], t);
  }
  size_t n = net.bodies[0].ends.n;
  g_free (t);
  heat_arena_clear (&arena);
  return n;
}

static void
test_ends (void)
{
  for (int meshed = 0; meshed < 2; meshed++)
    for (int beyond = 0; beyond < 2 - meshed; beyond++) {
      size_t straight = compare (meshed, 0, beyond, 4e-3), quarter = compare (meshed, G_PI / 2, beyond, 4e-3);
      g_test_message ("%zu and %zu of %d joints", straight, quarter, JOINTS);
      g_assert_cmpuint (straight, <, JOINTS / 2);
      g_assert_cmpuint (quarter, <, JOINTS / 2);
      compare (meshed, G_PI / 6, beyond, 4e-3); /* askew: few or none can be left out */
      compare (meshed, 0, beyond, 0.4e-3);      /* cells smaller than the pitch */
    }
}

/* Rows read for several states at once are those read for one, to the bit. */
static void
test_rows (void)
{
  enum { N = 37, STRIDE = 24 };
  float rows[N * STRIDE];
  double x[HEAT_ROWS_SOME * STRIDE], one[N], all[HEAT_ROWS_SOME * N];
  g_autoptr (GRand) rand = g_rand_new_with_seed (3);
  for (size_t i = 0; i < G_N_ELEMENTS (rows); i++)
    rows[i] = (float) g_rand_double_range (rand, -1, 1);
  for (size_t i = 0; i < G_N_ELEMENTS (x); i++)
    x[i] = g_rand_double_range (rand, -100, 100);
  heat_rows_read_some (rows, N, STRIDE, x, HEAT_ROWS_SOME, all);
  for (size_t j = 0; j < HEAT_ROWS_SOME; j++) {
    heat_rows_read (rows, N, STRIDE, x + j * STRIDE, one);
    g_assert_cmpmem (one, sizeof one, all + j * N, sizeof one);
  }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/ends/joints", test_ends);
  g_test_add_func ("/ends/rows", test_rows);
  return g_test_run ();
}
