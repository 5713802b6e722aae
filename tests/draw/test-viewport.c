/* Board millimetres to picture units and back. */
#include <math.h>

#include "draw/draw.h"
#include "draw/labels.h"
#include "draw/nice.h"

static const LwViewport views[] = {
  { 900, 600, 80, 50, 5.0, LW_SIDE_TOP },      { 900, 600, 80, 50, 5.0, LW_SIDE_BOTTOM },
  { 1, 1, 0, 0, 0.2, LW_SIDE_TOP },            { 1920, 1080, -4000, 9000, 400.0, LW_SIDE_BOTTOM },
  { 640.5, 480.25, 1e-3, -1e-3, 33.3, LW_SIDE_TOP },
};

static void
test_round_trip (void)
{
  for (guint k = 0; k < G_N_ELEMENTS (views); k++) {
    for (double px = -50; px < 1000; px += 97.3) {
      double x, y, back_x, back_y;

      lw_viewport_to_board (&views[k], px, 0.7 * px, &x, &y);
      lw_viewport_to_picture (&views[k], x, y, &back_x, &back_y);
      g_assert_cmpfloat_with_epsilon (back_x, px, 1e-7);
      g_assert_cmpfloat_with_epsilon (back_y, 0.7 * px, 1e-7);
    }
  }
}

/* y grows upward on the board; x grows to the right from the top side, to the left from the bottom. */
static void
test_directions (void)
{
  for (int side = 0; side < 2; side++) {
    LwViewport view = { 900, 600, 80, 50, 5.0, side };
    double x0, y0, x1, y1;

    lw_viewport_to_picture (&view, 80, 50, &x0, &y0);
    g_assert_cmpfloat (x0, ==, 450);
    g_assert_cmpfloat (y0, ==, 300);
    lw_viewport_to_picture (&view, 90, 60, &x1, &y1);
    g_assert_cmpfloat (x1 - x0, ==, side == LW_SIDE_TOP ? 50 : -50);
    g_assert_cmpfloat (y1 - y0, ==, -50);
  }
}

static void
test_zoom_keeps_point (void)
{
  const double factors[] = { 1.1, 0.5, 3.0, 1e9, 1e-9 };

  for (guint k = 0; k < G_N_ELEMENTS (views); k++) {
    LwViewport view = views[k];

    for (guint f = 0; f < G_N_ELEMENTS (factors); f++) {
      double x0, y0, x1, y1;

      lw_viewport_to_board (&view, 123, 45, &x0, &y0);
      lw_viewport_zoom (&view, factors[f], 123, 45);
      lw_viewport_to_board (&view, 123, 45, &x1, &y1);
      g_assert_cmpfloat_with_epsilon (x1, x0, 1e-9);
      g_assert_cmpfloat_with_epsilon (y1, y0, 1e-9);
      g_assert_cmpfloat (view.scale, >=, 0.2);
      g_assert_cmpfloat (view.scale, <=, 400.0);
    }
  }
}

static void
test_zoom_refuses_nonsense (void)
{
  LwViewport view = views[0];

  lw_viewport_zoom (&view, NAN, 1, 1);
  lw_viewport_zoom (&view, 0.0, 1, 1);
  lw_viewport_zoom (&view, -2.0, 1, 1);
  lw_viewport_zoom (&view, INFINITY, 1, 1);
  g_assert_cmpfloat (view.scale, ==, views[0].scale);
  g_assert_cmpfloat (view.center_x_mm, ==, views[0].center_x_mm);
}

static void
test_pan (void)
{
  for (int side = 0; side < 2; side++) {
    LwViewport view = { 900, 600, 80, 50, 5.0, side };
    double px, py;

    lw_viewport_pan (&view, 30, -20);
    lw_viewport_to_picture (&view, 80, 50, &px, &py);
    g_assert_cmpfloat_with_epsilon (px, 480, 1e-9);
    g_assert_cmpfloat_with_epsilon (py, 280, 1e-9);
  }
}

static void
test_fit (void)
{
  LwViewport view = { .width = 900, .height = 600, .side = LW_SIDE_BOTTOM };
  double x, y;

  lw_viewport_fit (&view, (LwBox){ -10, 20, 150, 120 }, 30);
  g_assert_cmpfloat_with_epsilon (view.scale, MIN (840.0 / 160, 540.0 / 100), 1e-12);
  lw_viewport_to_picture (&view, 70, 70, &x, &y);
  g_assert_cmpfloat_with_epsilon (x, 450, 1e-9);
  g_assert_cmpfloat_with_epsilon (y, 300, 1e-9);
  /* Nothing to fit, or no room: still a usable scale. */
  lw_viewport_fit (&view, (LwBox){ 5, 5, 5, 5 }, 30);
  g_assert_cmpfloat (view.scale, >, 0);
  view.width = view.height = 0;
  lw_viewport_fit (&view, (LwBox){ 0, 0, 1e9, 1e9 }, 30);
  g_assert_cmpfloat (view.scale, >, 0);
  lw_viewport_fit (&view, (LwBox){ NAN, 0, 1, 1 }, 30);
  g_assert_true (isfinite (view.scale) && view.scale > 0 && isfinite (view.center_x_mm));
}

/* Whether BOX, as VIEW shows it, is whole in the picture and touches none of TAKEN. */
static gboolean
shows_clear (const LwViewport *view, LwBox box, const LwBox *taken, guint n)
{
  LwBox seen;
  double x0, x1;

  lw_viewport_to_picture (view, box.x0_mm, box.y1_mm, &x0, &seen.y0_mm);
  lw_viewport_to_picture (view, box.x1_mm, box.y0_mm, &x1, &seen.y1_mm);
  seen.x0_mm = MIN (x0, x1);
  seen.x1_mm = MAX (x0, x1);
  for (guint i = 0; i < n; i++) {
    LwBox box_taken = { taken[i].x0_mm + 1e-6, taken[i].y0_mm + 1e-6, taken[i].x1_mm - 1e-6, taken[i].y1_mm - 1e-6 };

    if (lw_boxes_overlap (&seen, &box_taken))
      return FALSE;
  }
  return seen.x0_mm > -1e-6 && seen.y0_mm > -1e-6 && seen.x1_mm < view->width + 1e-6 && seen.y1_mm < view->height + 1e-6;
}

/* A toolbar in the upper left corner, a scale in the upper right one, a bar in the lower left one. */
static void
test_fit_beside (void)
{
  const LwBox taken[] = { { 0, 0, 300, 50 }, { 850, 0, 900, 300 }, { 0, 570, 120, 600 } };
  const LwBox boards[] = { { 0, 0, 100, 66 }, { 0, 0, 400, 60 }, { -5, -50, 30, 200 }, { 10, 10, 60, 60 }, { 0, 0, 90, 60 } };
  LwViewport plain = { .width = 900, .height = 600 }, view = plain;

  for (guint i = 0; i < 2 * G_N_ELEMENTS (boards); i++) {
    LwBox box = boards[i / 2];

    view.side = plain.side = i % 2 ? LW_SIDE_BOTTOM : LW_SIDE_TOP;
    lw_viewport_fit (&plain, box, 10);
    lw_viewport_fit_beside (&view, box, 10, taken, G_N_ELEMENTS (taken));
    g_assert_true (shows_clear (&view, box, taken, G_N_ELEMENTS (taken)));
    g_assert_cmpfloat (view.scale, <=, plain.scale);
    g_assert_cmpfloat (view.scale, >=, 0.7 * plain.scale);
    if (shows_clear (&plain, box, taken, G_N_ELEMENTS (taken)))
      g_assert_cmpfloat (view.center_x_mm, ==, plain.center_x_mm);
  }
  /* a board of usual shape stays in the middle for a little of its size, a tall one goes beside a tall toolbar for none */
  lw_viewport_fit_beside (&view, (LwBox){ 0, 0, 90, 100 }, 10, taken, 1);
  g_assert_cmpfloat_with_epsilon (view.center_x_mm, 45, 1e-9);
  lw_viewport_fit (&plain, (LwBox){ 0, 0, 90, 100 }, 10);
  lw_viewport_fit_beside (&view, (LwBox){ 0, 0, 90, 100 }, 10, &(LwBox){ 0, 0, 300, 150 }, 1);
  g_assert_cmpfloat_with_epsilon (view.scale, plain.scale, 1e-9);
  /* nothing is left beside these: the board is shown all the same */
  lw_viewport_fit_beside (&view, boards[0], 10, &(LwBox){ 0, 0, 900, 500 }, 1);
  g_assert_cmpfloat_with_epsilon (view.scale, MIN (880.0 / 100, 580.0 / 66), 1e-9);
}

static void
test_nice_steps (void)
{
  g_assert_cmpfloat_with_epsilon (lw_nice_step (0.7, FALSE), 1.0, 1e-12);
  g_assert_cmpfloat_with_epsilon (lw_nice_step (24, TRUE), 25.0, 1e-12);
  g_assert_cmpfloat_with_epsilon (lw_nice_step (24, FALSE), 50.0, 1e-12);
  g_assert_cmpfloat_with_epsilon (lw_nice_step (0.03, FALSE), 0.05, 1e-12);
  g_assert_cmpfloat (lw_nice_step (NAN, FALSE), ==, 1.0);
  g_assert_cmpfloat (lw_nice_step (-3, FALSE), ==, 1.0);
  g_assert_cmpfloat (lw_nice_seconds (12), ==, 15);
  g_assert_cmpfloat (lw_nice_seconds (61), ==, 120);
  g_assert_cmpfloat (lw_nice_seconds (NAN), ==, 1);
  g_assert_cmpint (lw_nice_decimals (25), ==, 0);
  g_assert_cmpint (lw_nice_decimals (2.5), ==, 1);
  g_assert_cmpint (lw_nice_decimals (0.05), ==, 2);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/draw/viewport/round-trip", test_round_trip);
  g_test_add_func ("/draw/viewport/directions", test_directions);
  g_test_add_func ("/draw/viewport/zoom-keeps-point", test_zoom_keeps_point);
  g_test_add_func ("/draw/viewport/zoom-refuses-nonsense", test_zoom_refuses_nonsense);
  g_test_add_func ("/draw/viewport/pan", test_pan);
  g_test_add_func ("/draw/viewport/fit", test_fit);
  g_test_add_func ("/draw/viewport/fit-beside", test_fit_beside);
  g_test_add_func ("/draw/nice/steps", test_nice_steps);
  return g_test_run ();
}
