/* From what a name says to joints, where it says enough and the body agrees. */
#include <math.h>

#include "exchange/package-words.h"

/* Nominal ball of a collapsing area array by its pitch: IPC-7351B ball diameters, from memory. */
static const struct {
  double pitch_mm, ball_mm;
} balls[] = { { 1.2, 0.75 }, { 0.95, 0.6 }, { 0.75, 0.5 }, { 0.6, 0.4 }, { 0.45, 0.3 }, { 0, 0.25 } };

/* Of the ball's diameter: its land and the collapsed joint's height. Common practice, no source. */
static const double LAND_SHARE = 0.8;
static const double COLLAPSED_SHARE = 0.75;
/* Gull wings: a foot's length (L nominal of JEDEC MS-026, from memory), how far tips stand out of the
 * body on both sides together (MS-026, MS-012 and MO-153 give 2.0 to 2.1 mm, from memory), lead width
 * over pitch (common practice). */
static const double FOOT_MM = 0.6;
static const double TIPS_BEYOND_BODY_MM = 2.0;
static const double LEAD_WIDTH_SHARE = 0.45;
/* Leadless: a land under the body's rim (L nominal of JEDEC MO-220, from memory) and its width over
 * pitch. */
static const double RIM_LAND_MM = 0.4;
static const double RIM_WIDTH_SHARE = 0.5;
/* A chip's terminal over its length: 0.25 of 1.0 mm to 0.5 of 2.0 and 3.2 mm, common practice. */
static const double TERMINAL_SHARE = 0.22;

static gboolean
fits (guint n, double pitch_mm, double side_mm)
{
  return n > 0 && pitch_mm > 0 && (n - 1) * pitch_mm < side_mm;
}

/* ---- balls ---- */

static double
ball_of (const LwPackageWords *words)
{
  guint i = 0;

  if (words->ball_mm > 0 && words->ball_mm < words->pitch_mm)
    return words->ball_mm;
  while (words->pitch_mm < balls[i].pitch_mm)
    i++;
  return balls[i].ball_mm;
}

/* Missing balls are taken as a square hole in the middle when that fits exactly; FALSE when it
 * cannot. */
static gboolean
find_hole (guint columns, guint rows, guint pins, guint *hole)
{
  guint missing, side;

  *hole = 0;
  if (pins == 0 || pins == columns * rows)
    return TRUE;
  if (pins > columns * rows)
    return FALSE;
  missing = columns * rows - pins;
  side = (guint) lround (sqrt (missing));
  *hole = side;
  return side * side == missing && side < MIN (columns, rows) && (columns - side) % 2 == 0
         && (rows - side) % 2 == 0;
}

static void
apply_grid (const LwPackageWords *words, LwPackage *package)
{
  guint columns = words->columns, rows = words->rows, hole;
  guint side = (guint) lround (sqrt (words->pins));
  LwJoints *joints = &package->joints;

  if (columns == 0 && side >= 2 && side * side == words->pins)
    columns = rows = side;
  if (!fits (columns, words->pitch_mm, package->length_mm)
      || !fits (rows, words->pitch_mm, package->width_mm)
      || !find_hole (columns, rows, words->pins, &hole))
    return;
  joints->pattern = LW_JOINTS_GRID;
  joints->columns = columns;
  joints->rows = rows;
  joints->hole_columns = joints->hole_rows = hole;
  joints->pitch_mm = words->pitch_mm;
  joints->length_mm = joints->width_mm = LAND_SHARE * ball_of (words);
  joints->standoff_mm = COLLAPSED_SHARE * ball_of (words);
}

/* ---- leads and lands along the sides ---- */

/* Centre to centre of two opposite rows. */
static double
row_span (const LwPackageWords *words, double tips_mm, double body_mm, double box_mm)
{
  if (body_mm == 0 || body_mm > box_mm)
    body_mm = box_mm;
  if (!words->leads)
    return body_mm - RIM_LAND_MM;
  if (tips_mm > 0)
    return tips_mm - FOOT_MM;
  /* The drawing shows either the body or the leads too. */
  if (box_mm - body_mm > 0.8)
    return box_mm - FOOT_MM;
  return body_mm + TIPS_BEYOND_BODY_MM - FOOT_MM;
}

static void
set_side_joints (const LwPackageWords *words, LwPackage *package, LwJointPattern pattern, guint columns,
                 guint rows)
{
  LwJoints *joints = &package->joints;

  joints->pattern = pattern;
  joints->columns = columns;
  joints->rows = rows;
  joints->pitch_mm = words->pitch_mm;
  joints->span_x_mm = row_span (words, words->lead_span_x_mm, words->body_x_mm, package->length_mm);
  joints->span_y_mm = pattern == LW_JOINTS_FOUR_SIDES
                        ? row_span (words, words->lead_span_y_mm, words->body_y_mm, package->width_mm)
                        : 0;
  joints->length_mm = words->leads ? FOOT_MM : RIM_LAND_MM;
  joints->width_mm = words->pitch_mm * (words->leads ? LEAD_WIDTH_SHARE : RIM_WIDTH_SHARE);
  if (words->pad_length_mm < package->length_mm && words->pad_width_mm < package->width_mm)
    {
      joints->thermal_pad_length_mm = words->pad_length_mm;
      joints->thermal_pad_width_mm = words->pad_width_mm;
    }
}

/* An odd count has the thermal pad in it. Which sides of an oblong body have more leads no name says. */
static void
apply_four_sides (const LwPackageWords *words, LwPackage *package)
{
  guint pins = words->pins - words->pins % 2, each = pins / 4;
  double oblong = fabs (package->length_mm - package->width_mm);

  if (pins % 4 != 0 || oblong > 0.1 * package->length_mm
      || !fits (each, words->pitch_mm, package->length_mm)
      || !fits (each, words->pitch_mm, package->width_mm))
    return;
  set_side_joints (words, package, LW_JOINTS_FOUR_SIDES, each, each);
}

static void
apply_two_sides (const LwPackageWords *words, LwPackage *package)
{
  guint each = (words->pins - words->pins % 2) / 2;

  if (fits (each, words->pitch_mm, package->width_mm) && package->length_mm > RIM_LAND_MM)
    set_side_joints (words, package, LW_JOINTS_TWO_SIDES, 0, each);
}

/* ---- chips ---- */

/* The drawing's longer side says along which axis the chip lies. */
static void
apply_two_ends (const LwPackageWords *words, LwPackage *package)
{
  double terminal = TERMINAL_SHARE * words->chip_length_mm, span = words->chip_length_mm - terminal;
  double longer = MAX (package->length_mm, package->width_mm);
  LwJoints *joints = &package->joints;

  if (words->chip_length_mm == 0 || longer < 0.8 * words->chip_length_mm
      || longer > 2.5 * words->chip_length_mm)
    return;
  joints->length_mm = terminal;
  joints->width_mm = words->chip_width_mm;
  joints->span_x_mm = span;
  joints->pattern = LW_JOINTS_TWO_ENDS;
  if (package->length_mm >= package->width_mm)
    return;
  joints->pattern = LW_JOINTS_LISTED;
  joints->length_mm = words->chip_width_mm;
  joints->width_mm = terminal;
  joints->span_x_mm = 0;
  joints->positions = g_array_new (FALSE, TRUE, sizeof (LwPoint));
  for (int end = -1; end <= 1; end += 2)
    {
      LwPoint at = { package->center_x_mm, package->center_y_mm + end * span / 2 };

      g_array_append_val (joints->positions, at);
    }
}

double
lw_collapsed_ball_mm (double land_mm)
{
  return COLLAPSED_SHARE * land_mm / LAND_SHARE;
}

void
lw_package_words_apply (const LwPackageWords *words, LwPackage *package)
{
  package->kind = words->kind;
  switch (words->family)
    {
    case LW_JOINTS_GRID:
      apply_grid (words, package);
      break;
    case LW_JOINTS_FOUR_SIDES:
      apply_four_sides (words, package);
      break;
    case LW_JOINTS_TWO_SIDES:
      apply_two_sides (words, package);
      break;
    case LW_JOINTS_TWO_ENDS:
      apply_two_ends (words, package);
      break;
    case LW_JOINTS_NONE:
    case LW_JOINTS_LISTED:
      break;
    }
}
