/* Loops against closed forms (Euclidean geometry) and against a slow, obvious check. */
#include <math.h>

#include "board/geometry.h"
#include "board/inside.h"

static LwLoop *
rounded_rectangle (double w, double h, double r)
{
  LwLoop *loop = lw_loop_new ();

  lw_loop_add (loop, r, 0, 90);
  lw_loop_add (loop, w - r, 0, 0);
  lw_loop_add (loop, w, r, 90);
  lw_loop_add (loop, w, h - r, 0);
  lw_loop_add (loop, w - r, h, 90);
  lw_loop_add (loop, r, h, 0);
  lw_loop_add (loop, 0, h - r, 90);
  lw_loop_add (loop, 0, r, 0);
  return loop;
}

static void
test_rectangle (void)
{
  g_autoptr (LwLoop) loop = lw_loop_new_rectangle (1, 2, 11, 7);
  LwBox box = lw_loop_box (loop);
  g_autoptr (GArray) flat = lw_loop_flatten (loop, 0.01);

  g_assert_cmpfloat (lw_loop_area (loop), ==, 50.0);
  g_assert_cmpfloat (box.x0_mm, ==, 1.0);
  g_assert_cmpfloat (box.y1_mm, ==, 7.0);
  g_assert_cmpuint (flat->len, ==, 4);
  g_assert_true (lw_loop_contains (loop, 5, 5));
  g_assert_false (lw_loop_contains (loop, 0.9, 5));
  g_assert_false (lw_loop_crosses_itself (loop, NULL, NULL));
}

/* Area pi r2, box 2r, whatever the number of arcs. */
static void
test_circle (void)
{
  g_autoptr (LwLoop) circle = lw_loop_new_circle (100, -50, 12.5);
  LwBox box = lw_loop_box (circle);

  g_assert_cmpfloat_with_epsilon (lw_loop_area (circle), G_PI * 12.5 * 12.5, 1e-9);
  g_assert_cmpfloat_with_epsilon (box.x0_mm, 87.5, 1e-12);
  g_assert_cmpfloat_with_epsilon (box.x1_mm, 112.5, 1e-12);
  g_assert_cmpfloat_with_epsilon (box.y0_mm, -62.5, 1e-12);
  g_assert_cmpfloat_with_epsilon (box.y1_mm, -37.5, 1e-12);
  for (int i = 0; i < 360; i++)
    {
      double a = (i + 0.37) * G_PI / 180;
      g_assert_true (lw_loop_contains (circle, 100 + 12.4999 * cos (a), -50 + 12.4999 * sin (a)));
      g_assert_false (lw_loop_contains (circle, 100 + 12.5001 * cos (a), -50 + 12.5001 * sin (a)));
    }
  g_assert_false (lw_loop_crosses_itself (circle, NULL, NULL));
}

/* A chord 2 r sin(t/2) with an arc of t on one side: a circular segment of r2/2 (t - sin t), either way round
 * and beyond a half circle. */
static void
test_segments (void)
{
  static const double arcs[] = { 10, 90, 180, 270, 350 };

  for (guint i = 0; i < G_N_ELEMENTS (arcs); i++)
    for (int way = -1; way <= 1; way += 2)
      {
        g_autoptr (LwLoop) loop = lw_loop_new ();
        double t = arcs[i] * G_PI / 180, r = 8, half = r * sin (t / 2);

        lw_loop_add (loop, -half, 0, way * arcs[i]); /* from (half, 0) back over the arc */
        lw_loop_add (loop, half, 0, 0);
        g_assert_cmpfloat_with_epsilon (lw_loop_area (loop), way * r * r / 2 * (t - sin (t)), 1e-9);
        LwBox box = lw_loop_box (loop);
        double top = way > 0 ? r - r * cos (t / 2) : 0; /* counter-clockwise from right to left: over the top */
        double low = way > 0 ? 0 : -(r - r * cos (t / 2));
        double wide = arcs[i] > 180 ? r : half;
        g_assert_cmpfloat_with_epsilon (box.y1_mm, top, 1e-9);
        g_assert_cmpfloat_with_epsilon (box.y0_mm, low, 1e-9);
        g_assert_cmpfloat_with_epsilon (box.x1_mm, wide, 1e-9);
        g_assert_cmpfloat_with_epsilon (box.x0_mm, -wide, 1e-9);
      }
}

/* w h - (4 - pi) r2 */
static void
test_rounded (void)
{
  g_autoptr (LwLoop) loop = rounded_rectangle (160, 100, 4);

  g_assert_cmpfloat_with_epsilon (lw_loop_area (loop), 16000 - (4 - G_PI) * 16, 1e-9);
  g_assert_false (lw_loop_contains (loop, 0.5, 0.5));
  g_assert_true (lw_loop_contains (loop, 1.5, 1.5));
  g_assert_false (lw_loop_crosses_itself (loop, NULL, NULL));
}

static void
test_flatten (void)
{
  static const double tolerances[] = { 0.1, 0.01, 0.001 };
  g_autoptr (LwLoop) loop = lw_loop_new_circle (0, 0, 30);

  for (guint i = 0; i < G_N_ELEMENTS (tolerances); i++)
    {
      g_autoptr (GArray) p = lw_loop_flatten (loop, tolerances[i]);
      double worst = 0;

      for (guint k = 0; k < p->len; k++)
        {
          LwPoint a = g_array_index (p, LwPoint, k), b = g_array_index (p, LwPoint, (k + 1) % p->len);

          g_assert_cmpfloat_with_epsilon (hypot (a.x_mm, a.y_mm), 30, 1e-9);
          worst = MAX (worst, 30 - hypot ((a.x_mm + b.x_mm) / 2, (a.y_mm + b.y_mm) / 2));
        }
      g_assert_cmpfloat (worst, <=, tolerances[i] * (1 + 1e-9));
      g_assert_cmpfloat (worst, >, tolerances[i] / 4); /* and no finer than needed */
    }
}

/* The exact inside test, the polygon's and the strips' agree away from the edge. */
static void
test_inside_agree (void)
{
  g_autoptr (LwLoop) edge = rounded_rectangle (80, 50, 12);
  g_autoptr (GPtrArray) loops = g_ptr_array_new_with_free_func ((GDestroyNotify) lw_loop_unref);
  g_ptr_array_add (loops, lw_loop_ref (edge));
  g_ptr_array_add (loops, lw_loop_new_circle (40, 25, 9));
  g_autoptr (LwInside) inside = lw_inside_new (loops);
  g_autoptr (GArray) flat = lw_loop_flatten (edge, 0.001);
  g_autoptr (GRand) random = g_rand_new_with_seed (3);
  guint in = 0;

  for (int i = 0; i < 20000; i++)
    {
      double x = g_rand_double_range (random, -5, 85), y = g_rand_double_range (random, -5, 55);
      double from_hole = hypot (x - 40, y - 25) - 9;
      gboolean exact = lw_loop_contains (edge, x, y);

      if (lw_polygon_contains (flat, x, y) != exact)
        {
          double cx = CLAMP (x, 12, 68), cy = CLAMP (y, 12, 38);
          g_assert_cmpfloat_with_epsilon (hypot (x - cx, y - cy), 12, 0.002);
        }
      if (fabs (from_hole) > 0.01 && lw_polygon_contains (flat, x, y) == exact)
        g_assert_cmpint (lw_inside_holds (inside, x, y), ==, exact && from_hole > 0);
      in += exact;
    }
  /* Share of the area by counting: binomial, four standard deviations. */
  double share = lw_loop_area (edge) / (90.0 * 60.0);
  g_assert_cmpfloat_with_epsilon (in / 20000.0, share, 4 * sqrt (share * (1 - share) / 20000));
}

/* ---- crossing ---- */

static LwLoop *
polygon (const double (*xy)[2], guint n)
{
  LwLoop *loop = lw_loop_new ();

  for (guint i = 0; i < n; i++)
    lw_loop_add (loop, xy[i][0], xy[i][1], 0);
  return loop;
}

static void
test_crossing_cases (void)
{
  static const double bow[][2] = { { 0, 0 }, { 10, 10 }, { 10, 0 }, { 0, 10 } };
  static const double touch[][2] = { { 0, 0 }, { 10, 0 }, { 10, 10 }, { 5, 0 }, { 0, 10 } };
  static const double spike[][2] = { { 0, 0 }, { 10, 0 }, { 20, 0 }, { 10, 0 }, { 10, 10 } };
  static const double collinear[][2] = { { 0, 0 }, { 5, 0 }, { 10, 0 }, { 10, 10 }, { 0, 10 } };
  static const double repeated[][2] = { { 0, 0 }, { 10, 0 }, { 10, 0 }, { 10, 10 }, { 0, 10 }, { 0, 0 } };
  g_autoptr (LwLoop) a = polygon (bow, 4);
  g_autoptr (LwLoop) b = polygon (touch, 5);
  g_autoptr (LwLoop) c = polygon (spike, 5);
  g_autoptr (LwLoop) d = polygon (collinear, 5);
  g_autoptr (LwLoop) e = polygon (repeated, 6);
  g_autoptr (LwLoop) f = lw_loop_new ();
  guint first, second;

  g_assert_true (lw_loop_crosses_itself (a, &first, &second));
  g_assert_cmpuint (first, ==, 1);
  g_assert_cmpuint (second, ==, 3);
  g_assert_true (lw_loop_crosses_itself (b, NULL, NULL));
  g_assert_true (lw_loop_crosses_itself (c, NULL, NULL));
  g_assert_false (lw_loop_crosses_itself (d, NULL, NULL));
  g_assert_false (lw_loop_crosses_itself (e, NULL, NULL));
  /* An arc that bulges through the opposite side. */
  lw_loop_add (f, 0, 0, 0);
  lw_loop_add (f, 10, 0, -170);
  lw_loop_add (f, 10, 3, 0);
  lw_loop_add (f, 0, 3, 0);
  g_assert_true (lw_loop_crosses_itself (f, &first, &second));
  g_assert_cmpuint (first, ==, 1);
  g_assert_cmpuint (second, ==, 3);
}

static int
side_of (LwVertex a, LwVertex b, LwVertex p)
{
  double cross = (b.x_mm - a.x_mm) * (p.y_mm - a.y_mm) - (b.y_mm - a.y_mm) * (p.x_mm - a.x_mm);
  return (cross > 0) - (cross < 0);
}

/* Every pair of edges without a common corner, by signs. */
static gboolean
slow_crossing (const LwLoop *loop)
{
  guint n = loop->corners->len;
  const LwVertex *v = (const LwVertex *) (void *) loop->corners->data;

  for (guint i = 0; i < n; i++)
    for (guint k = i + 2; k < n; k++)
      {
        LwVertex a = v[i], b = v[(i + 1) % n], c = v[k], d = v[(k + 1) % n];

        if ((k + 1) % n != i && side_of (a, b, c) != side_of (a, b, d) && side_of (c, d, a) != side_of (c, d, b))
          return TRUE;
      }
  return FALSE;
}

static void
test_crossing_random (void)
{
  g_autoptr (GRand) random = g_rand_new_with_seed (11);
  guint crossing = 0;

  for (int round = 0; round < 3000; round++)
    {
      g_autoptr (LwLoop) loop = lw_loop_new ();
      int n = g_rand_int_range (random, 4, 30);
      double spread = g_rand_double_range (random, 0, 3); /* of the angle, in steps: below 1 a star, never crossing */

      for (int i = 0; i < n; i++)
        {
          double a = 2 * G_PI * (i + spread * g_rand_double (random)) / n, r = g_rand_double_range (random, 5, 20);
          lw_loop_add (loop, r * cos (a), r * sin (a), 0);
        }
      gboolean expected = slow_crossing (loop);
      g_assert_cmpint (lw_loop_crosses_itself (loop, NULL, NULL), ==, expected);
      crossing += expected;
    }
  g_assert_cmpuint (crossing, >, 100); /* both answers were really tried */
  g_assert_cmpuint (crossing, <, 2900);
}

/* A comb of 100,000 corners with long teeth: sorted by one direction only it would take n2 steps. */
static void
test_crossing_large (void)
{
  g_autoptr (LwLoop) comb = lw_loop_new ();
  int teeth = 25000;

  lw_loop_add (comb, -10, 0, 0);
  for (int i = 0; i < teeth; i++)
    {
      lw_loop_add (comb, 300, i * 0.02, 0);
      lw_loop_add (comb, 300, i * 0.02 + 0.01, 0);
      lw_loop_add (comb, 0, i * 0.02 + 0.01, 0);
      lw_loop_add (comb, 0, i * 0.02 + 0.02, 0);
    }
  lw_loop_add (comb, -10, teeth * 0.02, 0);
  gint64 start = g_get_monotonic_time ();
  g_assert_false (lw_loop_crosses_itself (comb, NULL, NULL));
  double seconds = (g_get_monotonic_time () - start) * 1e-6;
  g_test_message ("%u corners: %.3f s", comb->corners->len, seconds);
  g_assert_cmpfloat (seconds, <, 20.0); /* n2 would take minutes */
  g_array_index (comb->corners, LwVertex, 50000).y_mm += 0.015;
  g_assert_true (lw_loop_crosses_itself (comb, NULL, NULL));
}

static void
test_loops_cross (void)
{
  g_autoptr (GPtrArray) loops = g_ptr_array_new_with_free_func ((GDestroyNotify) lw_loop_unref);
  guint a, b;

  g_ptr_array_add (loops, lw_loop_new_rectangle (0, 0, 100, 100));
  g_ptr_array_add (loops, lw_loop_new_circle (50, 50, 10));
  g_ptr_array_add (loops, lw_loop_new_circle (80, 50, 10));
  g_assert_false (lw_loops_cross (loops, NULL, NULL));
  g_ptr_array_add (loops, lw_loop_new_circle (65, 50, 6));
  g_assert_true (lw_loops_cross (loops, &a, &b));
  g_assert_cmpuint (b, ==, 3);
  g_ptr_array_set_size (loops, 3);
  g_ptr_array_add (loops, lw_loop_new_circle (98, 20, 2)); /* touches the edge */
  g_assert_true (lw_loops_cross (loops, &a, &b));
  g_assert_cmpuint (a, ==, 0);
  g_assert_cmpuint (b, ==, 3);
}

static void
test_angles (void)
{
  g_assert_cmpfloat (lw_angle_normalise (450), ==, 90);
  g_assert_cmpfloat (lw_angle_normalise (-90), ==, 270);
  g_assert_cmpfloat (lw_angle_normalise (-360), ==, 0);
  g_assert_cmpfloat (lw_angle_normalise (-1e-20), ==, 0);
  g_assert_cmpfloat (1.0 / lw_angle_normalise (-0.0), >, 0);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/board/geometry/rectangle", test_rectangle);
  g_test_add_func ("/board/geometry/circle", test_circle);
  g_test_add_func ("/board/geometry/segments", test_segments);
  g_test_add_func ("/board/geometry/rounded", test_rounded);
  g_test_add_func ("/board/geometry/flatten", test_flatten);
  g_test_add_func ("/board/geometry/inside-agree", test_inside_agree);
  g_test_add_func ("/board/geometry/crossing-cases", test_crossing_cases);
  g_test_add_func ("/board/geometry/crossing-random", test_crossing_random);
  g_test_add_func ("/board/geometry/crossing-large", test_crossing_large);
  g_test_add_func ("/board/geometry/loops-cross", test_loops_cross);
  g_test_add_func ("/board/geometry/angles", test_angles);
  return g_test_run ();
}
