/* The reduced model against the full solution and against what is known exactly. */
#include "plain-scene.h"

#include "bench-job.h"
#include "compare.h"
#include "heat/reduced-internal.h"

typedef struct {
  HeatReduced *model;
  HeatReducedRun *run;
  HeatResult *result;
} Quick;

static Quick
quick_solve (const HeatScene *scene, const HeatReducedOptions *options, const HeatDrive *drive,
             const HeatReducedWants *wants)
{
  Quick q = { 0 };
  HeatDrive own = drive ? *drive : heat_drive_of (scene);
  g_assert_cmpint (heat_reduced_new (scene, options, &q.model), ==, HEAT_OK);
  q.run = heat_reduced_run_new (q.model);
  HeatStatus status = heat_reduced_solve (q.model, q.run, &own, wants);
  if (status != HEAT_OK)
    g_error ("%s: %s", heat_status_text (status), heat_reduced_detail (q.run));
  g_assert_cmpint (heat_reduced_result (q.model, q.run, &q.result), ==, HEAT_OK);
  return q;
}

static void
quick_free (Quick *q)
{
  heat_result_free (q->result);
  heat_reduced_run_free (q->run);
  heat_reduced_free (q->model);
}

static void
assert_apart (const HeatResult *full, const HeatResult *quick, double slack_s, double limit_k)
{
  Apart apart = compare_results (full, quick, slack_s);
  g_test_message ("%.3f K apart at most: %s of %zu at %.2f s", apart.most_k, apart.series, apart.body,
                  apart.t_s);
  g_assert_cmpfloat (apart.most_k, <, limit_k);
}

/* A bare board of one lump: film h to gas, C dT/dt = h A (Tgas - T), an exponential (any textbook). */
static void
test_lumped (void)
{
  Plain p;
  plain_board (&p, 0, 0.02, 0, 0.02, 1, (HeatLayer){ 1e-3, 1e5, 1e5, 2e6 });
  p.scene.start_c = p.scene.room.air_c = 20;
  p.scene.end_s = 60;
  plain_nozzle (&p, (HeatXY){ 0.01, 0.01 }, 0.03, 0.03, false, 100, 300);
  HeatReducedOptions o = { .cell_m = 5e-3, .coarse_m = 5e-3 };
  Quick q = quick_solve (&p.scene, &o, NULL, NULL);
  double tau = 2e6 * 1e-3 / 100;
  for (size_t i = 0; i < q.result->n_times; i++)
    g_assert_cmpfloat (fabs (q.result->board_mean[i] - (300 - 280 * exp (-q.result->t_s[i] / tau))), <, 0.05);
  quick_free (&q);
}

/* Prescribed films make the full solution linear: there the reduced one has to follow within 0.05 K. */
static void
test_linear (void)
{
  BenchJob *j = g_new0 (BenchJob, 1);
  bench_job (j, 0.08, 0.06, true);
  HeatScene *s = &j->scene;
  s->board.emissivity = 0;
  for (size_t i = 0; i < s->n_bodies; i++) {
    j->bodies[i].emissivity = 0;
    j->bodies[i].joint_latent_j = 0;
  }
  s->nozzle.prescribed_h_w_m2k = 80;
  s->preheat.prescribed_h_w_m2k = 20;
  s->room = (HeatRoom){ 25, 10, 10, 8, true };
  HeatOptions fine = { .cell_m = 2e-3, .step_s = 0.25, .tolerance_k = 1e-4 };
  HeatReducedOptions o = { .cell_m = 2e-3 };
  HeatReducedWants wants = { .linear = true, .step_s = 0.25 };
  HeatResult *full = plain_solve (s, &fine);
  Quick q = quick_solve (s, &o, NULL, &wants);
  assert_apart (full, q.result, 0, 0.05);
  quick_free (&q);
  heat_result_free (full);
  g_free (j);
}

static void
melting_job (BenchJob *j)
{
  bench_job (j, 0.06, 0.05, true);
  j->gas_v[0] = 420;
  j->flow_t[0] = j->flow_t[1] = 5;
  j->flow_v[1] = 60e-3 / 60;
  j->scene.end_s = 80;
}

/* Radiation, free convection, spill, and joints that melt in two bodies, over the whole profile. */
static void
test_whole_job (void)
{
  BenchJob *j = g_new0 (BenchJob, 1);
  melting_job (j);
  HeatOptions fine = { .cell_m = 1.5e-3 };
  HeatReducedOptions o = { .cell_m = 1.5e-3 };
  HeatResult *full = plain_solve (&j->scene, &fine);
  Quick q = quick_solve (&j->scene, &o, NULL, NULL);
  g_assert_cmpfloat (full->bodies[0].liquid_share[full->n_times - 1], ==, 1);
  g_assert_cmpfloat (full->bodies[1].liquid_share[full->n_times - 1], ==, 1);
  assert_apart (full, q.result, 0.25, 0.5);
  g_assert_cmpfloat (fabs (q.result->energy.latent_peak - full->energy.latent_peak), <,
                     1e-3 * full->energy.latent_peak);
  quick_free (&q);
  heat_result_free (full);
  g_free (j);
}

/* A drive other than the scene's own, against a full solution of a scene that has it built in. */
static void
test_other_drive (void)
{
  BenchJob *j = g_new0 (BenchJob, 1);
  melting_job (j);
  HeatReducedOptions o = { .cell_m = 2e-3 };
  HeatOptions fine = { .cell_m = 2e-3 };
  HeatReduced *model = NULL;
  HeatResult *quick = NULL;
  g_assert_cmpint (heat_reduced_new (&j->scene, &o, &model), ==, HEAT_OK);
  HeatReducedRun *run = heat_reduced_run_new (model);
  HeatDrive drive = heat_drive_of (&j->scene);
  BenchJob *k = g_new0 (BenchJob, 1);
  melting_job (k);
  k->gas_v[0] = 380;
  k->flow_t[0] = k->flow_t[1] = 15;
  k->flow_v[1] = 50e-3 / 60;
  k->scene.room.air_c = k->scene.start_c = 21;
  k->scene.scale_preheat_film = 1.2;
  k->scene.scale_capacity = 1.05;
  k->scene.scale_spill = 0.8;
  k->scene.nozzle.lag_s = 6;
  k->scene.preheat.lag_s = 12;
  HeatDrive other = heat_drive_of (&k->scene);
  g_assert_cmpint (heat_reduced_solve (model, run, &drive, NULL), ==, HEAT_OK);
  g_assert_cmpint (heat_reduced_solve (model, run, &other, NULL), ==, HEAT_OK);
  g_assert_cmpint (heat_reduced_result (model, run, &quick), ==, HEAT_OK);
  HeatResult *full = plain_solve (&k->scene, &fine);
  assert_apart (full, quick, 0.25, 1);
  heat_result_free (quick);
  heat_result_free (full);
  heat_reduced_run_free (run);
  heat_reduced_free (model);
  g_free (j);
  g_free (k);
}

/* Board and bodies that conduct better than the model's, by a drive: against a full solution of such a scene. */
static void
test_conductivity (void)
{
  BenchJob *j = g_new0 (BenchJob, 1);
  bench_job (j, 0.06, 0.05, true);
  HeatReducedOptions o = { .cell_m = 2e-3, .vary_conductance = true };
  HeatOptions fine = { .cell_m = 2e-3 };
  HeatDrive drive = heat_drive_of (&j->scene);
  drive.scale_conductivity = 1.15;
  Quick q = quick_solve (&j->scene, &o, &drive, NULL), plain = quick_solve (&j->scene, &o, NULL, NULL);
  j->scene.scale_conductivity = 1.15;
  HeatResult *full = plain_solve (&j->scene, &fine);
  Apart moved = compare_results (full, plain.result, 0.25);
  g_test_message ("%.3f K by the scale", moved.most_k);
  g_assert_cmpfloat (moved.most_k, >, 1);
  Apart left = { -1, 0, 0, "" };
  for (size_t i = 0; i < full->n_bodies; i++)
    compare_body (full, q.result, i, 0.25, &left);
  g_test_message ("%.3f K apart at most: %s of %zu at %.2f s", left.most_k, left.series, left.body, left.t_s);
  g_assert_cmpfloat (left.most_k, <, 0.6); /* a slope over 15 % */
  quick_free (&q);
  quick_free (&plain);
  heat_result_free (full);
  g_free (j);
}

/* A scene that is its own mirror image has an answer that is: joints at mirrored places agree. */
static void
test_symmetry (void)
{
  BenchJob *j = g_new0 (BenchJob, 1);
  bench_job (j, 0.06, 0.06, false);
  j->scene.end_s = 150;
  HeatReducedOptions o = { .cell_m = 2e-3 };
  Quick q = quick_solve (&j->scene, &o, NULL, NULL);
  const double *last = q.result->joints + (q.result->n_times - 1) * q.result->n_joints;
  for (size_t i = 0; i < 289; i++) {
    g_assert_cmpfloat (fabs (last[i] - last[i / 17 * 17 + 16 - i % 17]), <, 0.02);
    g_assert_cmpfloat (fabs (last[i] - last[(16 - i / 17) * 17 + i % 17]), <, 0.02);
  }
  quick_free (&q);
  g_free (j);
}

static void
backwards (void *pool, size_t n, void (*job) (void *data, size_t i), void *data)
{
  size_t *calls = pool;
  for (size_t i = n; i-- > 0;)
    job (data, i);
  *calls += n;
}

/* The same bits whatever order the shifts are solved in, and whatever was solved before. */
static void
test_same_bits (void)
{
  BenchJob *j = g_new0 (BenchJob, 1);
  melting_job (j);
  j->scene.end_s = 60;
  size_t calls = 0;
  HeatParallel parallel = { backwards, &calls };
  HeatReducedOptions o = { .cell_m = 3e-3 }, p = { .cell_m = 3e-3, .parallel = &parallel };
  Quick a = quick_solve (&j->scene, &o, NULL, NULL), b = quick_solve (&j->scene, &p, NULL, NULL);
  g_assert_cmpuint (calls, >, 0);
  g_assert_cmpuint (a.result->n_times, ==, b.result->n_times);
  g_assert_cmpmem (a.result->joints, a.result->n_times * 289 * sizeof (double), b.result->joints,
                   b.result->n_times * 289 * sizeof (double));
  HeatDrive drive = heat_drive_of (&j->scene), hot = drive;
  HeatResult *again = NULL;
  hot.scale_nozzle_film = 1.3;
  g_assert_cmpint (heat_reduced_solve (a.model, a.run, &hot, NULL), ==, HEAT_OK);
  g_assert_cmpint (heat_reduced_solve (a.model, a.run, &drive, NULL), ==, HEAT_OK);
  g_assert_cmpint (heat_reduced_result (a.model, a.run, &again), ==, HEAT_OK);
  g_assert_cmpmem (again->joints, again->n_times * 289 * sizeof (double), b.result->joints,
                   b.result->n_times * 289 * sizeof (double));
  heat_result_free (again);
  quick_free (&a);
  quick_free (&b);
  g_free (j);
}

/* Points of the surface, read alone, are those of the whole field at the cells' centres. */
static void
assert_spots (const Quick *q, const HeatReducedPast *past)
{
  const HeatResult *r = q->result;
  HeatSpot *at = g_new (HeatSpot, 2 * r->nx * r->ny);
  size_t n = 0, columns = r->nx * r->ny, last = r->n_times / 2;
  float *side[2] = { g_new (float, columns), g_new (float, columns) };
  for (size_t i = 0; i < columns; i++)
    for (int up = 0; up < 2; up++) {
      size_t ix = i % r->nx, iy = i / r->nx;
      HeatXY xy = { 0.5 * (r->x_edges[ix] + r->x_edges[ix + 1]), 0.5 * (r->y_edges[iy] + r->y_edges[iy + 1]) };
      at[n++] = (HeatSpot){ xy, up };
    }
  HeatSpots *spots = heat_spots_new (q->model, at, n);
  double *read = g_new (double, n * r->n_times), most = 0;
  heat_spots_read (spots, q->run, read);
  g_assert_cmpuint (heat_reduced_n_times (q->run), ==, r->n_times);
  for (size_t k = last; k < r->n_times; k += r->n_times / 8) {
    heat_reduced_field (q->model, past, heat_reduced_times (q->run)[k], side[1], side[0]);
    for (size_t i = 0; i < n; i++) {
      double field = side[i % 2][i / 2];
      g_assert_true (isnan (field) == isnan (read[k * n + i]));
      most = isnan (field) ? most : fmax (most, fabs (read[k * n + i] - field));
    }
  }
  g_test_message ("%.4f K apart at most over %zu points", most, n);
  g_assert_cmpfloat (most, <, 1e-3);
  heat_spots_free (spots);
  g_free (at);
  g_free (read);
  g_free (side[0]);
  g_free (side[1]);
}

/* Fields asked for later are those the full solution stores. */
static void
test_field (void)
{
  BenchJob *j = g_new0 (BenchJob, 1);
  bench_job (j, 0.06, 0.05, true);
  j->scene.end_s = 140;
  HeatOptions fine = { .cell_m = 2e-3, .frame_s = 10 };
  HeatReducedOptions o = { .cell_m = 2e-3 };
  HeatResult *full = plain_solve (&j->scene, &fine);
  Quick q = quick_solve (&j->scene, &o, NULL, NULL);
  HeatReducedPast *past = heat_reduced_past_new (q.model, q.run);
  size_t columns = full->nx * full->ny;
  float *top = g_new (float, columns), *bottom = g_new (float, columns);
  double most = 0;
  for (size_t f = 1; f < full->n_frames; f++) {
    heat_reduced_field (q.model, past, full->frames[f].t_s, top, bottom);
    for (size_t i = 0; i < columns && full->frames[f].t_s != 120; i++) {
      most = fmax (most, fabs (top[i] - full->frames[f].top[i]));
      most = fmax (most, fabs (bottom[i] - full->frames[f].bottom[i]));
    }
  }
  g_test_message ("%.3f K apart at most over %zu fields", most, full->n_frames - 1);
  g_assert_cmpfloat (most, <, 0.5);
  assert_spots (&q, past);
  g_free (top);
  g_free (bottom);
  heat_reduced_past_free (past);
  quick_free (&q);
  heat_result_free (full);
  g_free (j);
}

/* Every request for memory fails once: of the model, of a run, of a result, of a past. */
static void
test_no_memory (void)
{
  BenchJob *j = g_new0 (BenchJob, 1);
  bench_job (j, 0.05, 0.05, true);
  j->scene.end_s = 2;
  HeatReducedOptions o = { .cell_m = 5e-3, .coarse_m = 8e-3 };
  HeatReduced *model = NULL;
  long n = 0;
  for (;; n++) {
    HeatStatus status = heat_reduced_new_counted (&j->scene, &o, n, &model);
    if (status == HEAT_OK)
      break;
    g_assert_cmpint (status, ==, HEAT_NO_MEMORY);
    g_assert_null (model);
  }
  g_assert_cmpint (n, >, 50);
  HeatReducedRun *run = NULL;
  for (n = 0; !(run = heat_reduced_run_new_counted (model, n)); n++)
    ;
  g_assert_cmpint (n, >, 10);
  HeatDrive drive = heat_drive_of (&j->scene);
  for (n = 0;; n++) {
    run->arena.countdown = n;
    HeatStatus status = heat_reduced_solve (model, run, &drive, NULL);
    if (status == HEAT_OK)
      break;
    g_assert_cmpint (status, ==, HEAT_NO_MEMORY);
  }
  g_assert_cmpint (n, >, 3);
  HeatResult *result = NULL;
  for (n = 0; heat_reduced_result_counted (model, run, n, &result) != HEAT_OK; n++)
    g_assert_null (result);
  g_assert_cmpint (n, >, 5);
  heat_result_free (result);
  HeatReducedPast *past = NULL;
  for (n = 0; !(past = heat_reduced_past_new_counted (model, run, n)); n++)
    ;
  g_assert_cmpint (n, >, 3);
  heat_reduced_past_free (past);
  heat_reduced_run_free (run);
  heat_reduced_free (model);
  g_free (j);
}

/* What cannot be answered is refused, with a reason, and nothing is half done. */
static void
test_refusals (void)
{
  BenchJob *j = g_new0 (BenchJob, 1);
  bench_job (j, 0.05, 0.05, false);
  j->scene.end_s = 5;
  HeatReducedOptions o = { .cell_m = 5e-3, .coarse_m = 8e-3 };
  HeatReduced *model = NULL;
  HeatResult *result = NULL;
  g_assert_cmpint (heat_reduced_new (&j->scene, &o, &model), ==, HEAT_OK);
  HeatReducedRun *run = heat_reduced_run_new (model);
  g_assert_cmpint (heat_reduced_result (model, run, &result), ==, HEAT_BAD_SCENE);
  g_assert_null (heat_reduced_past_new (model, run));
  double *wrong[] = { NULL, NULL, NULL, NULL };
  HeatDrive good = heat_drive_of (&j->scene), d;
  wrong[0] = &d.end_s;
  wrong[1] = &d.scale_nozzle_film;
  wrong[2] = &d.scale_conductivity;
  wrong[3] = &d.air_c;
  for (size_t i = 0; i < 4; i++) {
    d = good;
    *wrong[i] = i == 2 ? 1.1 : NAN;
    g_assert_cmpint (heat_reduced_solve (model, run, &d, NULL), ==, HEAT_BAD_SCENE);
    g_assert_cmpstr (heat_reduced_detail (run), !=, "");
  }
  g_assert_cmpint (heat_reduced_solve (model, run, &good, NULL), ==, HEAT_OK);
  heat_reduced_run_free (run);
  heat_reduced_free (model);
  j->scene.end_s = -1;
  g_assert_cmpint (heat_reduced_new (&j->scene, &o, &model), ==, HEAT_BAD_SCENE);
  g_assert_null (model);
  g_free (j);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/reduced/lumped", test_lumped);
  g_test_add_func ("/reduced/linear", test_linear);
  g_test_add_func ("/reduced/whole-job", test_whole_job);
  g_test_add_func ("/reduced/other-drive", test_other_drive);
  g_test_add_func ("/reduced/conductivity", test_conductivity);
  g_test_add_func ("/reduced/symmetry", test_symmetry);
  g_test_add_func ("/reduced/same-bits", test_same_bits);
  g_test_add_func ("/reduced/field", test_field);
  g_test_add_func ("/reduced/no-memory", test_no_memory);
  g_test_add_func ("/reduced/refusals", test_refusals);
  return g_test_run ();
}
