/* Outlines of IDF boards: units, arcs, circles, labels, winding, gaps, pieces. Areas and boxes are exact
 * geometry. */
#include <math.h>

#include "idf-text.h"

#define OUTLINE(points) ".BOARD_OUTLINE ECAD\n1.6\n" points ".END_BOARD_OUTLINE\n"

static const LwLoop *
loop_at (const LwImport *import, guint i)
{
  g_assert_cmpuint (i, <, import->job->board->outline->len);
  return import->job->board->outline->pdata[i];
}

static void
assert_box (const LwLoop *loop, double x0, double y0, double x1, double y1)
{
  LwBox box = lw_loop_box (loop);

  g_assert_cmpfloat_with_epsilon (box.x0_mm, x0, 1e-9);
  g_assert_cmpfloat_with_epsilon (box.y0_mm, y0, 1e-9);
  g_assert_cmpfloat_with_epsilon (box.x1_mm, x1, 1e-9);
  g_assert_cmpfloat_with_epsilon (box.y1_mm, y1, 1e-9);
}

static void
test_units (void)
{
  /* 1 thou = 0.0254 mm, 1 TNM = 10 nm. */
  g_autoptr (LwImport) thou = read_good (
    HEAD3 ("THOU") OUTLINE ("0 0 0 0\n0 2000 0 0\n0 2000 1000 0\n0 0 1000 0\n0 0 0 0\n") PLACE (""),
    NULL);
  g_autoptr (LwImport) tnm = read_good (HEAD2 ("TNM") ".BOARD_OUTLINE\n160000\n0 0 0 0\n0 5000000 0 "
                                                      "0\n0 5000000 4000000 0\n0 0 4000000 0\n0 0 0 0\n"
                                                      ".END_BOARD_OUTLINE\n" PLACE (""),
                                        NULL);

  assert_box (loop_at (thou, 0), 0, 0, 50.8, 25.4);
  g_assert_cmpfloat_with_epsilon (thou->job->board->thickness_mm, 1.6 * 0.0254, 1e-12);
  g_assert_true (warns (thou, 6, "unusual"));
  assert_box (loop_at (tnm, 0), 0, 0, 50, 40);
  g_assert_cmpfloat_with_epsilon (tnm->job->board->thickness_mm, 1.6, 1e-12);
  g_assert_cmpstr (tnm->format, ==, "IDF 2.0");
}

/* A stadium: two half circles of radius 10 on a 30 x 20 rectangle. */
static void
test_arcs (void)
{
  g_autoptr (LwImport) import = read_good (
    HEAD3 ("MM") OUTLINE ("0 0 0 0\n0 30 0 0\n0 30 20 180\n0 0 20 0\n0 0 0 180\n") PLACE (""), NULL);
  /* The same with a bay in place of the right bulge. */
  g_autoptr (LwImport) bay = read_good (
    HEAD3 ("MM") OUTLINE ("0 0 0 0\n0 30 0 0\n0 30 20 -180\n0 0 20 0\n0 0 0 180\n") PLACE (""), NULL);

  g_assert_cmpfloat_with_epsilon (lw_loop_area (loop_at (import, 0)), 600 + G_PI * 100, 1e-6);
  assert_box (loop_at (import, 0), -10, 0, 40, 20);
  g_assert_cmpfloat_with_epsilon (lw_loop_area (loop_at (bay, 0)), 600, 1e-6);
  assert_box (loop_at (bay, 0), -10, 0, 30, 20);
}

/* An arc of 270 degrees: three quarters of a disc of radius 10 and the triangle to its centre. */
static void
test_long_arc (void)
{
  g_autoptr (LwImport) import = read_good (
    HEAD3 ("MM") OUTLINE ("0 0 0 0\n0 10 0 0\n0 0 -10 270\n0 0 0 0\n") PLACE (""), NULL);

  g_assert_cmpfloat_with_epsilon (fabs (lw_loop_area (loop_at (import, 0))), 0.75 * G_PI * 100, 1e-6);
  assert_box (loop_at (import, 0), -10, -10, 10, 10);
}

static void
test_circles (void)
{
  g_autoptr (LwImport) import = read_good (
    HEAD3 ("MM") OUTLINE ("0 20 20 0\n0 40 20 360\n1 20 20 0\n1 20 25 -360\n") PLACE (""), NULL);

  g_assert_cmpuint (import->job->board->outline->len, ==, 2);
  assert_box (loop_at (import, 0), 0, 0, 40, 40);
  g_assert_cmpfloat_with_epsilon (lw_loop_area (loop_at (import, 0)), G_PI * 400, 1e-6);
  g_assert_cmpfloat_with_epsilon (lw_loop_area (loop_at (import, 1)), -G_PI * 25, 1e-6);
}

/* One label for two cut-outs, wrong winding of both, and an edge that runs clockwise. */
static void
test_same_label_and_winding (void)
{
  g_autoptr (LwImport) import = read_good (
    HEAD3 ("MM") OUTLINE ("0 0 0 0\n0 0 40 0\n0 50 40 0\n0 50 0 0\n0 0 0 0\n"
                          "1 5 5 0\n1 10 5 0\n1 10 10 0\n1 5 10 0\n1 5 5 0\n"
                          "1 20 5 0\n1 25 5 0\n1 25 10 0\n1 20 5 0\n")
      PLACE (""),
    NULL);

  g_assert_cmpuint (import->warnings->len, ==, 0);
  g_assert_cmpuint (import->job->board->outline->len, ==, 3);
  g_assert_cmpfloat_with_epsilon (lw_loop_area (loop_at (import, 0)), 2000, 1e-9);
  g_assert_cmpfloat_with_epsilon (lw_loop_area (loop_at (import, 1)), -25, 1e-9);
  g_assert_cmpfloat_with_epsilon (lw_loop_area (loop_at (import, 2)), -12.5, 1e-9);
}

/* Turning a loop round keeps each arc on its own edge. */
static void
test_winding_keeps_arcs (void)
{
  g_autoptr (LwImport) import = read_good (
    HEAD3 ("MM") OUTLINE ("0 0 0 0\n0 0 20 -180\n0 30 20 0\n0 30 0 0\n0 0 0 0\n") PLACE (""), NULL);

  g_assert_cmpfloat_with_epsilon (lw_loop_area (loop_at (import, 0)), 600 + G_PI * 50, 1e-6);
  assert_box (loop_at (import, 0), -10, 0, 30, 20);
}

static void
test_gap_is_closed (void)
{
  g_autoptr (LwImport) import = read_good (
    HEAD3 ("MM") OUTLINE ("0 0 0 0\n0 50 0 0\n0 50 40 0\n0 0 40 0\n") PLACE (""), NULL);

  g_assert_true (warns (import, 7, "not closed"));
  g_assert_cmpfloat_with_epsilon (lw_loop_area (loop_at (import, 0)), 2000, 1e-9);
}

static void
test_largest_loop_is_the_edge (void)
{
  g_autoptr (LwImport) import = read_good (
    HEAD3 ("MM") OUTLINE ("0 5 5 0\n0 10 5 0\n0 10 10 0\n0 5 10 0\n0 5 5 0\n"
                          "1 0 0 0\n1 50 0 0\n1 50 40 0\n1 0 40 0\n1 0 0 0\n")
      PLACE (""),
    NULL);

  g_assert_true (warns (import, 12, "largest"));
  assert_box (loop_at (import, 0), 0, 0, 50, 40);
  g_assert_cmpfloat_with_epsilon (lw_loop_area (loop_at (import, 1)), -25, 1e-9);
}

/* Two halves of a board: what is used is their common box. */
static void
test_pieces (void)
{
  g_autoptr (LwImport) import = read_good (
    HEAD3 ("MM") OUTLINE (
      "0 0 0 0\n0 10 0 0\n0 10 40 0\n0 0 0 0\n1 40 0 0\n1 50 0 0\n1 50 40 0\n1 40 0 0\n"
      "2 20 0 0\n2 22 0 0\n2 22 1 0\n2 20 0 0\n")
      PLACE (
        "a b U1\n25 20 0 0 TOP PLACED\na b U2\n5 20 0 0 TOP PLACED\na b U3\n41 20 0 0 BOTTOM PLACED\n"),
    NULL);

  g_assert_true (import->job->board->outline_assumed);
  g_assert_true (warns (import, 5, "broken"));
  g_assert_true (warns (import, 7, "left out"));
  g_assert_true (warns (import, 11, "left out"));
  g_assert_cmpuint (import->job->parts->len, ==, 3);
  assert_box (loop_at (import, 0), 0, 0, 50, 40);
}

static void
test_outline_beside_the_parts (void)
{
  g_autoptr (LwImport) import = read_good (
    HEAD3 ("MM") OUTLINE ("0 0 100 0\n0 50 100 0\n0 50 105 0\n0 0 105 0\n0 0 100 0\n")
      PLACE ("a b U1\n0 0 0 0 TOP PLACED\na b U2\n50 40 0 0 TOP PLACED\n"),
    LIBRARY (ENTRY ("a", "b")));

  g_assert_true (warns (import, 5, "100 %"));
  /* Bodies reach from 0, 0 to 54, 42. */
  assert_box (loop_at (import, 0), -2, -2, 56, 44);
}

/* The outline keeps y down, the parts have y up: it is mirrored back, arcs and cut-out too. */
static void
test_outline_mirrored_in_y (void)
{
  g_autoptr (LwImport) import = read_good (
    HEAD3 ("MM")
      OUTLINE ("0 0 10 0\n0 50 10 0\n0 50 50 90\n0 0 50 0\n0 0 10 0\n1 30 40 0\n1 33 40 360\n")
        PLACE ("a b U1\n10 -20 0 0 TOP PLACED\na b U2\n40 -40 0 0 TOP PLACED\n"),
    LIBRARY (ENTRY ("a", "b")));

  g_assert_true (warns (import, 5, "mirrored"));
  g_assert_true (import->job->board->outline_assumed);
  /* The quarter arc over a side of 40 bulges by 20 (sqrt 2 - 1). */
  assert_box (loop_at (import, 0), 0, -50, 50 + 20 * (G_SQRT2 - 1), -10);
  g_assert_cmpfloat (lw_loop_area (loop_at (import, 0)), >, 0);
  assert_box (loop_at (import, 1), 27, -43, 33, -37);
  g_assert_cmpfloat_with_epsilon (lw_loop_area (loop_at (import, 1)), -9 * G_PI, 1e-9);
  g_assert_true (part_at (import, 0)->placed);
}

static void
test_no_outline (void)
{
  g_autoptr (LwImport) import =
    read_good (HEAD3 ("MM") PLACE ("a b U1\n0 0 0 0 TOP PLACED\na b U2\n50 40 0 0 TOP PLACED\n"),
               LIBRARY (ENTRY ("a", "b")));

  g_assert_true (import->job->board->outline_assumed);
  g_assert_true (warns (import, 0, "no board outline"));
  g_assert_false (import->job->board->thickness_known);
}

/* A cut-out over the edge cannot be kept in a document. */
static void
test_cut_out_over_the_edge (void)
{
  g_autoptr (LwImport) import = read_good (
    HEAD3 ("MM") OUTLINE ("0 0 0 0\n0 50 0 0\n0 50 40 0\n0 0 40 0\n0 0 0 0\n"
                          "1 45 5 0\n1 45 10 0\n1 51 10 0\n1 51 5 0\n1 45 5 0\n"
                          "2 5 5 0\n2 5 10 0\n2 10 10 0\n2 10 5 0\n2 5 5 0\n")
      PLACE (""),
    NULL);

  g_assert_true (warns (import, 12, "left out"));
  g_assert_cmpuint (import->job->board->outline->len, ==, 2);
  g_assert_cmpfloat_with_epsilon (lw_loop_area (loop_at (import, 1)), -25, 1e-9);
}

static void
test_loops_without_area (void)
{
  g_autoptr (LwImport) import = read_good (
    HEAD3 ("MM")
      OUTLINE ("0 0 0 0\n0 50 0 0\n0 50 0 90\n0 50 40 0\n0 0 40 0\n0 0 0 0\n1 5 5 0\n1 6 6 0\n1 5 5 0\n")
        PLACE (""),
    NULL);

  g_assert_true (warns (import, 9, "no length"));
  g_assert_true (warns (import, 13, "encloses nothing"));
  g_assert_cmpuint (import->job->board->outline->len, ==, 1);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/idf/outline/units", test_units);
  g_test_add_func ("/idf/outline/arcs", test_arcs);
  g_test_add_func ("/idf/outline/long-arc", test_long_arc);
  g_test_add_func ("/idf/outline/circles", test_circles);
  g_test_add_func ("/idf/outline/same-label-and-winding", test_same_label_and_winding);
  g_test_add_func ("/idf/outline/winding-keeps-arcs", test_winding_keeps_arcs);
  g_test_add_func ("/idf/outline/gap", test_gap_is_closed);
  g_test_add_func ("/idf/outline/largest-loop", test_largest_loop_is_the_edge);
  g_test_add_func ("/idf/outline/pieces", test_pieces);
  g_test_add_func ("/idf/outline/beside-the-parts", test_outline_beside_the_parts);
  g_test_add_func ("/idf/outline/mirrored-in-y", test_outline_mirrored_in_y);
  g_test_add_func ("/idf/outline/none", test_no_outline);
  g_test_add_func ("/idf/outline/cut-out-over-the-edge", test_cut_out_over_the_edge);
  g_test_add_func ("/idf/outline/without-area", test_loops_without_area);
  return g_test_run ();
}
