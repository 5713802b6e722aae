/* Radiation and view factors: published formulas with independently computed figures (Howell's catalogue;
 * Ehlert and Smith 1993; Incropera chapter 13), and quadrature done here. */
#include "heat/films.h"

#include <glib.h>
#include <math.h>

#define assert_near(value, expected, tolerance) g_assert_cmpfloat_with_epsilon (value, expected, tolerance)

static void
test_parallel (void)
{
  static const double rows[][3] = { { 1, 1, 0.199825 }, { 2, 2, 0.415253 },   { 1, 2, 0.285875 },  { 0.5, 0.5, 0.068590 },
                                    { 5, 5, 0.690245 }, { 10, 10, 0.826995 }, { 4, 3, 0.587616 } };
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++) {
    assert_near (heat_view_parallel (rows[i][0], rows[i][1], 1), rows[i][2], 1e-6);
    assert_near (heat_view_parallel (rows[i][1] * 0.03, rows[i][0] * 0.03, 0.03), rows[i][2], 1e-6);
  }
}

static void
test_perpendicular (void)
{
  /* H (other), W (emitter) over the common edge. */
  static const double rows[][3] = { { 1, 1, 0.200044 },   { 2, 1, 0.232853 }, { 0.5, 1, 0.146187 }, { 1, 2, 0.116426 },
                                    { 0.2, 1, 0.077439 }, { 2, 2, 0.149300 }, { 0.4, 2, 0.067568 } };
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    assert_near (heat_view_perpendicular (0.1, rows[i][1] * 0.1, rows[i][0] * 0.1), rows[i][2], 1e-6);
}

static void
test_rectangles (void)
{
  const double heater[] = { -0.15, 0.15, -0.1, 0.1 };
  assert_near (heat_view_rectangles (heater, heater, 0.04), 0.732077, 1e-6);
  const double small[] = { -0.05, 0.05, -0.05, 0.05 }, large[] = { -0.1, 0.1, -0.1, 0.1 };
  assert_near (heat_view_rectangles (small, large, 0.05), 0.794453, 1e-6);
  assert_near (heat_view_rectangles (large, small, 0.05), 0.198613, 1e-6);
  const double part[] = { 0.105, 0.145, 0.055, 0.095 }, board[] = { 0, 0.25, 0, 0.15 };
  assert_near (heat_view_rectangles (part, board, 0.03), 0.911774, 1e-6);
}

/* Eccentric rectangles: the mean of the element factor over the first, midpoint rule. */
static void
test_rectangles_by_elements (void)
{
  const double from[] = { 0.01, 0.05, -0.02, 0.03 }, to[] = { 0.04, 0.13, 0.0, 0.09 };
  double sum = 0;
  enum { N = 60 };
  for (int i = 0; i < N; i++)
    for (int j = 0; j < N; j++)
      sum += heat_view_element (from[0] + (from[1] - from[0]) * (i + 0.5) / N,
                                from[2] + (from[3] - from[2]) * (j + 0.5) / N, to, 0.025);
  assert_near (heat_view_rectangles (from, to, 0.025), sum / (N * N), 2e-6);
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

static void
test_walls (void)
{
  assert_near (heat_view_element_wall (1, 1, 1), 0.055734, 1e-6);
  assert_near (heat_view_element_wall (10, 20, 5), 0.135488, 1e-6);
  assert_near (heat_view_element_wall (12, 10, 3), 0.177370, 1e-6);
  assert_near (heat_view_long_wall (5, 5), 0.146447, 1e-6);
  assert_near (heat_view_long_wall (12, 3), 0.378732, 1e-6);
  assert_near (heat_view_long_wall (5, 10), 0.052786, 1e-6);
  /* Two quarter walls far to either side make the long wall. */
  assert_near (2 * heat_view_element_wall (12, 1e5, 3), heat_view_long_wall (12, 3), 1e-7);
}

/* Equal plates of 300 x 200 mm 40 mm apart, both of 0.9, 400 C and 150 C: 371.17 W, 6186.2 W/m2. */
static void
test_grey_plates (void)
{
  double f = heat_view_parallel (0.3, 0.2, 0.04);
  double flux = heat_radiation_film (heat_grey_pair (0.9, 0.9, f), 400, 150) * 250;
  assert_near (flux, 6186.2, 0.1);
  assert_near (flux * 0.06, 371.17, 0.01);
  assert_near (heat_grey_pair (0.9, 0.9, 1), 0.9 / 1.1, 1e-12);
  assert_near (heat_grey_pair (1, 1, 0.3), 0.3, 1e-12);
  g_assert_cmpfloat (heat_grey_pair (0, 0.9, 1), ==, 0);
  g_assert_cmpfloat (heat_grey_pair (0.9, 0.9, 0), ==, 0);
}

static void
test_linearised (void)
{
  assert_near (heat_radiation_film (0.9, 150, 25), 9.8633, 5.1e-5);
  assert_near (heat_radiation_film (0.9, 250, 25), 15.197, 5.1e-4);
  assert_near (heat_radiation_film (1, 100, 25), 8.684, 5.1e-4);
  assert_near (heat_radiation_film (0.9, 217, 150), 19.543, 5.1e-4);
  g_assert_cmpfloat (heat_radiation_film (0.9, 25, 150), ==, heat_radiation_film (0.9, 150, 25));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/radiation/view/parallel", test_parallel);
  g_test_add_func ("/radiation/view/perpendicular", test_perpendicular);
  g_test_add_func ("/radiation/view/rectangles", test_rectangles);
  g_test_add_func ("/radiation/view/rectangles-by-elements", test_rectangles_by_elements);
  g_test_add_func ("/radiation/view/element-by-quadrature", test_element_by_quadrature);
  g_test_add_func ("/radiation/view/walls", test_walls);
  g_test_add_func ("/radiation/grey-plates", test_grey_plates);
  g_test_add_func ("/radiation/linearised", test_linearised);
  return g_test_run ();
}
