/* Cover of cells by plotted shapes, against areas by plain geometry (closed forms: disc, ring, rectangle,
 * capsule, lens of two discs). */
#include <math.h>

#include "exchange/import.h"
#include "exchange/plot.h"

static const LwPlotGrid grid = { -10, -10, 0.5, 40, 40 };

static LwPoint
at (double x, double y)
{
  return (LwPoint) { x, y };
}

static void
rectangle (LwPlot *plot, gboolean dark, double x0, double y0, double x1, double y1)
{
  LwPoint corners[4] = { { x0, y0 }, { x1, y0 }, { x1, y1 }, { x0, y1 } };

  lw_plot_polygon (plot, dark, corners, 4);
}

static double
area_of (const LwPlot *plot, const LwPlot *board)
{
  g_autoptr (GError) error = NULL;
  double total;
  g_autofree double *cover = lw_plot_cover (plot, board, &grid, &total, NULL, &error);
  double sum = 0;

  g_assert_no_error (error);
  for (guint i = 0; i < grid.columns * grid.rows; i++)
    {
      g_assert_true (cover[i] >= 0 && cover[i] <= 1);
      sum += cover[i] * grid.cell_mm * grid.cell_mm;
    }
  if (board == NULL)
    g_assert_cmpfloat (fabs (sum - total), <, 1e-9);
  return total;
}

static void
near (double is, double wanted, double relative)
{
  g_test_message ("%.6f mm2, by geometry %.6f", is, wanted);
  g_assert_cmpfloat (fabs (is - wanted), <=, relative * wanted);
}

static void
test_discs (void)
{
  for (double r = 0.1; r < 9; r *= 1.7)
    {
      g_autoptr (LwPlot) plot = lw_plot_new ();

      lw_plot_capsule (plot, TRUE, at (0.123, -0.217), at (0.123, -0.217), r);
      /* The smallest is crossed by 13 lines only. */
      near (area_of (plot, NULL), G_PI * r * r, r < 0.15 ? 1.5e-2 : r < 0.3 ? 5e-3 : 1e-3);
    }
}

/* Square to the grid, wherever it lies, a rectangle is exact to the last digit, cell by cell. */
static void
test_rectangle_is_exact (void)
{
  g_autoptr (LwPlot) plot = lw_plot_new ();
  g_autoptr (GError) error = NULL;
  g_autofree double *cover = NULL;
  double total;

  rectangle (plot, TRUE, 0.2, 0.1, 1.3, 0.87);
  cover = lw_plot_cover (plot, NULL, &grid, &total, NULL, &error);
  g_assert_cmpfloat (fabs (total - 1.1 * 0.77), <, 1e-9);
  /* Cell (20, 20) spans 0..0.5: of it 0.3 x 0.4 is covered; (21, 20) 0.5 x 0.4; (22, 21) 0.3 x 0.37. */
  g_assert_cmpfloat (fabs (cover[20 * 40 + 20] - 0.3 * 0.4 / 0.25), <, 1e-9);
  g_assert_cmpfloat (fabs (cover[20 * 40 + 21] - 0.5 * 0.4 / 0.25), <, 1e-9);
  g_assert_cmpfloat (fabs (cover[21 * 40 + 22] - 0.3 * 0.37 / 0.25), <, 1e-9);
  g_assert_cmpfloat (cover[0], ==, 0);
}

static void
test_slanted (void)
{
  g_autoptr (LwPlot) plot = lw_plot_new ();
  LwPoint square[4];

  for (guint i = 0; i < 4; i++)
    square[i] = at (4 * cos (0.3 + i * G_PI / 2), 4 * sin (0.3 + i * G_PI / 2));
  lw_plot_polygon (plot, TRUE, square, 4);
  near (area_of (plot, NULL), 32, 1e-4);
}

static void
test_capsule (void)
{
  g_autoptr (LwPlot) plot = lw_plot_new ();

  lw_plot_capsule (plot, TRUE, at (-3, -2), at (3, 6), 0.4); /* 10 long, 0.8 wide, and a disc */
  near (area_of (plot, NULL), 10 * 0.8 + G_PI * 0.16, 1e-3);
}

/* What is drawn twice counts once: two discs a radius apart cover 2 pi r^2 less their lens,
 * 2 r^2 acos (1/2) - r^2 sqrt (3) / 2. */
static void
test_overlap (void)
{
  g_autoptr (LwPlot) plot = lw_plot_new ();
  double r = 3, lens = 2 * r * r * acos (0.5) - r * r * sqrt (3) / 2;

  for (guint i = 0; i < 20; i++)
    {
      lw_plot_capsule (plot, TRUE, at (-r / 2, 0), at (-r / 2, 0), r);
      lw_plot_capsule (plot, TRUE, at (r / 2, 0), at (r / 2, 0), r);
    }
  near (area_of (plot, NULL), 2 * G_PI * r * r - lens, 1e-3);
}

static void
test_ring (void)
{
  g_autoptr (LwPlot) by_clear = lw_plot_new (), by_cut = lw_plot_new ();
  g_autoptr (GArray) points = g_array_new (FALSE, FALSE, sizeof (LwPoint));
  LwPoint start = at (5, 0), in = at (2, 0);

  lw_plot_capsule (by_clear, TRUE, at (0, 0), at (0, 0), 5);
  lw_plot_capsule (by_clear, FALSE, at (0, 0), at (0, 0), 2);
  near (area_of (by_clear, NULL), G_PI * 21, 1e-3);
  /* The same as one contour with its hole cut in along a doubled line. */
  g_array_append_val (points, start);
  lw_plot_add_arc (points, start, at (0, 0), 360, 0.001);
  g_array_append_val (points, in);
  lw_plot_add_arc (points, in, at (0, 0), -360, 0.001);
  lw_plot_polygon (by_cut, TRUE, (const LwPoint *) (const void *) points->data, points->len);
  near (area_of (by_cut, NULL), G_PI * 21, 1e-3);
}

/* Order counts: what is drawn after a clear shape stands. */
static void
test_polarity_order (void)
{
  g_autoptr (LwPlot) plot = lw_plot_new ();

  rectangle (plot, FALSE, -9, -9, 9, 9); /* takes nothing away: nothing is there */
  rectangle (plot, TRUE, -4, -4, 4, 4);
  rectangle (plot, FALSE, -2, -2, 2, 2);
  rectangle (plot, TRUE, -1, -1, 1, 1);
  near (area_of (plot, NULL), 64 - 16 + 4, 1e-9);
}

/* A stamp's clear parts take away what is its own alone. */
static void
test_stamp (void)
{
  g_autoptr (LwPlot) plot = lw_plot_new (), ring = lw_plot_new ();
  LwPlotPlace place = { FALSE, FALSE, 1, 0, 3, 0 };

  rectangle (ring, TRUE, -2, -2, 2, 2);
  rectangle (ring, FALSE, -1, -1, 1, 1);
  rectangle (plot, TRUE, 2.5, -0.5, 3.5, 0.5); /* shows through the hole */
  lw_plot_stamp (plot, ring, &place, TRUE);
  near (area_of (plot, NULL), 16 - 4 + 1, 1e-9);
  lw_plot_stamp (plot, ring, &place, FALSE); /* erases its ring, not what shows through its hole */
  near (area_of (plot, NULL), 1, 1e-9);
}

static void
test_placing (void)
{
  g_autoptr (LwPlot) plot = lw_plot_new (), el = lw_plot_new ();
  LwPoint corners[6] = { { 0, 0 }, { 3, 0 }, { 3, 1 }, { 1, 1 }, { 1, 2 }, { 0, 2 } };
  LwPlotPlace place = { TRUE, FALSE, 2, 90, 1, -1 };
  LwBox box;

  lw_plot_polygon (el, TRUE, corners, 6);
  lw_plot_append (plot, el, 0, 1, &place, TRUE);
  /* Mirrored to -3..0 x 0..2, doubled, turned to -4..0 x -6..0, shifted. */
  box = lw_plot_box (plot);
  g_assert_cmpfloat (fabs (box.x0_mm + 3), <, 1e-9);
  g_assert_cmpfloat (fabs (box.x1_mm - 1), <, 1e-9);
  g_assert_cmpfloat (fabs (box.y0_mm + 7), <, 1e-9);
  g_assert_cmpfloat (fabs (box.y1_mm + 1), <, 1e-9);
  near (area_of (plot, NULL), 4 * 4, 1e-9);
}

/* Clipped to the board; a cell half off the board that is all copper counts as covered. */
static void
test_board (void)
{
  g_autoptr (LwPlot) plot = lw_plot_new (), board = lw_plot_new ();
  g_autoptr (GError) error = NULL;
  g_autofree double *cover = NULL;
  double total;

  rectangle (board, TRUE, -5.25, -5, 5, 5);
  rectangle (board, FALSE, 1, 1, 2, 2);
  rectangle (plot, TRUE, -9, -9, 0, 9);
  lw_plot_capsule (plot, TRUE, at (1.5, 1.5), at (1.5, 1.5), 0.4); /* where there is no board */
  cover = lw_plot_cover (plot, board, &grid, &total, NULL, &error);
  near (total, 5.25 * 10, 1e-9);
  g_assert_cmpfloat (cover[20 * 40 + 9], ==, 1); /* -5.5..-5: half of it is board */
  g_assert_cmpfloat (cover[20 * 40 + 8], ==, 0); /* no board */
  g_assert_cmpfloat (cover[23 * 40 + 23], ==, 0);
}

/* Absurd amounts end with an error, not with the memory. */
static void
test_too_much (void)
{
  g_autoptr (LwPlot) plot = lw_plot_new ();
  g_autoptr (GError) error = NULL;
  LwPlotPlace place = { FALSE, FALSE, 1, 0, 0, 0 };

  lw_plot_capsule (plot, TRUE, at (-9, -9), at (9, 9), 5);
  while (!lw_plot_is_full (plot))
    lw_plot_append (plot, plot, 0, lw_plot_length (plot), &place, TRUE);
  g_assert_cmpuint (lw_plot_length (plot), <=, LW_PLOT_SHAPES_MAX);
  g_assert_null (lw_plot_cover (plot, NULL, &grid, NULL, NULL, &error));
  g_assert_error (error, LW_IMPORT_ERROR, LW_IMPORT_ERROR_TOO_LARGE);
}

static void
test_cancelled (void)
{
  g_autoptr (LwPlot) plot = lw_plot_new ();
  g_autoptr (GCancellable) cancellable = g_cancellable_new ();
  g_autoptr (GError) error = NULL;

  rectangle (plot, TRUE, 0, 0, 1, 1);
  g_cancellable_cancel (cancellable);
  g_assert_null (lw_plot_cover (plot, NULL, &grid, NULL, cancellable, &error));
  g_assert_error (error, G_IO_ERROR, G_IO_ERROR_CANCELLED);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/plot/discs", test_discs);
  g_test_add_func ("/plot/rectangle-is-exact", test_rectangle_is_exact);
  g_test_add_func ("/plot/slanted", test_slanted);
  g_test_add_func ("/plot/capsule", test_capsule);
  g_test_add_func ("/plot/overlap", test_overlap);
  g_test_add_func ("/plot/ring", test_ring);
  g_test_add_func ("/plot/polarity-order", test_polarity_order);
  g_test_add_func ("/plot/stamp", test_stamp);
  g_test_add_func ("/plot/placing", test_placing);
  g_test_add_func ("/plot/board", test_board);
  g_test_add_func ("/plot/too-much", test_too_much);
  g_test_add_func ("/plot/cancelled", test_cancelled);
  return g_test_run ();
}
