/* Parts on the board. The rule for both sides is that of IDF 3.0, as two independent readers apply it:
 * top P + R(f)(u, v), bottom P + R(-f)(-u, v). */
#include <math.h>

#include "board/job.h"

static LwPackage *
make_package (double length, double width, double cx, double cy)
{
  LwPackage *package = lw_package_new ();

  package->length_mm = length;
  package->width_mm = width;
  package->center_x_mm = cx;
  package->center_y_mm = cy;
  return package;
}

static LwPart *
make_part (double x, double y, double rotation, LwSide side)
{
  LwPart *part = lw_part_new ();

  part->x_mm = x;
  part->y_mm = y;
  part->rotation_deg = rotation;
  part->side = side;
  return part;
}

static void
test_rule (void)
{
  static const double turns[] = { 0, 30, 90, 135, 180, 271.5, -45, 720 };

  for (guint i = 0; i < G_N_ELEMENTS (turns); i++)
    {
      g_autoptr (LwPart) top = make_part (10, 20, turns[i], LW_SIDE_TOP);
      g_autoptr (LwPart) bottom = make_part (10, 20, turns[i], LW_SIDE_BOTTOM);
      double f = turns[i] * G_PI / 180, u = 3, v = 1;
      LwPoint a = lw_part_to_board (top, u, v), b = lw_part_to_board (bottom, u, v);

      g_assert_cmpfloat_with_epsilon (a.x_mm, 10 + cos (f) * u - sin (f) * v, 1e-12);
      g_assert_cmpfloat_with_epsilon (a.y_mm, 20 + sin (f) * u + cos (f) * v, 1e-12);
      g_assert_cmpfloat_with_epsilon (b.x_mm, 10 + cos (-f) * -u - sin (-f) * v, 1e-12);
      g_assert_cmpfloat_with_epsilon (b.y_mm, 20 + sin (-f) * -u + cos (-f) * v, 1e-12);
      /* Turned over about the y direction through P, the top part becomes the bottom one. */
      g_assert_cmpfloat_with_epsilon (b.x_mm - 10, -(a.x_mm - 10), 1e-12);
      g_assert_cmpfloat_with_epsilon (b.y_mm, a.y_mm, 1e-12);
    }
}

static void
test_quarters_exact (void)
{
  g_autoptr (LwPart) part = make_part (0, 0, 270, LW_SIDE_TOP);
  LwPoint p = lw_part_to_board (part, 3, 1);

  g_assert_cmpfloat (p.x_mm, ==, 1.0);
  g_assert_cmpfloat (p.y_mm, ==, -3.0);
}

static double
corners_area (const LwPoint c[4])
{
  double twice = 0;

  for (int i = 0; i < 4; i++)
    twice += c[i].x_mm * c[(i + 1) % 4].y_mm - c[(i + 1) % 4].x_mm * c[i].y_mm;
  return twice / 2;
}

static void
test_corners (void)
{
  for (int side = 0; side < 2; side++)
    for (int turn = -400; turn < 800; turn += 37)
      {
        g_autoptr (LwPart) part = make_part (5, 6, turn, (LwSide) side);
        g_autoptr (LwPackage) package = make_package (8, 3, 2, -1);
        LwPoint c[4], center = lw_part_body_center (part, package);
        g_autoptr (LwLoop) loop = NULL;

        lw_part_body_corners (part, package, c);
        loop = lw_part_outline (part, package);
        g_assert_cmpfloat_with_epsilon (corners_area (c), 24, 1e-9);
        g_assert_cmpfloat_with_epsilon (lw_loop_area (loop), 24, 1e-9);
        g_assert_cmpfloat_with_epsilon ((c[0].x_mm + c[2].x_mm) / 2, center.x_mm, 1e-9);
        g_assert_cmpfloat_with_epsilon ((c[0].y_mm + c[2].y_mm) / 2, center.y_mm, 1e-9);
        /* The longer side lies along the turn seen from the top. */
        double along = atan2 (c[1].y_mm - c[0].y_mm, c[1].x_mm - c[0].x_mm) * 180 / G_PI;
        double off = fmod (fabs (along - lw_part_turn_deg (part)) + 1e-9, 180);
        g_assert_cmpfloat (MIN (off, 180 - off), <, 1e-6);
      }
}

static void
test_outline_arcs (void)
{
  g_autoptr (LwPackage) package = make_package (4, 4, 0, 0);
  g_autoptr (LwPart) bottom = make_part (50, 50, 33, LW_SIDE_BOTTOM);

  package->outline = lw_loop_new (); /* a half disc */
  lw_loop_add (package->outline, -2, 0, 0);
  lw_loop_add (package->outline, 2, 0, 0);
  g_array_index (package->outline->corners, LwVertex, 0).arc_deg = 180;
  g_autoptr (LwLoop) placed = lw_part_outline (bottom, package);
  /* Mirroring turns the winding round and keeps the area. */
  g_assert_cmpfloat_with_epsilon (lw_loop_area (placed), -G_PI * 2, 1e-9);
  LwPoint inside = lw_part_to_board (bottom, 0, 1);
  g_assert_true (lw_loop_contains (placed, inside.x_mm, inside.y_mm));

  package->round = TRUE;
  g_clear_pointer (&package->outline, lw_loop_unref);
  g_autoptr (LwLoop) disc = lw_part_outline (bottom, package);
  g_assert_cmpfloat_with_epsilon (lw_loop_area (disc), G_PI * 4, 1e-9);
}

static guint
count_joints (const LwPackage *package)
{
  g_autoptr (LwPart) part = make_part (0, 0, 0, LW_SIDE_TOP);
  g_autoptr (GArray) joints = lw_part_joints (part, package);

  return joints->len;
}

static void
test_joints (void)
{
  g_autoptr (LwPackage) p = make_package (27, 27, 0, 0);
  g_autoptr (LwPart) part = make_part (100, 50, 90, LW_SIDE_TOP);

  p->joints.pattern = LW_JOINTS_GRID;
  p->joints.columns = p->joints.rows = 26;
  p->joints.pitch_mm = 1;
  g_assert_cmpuint (count_joints (p), ==, 676); /* 26 x 26 */
  p->joints.hole_columns = p->joints.hole_rows = 10;
  g_assert_cmpuint (count_joints (p), ==, 576); /* less 10 x 10 */
  g_autoptr (GArray) joints = lw_part_joints (part, p);
  LwPoint first = g_array_index (joints, LwPoint, 0); /* (-12.5, -12.5) turned by 90 degrees */
  g_assert_cmpfloat_with_epsilon (first.x_mm, 112.5, 1e-12);
  g_assert_cmpfloat_with_epsilon (first.y_mm, 37.5, 1e-12);

  p->joints.pattern = LW_JOINTS_FOUR_SIDES;
  p->joints.columns = 40;
  p->joints.rows = 24;
  g_assert_cmpuint (count_joints (p), ==, 128);
  p->joints.pattern = LW_JOINTS_TWO_SIDES;
  g_assert_cmpuint (count_joints (p), ==, 48);
  p->joints.pattern = LW_JOINTS_TWO_ENDS;
  g_assert_cmpuint (count_joints (p), ==, 2);
  p->joints.pattern = LW_JOINTS_NONE;
  g_assert_cmpuint (count_joints (p), ==, 0);
  g_assert_cmpuint (count_joints (NULL), ==, 0);
}

/* Patterns lie about the body's centre; listed joints about the placement point. */
static void
test_joint_origin (void)
{
  g_autoptr (LwPackage) p = make_package (6, 2, 3, 0);
  g_autoptr (LwPart) part = make_part (10, 10, 0, LW_SIDE_BOTTOM);
  LwPoint at = { 1, 0.5 };

  p->joints.pattern = LW_JOINTS_TWO_ENDS;
  p->joints.span_x_mm = 4;
  g_autoptr (GArray) ends = lw_part_joints (part, p);
  g_assert_cmpfloat (g_array_index (ends, LwPoint, 0).x_mm, ==, 9.0); /* 3 - 2, mirrored */
  g_assert_cmpfloat (g_array_index (ends, LwPoint, 1).x_mm, ==, 5.0);
  p->joints.pattern = LW_JOINTS_LISTED;
  p->joints.positions = g_array_new (FALSE, FALSE, sizeof (LwPoint));
  g_array_append_val (p->joints.positions, at);
  g_autoptr (GArray) listed = lw_part_joints (part, p);
  g_assert_cmpfloat (g_array_index (listed, LwPoint, 0).x_mm, ==, 9.0);
  g_assert_cmpfloat (g_array_index (listed, LwPoint, 0).y_mm, ==, 10.5);
}

static void
test_heights (void)
{
  g_autoptr (LwPackage) p = make_package (10, 10, 0, 0);
  g_autoptr (LwPart) part = make_part (0, 0, 0, LW_SIDE_TOP);
  gboolean known;

  g_assert_cmpfloat (lw_part_height_mm (part, NULL, &known), >, 0);
  g_assert_false (known);
  p->kind = LW_KIND_ELECTROLYTIC;
  g_assert_cmpfloat (lw_part_height_mm (part, p, &known), ==, 10.2); /* 10 mm can: Cornell Dubilier SMT guide */
  g_assert_false (known);
  p->height_mm = 7.7;
  g_assert_cmpfloat (lw_part_height_mm (part, p, &known), ==, 7.7);
  g_assert_true (known);
  part->height_mm = 5;
  part->offset_mm = 2;
  g_assert_cmpfloat (lw_part_height_mm (part, p, &known), ==, 7);
  for (int kind = 0; kind < LW_N_KINDS; kind++) /* none without a sane default */
    for (double size = 0.5; size < 60; size *= 2)
      {
        g_autoptr (LwPackage) q = make_package (size, size, 0, 0);
        q->kind = (LwPackageKind) kind;
        g_assert_cmpfloat (lw_default_height_mm (q), >=, 0.3);
        g_assert_cmpfloat (lw_default_height_mm (q), <=, 20);
      }
}

static void
test_words (void)
{
  g_assert_cmpstr (lw_kind_word (LW_KIND_AREA_ARRAY), ==, "area-array");
  g_assert_cmpstr (lw_side_word (LW_SIDE_BOTTOM), ==, "bottom");
  g_assert_cmpstr (lw_limit_word (LW_LIMIT_BODY_TIME_ABOVE_S), ==, "body-time-above-s");
}

/* A copy may be written to without the first one noticing; children are shared until edited. */
static void
test_copies (void)
{
  g_autoptr (LwJob) a = lw_job_new ();
  LwPart *part = make_part (1, 2, 3, LW_SIDE_TOP);

  lw_limits_add (part->limits, LW_LIMIT_BODY_PEAK_C, 245, NAN, "sheet");
  g_ptr_array_add (a->parts, part);
  g_autoptr (LwJob) b = lw_job_copy (a);
  g_assert_true (a->board == b->board);
  g_assert_true (g_ptr_array_index (a->parts, 0) == g_ptr_array_index (b->parts, 0));
  LwPart *mine = lw_job_edit_part (b, 0);
  mine->x_mm = 99;
  g_array_index (mine->limits, LwLimit, 0).value = 1;
  lw_job_edit_board (b)->thickness_mm = 9;
  lw_job_edit_station (b)->gas_max_c = 9;
  g_assert_cmpfloat (part->x_mm, ==, 1);
  g_assert_cmpfloat (g_array_index (part->limits, LwLimit, 0).value, ==, 245);
  g_assert_cmpfloat (a->board->thickness_mm, ==, 1.6);
  g_assert_cmpfloat (a->station->gas_max_c, ==, 450);
  g_assert_cmpstr (g_array_index (mine->limits, LwLimit, 0).source, ==, "sheet");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/board/part/rule", test_rule);
  g_test_add_func ("/board/part/quarters-exact", test_quarters_exact);
  g_test_add_func ("/board/part/corners", test_corners);
  g_test_add_func ("/board/part/outline-arcs", test_outline_arcs);
  g_test_add_func ("/board/part/joints", test_joints);
  g_test_add_func ("/board/part/joint-origin", test_joint_origin);
  g_test_add_func ("/board/part/heights", test_heights);
  g_test_add_func ("/board/part/words", test_words);
  g_test_add_func ("/board/part/copies", test_copies);
  return g_test_run ();
}
