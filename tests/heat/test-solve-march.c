/* Properties of the march: balance, symmetry, melting, determinism, failure. */
#include "plain-scene.h"

#include "bench-job.h"

/* A short version of the benchmark job that melts: hotter gas, from early on. */
static void
short_job (BenchJob *j, double end_s)
{
  bench_job (j, 0.06, 0.05, true);
  j->gas_v[0] = 420;
  j->flow_t[0] = j->flow_t[1] = 5;
  j->flow_v[1] = 60e-3 / 60;
  j->scene.end_s = end_s;
}

/* First law, over a whole job with melting, both sides, every kind of body: imbalance below 0.1 %. */
static void
test_energy (void)
{
  BenchJob *j = g_new0 (BenchJob, 1);
  const HeatXY rail[4] = { { 0, 0 }, { 60e-3, 0 }, { 60e-3, 3e-3 }, { 0, 3e-3 } };
  HeatClamp clamp = { { rail, 4 }, 200, 5 };
  short_job (j, 100);
  j->scene.clamps = &clamp;
  j->scene.n_clamps = 1;
  HeatResult *r = plain_solve (&j->scene, NULL);
  const HeatEnergy *e = &r->energy;
  g_test_message (
      "nozzle %.0f spill %.0f preheat %.0f room %.0f clamps %.0f stored %.0f latent %.1f J, off %.2g",
      e->in_nozzle, e->in_spill, e->in_preheat, e->out_room, e->out_clamps, e->stored, e->latent_peak,
      e->imbalance_share);
  g_assert_cmpfloat (e->imbalance_share, <, 1e-3);
  g_assert_cmpfloat (
      fabs (e->in_nozzle + e->in_spill + e->in_preheat - e->out_room - e->out_clamps - e->stored), <,
      1e-3 * e->stored);
  g_assert_cmpfloat (e->in_nozzle, >, 500);
  g_assert_cmpfloat (e->out_clamps, >, 10);
  g_assert_cmpfloat (r->worst_residual, <, 1e-5);
  /* All 289 balls melted, and the audit held their latent heat. */
  size_t last = r->n_times - 1;
  g_assert_cmpfloat (r->bodies[0].liquid_share[last], ==, 1);
  g_assert_cmpfloat (e->latent_peak, >=, 289 * j->bodies[0].joint_latent_j * 0.999);
  heat_result_free (r);
  g_free (j);
}

/* Latent heat delays by latent / power: one node and its joints in a steady stream of heat. With film h
 * to a gas far hotter than the part the power is nearly constant; the exact delay is the integral of dH
 * / q. */
static void
test_plateau (void)
{
  double reached[2];
  for (int melts = 0; melts < 2; melts++) {
    Plain p;
    plain_board (&p, 0, 0.02, 0, 0.02, 1, (HeatLayer){ 1e-3, 1e5, 1e5, 1e6 });
    HeatScene *s = &p.scene;
    p.joint[0] = (HeatXY){ 0.01, 0.01 };
    p.bodies[0] = (HeatBody){ .center = { 0.01, 0.01 },
                              .length_m = 0.02,
                              .width_m = 0.02,
                              .height_m = 1e-3,
                              .layers = { { 1e-3, 1, 1, 2.5e6 } },
                              .n_layers = 1,
                              .joints = p.joint,
                              .n_joints = 1,
                              .joint_g_w_k = 100,
                              .joint_c_j_k = 0.1,
                              .joint_latent_j = melts ? 10 : 0,
                              .solidus_c = 183,
                              .liquidus_c = 183 };
    s->n_bodies = 1;
    s->target = 0;
    s->start_c = 100;
    s->end_s = 60;
    plain_nozzle (&p, p.joint[0], 0.02, 0.02, false, 100, 400);
    HeatOptions o = { .cell_m = 5e-3, .coarse_m = 5e-3, .tolerance_k = 1e-5 };
    HeatResult *r = plain_solve (s, &o);
    size_t i = 0;
    while (r->bodies[0].body_mean[i] < 220)
      i++;
    double share = (220 - r->bodies[0].body_mean[i - 1])
                   / (r->bodies[0].body_mean[i] - r->bodies[0].body_mean[i - 1]);
    reached[melts] = r->t_s[i - 1] + share * (r->t_s[i] - r->t_s[i - 1]);
    heat_result_free (r);
  }
  /* 10 J at 0.04 W/K x (400 - 183) K. The part leads the joint by a hundredth of a kelvin. */
  double delay = 10 / (0.04 * (400 - 183));
  g_assert_cmpfloat_with_epsilon (reached[1] - reached[0], delay, 0.01 * delay);
}

/* Mirrored in x, or turned by a quarter, a scene gives the mirrored, or turned, solution. */
static void
turn_scene (BenchJob *to, const BenchJob *from, double (*map)[2][3])
{
  *to = *from;
  for (int i = 0; i < 4; i++)
    to->edge[i]
        = (HeatXY){ (*map)[0][0] * from->edge[i].x + (*map)[0][1] * from->edge[i].y + (*map)[0][2],
                    (*map)[1][0] * from->edge[i].x + (*map)[1][1] * from->edge[i].y + (*map)[1][2] };
  to->loops[0].xy = to->edge;
  to->scene.board.loops = to->loops;
  to->scene.board.layers = to->layers;
  to->scene.bodies = to->bodies;
}

static HeatXY
mapped (double (*map)[2][3], HeatXY p)
{
  return (HeatXY){ (*map)[0][0] * p.x + (*map)[0][1] * p.y + (*map)[0][2],
                   (*map)[1][0] * p.x + (*map)[1][1] * p.y + (*map)[1][2] };
}

static void
turn_parts (BenchJob *to, const BenchJob *from, double (*map)[2][3])
{
  double sign = (*map)[0][0] * (*map)[1][1] - (*map)[0][1] * (*map)[1][0];
  double turn = atan2 ((*map)[1][0], (*map)[0][0]);
  for (int i = 0; i < 289; i++)
    to->balls[i] = mapped (map, from->balls[i]);
  for (int i = 0; i < 4; i++)
    to->legs[i / 2][i % 2] = mapped (map, from->legs[i / 2][i % 2]);
  for (size_t i = 0; i < from->scene.n_bodies; i++) {
    HeatBody *b = &to->bodies[i];
    b->center = mapped (map, b->center);
    b->angle_rad = turn + sign * b->angle_rad;
    if (b->joints)
      b->joints = from->bodies[i].joints == from->balls     ? to->balls
                  : from->bodies[i].joints == from->legs[0] ? to->legs[0]
                                                            : to->legs[1];
  }
  to->scene.nozzle.center = mapped (map, from->scene.nozzle.center);
  to->scene.nozzle.angle_rad = turn;
  to->scene.preheat.center = mapped (map, from->scene.preheat.center);
  if (fabs (turn) > 1 && fabs (turn) < 2) {
    to->scene.preheat.length_m = from->scene.preheat.width_m;
    to->scene.preheat.width_m = from->scene.preheat.length_m;
  }
}

static void
compare_jobs (const HeatResult *a, const HeatResult *b, double tolerance)
{
  g_assert_cmpuint (a->n_times, ==, b->n_times);
  for (size_t i = 0; i < a->n_times * a->n_joints; i++)
    g_assert_cmpfloat_with_epsilon (a->joints[i], b->joints[i], tolerance);
  for (size_t k = 0; k < a->n_bodies; k++)
    for (size_t i = 0; i < a->n_times; i++)
      g_assert_cmpfloat_with_epsilon (a->bodies[k].body_mean[i], b->bodies[k].body_mean[i], tolerance);
  for (size_t i = 0; i < a->n_times; i++)
    g_assert_cmpfloat_with_epsilon (a->board_mean[i], b->board_mean[i], tolerance);
}

static void
check_turned (double (*map)[2][3])
{
  BenchJob *a = g_new0 (BenchJob, 1), *b = g_new0 (BenchJob, 1);
  short_job (a, 30);
  a->scene.nozzle.center.x += 1e-3; /* nothing symmetric by itself */
  a->bodies[3].center.y += 5e-3;
  turn_scene (b, a, map);
  turn_parts (b, a, map);
  HeatOptions o = { .cell_m = 1e-3, .coarse_m = 1e-3, .tolerance_k = 1e-5 };
  HeatResult *ra = plain_solve (&a->scene, &o), *rb = plain_solve (&b->scene, &o);
  compare_jobs (ra, rb, 2e-3);
  heat_result_free (ra);
  heat_result_free (rb);
  g_free (a);
  g_free (b);
}

static void
test_mirror (void)
{
  double mirror[2][3] = { { -1, 0, 60e-3 }, { 0, 1, 0 } };
  check_turned (&mirror);
}

static void
test_quarter_turn (void)
{
  double quarter[2][3] = { { 0, -1, 50e-3 }, { 1, 0, 0 } };
  check_turned (&quarter);
}

static void
test_deterministic (void)
{
  BenchJob *j = g_new0 (BenchJob, 1);
  short_job (j, 20);
  HeatSolver *solver = plain_solver (&j->scene, NULL);
  HeatResult *a = plain_run (solver), *b = plain_run (solver), *c = plain_solve (&j->scene, NULL);
  const HeatResult *others[2] = { b, c };
  for (int i = 0; i < 2; i++) {
    g_assert_cmpuint (a->n_times, ==, others[i]->n_times);
    g_assert_cmpmem (a->joints, a->n_times * a->n_joints * sizeof (double), others[i]->joints,
                     a->n_times * a->n_joints * sizeof (double));
    g_assert_cmpmem (a->cell_peak_top, a->nx * a->ny * sizeof (double), others[i]->cell_peak_top,
                     a->nx * a->ny * sizeof (double));
  }
  heat_result_free (a);
  heat_result_free (b);
  heat_result_free (c);
  heat_solver_free (solver);
  g_free (j);
}

static bool
stop_at_half (double done, void *user)
{
  *(double *) user = done;
  return done < 0.5;
}

static void
test_cancel (void)
{
  BenchJob *j = g_new0 (BenchJob, 1);
  double done = 0;
  short_job (j, 10);
  HeatOptions o = { .progress = stop_at_half, .user = &done };
  HeatSolver *solver = plain_solver (&j->scene, &o);
  HeatResult *r = (HeatResult *) solver;
  g_assert_cmpint (heat_solver_run (solver, &r), ==, HEAT_CANCELLED);
  g_assert_null (r);
  g_assert_cmpfloat_with_epsilon (done, 0.5, 0.1);
  g_assert_cmpstr (heat_solver_detail (solver), !=, "");
  heat_solver_free (solver);
  g_free (j);
}

/* Every request for memory fails once. */
static void
test_no_memory (void)
{
  BenchJob *j = g_new0 (BenchJob, 1);
  bench_job (j, 0.05, 0.05, true);
  j->scene.end_s = 1;
  HeatOptions o = { .cell_m = 2.5e-3, .coarse_m = 5e-3 };
  HeatSolver *solver = NULL;
  long n = 0;
  for (;; n++) {
    HeatStatus status = heat_solver_new_counted (&j->scene, &o, n, &solver);
    if (status == HEAT_OK)
      break;
    g_assert_cmpint (status, ==, HEAT_NO_MEMORY);
    g_assert_null (solver);
  }
  g_assert_cmpint (n, >, 50);
  for (n = 0;; n++) {
    HeatResult *r = NULL;
    solver->countdown = n;
    HeatStatus status = heat_solver_run (solver, &r);
    if (status == HEAT_OK) {
      heat_result_free (r);
      break;
    }
    g_assert_cmpint (status, ==, HEAT_NO_MEMORY);
    g_assert_null (r);
  }
  g_assert_cmpint (n, >, 20);
  heat_solver_free (solver);
  g_free (j);
}

static void
refuse (BenchJob *j)
{
  HeatSolver *solver = NULL;
  g_assert_nonnull (heat_scene_fault (&j->scene));
  g_assert_cmpint (heat_solver_new (&j->scene, NULL, &solver), ==, HEAT_BAD_SCENE);
  g_assert_null (solver);
}

static void
test_bad_scenes (void)
{
  BenchJob *good = g_new0 (BenchJob, 1), *j = g_new0 (BenchJob, 1);
  bench_job (good, 0.05, 0.05, true);
  double *faulty[] = { &j->layers[1].thickness_m, &j->layers[0].k_in_w_mk,   &j->layers[2].rho_c_j_m3k,
                       &j->scene.end_s,           &j->scene.nozzle.height_m, &j->scene.nozzle.length_m,
                       &j->bodies[0].length_m,    &j->bodies[0].height_m,    &j->bodies[0].joint_c_j_k,
                       &j->scene.preheat.gap_m,   &j->scene.scale_capacity };
  const double bad[3] = { 0, -1, NAN };
  for (size_t i = 0; i < G_N_ELEMENTS (faulty); i++)
    for (int k = 0; k < 3; k++) {
      bench_job (j, 0.05, 0.05, true);
      g_assert_null (heat_scene_fault (&j->scene));
      *faulty[i] = bad[k];
      refuse (j);
    }
  bench_job (j, 0.05, 0.05, true);
  j->loops[0].n = 2;
  refuse (j);
  bench_job (j, 0.05, 0.05, true);
  j->flow_t[1] = j->flow_t[0] - 1;
  refuse (j);
  bench_job (j, 0.05, 0.05, true);
  j->scene.target = 7;
  refuse (j);
  bench_job (j, 0.05, 0.05, true);
  j->balls[3].x = INFINITY;
  refuse (j);
  g_free (good);
  g_free (j);
}

static void
test_too_large (void)
{
  BenchJob *j = g_new0 (BenchJob, 1);
  bench_job (j, 0.2, 0.15, false);
  HeatSolver *solver = NULL;
  HeatOptions o = { .cell_m = 1e-5, .coarse_m = 1e-5 };
  g_assert_cmpint (heat_solver_new (&j->scene, &o, &solver), ==, HEAT_TOO_LARGE);
  g_assert_null (solver);
  o = (HeatOptions){ .max_nodes = 1000 };
  g_assert_cmpint (heat_solver_new (&j->scene, &o, &solver), ==, HEAT_TOO_LARGE);
  g_free (j);
}

/* Growing steps keep within a tenth of a kelvin of fixed ones. */
static void
test_adaptive (void)
{
  BenchJob *j = g_new0 (BenchJob, 1);
  bench_job (j, 0.06, 0.05, true);
  HeatOptions o = { .adaptive = true };
  HeatResult *a = plain_solve (&j->scene, NULL), *b = plain_solve (&j->scene, &o);
  g_test_message ("%zu steps instead of %zu", b->n_steps, a->n_steps);
  g_assert_cmpuint (b->n_steps, <, a->n_steps * 2 / 3);
  for (size_t i = 0; i < b->n_times; i++) {
    g_assert_cmpfloat_with_epsilon (b->bodies[0].joint_mean[i],
                                    plain_when (a, a->bodies[0].joint_mean, b->t_s[i]), 0.1);
    g_assert_cmpfloat_with_epsilon (b->board_mean[i], plain_when (a, a->board_mean, b->t_s[i]), 0.1);
  }
  heat_result_free (a);
  heat_result_free (b);
  g_free (j);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/march/energy", test_energy);
  g_test_add_func ("/march/plateau", test_plateau);
  g_test_add_func ("/march/mirror", test_mirror);
  g_test_add_func ("/march/quarter-turn", test_quarter_turn);
  g_test_add_func ("/march/deterministic", test_deterministic);
  g_test_add_func ("/march/cancel", test_cancel);
  g_test_add_func ("/march/no-memory", test_no_memory);
  g_test_add_func ("/march/bad-scenes", test_bad_scenes);
  g_test_add_func ("/march/too-large", test_too_large);
  g_test_add_func ("/march/adaptive", test_adaptive);
  return g_test_run ();
}
