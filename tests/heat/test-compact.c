/* The compact model against what is known exactly and against the reduced model it learned from. */
#include "plain-scene.h"

#include "bench-job.h"
#include "heat/compact-internal.h"

/* A drive with tables of its own. */
typedef struct {
  double gas_v[1], flow_v[2], flow_t[2], pre_v[1];
  HeatDrive drive;
} Try;

static void
melting_job (BenchJob *j)
{
  bench_job (j, 0.06, 0.05, true);
  j->gas_v[0] = 300;
  j->flow_t[0] = j->flow_t[1] = 60;
  j->flow_v[1] = 30e-3 / 60;
  j->scene.end_s = 160;
}

/* Drive I of a sequence that fills the ranges evenly (additive recurrence of the plastic number's powers; M. Roberts,
 * "The unreasonable effectiveness of quasirandom sequences", 2018): gas 250 to 370 C, 20 to 40 L/min, bath 120 to 180 C, gas on
 * after 40 to 80 s, and with SCALES films, capacity, emissivity and room too. The first is the scene's own. */
static void
fill_try (const BenchJob *j, size_t i, bool scales, Try *t)
{
  double u[8], g = 1.0;
  for (size_t k = 0; k < 8; k++) {
    g *= 0.8566748838545029; /* of the 5th order: x^6 = x + 1 */
    u[k] = i ? fmod (0.5 + (double) i * g, 1) : 0.5;
  }
  *t = (Try){ .gas_v = { 250 + 120 * u[0] },
              .flow_v = { 0, (20 + 20 * u[1]) * 1e-3 / 60 },
              .flow_t = { 40 + 40 * u[2], 40 + 40 * u[2] },
              .pre_v = { 120 + 60 * u[3] },
              .drive = heat_drive_of (&j->scene) };
  t->drive.gas_set_c.v = t->gas_v;
  t->drive.flow_m3_s = (HeatTable){ t->flow_t, t->flow_v, 2 };
  t->drive.preheat_set_c.v = t->pre_v;
  t->drive.mark_s = 150;
  if (!scales)
    return;
  t->drive.scale_nozzle_film = t->drive.scale_spill_film = 0.8 + 0.4 * u[4];
  t->drive.scale_preheat_film = 0.8 + 0.4 * u[5];
  t->drive.scale_room_film = 0.8 + 0.4 * u[6];
  t->drive.scale_capacity = 0.9 + 0.2 * u[7];
  t->drive.scale_emissivity = 0.9 + 0.2 * u[4];
  t->drive.air_c += 4 * (u[5] - 0.5);
  t->drive.start_c = t->drive.air_c;
  t->drive.gas_add_k = 10 * (u[6] - 0.5);
}

enum { LESSONS = 14, TESTS = 6 };

typedef struct {
  BenchJob job;
  HeatReduced *model;
  Try tries[LESSONS + TESTS];
  HeatDrive drives[LESSONS + TESTS];
  HeatCompact *compact;
} Class;

static Class *
class_new (double cell_m, size_t lessons, bool scales, const HeatCompactOptions *options)
{
  Class *c = g_new0 (Class, 1);
  HeatReducedOptions o = { .cell_m = cell_m };
  melting_job (&c->job);
  g_assert_cmpint (heat_reduced_new (&c->job.scene, &o, &c->model), ==, HEAT_OK);
  for (size_t i = 0; i < LESSONS + TESTS; i++) {
    fill_try (&c->job, i, scales, &c->tries[i]);
    c->drives[i] = c->tries[i].drive;
  }
  g_assert_cmpint (heat_compact_new (c->model, c->drives, lessons, options, &c->compact), ==, HEAT_OK);
  return c;
}

static void
class_free (Class *c)
{
  heat_compact_free (c->compact);
  heat_reduced_free (c->model);
  g_free (c);
}

/* ---- exactly ---- */

/* A bare board of one lump: film h to gas, C dT/dt = h A (Tgas - T), an exponential (any textbook); also with film and
 * capacity scaled after the model was made. */
static void
test_lumped (void)
{
  Plain p;
  plain_board (&p, 0, 0.02, 0, 0.02, 1, (HeatLayer){ 1e-3, 1e5, 1e5, 2e6 });
  p.scene.start_c = p.scene.room.air_c = 20;
  p.scene.end_s = 60;
  plain_nozzle (&p, (HeatXY){ 0.01, 0.01 }, 0.03, 0.03, false, 100, 300);
  HeatReducedOptions o = { .cell_m = 5e-3, .coarse_m = 5e-3 };
  HeatReduced *model = NULL;
  HeatCompact *compact = NULL;
  g_assert_cmpint (heat_reduced_new (&p.scene, &o, &model), ==, HEAT_OK);
  HeatDrive drives[2] = { heat_drive_of (&p.scene), heat_drive_of (&p.scene) };
  drives[1].scale_nozzle_film = 1.5;
  g_assert_cmpint (heat_compact_new (model, drives, 2, NULL, &compact), ==, HEAT_OK);
  HeatCompactRun *run = heat_compact_run_new (compact);
  for (int k = 0; k < 3; k++) {
    HeatDrive d = drives[0];
    d.scale_nozzle_film = k == 1 ? 1.25 : 1;
    d.scale_capacity = k == 2 ? 0.8 : 1;
    double tau = 2e6 * 1e-3 * d.scale_capacity / (100 * d.scale_nozzle_film);
    double end = 300 - 280 * exp (-60 / tau);
    g_assert_cmpint (heat_compact_solve (compact, run, &d, NULL), ==, HEAT_OK);
    g_test_message ("board at the end %.3f C, exactly %.3f C", heat_compact_board_peak (compact, run), end);
    g_assert_cmpfloat (fabs (heat_compact_board_peak (compact, run) - end), <, 0.25);
  }
  heat_compact_run_free (run);
  heat_compact_free (compact);
  heat_reduced_free (model);
}

/* ---- against the reduced model ---- */

static double
apart (double a, double b, double most)
{
  g_assert_cmpint (isnan (a), ==, isnan (b));
  return isnan (a) ? most : fmax (most, fabs (a - b));
}

typedef struct {
  double peak_k, ramp_k_s, cold_k, spread_k, time_s;
} Gaps;

static Gaps
measure (const Class *c, size_t from, size_t to)
{
  Gaps g = { 0 };
  HeatReducedRun *run = heat_reduced_run_new (c->model);
  HeatCompactRun *quick = heat_compact_run_new (c->compact);
  HeatFigures a[5], b[5];
  for (size_t i = from; i < to; i++) {
    g_assert_cmpint (heat_reduced_solve (c->model, run, &c->drives[i], NULL), ==, HEAT_OK);
    g_assert_cmpint (heat_compact_solve (c->compact, quick, &c->drives[i], NULL), ==, HEAT_OK);
    heat_reduced_figures (c->model, run, a);
    heat_compact_figures (c->compact, quick, b);
    for (size_t k = 0; k < c->job.scene.n_bodies; k++) {
      g.peak_k = apart (a[k].joint_peak_c, b[k].joint_peak_c, g.peak_k);
      g.peak_k = apart (a[k].body_peak_c, b[k].body_peak_c, g.peak_k);
      g.peak_k = apart (a[k].joint_corner_peak_c, b[k].joint_corner_peak_c, g.peak_k);
      g.ramp_k_s = apart (a[k].ramp_up_k_s, b[k].ramp_up_k_s, g.ramp_k_s);
    }
    g.peak_k = apart (heat_reduced_board_peak (c->model, run), heat_compact_board_peak (c->compact, quick), g.peak_k);
    g.cold_k = apart (a[0].joint_cold_mark_c, b[0].joint_cold_mark_c, g.cold_k);
    g.spread_k = apart (a[0].spread_k, b[0].spread_k, g.spread_k);
    g.time_s = apart (a[0].above_liquidus_s, b[0].above_liquidus_s, g.time_s);
  }
  heat_compact_run_free (quick);
  heat_reduced_run_free (run);
  return g;
}

/* Drives it never saw, in the ranges it learned from. Peaks within 3 K: what a search may be off by before the reduced
 * model has the last word (our choice, as are the others). */
static void
test_unseen (void)
{
  for (int scales = 0; scales < 2; scales++) {
    Class *c = class_new (2e-3, LESSONS, scales, NULL);
    const HeatCompactReport *r = heat_compact_report (c->compact);
    Gaps seen = measure (c, 0, LESSONS), unseen = measure (c, LESSONS, LESSONS + TESTS);
    g_test_message ("%zu vectors, %zu moments, left %.3f K, 99 %% of readings within %.2f K; peaks %.2f K seen, %.2f K not; "
                    "ramps %.2f K/s, coldest joint %.2f K, spread %.2f K, time %.2f s",
                    r->n_vectors, r->n_moments, r->left_k, r->apart_k, seen.peak_k, unseen.peak_k, unseen.ramp_k_s,
                    unseen.cold_k, unseen.spread_k, unseen.time_s);
    g_assert_cmpuint (r->n_lessons, ==, LESSONS);
    g_assert_cmpfloat (r->apart_k, <, 2.5);
    g_assert_cmpfloat (unseen.peak_k, <, 3);
    g_assert_cmpfloat (unseen.cold_k, <, 4); /* among joints that melt each by itself */
    g_assert_cmpfloat (unseen.spread_k, <, 4);
    g_assert_cmpfloat (unseen.ramp_k_s, <, 0.3);
    g_assert_cmpfloat (unseen.time_s, <, 4);
    class_free (c);
  }
}

/* ---- sameness ---- */

static void
backwards (void *pool, size_t n, void (*job) (void *data, size_t i), void *data)
{
  for (size_t i = n; i-- > 0;)
    job (data, i);
  *(size_t *) pool += n;
}

static void
test_same_bits (void)
{
  size_t calls = 0, n;
  HeatParallel parallel = { backwards, &calls };
  HeatCompactOptions o = { .parallel = &parallel };
  Class *a = class_new (3e-3, 5, false, NULL), *b = class_new (3e-3, 5, false, &o);
  HeatCompactRun *p = heat_compact_run_new (a->compact), *q = heat_compact_run_new (b->compact);
  g_assert_cmpuint (calls, ==, 5);
  g_assert_cmpint (heat_compact_solve (b->compact, q, &b->drives[3], NULL), ==, HEAT_OK); /* leaves nothing behind */
  g_assert_cmpint (heat_compact_solve (a->compact, p, &a->drives[7], NULL), ==, HEAT_OK);
  g_assert_cmpint (heat_compact_solve (b->compact, q, &b->drives[7], NULL), ==, HEAT_OK);
  n = heat_compact_n_times (p);
  g_assert_cmpuint (n, ==, heat_compact_n_times (q));
  g_autofree float *u = g_new (float, n), *v = g_new (float, n);
  for (size_t s = 0; s < HEAT_N_SERIES; s++) {
    g_assert_true (heat_compact_series (a->compact, p, 0, (HeatSeries) s, u));
    g_assert_true (heat_compact_series (b->compact, q, 0, (HeatSeries) s, v));
    g_assert_cmpmem (u, n * sizeof (float), v, n * sizeof (float));
  }
  g_assert_cmpfloat (heat_compact_time (p, n - 1), ==, a->drives[7].end_s);
  heat_compact_run_free (p);
  heat_compact_run_free (q);
  class_free (a);
  class_free (b);
}

/* What is not asked of a body is not a number; what is, is what it is when all is asked. */
static void
test_asked (void)
{
  unsigned char asked[5] = { 0, 0, HEAT_COMPACT_RAMPS, 0, HEAT_COMPACT_JOINTS };
  HeatCompactOptions o = { .asked = asked };
  Class *a = class_new (3e-3, 3, false, NULL), *b = class_new (3e-3, 3, false, &o);
  HeatCompactRun *p = heat_compact_run_new (a->compact), *q = heat_compact_run_new (b->compact);
  HeatFigures f[5], g[5], target;
  float out[1000];
  g_assert_false (heat_compact_series (b->compact, q, 0, HEAT_SERIES_BODY_MAX, out)); /* nothing solved yet */
  heat_compact_figures (b->compact, q, g);
  g_assert_true (isnan (g[0].body_peak_c) && isnan (heat_compact_board_peak (b->compact, q)));
  g_assert_cmpint (heat_compact_solve (a->compact, p, &a->drives[1], NULL), ==, HEAT_OK);
  g_assert_cmpint (heat_compact_solve (b->compact, q, &b->drives[1], NULL), ==, HEAT_OK);
  heat_compact_figures (a->compact, p, f);
  heat_compact_figures (b->compact, q, g);
  g_assert_cmpmem (&f[0], sizeof f[0], &g[0], sizeof g[0]); /* the target: always all */
  heat_compact_target_figures (b->compact, q, &target);
  g_assert_cmpmem (&target, sizeof target, &g[0], sizeof g[0]);
  g_assert_true (isnan (g[1].ramp_up_k_s) && isnan (g[1].joint_center_peak_c) && isnan (g[1].above_liquidus_s));
  g_assert_cmpfloat (g[1].joint_peak_c, ==, f[1].joint_peak_c);
  g_assert_cmpfloat_with_epsilon (g[2].ramp_up_k_s, f[2].ramp_up_k_s, 1e-3);
  g_assert_cmpfloat_with_epsilon (g[2].ramp_down_k_s, f[2].ramp_down_k_s, 1e-3);
  g_assert_false (heat_compact_series (b->compact, q, 1, HEAT_SERIES_JOINT_MIN, out));
  heat_compact_run_free (p);
  heat_compact_run_free (q);
  class_free (a);
  class_free (b);
}

/* ---- whole answers ---- */

/* Largest difference of the target's joints at the compact run's moments after the first; the reduced one's straight between its own. */
static double
joints_apart (const HeatResult *a, const HeatResult *b)
{
  double most = 0;
  size_t k = 1;
  for (size_t i = 1; i < a->n_times; i++) {
    while (k + 1 < b->n_times && b->t_s[k] < a->t_s[i])
      k++;
    double share = (a->t_s[i] - b->t_s[k - 1]) / (b->t_s[k] - b->t_s[k - 1]);
    for (size_t j = 0; j < a->n_joints; j++) {
      double was = b->joints[(k - 1) * b->n_joints + j], is = b->joints[k * b->n_joints + j];
      most = fmax (most, fabs (a->joints[i * a->n_joints + j] - (was + share * (is - was))));
    }
  }
  return most;
}

/* The bath comes on at full strength with the first moment: nothing is warmer than the start yet. After that every joint of a drive
 * it never saw is as near the reduced model's as peaks are held to be above. */
static void
test_whole (void)
{
  HeatCompactOptions o = { .whole = true };
  Class *c = class_new (3e-3, LESSONS, false, &o);
  HeatReducedRun *run = heat_reduced_run_new (c->model);
  HeatCompactRun *quick = heat_compact_run_new (c->compact);
  HeatResult *a = NULL, *b = NULL;
  const HeatDrive *drive = &c->drives[LESSONS];
  g_assert_cmpint (heat_compact_solve (c->compact, quick, drive, NULL), ==, HEAT_OK);
  g_assert_cmpint (heat_compact_result (c->compact, quick, &a), ==, HEAT_OK);
  g_assert_cmpint (heat_reduced_solve (c->model, run, drive, NULL), ==, HEAT_OK);
  g_assert_cmpint (heat_reduced_result (c->model, run, &b), ==, HEAT_OK);
  g_assert_cmpuint (a->n_joints, ==, b->n_joints);
  for (size_t j = 0; j < a->n_joints; j++)
    g_assert_cmpfloat (a->joints[j], ==, drive->start_c);
  for (size_t k = 0; k < a->n_bodies; k++)
    g_assert_cmpfloat (a->bodies[k].body_max[0], ==, drive->start_c);
  g_assert_cmpfloat (a->board_max[0], ==, drive->start_c);
  double apart = joints_apart (a, b);
  g_test_message ("joints within %.2f K", apart);
  g_assert_cmpfloat (apart, <, 4);
  heat_result_free (a);
  heat_result_free (b);
  heat_compact_run_free (quick);
  heat_reduced_run_free (run);
  class_free (c);
}

/* ---- what it refuses ---- */

static void
test_no_memory (void)
{
  Class *c = class_new (5e-3, 2, false, NULL);
  HeatCompact *compact = NULL;
  HeatCompactRun *run = NULL;
  long n = 0;
  for (HeatStatus status = HEAT_NO_MEMORY; status != HEAT_OK; n++) {
    status = heat_compact_new_counted (c->model, c->drives, 2, NULL, n, &compact);
    g_assert_true (status == HEAT_OK || status == HEAT_NO_MEMORY);
    g_assert_true ((compact != NULL) == (status == HEAT_OK));
  }
  g_assert_cmpint (n, >, 30);
  heat_compact_free (compact);
  for (n = 0; !(run = heat_compact_run_new_counted (c->compact, n)); n++)
    ;
  g_assert_cmpint (n, >, 20);
  heat_compact_run_free (run);
  class_free (c);
}

static bool
stop (double done, void *user)
{
  return false;
}

static void
test_refusals (void)
{
  Class *c = class_new (5e-3, 2, false, NULL);
  HeatCompactRun *run = heat_compact_run_new (c->compact);
  HeatCompactOptions o = { .progress = stop };
  HeatCompact *other = NULL;
  HeatDrive d = c->drives[0];
  HeatFigures f[5];
  g_assert_cmpint (heat_compact_new (c->model, c->drives, 0, NULL, &other), ==, HEAT_BAD_SCENE);
  g_assert_cmpint (heat_compact_new (c->model, c->drives, 2, &o, &other), ==, HEAT_CANCELLED);
  g_assert_null (other);
  g_assert_cmpint (heat_compact_solve (c->compact, run, &d, NULL), ==, HEAT_OK);
  d.end_s = NAN;
  g_assert_cmpint (heat_compact_solve (c->compact, run, &d, NULL), ==, HEAT_BAD_SCENE);
  heat_compact_figures (c->compact, run, f);
  g_assert_true (isnan (f[0].body_peak_c)); /* the last solve has no answer */
  g_assert_cmpint (heat_compact_new (c->model, &d, 1, NULL, &other), ==, HEAT_BAD_SCENE);
  heat_compact_run_free (run);
  class_free (c);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/compact/lumped", test_lumped);
  g_test_add_func ("/compact/unseen", test_unseen);
  g_test_add_func ("/compact/same-bits", test_same_bits);
  g_test_add_func ("/compact/asked", test_asked);
  g_test_add_func ("/compact/whole", test_whole);
  g_test_add_func ("/compact/no-memory", test_no_memory);
  g_test_add_func ("/compact/refusals", test_refusals);
  return g_test_run ();
}
