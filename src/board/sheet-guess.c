/* From a package back to the outline drawing it may have been made from. */
#include <math.h>

#include "board/sheet.h"

/* A ball's land over its diameter, as in sheet-package.c. */
static const double LAND_SHARE = 0.8;

static LwDatasheetFamily
family_of (const LwPackage *package)
{
  gboolean out = package->joints.span_x_mm > package->length_mm;

  switch (package->joints.pattern) {
  case LW_JOINTS_GRID:
    return LW_SHEET_BALLS;
  case LW_JOINTS_FOUR_SIDES:
    return out ? LW_SHEET_QUAD_GULL : package->kind == LW_KIND_LEADED ? LW_SHEET_QUAD_J : LW_SHEET_QUAD_FLAT;
  case LW_JOINTS_TWO_SIDES:
    return out ? LW_SHEET_DUAL_GULL : package->kind == LW_KIND_LEADED ? LW_SHEET_DUAL_J : LW_SHEET_DUAL_FLAT;
  case LW_JOINTS_TWO_ENDS:
    if (package->kind == LW_KIND_ELECTROLYTIC)
      return LW_SHEET_CAN;
    return package->kind == LW_KIND_TANTALUM || package->kind == LW_KIND_POLYMER_CAPACITOR || out
             ? LW_SHEET_MOULDED : LW_SHEET_CHIP;
  default:
    break;
  }
  switch (package->kind) {
  case LW_KIND_AREA_ARRAY:
    return LW_SHEET_BALLS;
  case LW_KIND_LEADED:
    return LW_SHEET_SMALL;
  case LW_KIND_LEADLESS:
    return LW_SHEET_QUAD_FLAT;
  case LW_KIND_CRYSTAL:
    return LW_SHEET_CORNERS;
  case LW_KIND_ELECTROLYTIC:
    return LW_SHEET_CAN;
  case LW_KIND_TANTALUM:
    return LW_SHEET_MOULDED;
  default:
    return LW_SHEET_CHIP;
  }
}

static void
guess_joints (LwDatasheet *self, const LwJoints *joints)
{
  gboolean gull = self->family == LW_SHEET_QUAD_GULL || self->family == LW_SHEET_DUAL_GULL
                  || self->family == LW_SHEET_MOULDED;

  if (joints->pattern == LW_JOINTS_NONE || joints->pattern == LW_JOINTS_LISTED)
    return;
  self->figure[LW_FIGURE_STANDOFF] = joints->standoff_mm;
  self->figure[LW_FIGURE_JOINT] = self->family == LW_SHEET_BALLS ? joints->length_mm / LAND_SHARE : joints->length_mm;
  if (joints->pitch_mm > 0)
    self->figure[LW_FIGURE_PITCH] = joints->pitch_mm;
  if (joints->pattern == LW_JOINTS_GRID) {
    self->figure[LW_FIGURE_COLUMNS] = joints->columns;
    self->figure[LW_FIGURE_ROWS] = joints->rows;
    self->figure[LW_FIGURE_COUNT]
      = (double) joints->columns * joints->rows - (double) joints->hole_columns * joints->hole_rows;
    return;
  }
  self->figure[LW_FIGURE_JOINT_WIDTH] = joints->width_mm;
  self->figure[LW_FIGURE_COUNT] = joints->pattern == LW_JOINTS_TWO_ENDS ? NAN : 2.0 * (joints->columns + joints->rows);
  if (gull) {
    self->figure[LW_FIGURE_SPAN_X] = joints->span_x_mm + joints->length_mm;
    self->figure[LW_FIGURE_SPAN_Y] = joints->span_y_mm + joints->length_mm;
  }
  if (joints->thermal_pad_length_mm > 0 && joints->thermal_pad_width_mm > 0) {
    self->figure[LW_FIGURE_PAD_X] = joints->thermal_pad_length_mm;
    self->figure[LW_FIGURE_PAD_Y] = joints->thermal_pad_width_mm;
  }
}

static gboolean
comes_in (LwDatasheetFamily family, LwPackageKind kind)
{
  const LwPackageKind *kinds = lw_datasheet_info (family)->kinds;

  while (*kinds != LW_N_KINDS)
    if (*kinds++ == kind)
      return TRUE;
  return FALSE;
}

void
lw_datasheet_guess (LwDatasheet *self, const LwPackage *package)
{
  lw_datasheet_clear (self, family_of (package));
  if (comes_in (self->family, package->kind))
    self->kind = package->kind;
  self->figure[LW_FIGURE_BODY_X] = package->length_mm;
  self->figure[LW_FIGURE_BODY_Y] = package->width_mm;
  self->figure[LW_FIGURE_HEIGHT] = package->height_mm;
  guess_joints (self, &package->joints);
  for (guint i = 0; i < LW_N_FIGURES; i++)
    if (lw_datasheet_row (self->family, i) == NULL)
      self->figure[i] = NAN;
}
