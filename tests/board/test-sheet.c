/* Outline drawings: every family's example is sound, and figures that cannot be are said. */
#include <math.h>
#include <string.h>

#include "board/sheet.h"

static void
examples (void)
{
  for (guint family = 0; family < LW_SHEET_N_FAMILIES; family++) {
    const LwDatasheetInfo *info = lw_datasheet_info (family);
    LwDatasheet sheet;
    g_autoptr (LwPackage) package = NULL;
    g_autoptr (LwPart) part = lw_part_new ();
    g_autoptr (GArray) joints = NULL;

    lw_datasheet_example (&sheet, family);
    g_test_message ("%s", info->title);
    g_assert_cmpint (lw_datasheet_first_fault (&sheet), ==, -1);
    package = lw_datasheet_package (&sheet, "example", "a drawing");
    g_assert_nonnull (package);
    joints = lw_part_joints (part, package);
    g_assert_cmpuint (joints->len, ==, (guint) lw_datasheet_value (&sheet, LW_FIGURE_COUNT));
    g_assert_true (g_str_has_prefix (package->source, "a drawing"));
    g_assert_cmpint (info->kinds[0], ==, package->kind);
    for (guint i = 0; i < joints->len; i++) { /* soldered near the body, not somewhere else */
      const LwPoint *at = &g_array_index (joints, LwPoint, i);
      g_assert_cmpfloat (fabs (at->x_mm), <, package->length_mm / 2 + 2);
      g_assert_cmpfloat (fabs (at->y_mm), <, package->width_mm / 2 + 2);
    }
  }
}

static void
set (LwDatasheet *sheet, LwFigure figure, double value)
{
  sheet->figure[figure] = value;
}

static void
refuses (const LwDatasheet *good, LwFigure figure, double value, LwFigure at)
{
  LwDatasheet sheet = *good;

  set (&sheet, figure, value);
  g_autofree char *fault = lw_datasheet_fault (&sheet, at);
  g_autoptr (LwPackage) package = lw_datasheet_package (&sheet, "x", "x");
  g_assert_nonnull (fault);
  g_assert_cmpuint (strlen (fault), >, 5);
  g_assert_null (package);
}

static void
faults (void)
{
  LwDatasheet balls, quad, flat, small, chip, pins;

  lw_datasheet_example (&balls, LW_SHEET_BALLS);
  refuses (&balls, LW_FIGURE_JOINT, 1.0, LW_FIGURE_JOINT);      /* a ball as wide as the pitch */
  refuses (&balls, LW_FIGURE_PITCH, 1.27, LW_FIGURE_PITCH);     /* 16 at 1.27 on 17 mm */
  refuses (&balls, LW_FIGURE_COUNT, 257, LW_FIGURE_COUNT);
  refuses (&balls, LW_FIGURE_STANDOFF, 0.7, LW_FIGURE_STANDOFF); /* above a ball of 0.6 */
  refuses (&balls, LW_FIGURE_HEIGHT, 0.4, LW_FIGURE_HEIGHT);
  refuses (&balls, LW_FIGURE_COLUMNS, 2.5, LW_FIGURE_COLUMNS);
  refuses (&balls, LW_FIGURE_BODY_X, NAN, LW_FIGURE_BODY_X);
  refuses (&balls, LW_FIGURE_BODY_X, -1, LW_FIGURE_BODY_X);
  refuses (&balls, LW_FIGURE_BODY_X, HUGE_VAL, LW_FIGURE_BODY_X);
  lw_datasheet_example (&quad, LW_SHEET_QUAD_GULL);
  refuses (&quad, LW_FIGURE_SPAN_X, 13, LW_FIGURE_SPAN_X);     /* leads that end inside the body */
  refuses (&quad, LW_FIGURE_JOINT, 1.2, LW_FIGURE_JOINT);      /* foot longer than what stands out */
  refuses (&quad, LW_FIGURE_JOINT_WIDTH, 0.5, LW_FIGURE_JOINT_WIDTH);
  refuses (&quad, LW_FIGURE_COUNT, 101, LW_FIGURE_COUNT);
  lw_datasheet_example (&flat, LW_SHEET_QUAD_FLAT);
  refuses (&flat, LW_FIGURE_PAD_X, 6.4, LW_FIGURE_PAD_X);      /* pad in the lands */
  refuses (&flat, LW_FIGURE_PAD_X, 0, LW_FIGURE_PAD_X);        /* the other side is given */
  lw_datasheet_example (&small, LW_SHEET_SMALL);
  refuses (&small, LW_FIGURE_COUNT, 2, LW_FIGURE_COUNT);
  lw_datasheet_example (&chip, LW_SHEET_CHIP);
  refuses (&chip, LW_FIGURE_JOINT, 0.8, LW_FIGURE_JOINT);
  lw_datasheet_example (&pins, LW_SHEET_DUAL_PIN);
  refuses (&pins, LW_FIGURE_BODY_Y, 12, LW_FIGURE_PITCH);      /* seven pins at 2.54 on 12 mm */
}

/* An oblong body has more leads on its longer sides: MS-026 BHA, 14 x 20 mm at 0.65 mm, has 20 and 30. */
static void
oblong (void)
{
  LwDatasheet sheet;

  lw_datasheet_example (&sheet, LW_SHEET_QUAD_GULL);
  set (&sheet, LW_FIGURE_SPAN_X, 16);
  set (&sheet, LW_FIGURE_SPAN_Y, 22);
  set (&sheet, LW_FIGURE_BODY_X, 14);
  set (&sheet, LW_FIGURE_BODY_Y, 20);
  set (&sheet, LW_FIGURE_PITCH, 0.65);
  g_assert_cmpfloat (lw_datasheet_value (&sheet, LW_FIGURE_COLUMNS), ==, 20);
  g_assert_cmpfloat (lw_datasheet_value (&sheet, LW_FIGURE_ROWS), ==, 30);
}

/* A figure on its way of being typed may be below nought: it is refused, and nothing is looked up beyond a table. */
static void
below_nought (void)
{
  LwDatasheet sheet;

  lw_datasheet_example (&sheet, LW_SHEET_BALLS);
  set (&sheet, LW_FIGURE_JOINT, NAN);
  set (&sheet, LW_FIGURE_PITCH, -1);
  g_assert_cmpfloat (lw_datasheet_value (&sheet, LW_FIGURE_JOINT), ==, 0.25); /* the finest ball there is */
  refuses (&sheet, LW_FIGURE_PITCH, -1, LW_FIGURE_PITCH);
}

/* The three leads of TO-236: two on one side at twice 0.95 mm, one opposite. */
static void
three_leads (void)
{
  LwDatasheet sheet;
  LwJoints joints = { 0 };

  lw_datasheet_example (&sheet, LW_SHEET_SMALL);
  set (&sheet, LW_FIGURE_COUNT, 3);
  g_assert_true (lw_datasheet_joints (&sheet, &joints));
  g_assert_cmpuint (joints.positions->len, ==, 3);
  const LwPoint *at = (const LwPoint *) (void *) joints.positions->data;
  g_assert_cmpfloat_with_epsilon (at[0].y_mm, 0.95, 1e-12);
  g_assert_cmpfloat_with_epsilon (at[1].y_mm, -0.95, 1e-12);
  g_assert_cmpfloat (at[0].x_mm, <, 0);
  g_assert_cmpfloat_with_epsilon (at[2].x_mm, -at[0].x_mm, 1e-12);
  g_assert_cmpfloat (at[2].y_mm, ==, 0);
  g_array_unref (joints.positions);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/sheet/examples", examples);
  g_test_add_func ("/sheet/faults", faults);
  g_test_add_func ("/sheet/oblong", oblong);
  g_test_add_func ("/sheet/below-nought", below_nought);
  g_test_add_func ("/sheet/three-leads", three_leads);
  return g_test_run ();
}
