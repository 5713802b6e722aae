/* The temperature colours: lightness rises or falls steadily, steps are even, and the order survives the
 * three kinds of colour blindness. */
#include <math.h>

#include "draw/draw.h"

#define N 256

typedef struct {
  double l, a, b;
} Lab;

/* IEC 61966-2-1. */
static double
linear (double coded)
{
  return coded <= 0.04045 ? coded / 12.92 : pow ((coded + 0.055) / 1.055, 2.4);
}

/* CIE 15:2004, 8.2.1. */
static double
curve (double t)
{
  return t > pow (6.0 / 29.0, 3) ? cbrt (t) : t / (3.0 * pow (6.0 / 29.0, 2)) + 4.0 / 29.0;
}

/* sRGB primaries with white D65, to CIE 1976 L*a*b*. */
static Lab
lab_of_linear (double r, double g, double b)
{
  double x = (0.4124564 * r + 0.3575761 * g + 0.1804375 * b) / 0.95047;
  double y = 0.2126729 * r + 0.7151522 * g + 0.0721750 * b;
  double z = (0.0193339 * r + 0.1191920 * g + 0.9503041 * b) / 1.08883;

  return (Lab){ 116.0 * curve (y) - 16.0, 500.0 * (curve (x) - curve (y)), 200.0 * (curve (y) - curve (z)) };
}

static Lab
lab_of (LwColor c)
{
  return lab_of_linear (linear (c.r), linear (c.g), linear (c.b));
}

static double
difference (Lab p, Lab q)
{
  return sqrt ((p.l - q.l) * (p.l - q.l) + (p.a - q.a) * (p.a - q.a) + (p.b - q.b) * (p.b - q.b));
}

/* Severity 1.0 matrices of Machado, Oliveira & Fernandes, IEEE Trans. Vis. Comput. Graph. 15 (2009), as
 * commonly reproduced; written from memory. They act on linear light here. */
static const double blindness[3][3][3] = {
  { { 0.152286, 1.052583, -0.204868 }, { 0.114503, 0.786281, 0.099216 }, { -0.003882, -0.048116, 1.051998 } },
  { { 0.367322, 0.860646, -0.227968 }, { 0.280085, 0.672501, 0.047413 }, { -0.011820, 0.042940, 0.968881 } },
  { { 1.255528, -0.076749, -0.178779 }, { -0.078411, 0.930809, 0.147602 }, { 0.004733, 0.691367, 0.303900 } },
};

static Lab
seen_by (LwColor c, const double m[3][3])
{
  double in[3] = { linear (c.r), linear (c.g), linear (c.b) }, out[3];

  for (int i = 0; i < 3; i++)
    out[i] = CLAMP (m[i][0] * in[0] + m[i][1] * in[1] + m[i][2] * in[2], 0.0, 1.0);
  return lab_of_linear (out[0], out[1], out[2]);
}

/* The matrices conserve white: rows sum to one. Guards against a slip of memory. */
static void
test_matrices_keep_white (void)
{
  for (int k = 0; k < 3; k++) {
    for (int i = 0; i < 3; i++)
      g_assert_cmpfloat_with_epsilon (blindness[k][i][0] + blindness[k][i][1] + blindness[k][i][2], 1.0, 2e-5);
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
  g_assert_cmpfloat (linear (lw_heat_color (1, LW_LOOK_PRINT).g), >, 0.175);
}

/* Even steps of colour: no tenth of the scale is more than 1.6 times another. */
static void
test_steps_even (void)
{
  for (int look = 0; look < 2; look++) {
    double least = INFINITY, most = 0;

    for (int i = 0; i < 10; i++) {
      double d = difference (lab_of (lw_heat_color (i / 10.0, look)), lab_of (lw_heat_color ((i + 1) / 10.0, look)));

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
    for (int kind = 0; kind < 3; kind++) {
      double least = INFINITY, sign = look == LW_LOOK_LIGHT ? -1 : 1;

      for (int i = 0; i <= 10; i++) {
        for (int j = 0; j < i; j++)
          least = MIN (least, difference (seen_by (lw_heat_color (i / 10.0, look), blindness[kind]),
                                          seen_by (lw_heat_color (j / 10.0, look), blindness[kind])));
      }
      g_test_message ("look %d, blindness %d: least difference %.1f", look, kind, least);
      g_assert_cmpfloat (least, >, 5.0);
      /* and lightness keeps the order over every fifth of the scale */
      for (int i = 1; i <= 5; i++)
        g_assert_cmpfloat (sign * (seen_by (lw_heat_color (i / 5.0, look), blindness[kind]).l
                                   - seen_by (lw_heat_color ((i - 1) / 5.0, look), blindness[kind]).l), >, 0);
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
    for (int kind = 0; kind < 3; kind++) {
      double d = difference (seen_by (lw_grade_color (LW_GRADE_STOP, look), blindness[kind]),
                             seen_by (lw_grade_color (LW_GRADE_WATCH, look), blindness[kind]));

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
