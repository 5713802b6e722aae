/* Doubt of real jobs, sampled in the compact model, against the full solution: sensitivities against finite differences,
 * bands against fresh runs with everything moved at once, and the same bits whatever the threads. */
#include <gsl/gsl_rng.h>
#include <gsl/gsl_randist.h>
#include <math.h>

#include "bench.h"
#include "plan/doubt-scene.h"
#include "plan/doubt-sample.h"
#include "plan/draws.h"
#include "plan/gauge.h"

typedef struct {
  LwJob *job;
  LwCase *of;
  LwDoubt *doubt;
  LwUnsureSpreads spreads;
} Bench;

static void
set_up (Bench *bench)
{
  g_autoptr (GError) error = NULL;

  bench->job = bench_job (LW_SIDE_TOP, 0, 0);
  bench->of = lw_case_new (bench->job, 0, &error);
  g_assert_no_error (error);
  lw_doubt_spreads (bench->of, TRUE, &bench->spreads);
  bench->doubt = lw_doubt_of_plan (bench->job, 0, TRUE, NULL, NULL, &error);
  g_assert_no_error (error);
}

static void
tear_down (Bench *bench)
{
  lw_doubt_unref (bench->doubt);
  lw_case_free (bench->of);
  lw_job_unref (bench->job);
}

#define COARSE_CELL_M 2e-3

/* Figures of the full solution with the inputs at Z; fine: on the mesh and steps of a prediction. */
static HeatFigures *
solve (const Bench *bench, const double *z, gboolean fine)
{
  HeatDrive drive = heat_drive_of (&bench->of->scene);
  HeatFigures *figures = g_new (HeatFigures, bench->of->n_bodies);
  HeatOptions options = { .cell_m = fine ? 0 : COARSE_CELL_M, .step_s = fine ? 1 : 2, .adaptive = true };
  LwWatch quiet = { 0 };
  g_autoptr (GError) error = NULL;
  g_autoptr (HeatResult) result = NULL;
  g_autoptr (LwMovedScene) moved = NULL;

  drive.mark_s = lw_plan_heating_end_s (lw_case_plan (bench->of));
  lw_doubt_move (&drive, &bench->spreads, z);
  moved = lw_moved_scene_new (bench->of, &drive);
  result = lw_solve_scene (&moved->scene, &options, &quiet, &error);
  g_assert_no_error (error);
  heat_figures (&bench->of->scene, result, drive.mark_s, figures);
  return figures;
}

static const LwDependence *
find (const LwDependence *depends, guint n, LwUnsure input)
{
  for (guint i = 0; i < n; i++)
    if (depends[i].input == input)
      return &depends[i];
  return NULL;
}

/* The swing of an input against the difference of two full solutions on the mesh of a prediction with steps of a
 * second, at the input's 5 % and 95 % (normal quantile, Abramowitz and Stegun, Table 26.1). */
static void
test_sensitivities (gconstpointer data)
{
  const Bench *bench = data;
  static const LwUnsure inputs[] = { LW_UNSURE_NOZZLE_FILM, LW_UNSURE_CAPACITY, LW_UNSURE_GAS };
  guint target = (guint) bench->of->scene.target;

  for (guint i = 0; i < G_N_ELEMENTS (inputs); i++) {
    double z[LW_N_UNSURE] = { 0 };
    LwDependence depends[LW_N_UNSURE];
    guint n = lw_doubt_depends (bench->doubt, target, LW_FIGURE_BODY_PEAK, depends);
    const LwDependence *row = find (depends, n, inputs[i]);
    g_autofree HeatFigures *low = NULL, *high = NULL;
    double exact;

    g_assert_nonnull (row);
    z[inputs[i]] = -1.644854;
    low = solve (bench, z, TRUE);
    z[inputs[i]] = 1.644854;
    high = solve (bench, z, TRUE);
    exact = high[target].body_peak_c - low[target].body_peak_c;
    g_test_message ("%s: swing %.2f K, finite difference %.2f K", lw_unsure_key (inputs[i]), row->high - row->low,
                    exact);
    g_assert_cmpfloat (fabs (exact), >, 1);
    g_assert_cmpfloat_with_epsilon (row->high - row->low, exact, 0.1 * fabs (exact));
  }
}

/* Independent draws (Mersenne Twister, not the sequence the bands were made from), everything moved at once, each
 * solved in full. A band that holds 90 % of them holds fewer than 29 of 40 once in some 4,000 times (binomial
 * distribution); and over five figures it misses some, unless it is too wide. */
#define FRESH 40
#define LEAST 29

typedef struct {
  const char *name;
  guint body;
  LwFigure figure;
} Watched;

static double
figure_of (const HeatFigures *f, LwFigure figure)
{
  return figure == LW_FIGURE_BODY_PEAK    ? f->body_peak_c
         : figure == LW_FIGURE_JOINT_PEAK ? f->joint_peak_c
         : figure == LW_FIGURE_COLD_MARK  ? f->joint_cold_mark_c
                                          : f->ramp_up_k_s;
}

/* Correlated rows by conditioning, pair by pair: another way than the draws' own Cholesky factor. */
static void
fresh_row (gsl_rng *rng, double *z)
{
  static const LwUnsure pairs[][2]
      = { { LW_UNSURE_NOZZLE_FILM, LW_UNSURE_SPILL_FILM }, { LW_UNSURE_PREHEAT_FILM, LW_UNSURE_ROOM_FILM } };

  for (guint i = 0; i < LW_N_UNSURE; i++)
    z[i] = gsl_ran_ugaussian (rng);
  for (guint k = 0; k < G_N_ELEMENTS (pairs); k++) {
    double r = lw_unsure_correlation (pairs[k][0], pairs[k][1]);
    z[pairs[k][1]] = r * z[pairs[k][0]] + sqrt (1 - r * r) * z[pairs[k][1]];
  }
}

static void
test_bands_hold (gconstpointer data)
{
  const Bench *bench = data;
  guint target = (guint) bench->of->scene.target, other = target == 0 ? 1 : 0, total = 0;
  const Watched watched[] = { { "target's body", target, LW_FIGURE_BODY_PEAK },
                              { "target's hottest joint", target, LW_FIGURE_JOINT_PEAK },
                              { "target's coldest joint", target, LW_FIGURE_COLD_MARK },
                              { "target's ramp", target, LW_FIGURE_RAMP_UP },
                              { "neighbour's body", other, LW_FIGURE_BODY_PEAK } };
  guint inside[G_N_ELEMENTS (watched)] = { 0 };
  const double none[LW_N_UNSURE] = { 0 };
  g_autofree HeatFigures *still = solve (bench, none, FALSE);
  gsl_rng *rng = gsl_rng_alloc (gsl_rng_mt19937);

  gsl_rng_set (rng, 20240611);
  for (guint i = 0; i < FRESH; i++) {
    double z[LW_N_UNSURE];
    g_autofree HeatFigures *fresh = NULL;

    fresh_row (rng, z);
    fresh = solve (bench, z, FALSE);
    for (guint k = 0; k < G_N_ELEMENTS (watched); k++) {
      const Watched *w = &watched[k];
      LwBand band = lw_doubt_band (bench->doubt, w->body, w->figure, figure_of (&still[w->body], w->figure));
      double is = figure_of (&fresh[w->body], w->figure);
      inside[k] += is >= band.low && is <= band.high;
    }
  }
  gsl_rng_free (rng);
  for (guint k = 0; k < G_N_ELEMENTS (watched); k++) {
    g_test_message ("%s: %u of %u inside", watched[k].name, inside[k], FRESH);
    g_assert_cmpuint (inside[k], >=, LEAST);
    total += inside[k];
  }
  g_assert_cmpuint (total, <, FRESH * G_N_ELEMENTS (watched)); /* nor are they too wide to miss any */
}

/* Draw by draw, what the compact model says of the change against the full solution's: their distance is small beside the
 * band it makes. */
static void
test_together (gconstpointer data)
{
  const Bench *bench = data;
  guint target = (guint) bench->of->scene.target;
  const double none[LW_N_UNSURE] = { 0 };
  g_autofree HeatFigures *still = solve (bench, none, FALSE);
  double half = lw_doubt_half (bench->doubt, target, LW_FIGURE_BODY_PEAK), worst = 0;
  LwQuickOptions coarse = { .cell_mm = 3, .coarse_mm = 10, .scout = TRUE, .vary_conductance = TRUE };
  g_autoptr (LwQuick) quick = lw_quick_new (bench->job, 0, &coarse, NULL, NULL, NULL, NULL);

  for (guint seed = 1; seed <= 6; seed++) {
    LwDoubtOptions one = { .samples = 1, .curves = 1, .seed = seed };
    g_autoptr (LwDraws) draw = lw_draws_new (1, LW_N_UNSURE, seed, lw_unsure_correlation);
    g_autoptr (LwDoubt) doubt = lw_doubt_sample (quick, NULL, TRUE, &one, NULL, NULL);
    g_autofree HeatFigures *is = solve (bench, lw_draws_row (draw, 0), FALSE);
    double change = is[target].body_peak_c - still[target].body_peak_c;
    LwBand band = lw_doubt_band (doubt, target, LW_FIGURE_BODY_PEAK, 0);

    g_test_message ("draw %u: %.2f K, full solution %.2f K", seed, band.mid, change);
    worst = fmax (worst, fabs (band.mid - change));
  }
  g_test_message ("largest distance %.2f K, half-band %.2f K", worst, half);
  g_assert_cmpfloat (worst, <, 0.2 * half);
}

static void
test_threads (gconstpointer data)
{
  const Bench *bench = data;
  LwDoubtOptions one = { .threads = 1 };
  g_autoptr (LwDoubt) again
      = lw_doubt_of_plan (bench->job, 0, TRUE, &one, NULL, NULL);

  for (guint body = 0; body < bench->of->n_bodies; body++)
    for (guint f = 0; f < LW_N_FIGURES; f++) {
      LwBand a = lw_doubt_band (bench->doubt, body, f, 100), b = lw_doubt_band (again, body, f, 100);
      g_assert_true ((isnan (a.low) && isnan (b.low)) || (a.low == b.low && a.mid == b.mid && a.high == b.high));
    }
}

static void
test_cancel (gconstpointer data)
{
  const Bench *bench = data;
  g_autoptr (GCancellable) cancellable = g_cancellable_new ();
  g_autoptr (GError) error = NULL;
  LwWatch watch = { .cancellable = cancellable };

  g_cancellable_cancel (cancellable);
  g_assert_null (lw_doubt_of_plan (bench->job, 0, TRUE, NULL, &watch, &error));
  g_assert_error (error, G_IO_ERROR, G_IO_ERROR_CANCELLED);
}

int
main (int argc, char **argv)
{
  Bench bench;
  int failed;

  g_test_init (&argc, &argv, NULL);
  set_up (&bench);
  g_test_add_data_func ("/doubt-runs/sensitivities", &bench, test_sensitivities);
  g_test_add_data_func ("/doubt-runs/bands-hold", &bench, test_bands_hold);
  g_test_add_data_func ("/doubt-runs/together", &bench, test_together);
  g_test_add_data_func ("/doubt-runs/threads", &bench, test_threads);
  g_test_add_data_func ("/doubt-runs/cancel", &bench, test_cancel);
  failed = g_test_run ();
  tear_down (&bench);
  return failed;
}
