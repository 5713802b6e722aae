/* What lies under a picture point. */
#include <math.h>

#include "sample.h"

static LwViewport
view_of (LwSide side)
{
  return (LwViewport){ 900, 600, 80, 50, 5.0, side };
}

static int
part_at (const LwJob *job, const LwViewport *view, double x_mm, double y_mm, double off_px)
{
  double px, py;

  lw_viewport_to_picture (view, x_mm, y_mm, &px, &py);
  return lw_board_hit_part (job, view, px + off_px, py);
}

static void
test_every_part_at_its_place (void)
{
  g_autoptr (LwJob) job = sample_job_new ();

  for (int side = 0; side < 2; side++) {
    LwViewport view = view_of (side);

    for (guint i = 0; i < job->parts->len; i++) {
      const LwPart *part = g_ptr_array_index (job->parts, i);
      int hit = part_at (job, &view, part->x_mm, part->y_mm, 0);

      if ((int) part->side == side)
        g_assert_cmpint (hit, ==, (int) i);
      else
        g_assert_cmpint (hit, !=, (int) i);
    }
  }
}

static void
test_small_over_large (void)
{
  g_autoptr (LwJob) job = sample_job_new ();
  LwPart *small = g_ptr_array_index (job->parts, 19); /* C3 */
  LwViewport view = view_of (LW_SIDE_TOP);

  small->x_mm = 78;
  small->y_mm = 54;
  g_assert_cmpint (part_at (job, &view, 78, 54, 0), ==, 19);
  g_assert_cmpint (part_at (job, &view, 74, 54, 0), ==, 0);
}

static void
test_edges (void)
{
  g_autoptr (LwJob) job = sample_small_job_new ();
  LwViewport view = view_of (LW_SIDE_TOP);

  /* U3 at (20, 20), 14 mm square: 7 mm to the edge. */
  g_assert_cmpint (part_at (job, &view, 26.9, 20, 0), ==, 0);
  g_assert_cmpint (part_at (job, &view, 27, 20, 3), ==, 0);
  g_assert_cmpint (part_at (job, &view, 27, 20, 5), ==, -1);
  g_assert_cmpint (part_at (job, &view, 44, 12, 0), ==, -1); /* on the other side */
  view.side = LW_SIDE_BOTTOM;
  g_assert_cmpint (part_at (job, &view, 44, 12, 0), ==, 1);
  g_assert_cmpint (lw_board_hit_part (NULL, &view, 1, 1), ==, -1);
  view.scale = 0;
  g_assert_cmpint (lw_board_hit_part (job, &view, 1, 1), ==, -1);
}

static LwGrip
grip_at (const LwJob *job, const LwViewport *view, double x_mm, double y_mm, double dx, double dy, guint *index)
{
  double px, py;

  lw_viewport_to_picture (view, x_mm, y_mm, &px, &py);
  return lw_board_hit_grip (job, 0, view, px + dx, py + dy, index);
}

/* Preheat area: 120 x 76 about (80, 52). */
static void
test_preheat_grips (void)
{
  g_autoptr (LwJob) job = sample_job_new ();

  for (int side = 0; side < 2; side++) {
    LwViewport view = view_of (side);
    double out = side ? -1 : 1;
    guint index;

    g_assert_cmpint (grip_at (job, &view, 20, 52, 0, 0, &index), ==, LW_GRIP_PREHEAT_LEFT);
    g_assert_cmpint (grip_at (job, &view, 20, 52, -5 * out, 3, &index), ==, LW_GRIP_PREHEAT_LEFT);
    g_assert_cmpint (grip_at (job, &view, 20, 52, -9 * out, 0, &index), ==, LW_GRIP_NONE);
    g_assert_cmpint (grip_at (job, &view, 140, 52, 0, 0, &index), ==, LW_GRIP_PREHEAT_RIGHT);
    g_assert_cmpint (grip_at (job, &view, 80, 14, 0, 0, &index), ==, LW_GRIP_PREHEAT_LOW);
    g_assert_cmpint (grip_at (job, &view, 80, 90, 0, 0, &index), ==, LW_GRIP_PREHEAT_HIGH);
    g_assert_cmpint (grip_at (job, &view, 50, 90, 0, 2, &index), ==, LW_GRIP_PREHEAT_MOVE);
    g_assert_cmpint (grip_at (job, &view, 50, 80, 0, 0, &index), ==, LW_GRIP_NONE);
  }
}

/* Nozzle: 22 mm inside, wall 1.2, about U1 at (78, 54), on the top side. */
static void
test_nozzle (void)
{
  g_autoptr (LwJob) job = sample_job_new ();
  LwNozzle *nozzle = g_ptr_array_index (job->station->nozzles, 0);
  LwViewport view = view_of (LW_SIDE_TOP);
  guint index;

  g_assert_cmpint (grip_at (job, &view, 78 + 11, 56, 0, 0, &index), ==, LW_GRIP_NOZZLE);
  g_assert_cmpint (grip_at (job, &view, 78 + 12.2, 56, 3, 0, &index), ==, LW_GRIP_NOZZLE);
  g_assert_cmpint (grip_at (job, &view, 78, 54, 0, 0, &index), ==, LW_GRIP_NONE);
  nozzle->round = TRUE;
  g_assert_cmpint (grip_at (job, &view, 78 + 7.8, 54 + 7.8, 0, 0, &index), ==, LW_GRIP_NOZZLE);
  g_assert_cmpint (grip_at (job, &view, 78 + 11, 54 + 11, 0, 0, &index), ==, LW_GRIP_NONE);
  view.side = LW_SIDE_BOTTOM;
  g_assert_cmpint (grip_at (job, &view, 78 + 7.8, 54 + 7.8, 0, 0, &index), ==, LW_GRIP_NONE);
}

/* A bottom part turns the other way than its rotation says (board/job.h), and its nozzle with it: 26 x
 * 10 mm about a U1 turned by 30 degrees below lies along -30 degrees seen from the top. */
static void
test_nozzle_below (void)
{
  g_autoptr (LwJob) job = sample_job_new ();
  LwNozzle *nozzle = g_ptr_array_index (job->station->nozzles, 0);
  LwPart *part = g_ptr_array_index (job->parts, lw_job_find_part (job, "U1"));
  const double c = cos (G_PI / 6), s = sin (G_PI / 6), reach = 13;

  nozzle->length_mm = 2 * reach;
  nozzle->width_mm = 10;
  part->rotation_deg = 30;
  for (int side = 0; side < 2; side++) {
    LwViewport view = view_of (side);
    double x = reach * c, y = side == LW_SIDE_BOTTOM ? -reach * s : reach * s;
    guint index;

    part->side = side;
    g_assert_cmpint (grip_at (job, &view, 78 + x, 54 + y, 0, 0, &index), ==, LW_GRIP_NOZZLE);
    g_assert_cmpint (grip_at (job, &view, 78 + x, 54 - y, 0, 0, &index), ==, LW_GRIP_NONE);
  }
}

static void
test_shield_and_thermocouple (void)
{
  g_autoptr (LwJob) job = sample_job_new ();
  LwViewport view = view_of (LW_SIDE_TOP);
  guint index = 9;

  g_assert_cmpint (grip_at (job, &view, 98, 38, 0, 0, &index), ==, LW_GRIP_SHIELD);
  g_assert_cmpuint (index, ==, 0);
  g_assert_cmpint (grip_at (job, &view, 50, 44, 2, -2, &index), ==, LW_GRIP_THERMOCOUPLE);
  g_assert_cmpuint (index, ==, 1);
  g_assert_cmpint (grip_at (job, &view, 72, 60, 8, -20, &index), ==, LW_GRIP_THERMOCOUPLE); /* its flag */
  g_assert_cmpuint (index, ==, 0);
  view.side = LW_SIDE_BOTTOM;
  g_assert_cmpint (grip_at (job, &view, 50, 44, 0, 0, &index), ==, LW_GRIP_NONE);
  g_assert_cmpint (lw_board_hit_grip (job, -1, &view, 1, 1, &index), ==, LW_GRIP_NONE);
  g_assert_cmpint (lw_board_hit_grip (job, 7, &view, 1, 1, NULL), ==, LW_GRIP_NONE);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/draw/hit/every-part-at-its-place", test_every_part_at_its_place);
  g_test_add_func ("/draw/hit/small-over-large", test_small_over_large);
  g_test_add_func ("/draw/hit/edges", test_edges);
  g_test_add_func ("/draw/hit/preheat-grips", test_preheat_grips);
  g_test_add_func ("/draw/hit/nozzle", test_nozzle);
  g_test_add_func ("/draw/hit/nozzle-below", test_nozzle_below);
  g_test_add_func ("/draw/hit/shield-and-thermocouple", test_shield_and_thermocouple);
  return g_test_run ();
}
