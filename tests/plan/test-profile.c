/* Figures of curves. The trapezoidal profile's values were computed by hand from its straight pieces. */
#include <glib.h>
#include <math.h>

#include "plan/profile.h"

static const double T[] = { 0, 100, 190, 227, 250, 260, 283, 380 };
static const double V[] = { 25, 150, 180, 217, 240, 240, 217, 100 };
#define N G_N_ELEMENTS (T)

static void
trapezoid (void)
{
  double at = 0;
  guint index = 99;

  g_assert_cmpfloat (lw_profile_peak (V, N, &index), ==, 240);
  g_assert_cmpuint (index, ==, 4);
  g_assert_cmpfloat_with_epsilon (lw_profile_ramp_up (T, V, N, 0, &at), 1.25, 1e-12);
  g_assert_cmpfloat_with_epsilon (at, 0, 1e-12);
  g_assert_cmpfloat_with_epsilon (lw_profile_ramp_down (T, V, N, 0, &at), 117.0 / 97.0, 1e-12);
  g_assert_cmpfloat_with_epsilon (at, 283, 1e-12);
  /* (250 - 227) + 10 + (283 - 260) */
  g_assert_cmpfloat_with_epsilon (lw_profile_time_above (T, V, N, 217), 56.0, 1e-9);
  /* rises through 183 at 193 s; falls at 283 + 34 / 1.20619 = 311.188 s */
  g_assert_cmpfloat_with_epsilon (lw_profile_time_above (T, V, N, 183), 118.188, 1e-3);
  g_assert_cmpfloat_with_epsilon (lw_profile_time_above (T, V, N, 235), 20.0, 1e-9);
  g_assert_cmpfloat_with_epsilon (lw_profile_rise_time (T, V, N, 150, 200), 110.0, 1e-9);
  g_assert_cmpfloat_with_epsilon (lw_profile_rise_time (T, V, N, 25, 240), 250.0, 1e-9);
}

/* A 5 s window over a 1 s spike of 10 K: 10 K in 5 s at most, whichever way it lies. */
static void
windows_smooth (void)
{
  static const double t[] = { 0, 10, 11, 12, 30 }, v[] = { 20, 20, 30, 20, 20 };
  double at = 0;

  g_assert_cmpfloat_with_epsilon (lw_profile_ramp_up (t, v, 5, 0, NULL), 10, 1e-12);
  g_assert_cmpfloat_with_epsilon (lw_profile_ramp_up (t, v, 5, 5, &at), 2, 1e-12);
  g_assert_cmpfloat_with_epsilon (at, 6, 1e-12);
  g_assert_cmpfloat_with_epsilon (lw_profile_ramp_down (t, v, 5, 5, &at), 2, 1e-12);
  g_assert_cmpfloat_with_epsilon (at, 11, 1e-12);
}

static void
short_and_level (void)
{
  static const double t[] = { 0, 2 }, up[] = { 20, 24 }, level[] = { 20, 20 }, gap[] = { NAN, 21 };
  double at = 7;

  g_assert_cmpfloat_with_epsilon (lw_profile_ramp_up (t, up, 2, 5, NULL), 2, 1e-12);
  g_assert_cmpfloat (lw_profile_ramp_down (t, up, 2, 5, &at), ==, 0);
  g_assert_true (isnan (at));
  g_assert_cmpfloat (lw_profile_ramp_up (t, level, 2, 0, NULL), ==, 0);
  g_assert_cmpfloat (lw_profile_time_above (t, level, 2, 20), ==, 2);
  g_assert_cmpfloat (lw_profile_peak (gap, 2, NULL), ==, 21);
  g_assert_true (isnan (lw_profile_peak (gap, 0, NULL)));
  g_assert_cmpfloat (lw_profile_ramp_up (t, up, 0, 5, NULL), ==, 0);
}

/* Only an upward passage counts, and the upper level must be passed after the lower one. */
static void
rises (void)
{
  static const double t[] = { 0, 10, 20, 30, 40 }, v[] = { 200, 100, 120, 160, 210 };

  g_assert_cmpfloat_with_epsilon (lw_profile_rise_time (t, v, 5, 150, 200), 38 - 27.5, 1e-9);
  g_assert_true (isnan (lw_profile_rise_time (t, v, 5, 150, 220)));
  g_assert_true (isnan (lw_profile_rise_time (t, v, 5, 90, 200)));
  /* both inside one piece */
  g_assert_cmpfloat_with_epsilon (lw_profile_rise_time (t, v, 5, 170, 180), 2, 1e-9);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/profile/trapezoid", trapezoid);
  g_test_add_func ("/profile/windows", windows_smooth);
  g_test_add_func ("/profile/short", short_and_level);
  g_test_add_func ("/profile/rises", rises);
  return g_test_run ();
}
