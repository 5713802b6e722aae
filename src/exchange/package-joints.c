/* From what a name says to joints, where it says enough and the body agrees. The figures go through the outline
 * drawing of the family (board/sheet.h), which knows the usual of what the name leaves out. */
#include <math.h>

#include "exchange/package-words.h"

/* How far tips stand out of the body on both sides together (MS-026, MS-012 and MO-153 give 2.0 to 2.1 mm, from
 * memory); a drawing's box that is this much larger than the body shows the leads too (common practice). */
static const double TIPS_BEYOND_BODY_MM = 2.0, LEADS_SHOWN_MM = 0.8;
/* A drawing's box may differ from the body that the name states by this much and this share: drawings are drawn at
 * nominal, largest or with the leads (common practice). */
static const double BOX_OFF_MM = 0.3, BOX_OFF_SHARE = 0.1;
/* A chip's terminal over its length, as in board/sheet.c. */
static const double TERMINAL_SHARE = 0.22;
/* A ball's land over its diameter, as in board/sheet-package.c. */
static const double LAND_SHARE = 0.8;

static double
or_unknown (double value)
{
  return value > 0 ? value : NAN;
}

/* The sheet's joints, or none when it is at fault or gives another count than PINS (0 = not said). */
static void
use_sheet (const LwDatasheet *sheet, guint pins, LwPackage *package)
{
  g_autoptr (LwPackage) trial = lw_package_new ();
  g_autoptr (LwPart) part = lw_part_new ();
  g_autoptr (GArray) at = NULL;

  if (!lw_datasheet_joints (sheet, &trial->joints))
    return;
  at = lw_part_joints (part, trial);
  if (pins != 0 && at->len != pins)
    return;
  package->joints = trial->joints;
  trial->joints.positions = NULL; /* the package has them now */
}

/* ---- names of the standard ---- */

static gboolean
near_enough (double box_mm, double body_mm, double span_mm)
{
  double off = BOX_OFF_MM + BOX_OFF_SHARE * body_mm;

  return fabs (box_mm - body_mm) <= off || fabs (box_mm - span_mm) <= off;
}

static void
apply_standard (const LwPackageWords *words, LwPackage *package)
{
  const LwDatasheet *sheet = &words->sheet;

  if (near_enough (package->length_mm, lw_datasheet_value (sheet, LW_FIGURE_BODY_X),
                   lw_datasheet_value (sheet, LW_FIGURE_SPAN_X))
      && near_enough (package->width_mm, lw_datasheet_value (sheet, LW_FIGURE_BODY_Y),
                      lw_datasheet_value (sheet, LW_FIGURE_SPAN_Y)))
    use_sheet (sheet, 0, package);
}

/* ---- trade names ---- */

static void
apply_grid (const LwPackageWords *words, LwPackage *package)
{
  LwDatasheet sheet;

  lw_datasheet_clear (&sheet, LW_SHEET_BALLS);
  sheet.figure[LW_FIGURE_BODY_X] = package->length_mm;
  sheet.figure[LW_FIGURE_BODY_Y] = package->width_mm;
  sheet.figure[LW_FIGURE_HEIGHT] = lw_default_height_mm (package);
  sheet.figure[LW_FIGURE_PITCH] = or_unknown (words->pitch_mm);
  sheet.figure[LW_FIGURE_COLUMNS] = or_unknown (words->columns);
  sheet.figure[LW_FIGURE_ROWS] = or_unknown (words->rows);
  sheet.figure[LW_FIGURE_COUNT] = or_unknown (words->pins);
  if (words->ball_mm < words->pitch_mm)
    sheet.figure[LW_FIGURE_JOINT] = or_unknown (words->ball_mm);
  use_sheet (&sheet, words->pins, package);
}

/* Body and tips along one direction, as far as the box and the name say. */
static void
set_side (const LwPackageWords *words, LwDatasheet *sheet, double body_mm, double box_mm, LwFigure body, LwFigure span)
{
  if (body_mm == 0 || body_mm > box_mm)
    body_mm = box_mm;
  sheet->figure[body] = body_mm;
  if (words->leads)
    sheet->figure[span] = box_mm - body_mm > LEADS_SHOWN_MM ? box_mm : body_mm + TIPS_BEYOND_BODY_MM;
}

static void
set_sides (const LwPackageWords *words, const LwPackage *package, LwDatasheet *sheet)
{
  double room_x, room_y;

  set_side (words, sheet, words->body_x_mm, package->length_mm, LW_FIGURE_BODY_X, LW_FIGURE_SPAN_X);
  set_side (words, sheet, words->body_y_mm, package->width_mm, LW_FIGURE_BODY_Y, LW_FIGURE_SPAN_Y);
  sheet->figure[LW_FIGURE_HEIGHT] = lw_default_height_mm (package);
  sheet->figure[LW_FIGURE_PITCH] = or_unknown (words->pitch_mm);
  sheet->figure[LW_FIGURE_COUNT] = words->pins - words->pins % 2; /* an odd one is the thermal pad */
  room_x = sheet->figure[LW_FIGURE_BODY_X] - (words->leads ? 0 : 2 * lw_datasheet_value (sheet, LW_FIGURE_JOINT));
  room_y = sheet->figure[LW_FIGURE_BODY_Y] - (words->leads ? 0 : 2 * lw_datasheet_value (sheet, LW_FIGURE_JOINT));
  if (words->pad_length_mm > 0 && words->pad_length_mm < room_x && words->pad_width_mm < room_y)
    {
      sheet->figure[LW_FIGURE_PAD_X] = words->pad_length_mm;
      sheet->figure[LW_FIGURE_PAD_Y] = words->pad_width_mm;
    }
}

/* Which sides of an oblong body have more leads no trade name says. */
static void
apply_four_sides (const LwPackageWords *words, LwPackage *package)
{
  LwDatasheet sheet;
  guint pins = words->pins - words->pins % 2;

  if (pins % 4 != 0 || fabs (package->length_mm - package->width_mm) > 0.1 * package->length_mm)
    return;
  lw_datasheet_clear (&sheet, words->leads ? LW_SHEET_QUAD_GULL : LW_SHEET_QUAD_FLAT);
  set_sides (words, package, &sheet);
  sheet.figure[LW_FIGURE_COLUMNS] = sheet.figure[LW_FIGURE_ROWS] = pins / 4;
  use_sheet (&sheet, pins, package);
}

static void
apply_two_sides (const LwPackageWords *words, LwPackage *package)
{
  LwDatasheet sheet;

  lw_datasheet_clear (&sheet, words->leads ? LW_SHEET_DUAL_GULL : LW_SHEET_DUAL_FLAT);
  set_sides (words, package, &sheet);
  sheet.figure[LW_FIGURE_BODY_Y] = package->width_mm; /* no leads come out there */
  use_sheet (&sheet, words->pins - words->pins % 2, package);
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
  LwDatasheet sheet;

  lw_datasheet_clear (&sheet, LW_SHEET_BALLS);
  sheet.figure[LW_FIGURE_JOINT] = land_mm / LAND_SHARE;
  return lw_datasheet_value (&sheet, LW_FIGURE_STANDOFF);
}

void
lw_package_words_apply (const LwPackageWords *words, LwPackage *package)
{
  package->kind = words->kind;
  if (words->standard && words->family != LW_JOINTS_TWO_ENDS)
    {
      apply_standard (words, package);
      return;
    }
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
