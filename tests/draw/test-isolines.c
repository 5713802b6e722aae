/* Isolines of fields whose lines are known exactly. */
#include <math.h>

#include "draw/isolines.h"

typedef double (*Field) (double x, double y);

static GPtrArray *
lines_of (Field field, int n, double grade, double level)
{
  g_autofree double *xs = g_new (double, n), *ys = g_new (double, n);
  g_autofree float *values = g_new (float, n * n);

  for (int i = 0; i < n; i++) {
    double u = -1.0 + 2.0 * i / (n - 1);

    /* Graded: cells grow from the middle outward by GRADE. */
    xs[i] = 10.0 * (u + grade * u * u * u) / (1.0 + grade);
    ys[i] = xs[i];
  }
  for (int j = 0; j < n; j++) {
    for (int i = 0; i < n; i++)
      values[j * n + i] = (float) field (xs[i], ys[j]);
  }
  return lw_isolines (xs, n, ys, n, values, level);
}

static double
cone (double x, double y)
{
  return hypot (x, y);
}

static double
bowl (double x, double y)
{
  return x * x + y * y;
}

/* On the bowl x2 + y2 = r2 the linear crossing on an edge of length h is off by at most h2 / (8 r) along
 * the edge (error of linear interpolation of a parabola, h2/4 in value, over the slope of 2r at least
 * cos 45 degrees). */
static void
test_circle (void)
{
  const double r = 6.0;

  for (int n = 21; n <= 81; n = 2 * n - 1) {
    g_autoptr (GPtrArray) lines = lines_of (bowl, n, 0.0, r * r);
    const LwIsoline *line;
    double h = 20.0 / (n - 1), worst = 0.0;

    g_assert_cmpuint (lines->len, ==, 1);
    line = g_ptr_array_index (lines, 0);
    g_assert_true (line->closed);
    for (guint i = 0; i < line->points->len; i++) {
      const LwPoint *p = &g_array_index (line->points, LwPoint, i);

      worst = MAX (worst, fabs (hypot (p->x_mm, p->y_mm) - r));
    }
    g_test_message ("n %d: worst %.2e, bound %.2e", n, worst, h * h / (8.0 * r));
    g_assert_cmpfloat (worst, <, h * h / (8.0 * r) + 1e-6);
    g_assert_cmpfloat (worst, >, 0.0);
  }
}

/* Length and area of the ring are the circle's, on a graded mesh too. */
static void
test_circle_figures (void)
{
  g_autoptr (GPtrArray) lines = lines_of (cone, 101, 1.0, 5.0);
  const LwIsoline *line = g_ptr_array_index (lines, 0);
  double length = 0.0, area = 0.0;

  g_assert_cmpuint (lines->len, ==, 1);
  for (guint i = 0; i < line->points->len; i++) {
    LwPoint a = g_array_index (line->points, LwPoint, i);
    LwPoint b = g_array_index (line->points, LwPoint, (i + 1) % line->points->len);

    length += hypot (b.x_mm - a.x_mm, b.y_mm - a.y_mm);
    area += 0.5 * (a.x_mm * b.y_mm - b.x_mm * a.y_mm);
  }
  g_assert_cmpfloat_with_epsilon (length, 2.0 * G_PI * 5.0, 0.01);
  g_assert_cmpfloat_with_epsilon (fabs (area), G_PI * 25.0, 0.05);
}

static double
slope (double x, double y)
{
  return 2.0 * x - y;
}

/* A plane's lines are straight to the digit, and reach from rim to rim. */
static void
test_straight (void)
{
  g_autoptr (GPtrArray) lines = lines_of (slope, 31, 0.5, 1.5);
  const LwIsoline *line = g_ptr_array_index (lines, 0);
  LwPoint first, last;

  g_assert_cmpuint (lines->len, ==, 1);
  g_assert_false (line->closed);
  for (guint i = 0; i < line->points->len; i++) {
    LwPoint p = g_array_index (line->points, LwPoint, i);

    g_assert_cmpfloat_with_epsilon (2.0 * p.x_mm - p.y_mm, 1.5, 2e-5); /* values are single precision */
  }
  first = g_array_index (line->points, LwPoint, 0);
  last = g_array_index (line->points, LwPoint, line->points->len - 1);
  g_assert_cmpfloat_with_epsilon (fabs (first.y_mm), 10.0, 1e-9);
  g_assert_cmpfloat_with_epsilon (fabs (last.y_mm), 10.0, 1e-9);
}

static double
saddle (double x, double y)
{
  return x * y;
}

static double
two_hills (double x, double y)
{
  return exp (-((x - 4) * (x - 4) + y * y) / 4) + exp (-((x + 4) * (x + 4) + y * y) / 4);
}

static void
test_topology (void)
{
  g_autoptr (GPtrArray) branches = lines_of (saddle, 40, 0.0, 0.3);
  g_autoptr (GPtrArray) rings = lines_of (two_hills, 60, 0.0, 0.5);
  g_autoptr (GPtrArray) none = lines_of (cone, 30, 0.0, 99.0);
  g_autoptr (GPtrArray) nan_level = lines_of (cone, 30, 0.0, NAN);

  g_assert_cmpuint (branches->len, ==, 2); /* a hyperbola's two */
  g_assert_cmpuint (rings->len, ==, 2);
  g_assert_true (((LwIsoline *) g_ptr_array_index (rings, 0))->closed);
  g_assert_true (((LwIsoline *) g_ptr_array_index (rings, 1))->closed);
  g_assert_cmpuint (none->len, ==, 0);
  g_assert_cmpuint (nan_level->len, ==, 0);
}

static double
with_hole (double x, double y)
{
  return hypot (x - 6, y) < 2.5 ? NAN : hypot (x, y);
}

/* A hole cuts the ring open; nothing is drawn inside it. */
static void
test_hole (void)
{
  g_autoptr (GPtrArray) lines = lines_of (with_hole, 80, 0.0, 6.0);
  const LwIsoline *line = g_ptr_array_index (lines, 0);

  g_assert_cmpuint (lines->len, ==, 1);
  g_assert_false (line->closed);
  for (guint i = 0; i < line->points->len; i++) {
    LwPoint p = g_array_index (line->points, LwPoint, i);

    g_assert_cmpfloat (hypot (p.x_mm - 6, p.y_mm), >=, 2.2);
  }
}

/* Random fields, many saddles: every line end lies on the rim, every other point has two neighbours one
 * square away. */
static void
test_random (void)
{
  for (int seed = 1; seed <= 20; seed++) {
    GRand *rand = g_rand_new_with_seed (seed);
    double xs[12], ys[9];
    float values[12 * 9];
    GPtrArray *lines;

    for (int i = 0; i < 12; i++)
      xs[i] = i;
    for (int i = 0; i < 9; i++)
      ys[i] = i;
    for (int i = 0; i < 12 * 9; i++)
      values[i] = (float) g_rand_double (rand);
    lines = lw_isolines (xs, 12, ys, 9, values, 0.5);
    for (guint k = 0; k < lines->len; k++) {
      const LwIsoline *line = g_ptr_array_index (lines, k);
      guint n = line->points->len;

      for (guint i = 0; i + 1 < n + line->closed; i++) {
        LwPoint a = g_array_index (line->points, LwPoint, i), b = g_array_index (line->points, LwPoint, (i + 1) % n);

        g_assert_cmpfloat (MAX (fabs (a.x_mm - b.x_mm), fabs (a.y_mm - b.y_mm)), <=, 1.0);
      }
      for (guint end = 0; end < 2 && !line->closed; end++) {
        LwPoint p = g_array_index (line->points, LwPoint, end ? n - 1 : 0);

        g_assert_true (p.x_mm == 0 || p.x_mm == 11 || p.y_mm == 0 || p.y_mm == 8);
      }
    }
    g_ptr_array_unref (lines);
    g_rand_free (rand);
  }
}

/* A saddle whose mean, 0.5, is above the level: the high corners are joined, each low one is cut off by a line of its own. */
static void
test_saddle (void)
{
  const double at[2] = { 0.0, 10.0 };
  const float values[4] = { 1.0f, 0.0f, 0.0f, 1.0f };
  g_autoptr (GPtrArray) lines = lw_isolines (at, 2, at, 2, values, 0.4);

  g_assert_cmpuint (lines->len, ==, 2);
  for (guint k = 0; k < 2; k++) {
    const LwIsoline *line = g_ptr_array_index (lines, k);
    const LwPoint *a = &g_array_index (line->points, LwPoint, 0), *b = &g_array_index (line->points, LwPoint, 1);
    double x = a->x_mm + b->x_mm > 10.0 ? 10.0 : 0.0;

    g_assert_cmpuint (line->points->len, ==, 2);
    g_assert_cmpfloat_with_epsilon (hypot (a->x_mm - x, a->y_mm - (10.0 - x)), 4.0, 1e-6);
    g_assert_cmpfloat_with_epsilon (hypot (b->x_mm - x, b->y_mm - (10.0 - x)), 4.0, 1e-6);
  }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/draw/isolines/circle", test_circle);
  g_test_add_func ("/draw/isolines/circle-figures", test_circle_figures);
  g_test_add_func ("/draw/isolines/straight", test_straight);
  g_test_add_func ("/draw/isolines/topology", test_topology);
  g_test_add_func ("/draw/isolines/hole", test_hole);
  g_test_add_func ("/draw/isolines/saddle", test_saddle);
  g_test_add_func ("/draw/isolines/random", test_random);
  return g_test_run ();
}
