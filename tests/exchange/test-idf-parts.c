/* Parts, packages and libraries of IDF pairs. */
#include <math.h>

#include "idf-text.h"

static const LwPackage *
package_at (const LwImport *import, guint i)
{
  return lw_job_package_of (import->job, part_at (import, i));
}

static void
assert_point (LwPoint p, double x, double y)
{
  g_assert_cmpfloat_with_epsilon (p.x_mm, x, 1e-9);
  g_assert_cmpfloat_with_epsilon (p.y_mm, y, 1e-9);
}

static void
test_place (void)
{
  g_autoptr (LwImport) import =
    read_good (HEAD3 ("MM") EDGE PLACE (
                 "geo num U1\n10 20 0.25 -90 TOP PLACED\ngeo num U2\n20 20 0 450 bottom mcad\n"
                 "geo num U3\n1 1 0 -0.000 TOP UNPLACED\n"),
               LIBRARY (ENTRY ("geo", "num")));

  g_assert_cmpuint (import->job->parts->len, ==, 3);
  g_assert_cmpstr (part_at (import, 0)->package, ==, "geo");
  g_assert_cmpstr (part_at (import, 0)->value, ==, "num");
  g_assert_cmpfloat (part_at (import, 0)->rotation_deg, ==, 270);
  g_assert_cmpfloat (part_at (import, 0)->offset_mm, ==, 0.25);
  g_assert_cmpint (part_at (import, 1)->side, ==, LW_SIDE_BOTTOM);
  g_assert_cmpfloat (part_at (import, 1)->rotation_deg, ==, 90);
  g_assert_true (part_at (import, 1)->placed);
  g_assert_false (part_at (import, 2)->placed);
  g_assert_cmpfloat (part_at (import, 2)->rotation_deg, ==, 0);
  g_assert_false (signbit (part_at (import, 2)->rotation_deg));
}

/* Top: P + R(f)(u, v); bottom: P + R(-f)(-u, v). The body reaches from the placement point to u = 4, v
 * = 2. */
static void
test_sides (void)
{
  g_autoptr (LwImport) import = read_good (
    HEAD3 ("MM") EDGE PLACE ("g n U1\n10 20 0 90 TOP PLACED\ng n U2\n30 20 0 90 BOTTOM PLACED\n"
                             "g n U3\n30 20 0 0 BOTTOM PLACED\n"),
    LIBRARY (ENTRY ("g", "n")));

  assert_point (lw_part_to_board (part_at (import, 0), 4, 2), 10 - 2, 20 + 4);
  assert_point (lw_part_to_board (part_at (import, 1), 4, 2), 30 + 2, 20 + 4);
  assert_point (lw_part_to_board (part_at (import, 2), 4, 2), 30 - 4, 20 + 2);
  assert_point (lw_part_body_center (part_at (import, 2), package_at (import, 2)), 28, 21);
}

/* A layout program that turns the native drawing by n and mirrors it in y for the bottom writes 180 - n
 * into IDF: both rules must put every point of the drawing at the same place. */
static void
test_bottom_rotation_of_a_layout_program (void)
{
  for (int n = -90; n <= 270; n += 15)
    {
      double a = n * G_PI / 180, u = 1.25, v = -0.5;
      g_autoptr (LwPart) part = lw_part_new ();

      part->side = LW_SIDE_BOTTOM;
      part->rotation_deg = lw_angle_normalise (180 - n);
      assert_point (lw_part_to_board (part, u, v), cos (a) * u + sin (a) * v, sin (a) * u - cos (a) * v);
    }
}

static void
test_version_2 (void)
{
  g_autoptr (LwImport) import = read_good (
    HEAD2 (
      "MM") ".BOARD_OUTLINE\n1.6\n0 0 0 0\n0 50 0 0\n0 50 40 0\n0 0 40 0\n0 0 0 0\n.END_BOARD_OUTLINE\n"
            ".PLACE_OUTLINE\n0 0 0 0\n0 50 0 0\n0 50 40 0\n0 0 0 0\n.END_PLACE_OUTLINE\n"
            ".DRILLED_HOLES\n0.8 1 1 PTH U1\n0.8 2 1 PIN U1\n.END_DRILLED_HOLES\n" PLACE (
              "g n U1\n10 20 90 BOTTOM FIXED\n"),
    NULL);

  g_assert_cmpfloat (part_at (import, 0)->rotation_deg, ==, 90);
  g_assert_cmpint (part_at (import, 0)->side, ==, LW_SIDE_BOTTOM);
  g_assert_cmpfloat (part_at (import, 0)->offset_mm, ==, 0);
}

static void
test_names (void)
{
  g_autoptr (LwImport) import =
    read_good (HEAD3 ("MM") EDGE PLACE (
                 "g n NOREFDES\n1 1 0 0 TOP PLACED\ng n noRefDes\n2 1 0 0 TOP PLACED\ng n NOREFDES\n3 1 "
                 "0 0 TOP PLACED\n"
                 "g n C1\n4 1 0 0 TOP PLACED\ng n C1\n5 1 0 0 TOP PLACED\ng n C1-2\n6 1 0 0 TOP PLACED\n"
                 "g n \"\"\n7 1 0 0 TOP PLACED\n"),
               NULL);
  const char *names[] = { "NOREFDES", "noRefDes", "NOREFDES-2", "C1", "C1-3", "C1-2", "NOREFDES-3" };

  g_assert_cmpuint (import->job->parts->len, ==, G_N_ELEMENTS (names));
  for (guint i = 0; i < G_N_ELEMENTS (names); i++)
    g_assert_cmpstr (part_at (import, i)->ref, ==, names[i]);
  g_assert_cmpstr (json_object_get_string_member (part_at (import, 4)->extra, "file_ref"), ==, "C1");
  g_assert_null (part_at (import, 3)->extra);
  g_assert_true (warns (import, 22, "a second C1"));
  g_assert_false (warns (import, 0, "a second NOREFDES"));
}

static void
test_heights (void)
{
  g_autoptr (LwImport) import =
    read_good (HEAD3 ("MM") EDGE PLACE ("zero n U1\n1 1 0 0 TOP PLACED\ntall n U2\n2 1 0 0 TOP PLACED\n"
                                        "wrong n U3\n3 1 0 0 TOP PLACED\ngood n U4\n4 1 0 0 TOP PLACED\n"
                                        "none n U5\n5 1 0 0 TOP PLACED\n"),
               LIBRARY (".ELECTRICAL\nzero n MM 0\n0 0 0 0\n0 1 0 360\n.END_ELECTRICAL\n"
                        ".ELECTRICAL\ntall n THOU 2000\n0 0 0 0\n0 50 0 360\n.END_ELECTRICAL\n"
                        ".ELECTRICAL\nwrong n MM -1\n0 0 0 0\n0 1 0 360\n.END_ELECTRICAL\n"
                        ".MECHANICAL\ngood n THOU 100\n1 0 0 0\n1 0 40 0\n1 40 40 0\n1 40 0 0\n1 0 0 "
                        "0\n.END_MECHANICAL\n"));

  g_assert_true (isnan (package_at (import, 0)->height_mm));
  g_assert_true (warns (import, 5, "not known"));
  g_assert_cmpfloat_with_epsilon (package_at (import, 1)->height_mm, 50.8, 1e-9);
  g_assert_true (warns (import, 10, "hard to believe"));
  g_assert_true (isnan (package_at (import, 2)->height_mm));
  g_assert_cmpfloat_with_epsilon (package_at (import, 3)->height_mm, 2.54, 1e-9);
  g_assert_cmpint (package_at (import, 3)->kind, ==, LW_KIND_MECHANICAL);
  g_assert_null (package_at (import, 4));
  g_assert_true (warns (import, 22, "not in the library"));
  g_assert_true (isnan (part_at (import, 4)->height_mm));
}

static void
test_bodies (void)
{
  g_autoptr (LwImport) import = read_good (
    HEAD3 ("MM") EDGE PLACE ("round n U1\n10 10 0 0 TOP PLACED\ncut n U2\n20 10 0 0 TOP PLACED\n"
                             "box n U3\n30 10 0 0 TOP PLACED\n"),
    LIBRARY (".ELECTRICAL\nround n MM 5\n0 1 0 0\n0 4 0 360\nPROP THETA_JC 5.1\nPROP \"a b\" "
             "x\n.END_ELECTRICAL\n"
             ".ELECTRICAL\ncut n MM 5\n1 0 0 0\n1 0 4 0\n1 3 4 0\n1 4 3 0\n1 4 0 0\n1 0 0 "
             "0\n.END_ELECTRICAL\n" ENTRY ("box", "n")));
  const LwPackage *round = package_at (import, 0), *cut = package_at (import, 1),
                  *box = package_at (import, 2);
  JsonObject *properties = json_object_get_object_member (round->extra, "properties");

  g_assert_true (round->round);
  g_assert_cmpfloat_with_epsilon (round->length_mm, 6, 1e-9);
  g_assert_cmpfloat_with_epsilon (round->center_x_mm, 1, 1e-9);
  g_assert_cmpstr (json_object_get_string_member (properties, "THETA_JC"), ==, "5.1");
  g_assert_cmpstr (json_object_get_string_member (properties, "a b"), ==, "x");
  g_assert_nonnull (cut->outline);
  g_assert_cmpfloat_with_epsilon (lw_loop_area (cut->outline), 15.5, 1e-9);
  g_assert_null (box->outline);
  g_assert_cmpfloat_with_epsilon (box->length_mm, 4, 1e-9);
  g_assert_cmpfloat_with_epsilon (box->center_y_mm, 1, 1e-9);
}

/* The key is geometry and part number, then geometry alone. */
static void
test_library_keys (void)
{
  g_autoptr (LwImport) import = read_good (
    HEAD3 ("MM") EDGE PLACE ("g big U1\n10 10 0 0 TOP PLACED\ng other U2\n20 10 0 0 TOP PLACED\n"
                             "g n U3\n30 10 0 0 TOP PLACED\nG n U4\n30 20 0 0 TOP PLACED\n"),
    LIBRARY (ENTRY ("g", "n") ".ELECTRICAL\ng big MM 9\n0 0 0 0\n0 8 0 0\n0 8 8 0\n0 0 8 0\n0 0 0 "
                              "0\n.END_ELECTRICAL\n" ENTRY ("g", "n")));

  g_assert_cmpfloat (package_at (import, 0)->height_mm, ==, 9);
  g_assert_cmpfloat (package_at (import, 1)->height_mm, ==, 1.5);
  g_assert_true (package_at (import, 1) == package_at (import, 2));
  g_assert_cmpstr (part_at (import, 0)->package, !=, part_at (import, 2)->package);
  g_assert_true (warns (import, 21, "second entry"));
  g_assert_null (package_at (import, 3)); /* names are case-sensitive */
}

/* Two entries that differ in the part number alone are one package, and one designator that says what
 * they are is enough; a body of inches taken for millimetres is remarked on. */
static void
test_shared_packages (void)
{
  g_autoptr (LwImport) import = read_good (
    HEAD3 ("MM") EDGE PLACE ("g n1 MAIN_SW1\n10 10 0 0 TOP PLACED\ng n2 SW2\n20 10 0 0 TOP PLACED\n"
                             "big n U1\n30 10 0 0 TOP PLACED\n"),
    LIBRARY (ENTRY ("g", "n1")
               ENTRY ("g", "n2") ".ELECTRICAL\nbig n MM 9\n0 0 0 0\n0 100 0 360\n.END_ELECTRICAL\n"));

  g_assert_cmpuint (import->job->packages->len, ==, 2);
  g_assert_true (package_at (import, 0) == package_at (import, 1));
  g_assert_cmpint (package_at (import, 0)->kind, ==, LW_KIND_SWITCH);
  g_assert_cmpstr (part_at (import, 1)->value, ==, "n2");
  g_assert_true (warns (import, 0, "larger than the board"));
}

static void
test_no_library (void)
{
  g_autoptr (LwImport) import =
    read_good (HEAD3 ("MM") EDGE PLACE ("g n U1\n1 1 0 0 TOP PLACED\n"), NULL);

  g_assert_true (warns (import, 0, "no library file"));
  g_assert_cmpstr (part_at (import, 0)->package, ==, "g");
  g_assert_null (package_at (import, 0));
}

static void
test_far_and_outside (void)
{
  g_autoptr (LwImport) import = read_good (
    HEAD3 ("MM") EDGE PLACE (
      "g n U1\n20000 0 0 0 TOP PLACED\ng n U2\n80 80 0 0 TOP PLACED\ng n U3\n10 10 0 0 TOP PLACED\n"
      "g n U4\n10 20 0 0 TOP PLACED\ng n U5\n20 10 0 0 TOP PLACED\n"),
    LIBRARY (ENTRY ("g", "n")));

  g_assert_cmpuint (import->job->parts->len, ==, 5);
  g_assert_true (warns (import, 14, "10 m away"));
  g_assert_false (part_at (import, 0)->placed);
  g_assert_true (warns (import, 16, "outside"));
  g_assert_false (part_at (import, 1)->placed);
  g_assert_true (part_at (import, 2)->placed);
}

static void
test_notes_and_shapes (void)
{
  g_autoptr (LwImport) import =
    read_good (HEAD3 ("MM") EDGE ".NOTES\n1 2 3 4 \"mind the gap\"\n.END_NOTES\n.OTHER_OUTLINE "
                                 "MCAD\nCLAMP 5 TOP\n0 0 0 0\n0 5 0 360\n"
                                 ".END_OTHER_OUTLINE\n.STRANGE X\nany thing\n.END_STRANGE\n" PLACE (""),
               NULL);

  g_assert_cmpstr (import->job->notes, ==, "mind the gap");
  g_assert_true (warns (import, 17, "CLAMP"));
  g_assert_true (warns (import, 21, "STRANGE"));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/idf/parts/place", test_place);
  g_test_add_func ("/idf/parts/sides", test_sides);
  g_test_add_func ("/idf/parts/bottom-rotation", test_bottom_rotation_of_a_layout_program);
  g_test_add_func ("/idf/parts/version-2", test_version_2);
  g_test_add_func ("/idf/parts/names", test_names);
  g_test_add_func ("/idf/parts/heights", test_heights);
  g_test_add_func ("/idf/parts/bodies", test_bodies);
  g_test_add_func ("/idf/parts/library-keys", test_library_keys);
  g_test_add_func ("/idf/parts/shared-packages", test_shared_packages);
  g_test_add_func ("/idf/parts/no-library", test_no_library);
  g_test_add_func ("/idf/parts/far-and-outside", test_far_and_outside);
  g_test_add_func ("/idf/parts/notes-and-shapes", test_notes_and_shapes);
  return g_test_run ();
}
