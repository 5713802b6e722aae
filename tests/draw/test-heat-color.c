/* The temperature colours: lightness rises or falls steadily, steps are even, and the order survives the
 * three kinds of colour blindness. */
#include "color-vision.h"

#define N 256

static Lab
lab_of (LwColor c)
{
  return vision_seen (c, 0);
}

/* The matrices conserve white: rows sum to one. Guards against a slip of memory. */
static void
test_matrices_keep_white (void)
{
  for (int k = 0; k < N_VISIONS; k++) {
    for (int i = 0; i < 3; i++)
      g_assert_cmpfloat_with_epsilon (vision_matrices[k][i][0] + vision_matrices[k][i][1] + vision_matrices[k][i][2], 1.0, 2e-5);
  }
}

static void
test_lightness_monotone (void)
{
  const double sign[3] = { -1, 1, -1 }; /* hot is dark on paper, bright on slate */

  for (int look = 0; look < 3; look++) {
    double before = lab_of (lw_heat_color (0, look)).l;

    for (int i = 1; i < N; i++) {
      double now = lab_of (lw_heat_color (i / (N - 1.0), look)).l;

      g_assert_cmpfloat (sign[look] * (now - before), >, 0.0);
      before = now;
    }
  }
}

static void
test_lightness_range (void)
{
  g_assert_cmpfloat (lab_of (lw_heat_color (0, LW_LOOK_LIGHT)).l - lab_of (lw_heat_color (1, LW_LOOK_LIGHT)).l, >, 70);
  g_assert_cmpfloat (lab_of (lw_heat_color (1, LW_LOOK_DARK)).l - lab_of (lw_heat_color (0, LW_LOOK_DARK)).l, >, 70);
  /* Black lines stay legible on the darkest grey: WCAG 2.1 contrast of at least 4.5 needs Y >= 0.175. */
  g_assert_cmpfloat (vision_linear (lw_heat_color (1, LW_LOOK_PRINT).g), >, 0.175);
}

/* Even steps of colour: no tenth of the scale is more than 1.6 times another. */
static void
test_steps_even (void)
{
  for (int look = 0; look < 2; look++) {
    double least = INFINITY, most = 0;

    for (int i = 0; i < 10; i++) {
      double d = difference_1976 (lab_of (lw_heat_color (i / 10.0, look)), lab_of (lw_heat_color ((i + 1) / 10.0, look)));

      least = MIN (least, d);
      most = MAX (most, d);
    }
    g_test_message ("look %d: steps %.1f to %.1f", look, least, most);
    g_assert_cmpfloat (most / least, <, 1.6);
  }
}

/* Tenths of the scale stay apart for everyone: a difference of 5 is plain to see side by side. */
static void
test_color_blind (void)
{
  for (int look = 0; look < 2; look++) {
    for (int kind = 1; kind < N_VISIONS; kind++) {
      double least = INFINITY, sign = look == LW_LOOK_LIGHT ? -1 : 1;

      for (int i = 0; i <= 10; i++) {
        for (int j = 0; j < i; j++)
          least = MIN (least, difference_1976 (vision_seen (lw_heat_color (i / 10.0, look), kind),
                                                    vision_seen (lw_heat_color (j / 10.0, look), kind)));
      }
      g_test_message ("look %d, blindness %d: least difference %.1f", look, kind, least);
      g_assert_cmpfloat (least, >, 5.0);
      /* and lightness keeps the order over every fifth of the scale */
      for (int i = 1; i <= 5; i++)
        g_assert_cmpfloat (sign * (vision_seen (lw_heat_color (i / 5.0, look), kind).l
                                   - vision_seen (lw_heat_color ((i - 1) / 5.0, look), kind).l), >, 0);
    }
  }
}

static void
test_clamped (void)
{
  for (int look = 0; look < 3; look++) {
    g_assert_cmpfloat (lw_heat_color (-5, look).r, ==, lw_heat_color (0, look).r);
    g_assert_cmpfloat (lw_heat_color (7, look).g, ==, lw_heat_color (1, look).g);
    g_assert_cmpfloat (lw_heat_color (INFINITY, look).b, ==, lw_heat_color (1, look).b);
    g_assert_cmpfloat (lw_heat_color (NAN, look).r, ==, lw_heat_color (0, look).r);
    for (int i = 0; i <= 100; i++) {
      LwColor c = lw_heat_color (i / 100.0, look);

      g_assert_true (c.r >= 0 && c.r <= 1 && c.g >= 0 && c.g <= 1 && c.b >= 0 && c.b <= 1 && c.a == 1);
    }
  }
}

/* Grades can be told apart by colour alone too, even in grey. */
static void
test_grades_apart (void)
{
  for (int look = 0; look < 3; look++) {
    for (int kind = 1; kind < N_VISIONS; kind++) {
      double d = difference_1976 (vision_seen (lw_grade_color (LW_GRADE_STOP, look), kind),
                             vision_seen (lw_grade_color (LW_GRADE_WATCH, look), kind));

      g_assert_cmpfloat (d, >, 15);
    }
  }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/draw/heat-color/matrices-keep-white", test_matrices_keep_white);
  g_test_add_func ("/draw/heat-color/lightness-monotone", test_lightness_monotone);
  g_test_add_func ("/draw/heat-color/lightness-range", test_lightness_range);
  g_test_add_func ("/draw/heat-color/steps-even", test_steps_even);
  g_test_add_func ("/draw/heat-color/color-blind", test_color_blind);
  g_test_add_func ("/draw/heat-color/clamped", test_clamped);
  g_test_add_func ("/draw/heat-color/grades-apart", test_grades_apart);
  return g_test_run ();
}
