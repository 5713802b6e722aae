/* Radiation and view factors: published formulas with independently computed figures (Howell's catalogue;
 * Ehlert and Smith 1993; Incropera chapter 13), and quadrature done here. */
#include "heat/films.h"

#include <glib.h>
#include <math.h>

#define assert_near(value, expected, tolerance) g_assert_cmpfloat_with_epsilon (value, expected, tolerance)

/* From one rectangle {x0, x1, y0, y1} to a parallel one: the mean of the element's factor over the first, midpoint rule. */
static double
mean_view (const double from[4], const double to[4], double gap)
{
  enum { N = 400 };
  double sum = 0;
  for (int i = 0; i < N; i++)
    for (int j = 0; j < N; j++)
      sum += heat_view_element (from[0] + (from[1] - from[0]) * (i + 0.5) / N,
                                from[2] + (from[3] - from[2]) * (j + 0.5) / N, to, gap);
  return sum / (N * N);
}

/* Equal rectangles: Howell C-11. */
static void
test_parallel (void)
{
  static const double rows[][3] = { { 1, 1, 0.199825 }, { 2, 2, 0.415253 },   { 1, 2, 0.285875 },  { 0.5, 0.5, 0.068590 },
                                    { 5, 5, 0.690245 }, { 10, 10, 0.826995 }, { 4, 3, 0.587616 } };
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++) {
    const double r[] = { 0, rows[i][0] * 0.03, 0, rows[i][1] * 0.03 };
    assert_near (mean_view (r, r, 0.03), rows[i][2], 1e-5);
  }
}

/* Rectangles of other sizes and places: Ehlert and Smith. */
static void
test_rectangles (void)
{
  const double heater[] = { -0.15, 0.15, -0.1, 0.1 };
  assert_near (mean_view (heater, heater, 0.04), 0.732077, 1e-5);
  const double small[] = { -0.05, 0.05, -0.05, 0.05 }, large[] = { -0.1, 0.1, -0.1, 0.1 };
  assert_near (mean_view (small, large, 0.05), 0.794453, 1e-5);
  assert_near (mean_view (large, small, 0.05), 0.198613, 1e-5);
  const double part[] = { 0.105, 0.145, 0.055, 0.095 }, board[] = { 0, 0.25, 0, 0.15 };
  assert_near (mean_view (part, board, 0.03), 0.911774, 1e-5);
}

/* The element factor itself: integral of cos cos / (pi r^2), midpoint rule. */
static void
test_element_by_quadrature (void)
{
  const double r[] = { -0.03, 0.05, 0.01, 0.06 }, x = 0.01, y = -0.005, gap = 0.02;
  enum { N = 400 };
  double sum = 0, area = (r[1] - r[0]) * (r[3] - r[2]) / (N * N);
  for (int i = 0; i < N; i++)
    for (int j = 0; j < N; j++) {
      double dx = r[0] + (r[1] - r[0]) * (i + 0.5) / N - x, dy = r[2] + (r[3] - r[2]) * (j + 0.5) / N - y;
      double d2 = dx * dx + dy * dy + gap * gap;
      sum += gap * gap / (G_PI * d2 * d2) * area;
    }
  assert_near (heat_view_element (x, y, r, gap), sum, 1e-6);
  const double all[] = { -100, 100, -100, 100 };
  assert_near (heat_view_element (0, 0, all, 0.001), 1, 1e-6);
}

/* Equal plates of 300 x 200 mm 40 mm apart, both of 0.9, 400 C and 150 C: 371.17 W, 6186.2 W/m2. */
static void
test_grey_plates (void)
{
  const double f = 0.732077; /* Howell C-11, as above */
  double flux = 5.670374419e-8 * heat_grey_pair (0.9, 0.9, f) * (pow (400 + 273.15, 4) - pow (150 + 273.15, 4));
  assert_near (flux, 6186.2, 0.1);
  assert_near (flux * 0.06, 371.17, 0.01);
  assert_near (heat_grey_pair (0.9, 0.9, 1), 0.9 / 1.1, 1e-12);
  assert_near (heat_grey_pair (1, 1, 0.3), 0.3, 1e-12);
  g_assert_cmpfloat (heat_grey_pair (0, 0.9, 1), ==, 0);
  g_assert_cmpfloat (heat_grey_pair (0.9, 0.9, 0), ==, 0);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/radiation/view/parallel", test_parallel);
  g_test_add_func ("/radiation/view/rectangles", test_rectangles);
  g_test_add_func ("/radiation/view/element-by-quadrature", test_element_by_quadrature);
  g_test_add_func ("/radiation/grey-plates", test_grey_plates);
  return g_test_run ();
}
