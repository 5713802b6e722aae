/* Draws of uncertain inputs: quantiles of lumped cases against closed forms, correlations, determinism. */
#include <glib.h>
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <math.h>

#include "plan/draws.h"
#include "plan/unsure.h"

/* 97.5 % point of the standard normal distribution: Abramowitz and Stegun, Table 26.1. */
#define Z_95 1.959964

/* A lumped body in gas: T = Tg - (Tg - T0) exp (-t / tau), tau = tau0 * capacity / film (Incropera and DeWitt,
 * lumped capacitance method). With lognormal capacity and film ln tau is normal, its variance
 * s1^2 + s2^2 - 2 r s1 s2; T falls with tau, so the quantile of T is T at the other quantile of tau. */
static const double gas_c = 300, start_c = 20, tau_s = 60, at_s = 60;

static double
lumped_c (double tau)
{
  return gas_c - (gas_c - start_c) * exp (-at_s / tau);
}

static double
deviation (LwUnsure input)
{
  return log1p (lw_unsure_inputs ()[input].spread) / Z_95;
}

static double
exact_c (double p, LwUnsure film, LwUnsure other, gboolean divided)
{
  double a = deviation (film), b = deviation (other), r = lw_unsure_correlation (film, other);
  double s = sqrt (a * a + b * b + (divided ? 2 : -2) * r * a * b);

  return lumped_c (tau_s * exp (s * gsl_cdf_ugaussian_Pinv (1 - p)));
}

/* Samples of T with tau0 * capacity / film, or tau0 / (film * film 2). */
static double *
sample_c (const LwDraws *draws, LwUnsure film, LwUnsure other, gboolean divided)
{
  double *out = g_new (double, draws->n);

  for (guint i = 0; i < draws->n; i++) {
    const double *z = lw_draws_row (draws, i);
    double f = lw_unsure_value (film, lw_unsure_inputs ()[film].spread, z[film]);
    double o = lw_unsure_value (other, lw_unsure_inputs ()[other].spread, z[other]);
    out[i] = lumped_c (divided ? tau_s / (f * o) : tau_s * o / f);
  }
  return out;
}

static double
worst_error (guint n, guint64 seed, LwUnsure film, LwUnsure other, gboolean divided)
{
  static const double shares[] = { 0.05, 0.5, 0.95 };
  g_autoptr (LwDraws) draws = lw_draws_new (n, LW_N_UNSURE, seed, lw_unsure_correlation);
  g_autofree double *c = sample_c (draws, film, other, divided);
  double worst = 0;

  for (guint k = 0; k < G_N_ELEMENTS (shares); k++)
    worst = fmax (worst, fabs (lw_draws_quantile (c, n, shares[k]) - exact_c (shares[k], film, other, divided)));
  return worst;
}

static void
test_lumped (void)
{
  double band = exact_c (0.95, LW_UNSURE_NOZZLE_FILM, LW_UNSURE_CAPACITY, FALSE)
                - exact_c (0.05, LW_UNSURE_NOZZLE_FILM, LW_UNSURE_CAPACITY, FALSE);
  double plain = worst_error (1024, 1, LW_UNSURE_NOZZLE_FILM, LW_UNSURE_CAPACITY, FALSE);
  double tied = worst_error (1024, 1, LW_UNSURE_NOZZLE_FILM, LW_UNSURE_SPILL_FILM, TRUE);

  g_test_message ("band %.2f K; 1024 draws miss the exact quantiles by %.3f K, of tied inputs by %.3f K", band,
                  plain, tied);
  g_assert_cmpfloat (band, >, 20);
  g_assert_cmpfloat (plain, <, 0.01 * band);
  g_assert_cmpfloat (tied, <, 0.01 * band);
}

/* Root mean square over seeds: from 64 to 4096 draws the error of pseudo-random ones shrinks by 8, the root of
 * 64; an even sequence does better. */
static void
test_converges (void)
{
  double error[4] = { 0 };

  for (guint k = 0; k < 4; k++) {
    for (guint64 seed = 1; seed <= 8; seed++) {
      double e = worst_error (64u << (2 * k), seed, LW_UNSURE_NOZZLE_FILM, LW_UNSURE_CAPACITY, FALSE);
      error[k] += e * e / 8;
    }
    error[k] = sqrt (error[k]);
    g_test_message ("%5u draws: %.4f K", 64u << (2 * k), error[k]);
  }
  for (guint k = 1; k < 4; k++)
    g_assert_cmpfloat (error[k], <, error[k - 1]);
  g_assert_cmpfloat (error[3], <, error[0] / 12);
}

static void
test_correlated (void)
{
  const guint n = 4096;
  g_autoptr (LwDraws) draws = lw_draws_new (n, LW_N_UNSURE, 7, lw_unsure_correlation);

  for (guint a = 0; a < LW_N_UNSURE; a++)
    for (guint b = 0; b <= a; b++) {
      double sum = 0, mean = 0;
      for (guint i = 0; i < n; i++) {
        sum += lw_draws_row (draws, i)[a] * lw_draws_row (draws, i)[b] / n;
        mean += lw_draws_row (draws, i)[a] / n;
      }
      g_assert_cmpfloat_with_epsilon (mean, 0, 0.01);
      g_assert_cmpfloat_with_epsilon (sum, lw_unsure_correlation (a, b), 0.02);
      g_assert_cmpfloat (lw_unsure_correlation (a, b), ==, lw_unsure_correlation (b, a));
    }
}

/* The stated spreads are what they say: the middle 95 %, or all of a tolerance. */
static void
test_spreads (void)
{
  for (guint i = 0; i < LW_N_UNSURE; i++) {
    const LwUnsureInput *in = &lw_unsure_inputs ()[i];
    double high = lw_unsure_value (i, in->spread, Z_95), low = lw_unsure_value (i, in->spread, -Z_95);

    g_assert_cmpint (in->input, ==, i);
    g_assert_cmpint (in->source[0], !=, '\0');
    if (in->shape == LW_SHAPE_LOGNORMAL) {
      g_assert_cmpfloat_with_epsilon (high, 1 + in->spread, 1e-5);
      g_assert_cmpfloat_with_epsilon (low, 1 / (1 + in->spread), 1e-5);
      g_assert_cmpfloat_with_epsilon (lw_unsure_value (i, in->spread, 0), 1, 1e-12);
      g_assert_cmpfloat (lw_unsure_value (i, 0, 2.5), ==, 1);
    } else {
      g_assert_cmpfloat_with_epsilon (high, in->spread * (in->shape == LW_SHAPE_UNIFORM ? 0.95 : 1), 1e-5);
      g_assert_cmpfloat_with_epsilon (low, -high, 1e-9);
      g_assert_cmpfloat (lw_unsure_value (i, 0, 2.5), ==, 0);
    }
  }
}

/* IEC 60584-1, type K, class 1: 1.5 C up to 375 C, 0.4 % above. */
static void
test_thermocouple (void)
{
  g_assert_cmpfloat_with_epsilon (lw_unsure_thermocouple_k (100), 1.5, 1e-12);
  g_assert_cmpfloat_with_epsilon (lw_unsure_thermocouple_k (375), 1.5, 1e-12);
  g_assert_cmpfloat_with_epsilon (lw_unsure_thermocouple_k (500), 2.0, 1e-12);
}

/* Hyndman and Fan (1996), definition 7: Q(p) = x[1 + (n - 1) p]. */
static void
test_quantile (void)
{
  double ten[] = { 7, 1, 10, 3, 2, 9, 4, 8, 6, 5 }, gaps[] = { NAN, 2, NAN, 1 }, none[] = { NAN };

  g_assert_cmpfloat_with_epsilon (lw_draws_quantile (ten, 10, 0.05), 1.45, 1e-12);
  g_assert_cmpfloat_with_epsilon (lw_draws_quantile (ten, 10, 0.5), 5.5, 1e-12);
  g_assert_cmpfloat (lw_draws_quantile (ten, 10, 0), ==, 1);
  g_assert_cmpfloat (lw_draws_quantile (ten, 10, 1), ==, 10);
  g_assert_cmpfloat_with_epsilon (lw_draws_quantile (gaps, 4, 0.5), 1.5, 1e-12);
  g_assert_true (isnan (lw_draws_quantile (none, 1, 0.5)));
}

/* Fewer draws are the beginning of more; a seed gives the same draws, another seed others. */
static void
test_repeats (void)
{
  g_autoptr (LwDraws) a = lw_draws_new (256, LW_N_UNSURE, 5, lw_unsure_correlation);
  g_autoptr (LwDraws) b = lw_draws_new (64, LW_N_UNSURE, 5, lw_unsure_correlation);
  g_autoptr (LwDraws) c = lw_draws_new (64, LW_N_UNSURE, 6, lw_unsure_correlation);

  g_assert_cmpmem (a->z, 64 * LW_N_UNSURE * sizeof (double), b->z, 64 * LW_N_UNSURE * sizeof (double));
  g_assert_true (memcmp (b->z, c->z, 64 * LW_N_UNSURE * sizeof (double)) != 0);
}

typedef struct {
  const LwDraws *draws;
  double out[512];
  guint workers; /* bits */
} Pass;

static gboolean
pass_job (gpointer user, guint worker, guint i)
{
  Pass *pass = user;

  g_atomic_int_or ((gint *) &pass->workers, 1u << worker);
  pass->out[i] = lumped_c (tau_s * exp (0.1 * lw_draws_row (pass->draws, i)[2]));
  return TRUE;
}

static gboolean
fail_job (gpointer user, guint worker, guint i)
{
  return i != 3;
}

static void
test_threads (void)
{
  g_autoptr (LwDraws) draws = lw_draws_new (512, LW_N_UNSURE, 9, lw_unsure_correlation);
  Pass one = { draws, { 0 }, 0 }, four = one;

  g_assert_true (lw_draws_run (512, 1, pass_job, &one));
  g_assert_true (lw_draws_run (512, 4, pass_job, &four));
  g_assert_cmpuint (one.workers, ==, 1);
  g_assert_cmpuint (four.workers & ~0xfu, ==, 0);
  g_assert_cmpmem (one.out, sizeof one.out, four.out, sizeof four.out);
  g_assert_false (lw_draws_run (512, 4, fail_job, NULL));
}

/* GSL's manual, "Error handlers": the handler is one for the whole program, and the one it begins with aborts. Draws in one
 * thread must not give it back while another thread decomposes what has no factor. */
static void
test_quiet (void)
{
  const double ties[] = { 1, 0.9, -0.9, 0.9, 1, 0.9, -0.9, 0.9, 1 }; /* determinant 1 - 3 * 0.81 - 2 * 0.729 < 0 */
  g_autoptr (LwDraws) draws = lw_draws_new_tied (8, 3, 1, ties);
  double bad[] = { 1, 2, 2, 1 };
  gsl_matrix_view matrix = gsl_matrix_view_array (bad, 2, 2);

  g_assert_cmpint (gsl_linalg_cholesky_decomp1 (&matrix.matrix), ==, GSL_EDOM);
  for (guint i = 0; i < draws->n * draws->dims; i++)
    g_assert_true (isfinite (draws->z[i]));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/draws/lumped-quantiles", test_lumped);
  g_test_add_func ("/draws/converges", test_converges);
  g_test_add_func ("/draws/correlated", test_correlated);
  g_test_add_func ("/draws/spreads", test_spreads);
  g_test_add_func ("/draws/thermocouple", test_thermocouple);
  g_test_add_func ("/draws/quantile", test_quantile);
  g_test_add_func ("/draws/repeats", test_repeats);
  g_test_add_func ("/draws/threads", test_threads);
  g_test_add_func ("/draws/quiet", test_quiet);
  return g_test_run ();
}
