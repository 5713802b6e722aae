/* Thermal shadow against the long wall (closed form), the wall element (Howell B-5) and brute force: the
 * hemisphere cut into rays, each intersected with every box on its own. */
#include "heat/box-grid.h"
#include "heat/films.h"
#include "heat/shadow.h"

#include <glib.h>
#include <math.h>
#include <stdint.h>

#define assert_near(value, expected, tolerance) g_assert_cmpfloat_with_epsilon (value, expected, tolerance)

static HeatBox
box (double x, double y, double degrees, double length, double width, double height)
{
  return (HeatBox){ { x, y }, degrees * G_PI / 180, length, width, height, false };
}

static HeatBox
can (double x, double y, double diameter, double height)
{
  return (HeatBox){ { x, y }, 0, diameter, diameter, height, true };
}

/* Where the ray from (x, y) along (dx, dy), unit length, meets the outline, or INFINITY. */
static double
met (const HeatBox *b, double x, double y, double dx, double dy)
{
  double c = cos (b->angle_rad), s = sin (b->angle_rad), ox = x - b->center.x, oy = y - b->center.y;
  double px = c * ox + s * oy, py = c * oy - s * ox, vx = c * dx + s * dy, vy = c * dy - s * dx;
  if (b->round) {
    double along = px * vx + py * vy, d = along * along - (px * px + py * py - b->length_m * b->length_m / 4);
    return d >= 0 && along < 0 ? -along - sqrt (d) : INFINITY;
  }
  double near = 0, far = INFINITY;
  double at[2] = { px, py }, step[2] = { vx, vy }, half[2] = { b->length_m / 2, b->width_m / 2 };
  for (int i = 0; i < 2; i++) {
    double t1 = (-half[i] - at[i]) / step[i], t2 = (half[i] - at[i]) / step[i];
    near = fmax (near, fmin (t1, t2));
    far = fmin (far, fmax (t1, t2));
  }
  return near < far ? near : INFINITY;
}

/* Midpoint rule over azimuth and over sin^2 (elevation), each ray tested by itself. */
static double
brute (double x, double y, double z, const HeatBox *boxes, gsize n)
{
  enum { AZIMUTHS = 20000, HEIGHTS = 400 };
  gsize hidden = 0;
  for (int i = 0; i < AZIMUTHS; i++) {
    double phi = 2 * G_PI * (i + 0.5) / AZIMUTHS, steepest = 0;
    for (gsize b = 0; b < n; b++)
      steepest = fmax (steepest, (boxes[b].height_m - z) / met (&boxes[b], x, y, cos (phi), sin (phi)));
    for (int j = 0; j < HEIGHTS; j++) {
      double s2 = (j + 0.5) / HEIGHTS;
      hidden += sqrt (s2 / (1 - s2)) < steepest;
    }
  }
  return (double)hidden / ((double)AZIMUTHS * HEIGHTS);
}

/* Of the hemisphere a wall of height h at distance d hides (1 - d / sqrt (d2 + h2)) / 2. */
static void
test_long_walls (void)
{
  static const double rows[][3] = { { 0.003, 0.012, 0.378732 }, { 0.005, 0.005, 0.146447 }, { 0.010, 0.005, 0.052786 } };
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++) {
    for (double turn = 0; turn < 360; turn += 37) {
      double a = turn * G_PI / 180, away = rows[i][0] + 0.5;
      HeatBox wall = box (0.1 + away * cos (a), -0.2 + away * sin (a), turn, 1, 1000, rows[i][1]);
      assert_near (heat_sky_hidden ((HeatXY){ 0.1, -0.2 }, 0, &wall, 1, SIZE_MAX), rows[i][2], 1e-5);
    }
  }
}

/* Seen from straight before its middle, a box's front hides twice what Howell B-5 gives for its half. */
static void
test_front (void)
{
  HeatBox front = box (0, 0.005 + 0.01, 0, 0.04, 0.02, 0.01);
  double x = 10.0 / 20, y = 5.0 / 20, root = hypot (x, y); /* height and distance over width */
  double half = (atan (1 / y) - y / root * atan (1 / root)) / (2 * G_PI);
  assert_near (half, 0.135488, 1e-6);
  assert_near (heat_sky_hidden ((HeatXY){ 0, 0 }, 0, &front, 1, SIZE_MAX), 2 * half, 1e-9);
}

static void
test_brute_force (void)
{
  const HeatBox yard[] = {
    box (0.012, 0.004, 20, 0.01, 0.006, 0.005),   box (-0.008, 0.010, -35, 0.012, 0.004, 0.009),
    box (-0.012, 0.013, 10, 0.008, 0.008, 0.013), /* overlaps the one before and looks over it */
    box (0.002, -0.011, 90, 0.003, 0.016, 0.003), box (0.002, -0.020, 0, 0.02, 0.004, 0.012),
    box (0.030, 0.000, 45, 0.02, 0.02, 0.02),
  };
  static const double points[][3] = { { 0, 0, 0 }, { 0.004, -0.003, 0 }, { 0, 0, 0.004 }, { -0.02, -0.01, 0.001 },
                                      { 0.02, 0.011, 0 }, { 0.0021, -0.0057, 0.0005 } };
  for (gsize i = 0; i < G_N_ELEMENTS (points); i++) {
    const double *p = points[i];
    double expected = brute (p[0], p[1], p[2], yard, G_N_ELEMENTS (yard));
    double hidden = heat_sky_hidden ((HeatXY){ p[0], p[1] }, p[2], yard, G_N_ELEMENTS (yard), SIZE_MAX);
    g_test_message ("point %" G_GSIZE_FORMAT ": %.5f, by rays %.5f", i, hidden, expected);
    assert_near (hidden, expected, 5e-4);
  }
}

/* Cans are polygons of like area: a little coarser. */
static void
test_round (void)
{
  const HeatBox yard[] = { can (0.010, 0.002, 0.008, 0.010), can (-0.006, -0.006, 0.005, 0.0054),
                           box (0.016, 0.001, 30, 0.006, 0.004, 0.02) };
  double expected = brute (0, 0, 0, yard, 3), hidden = heat_sky_hidden ((HeatXY){ 0, 0 }, 0, yard, 3, SIZE_MAX);
  g_test_message ("%.5f, by rays %.5f", hidden, expected);
  assert_near (hidden, expected, 1e-3);
}

static void
test_heights_and_skip (void)
{
  const HeatBox two[] = { box (0.01, 0, 0, 0.01, 0.01, 0.002), box (-0.02, 0, 0, 0.01, 0.01, 0.006) };
  HeatXY at = { 0, 0 };
  double both = heat_sky_hidden (at, 0, two, 2, SIZE_MAX);
  assert_near (both, heat_sky_hidden (at, 0, two, 2, 0) + heat_sky_hidden (at, 0, two, 2, 1), 1e-12);
  /* Raising the point by z is lowering the boxes by z. */
  HeatBox lower = two[1];
  lower.height_m -= 0.002;
  assert_near (heat_sky_hidden (at, 0.002, two, 2, SIZE_MAX), heat_sky_hidden (at, 0, &lower, 1, SIZE_MAX), 1e-12);
  g_assert_cmpfloat (heat_sky_hidden (at, 0.006, two, 2, SIZE_MAX), ==, 0);
  g_assert_cmpfloat (heat_sky_hidden (at, 0, NULL, 0, SIZE_MAX), ==, 0);
}

static void
test_inside (void)
{
  const HeatBox two[] = { box (0, 0, 30, 0.01, 0.004, 0.003), can (0.02, 0, 0.01, 0.005) };
  g_assert_cmpfloat (heat_sky_hidden ((HeatXY){ 0.001, 0.001 }, 0, two, 2, SIZE_MAX), ==, 1);
  g_assert_cmpfloat (heat_sky_hidden ((HeatXY){ 0.0249, 0 }, 0, two, 2, SIZE_MAX), ==, 1);
  g_assert_cmpfloat (heat_sky_hidden ((HeatXY){ 0.001, 0.001 }, 0.003, two, 2, SIZE_MAX), <, 0.01);
  g_assert_cmpfloat (heat_sky_hidden ((HeatXY){ 0.001, 0.001 }, 0, two, 2, 0), <, 0.02);
}

/* More never hides less, boxes within another's shadow add nothing, and the order is of no matter. */
static void
test_order (void)
{
  const HeatBox there[] = { box (0.01, 0, 0, 0.002, 0.02, 0.01), box (0.02, 0, 0, 0.002, 0.004, 0.012),
                            box (0, 0.01, 0, 0.01, 0.001, 0.004) };
  const HeatBox back[] = { there[2], there[1], there[0] };
  HeatXY at = { 0, 0 };
  double first = heat_sky_hidden (at, 0, there, 1, SIZE_MAX);
  assert_near (heat_sky_hidden (at, 0, there, 2, SIZE_MAX), first, 1e-12);
  double all = heat_sky_hidden (at, 0, there, 3, SIZE_MAX);
  g_assert_cmpfloat (all, >, first);
  assert_near (heat_sky_hidden (at, 0, back, 3, SIZE_MAX), all, 1e-12);
}

/* Points in line with edges and corners, where walls are seen end-on: as their neighbours see it. */
static void
test_end_on (void)
{
  const HeatBox yard[] = { box (0.01, 0, 0, 0.01, 0.01, 0.004), box (-0.01, 0.005, 0, 0.01, 0.01, 0.006),
                           box (0, 0.012, 45, 0.006, 0.006, 0.003) };
  for (int i = -4; i <= 4; i++)
    for (int j = -4; j <= 4; j++) {
      HeatXY at = { i * 0.00125, -0.011 + j * 0.00125 }, beside = { at.x + 1e-9, at.y - 1e-9 };
      double here = heat_sky_hidden (at, 0, yard, 3, SIZE_MAX);
      g_assert_cmpfloat (here, >, 0);
      assert_near (here, heat_sky_hidden (beside, 0, yard, 3, SIZE_MAX), 1e-5);
    }
}

/* A pit: walls without end all round hide everything. */
static void
test_pit (void)
{
  HeatBox walls[] = { box (0.51, 0, 0, 1, 2, 1000), box (-0.51, 0, 0, 1, 2, 1000), box (0, 0.51, 0, 2, 1, 1000),
                      box (0, -0.51, 0, 2, 1, 1000) };
  assert_near (heat_sky_hidden ((HeatXY){ 0, 0 }, 0, walls, 4, SIZE_MAX), 1, 1e-8);
}

static void
test_lee (void)
{
  const HeatBox boxes[] = { box (0.02, 0, 0, 0.004, 0.02, 0.003), can (0.05, 0, 0.01, 0.010) };
  HeatXY from = { 0, 0 };
  /* 12 mm behind the first box's lee side: half of its eight heights. */
  assert_near (heat_flow_sheltered (from, (HeatXY){ 0.034, 0 }, 0, boxes, 2, SIZE_MAX), 0.5, 1e-12);
  g_assert_cmpfloat (heat_flow_sheltered (from, (HeatXY){ 0.034, 0 }, 0, boxes, 2, 0), ==, 0);
  g_assert_cmpfloat (heat_flow_sheltered (from, (HeatXY){ 0.034, 0 }, 0.003, boxes, 2, SIZE_MAX), ==, 0);
  assert_near (heat_flow_sheltered (from, (HeatXY){ 0.034, 0 }, 0.001, boxes, 2, SIZE_MAX), 0.25, 1e-12);
  g_assert_cmpfloat (heat_flow_sheltered (from, (HeatXY){ 0.017, 0 }, 0, boxes, 2, SIZE_MAX), ==, 0);
  g_assert_cmpfloat (heat_flow_sheltered (from, (HeatXY){ 0.03, 0.06 }, 0, boxes, 2, SIZE_MAX), ==, 0);
  assert_near (heat_flow_sheltered (from, (HeatXY){ 0.075, 0 }, 0, boxes, 2, SIZE_MAX), 1 - 0.02 / 0.08, 1e-12);
  g_assert_cmpfloat (heat_flow_sheltered (from, (HeatXY){ 0.05, 0 }, 0, boxes, 2, SIZE_MAX), ==, 1);
  g_assert_cmpfloat (heat_flow_sheltered (from, (HeatXY){ 0, 0 }, 0, boxes, 2, SIZE_MAX), ==, 0);
}

/* A grid names, in order, every box whose lee or shade may reach a point: the greatest shelter among those it names is that
 * among all of them, to the bit. Round and square, large and small, some points off the board. */
static void
test_grid (void)
{
  enum { BOXES = 400, POINTS = 2000 };
  HeatArena arena = HEAT_ARENA_INIT;
  g_autofree HeatBox *boxes = g_new0 (HeatBox, BOXES);
  g_autoptr (GRand) rand = g_rand_new_with_seed (6);
  HeatBoxGrid grid;
  guint sheltered = 0;
  gsize named = 0;

  for (guint i = 0; i < BOXES; i++)
    boxes[i] = (HeatBox){ { g_rand_double_range (rand, 0, 0.3), g_rand_double_range (rand, 0, 0.2) },
                          g_rand_double_range (rand, 0, 3), g_rand_double_range (rand, 0.5e-3, 20e-3),
                          g_rand_double_range (rand, 0.5e-3, 20e-3), g_rand_double_range (rand, 0.2e-3, 4e-3),
                          i % 5 == 0 };
  g_assert_true (heat_box_grid_new (&arena, boxes, BOXES, &grid));
  for (guint k = 0; k < POINTS; k++) {
    HeatXY from = { 0.15, 0.1 };
    HeatXY at = { g_rand_double_range (rand, -0.1, 0.4), g_rand_double_range (rand, -0.1, 0.3) };
    const uint32_t *which;
    gsize n = heat_box_grid_at (&grid, at, &which);
    double most = 0, all = heat_flow_sheltered (from, at, 0.1e-3, boxes, BOXES, SIZE_MAX);

    for (gsize i = 0; i < n; i++) {
      g_assert_true (i == 0 || which[i] > which[i - 1]);
      most = fmax (most, heat_flow_sheltered (from, at, 0.1e-3, &boxes[which[i]], 1, SIZE_MAX));
    }
    g_assert_true (most == all);
    sheltered += all > 0;
    named += n;
  }
  g_assert_cmpuint (sheltered, >, POINTS / 20);
  g_assert_cmpuint (named, <, (gsize) POINTS * BOXES / 5);
  heat_arena_clear (&arena);
  g_assert_true (heat_box_grid_new (&arena, NULL, 0, &grid));
  const uint32_t *which;
  g_assert_cmpuint (heat_box_grid_at (&grid, (HeatXY){ 0, 0 }, &which), ==, 0);
  heat_arena_clear (&arena);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/shadow/sky/long-walls", test_long_walls);
  g_test_add_func ("/shadow/sky/front", test_front);
  g_test_add_func ("/shadow/sky/brute-force", test_brute_force);
  g_test_add_func ("/shadow/sky/round", test_round);
  g_test_add_func ("/shadow/sky/heights-and-skip", test_heights_and_skip);
  g_test_add_func ("/shadow/sky/inside", test_inside);
  g_test_add_func ("/shadow/sky/order", test_order);
  g_test_add_func ("/shadow/sky/end-on", test_end_on);
  g_test_add_func ("/shadow/sky/pit", test_pit);
  g_test_add_func ("/shadow/lee", test_lee);
  g_test_add_func ("/shadow/grid", test_grid);
  return g_test_run ();
}
