/* Figures of an outline drawing: what is given, and the usual value of what is not. */
#include <math.h>

#include "board/sheet.h"

/* Nominal ball of a collapsing area array by its pitch: ball diameters of IPC-7351B, from memory. */
static const struct {
  double pitch_mm, ball_mm;
} balls[] = { { 1.2, 0.75 }, { 0.95, 0.6 }, { 0.75, 0.5 }, { 0.6, 0.4 }, { 0.45, 0.3 }, { 0, 0.25 } };

/* Of the ball's diameter: the collapsed joint's height. Common practice, no source. */
static const double COLLAPSED_SHARE = 0.75;
/* Solder columns, 90Pb10Sn, 0.52 x 2.21 mm: makers' column sheets, from memory. */
static const double COLUMN_MM = 0.52, COLUMN_HEIGHT_MM = 2.21;
/* Gull wings: a foot's length (L nominal of MS-026), how far tips stand out of the body on both sides together
 * (MS-026, MS-012 and MO-153 give 2.0 to 2.1 mm), both from memory; lead width over pitch and its most: common
 * practice. */
static const double FOOT_MM = 0.6, TIPS_BEYOND_BODY_MM = 2.0, LEAD_WIDTH_SHARE = 0.45, LEAD_WIDTH_MOST_MM = 0.42;
/* J leads: contact's length, lead width, and how far the tips stand out of the body on both sides together, of
 * MS-018, from memory. */
static const double J_CONTACT_MM = 0.9, J_WIDTH_MM = 0.46, J_BEYOND_BODY_MM = 0.94;
/* Leadless: a land under the body's rim (L nominal of MO-220, from memory), its width over pitch; a castellated
 * carrier's land (MS-002, from memory). */
static const double RIM_LAND_MM = 0.4, RIM_WIDTH_SHARE = 0.5, CARRIER_LAND_MM = 1.27;
/* A chip's terminal over its length: 0.25 of 1.0 mm to 0.5 of 2.0 and 3.2 mm, common practice. */
static const double TERMINAL_SHARE = 0.22;
/* Base plate, terminal length over base, terminal width: V-chip sheets, from memory. */
static const double CAN_TERMINAL_SHARE = 0.36, CAN_TERMINAL_WIDTH_MM = 0.8;

/* Bodies of two-row gull wings by the width over their leads: SC-70, SOT-23, MO-178, MO-187, MS-012, MO-153,
 * MO-150, MS-013 nominal, from memory. */
static const struct {
  double span_mm, body_mm;
} bodies[] = { { 1.6, 1.2 },   { 2.1, 1.25 }, { 2.37, 1.3 }, { 2.8, 1.6 },   { 4.9, 3.0 },
               { 6.0, 3.9 },   { 6.4, 4.4 },  { 7.8, 5.3 },  { 10.3, 7.5 } };

void
lw_datasheet_clear (LwDatasheet *self, LwDatasheetFamily family)
{
  *self = (LwDatasheet){ .family = family, .kind = lw_datasheet_info (family)->kinds[0] };
  self->ceramic = family == LW_SHEET_COLUMNS || family == LW_SHEET_CARRIER;
  for (guint i = 0; i < LW_N_FIGURES; i++)
    self->figure[i] = NAN;
}

void
lw_datasheet_example (LwDatasheet *self, LwDatasheetFamily family)
{
  lw_datasheet_clear (self, family);
  for (const LwDatasheetRow *row = lw_datasheet_info (family)->rows; row->letter != NULL; row++)
    self->figure[row->figure] = row->example;
}

/* ---- usual values ---- */

static gboolean
is_gull (const LwDatasheet *self)
{
  return self->family == LW_SHEET_QUAD_GULL || self->family == LW_SHEET_DUAL_GULL
         || self->family == LW_SHEET_SMALL;
}

static gboolean
is_j (const LwDatasheet *self)
{
  return self->family == LW_SHEET_QUAD_J || self->family == LW_SHEET_DUAL_J;
}

static gboolean
is_quad (const LwDatasheet *self)
{
  return self->family == LW_SHEET_QUAD_GULL || self->family == LW_SHEET_QUAD_J
         || self->family == LW_SHEET_QUAD_FLAT || self->family == LW_SHEET_CARRIER;
}

static gboolean
is_array (const LwDatasheet *self)
{
  return self->family <= LW_SHEET_LANDS;
}

static double
ball (double pitch_mm)
{
  guint i = 0;

  if (isnan (pitch_mm))
    return NAN;
  while (i + 1 < G_N_ELEMENTS (balls) && pitch_mm < balls[i].pitch_mm) /* what is typed may be below nought */
    i++;
  return balls[i].ball_mm;
}

static double
standoff (const LwDatasheet *self)
{
  switch (self->family) {
  case LW_SHEET_BALLS:
    return COLLAPSED_SHARE * lw_datasheet_value (self, LW_FIGURE_JOINT);
  case LW_SHEET_COLUMNS:
    return COLUMN_HEIGHT_MM;
  case LW_SHEET_CHIP:
  case LW_SHEET_MOULDED:
  case LW_SHEET_CORNERS:
    return 0.03; /* what is left of the solder paste, from memory */
  case LW_SHEET_QUAD_J:
  case LW_SHEET_DUAL_J:
    return 0.6; /* A2 to A of MS-018 and MS-027, from memory */
  case LW_SHEET_QUAD_GULL:
  case LW_SHEET_DUAL_GULL:
    return 0.1; /* A1 of MS-026 and MS-012, from memory */
  case LW_SHEET_CAN:
    return 0.15; /* common practice */
  case LW_SHEET_DUAL_PIN:
    return 0.4; /* A1 of MS-001, from memory */
  default:
    return 0.05; /* A1 of MO-220, from memory */
  }
}

static double
joint (const LwDatasheet *self)
{
  switch (self->family) {
  case LW_SHEET_BALLS:
    return ball (lw_datasheet_value (self, LW_FIGURE_PITCH));
  case LW_SHEET_COLUMNS:
    return COLUMN_MM;
  case LW_SHEET_LANDS:
    return 0.6 * lw_datasheet_value (self, LW_FIGURE_PITCH); /* common practice */
  case LW_SHEET_QUAD_GULL:
  case LW_SHEET_DUAL_GULL:
    return FOOT_MM;
  case LW_SHEET_SMALL:
    return 0.45; /* L of MO-178, from memory */
  case LW_SHEET_QUAD_J:
  case LW_SHEET_DUAL_J:
    return J_CONTACT_MM;
  case LW_SHEET_CARRIER:
    return CARRIER_LAND_MM;
  case LW_SHEET_CHIP:
    return TERMINAL_SHARE * lw_datasheet_value (self, LW_FIGURE_BODY_X);
  case LW_SHEET_MOULDED: /* S of cases A, B and C, D, from memory; a sixth for what is smaller */
    return lw_datasheet_value (self, LW_FIGURE_SPAN_X) < 3 ? lw_datasheet_value (self, LW_FIGURE_SPAN_X) / 6
           : lw_datasheet_value (self, LW_FIGURE_SPAN_X) < 5 ? 0.8 : 1.3;
  case LW_SHEET_CAN:
    return CAN_TERMINAL_SHARE * lw_datasheet_value (self, LW_FIGURE_BODY_X);
  case LW_SHEET_CORNERS:
    return 0.33 * lw_datasheet_value (self, LW_FIGURE_BODY_X); /* common practice */
  case LW_SHEET_DUAL_PIN:
  case LW_SHEET_RADIAL:
    return lw_datasheet_value (self, LW_FIGURE_JOINT_WIDTH);
  default:
    return RIM_LAND_MM;
  }
}

static double
joint_width (const LwDatasheet *self)
{
  double pitch = lw_datasheet_value (self, LW_FIGURE_PITCH), width = lw_datasheet_value (self, LW_FIGURE_BODY_Y);

  switch (self->family) {
  case LW_SHEET_QUAD_FLAT:
  case LW_SHEET_DUAL_FLAT:
  case LW_SHEET_CARRIER:
    return RIM_WIDTH_SHARE * pitch;
  case LW_SHEET_QUAD_J:
  case LW_SHEET_DUAL_J:
    return J_WIDTH_MM;
  case LW_SHEET_SMALL: /* b of TO-261 where leads are wide apart, from memory */
    return pitch > 1.4 ? 0.7 : fmin (LEAD_WIDTH_SHARE * pitch, LEAD_WIDTH_MOST_MM);
  case LW_SHEET_QUAD_GULL:
  case LW_SHEET_DUAL_GULL:
    return fmin (LEAD_WIDTH_SHARE * pitch, LEAD_WIDTH_MOST_MM);
  case LW_SHEET_CHIP:
    return width;
  case LW_SHEET_MOULDED:
    return 0.6 * width; /* F of cases A to D is 0.56 to 0.79 of W, from memory */
  case LW_SHEET_CAN:
    return CAN_TERMINAL_WIDTH_MM;
  case LW_SHEET_CORNERS:
    return 0.33 * width; /* common practice */
  case LW_SHEET_DUAL_PIN:
    return 0.46; /* b of MS-001, from memory */
  case LW_SHEET_RADIAL:
    return 0.6; /* common practice */
  default:
    return lw_datasheet_value (self, LW_FIGURE_JOINT);
  }
}

static double
dual_body (double span_mm)
{
  for (guint i = 0; i < G_N_ELEMENTS (bodies); i++)
    if (fabs (span_mm - bodies[i].span_mm) <= 0.21)
      return bodies[i].body_mm;
  return span_mm > 1.5 * TIPS_BEYOND_BODY_MM ? span_mm - TIPS_BEYOND_BODY_MM : 0.6 * span_mm;
}

static double
body_x (const LwDatasheet *self)
{
  double span = self->figure[LW_FIGURE_SPAN_X];

  if (self->family == LW_SHEET_QUAD_GULL)
    return span - TIPS_BEYOND_BODY_MM;
  if (self->family == LW_SHEET_SMALL && span > 5)
    return span / 2; /* E1 of TO-261, from memory */
  if (is_gull (self))
    return dual_body (span);
  if (is_j (self))
    return span - J_BEYOND_BODY_MM;
  if (self->family == LW_SHEET_MOULDED)
    return self->kind == LW_KIND_LEADED ? span - fmin (0.9, 0.3 * span) : span; /* DO-214, from memory */
  if (self->family == LW_SHEET_DUAL_PIN)
    return span - 1.02; /* E1 under eA of MS-001, from memory */
  return NAN;
}

/* How far a body reaches beyond the middles of the outer leads of its rows, both ends together: about a millimetre
 * (MS-012, MS-013, MO-150, MO-178), other where leads are finer or wider (MO-153, MO-203, TO-261); from memory. */
static double
row_ends (const LwDatasheet *self, double body_mm, double pitch_mm)
{
  if (self->family == LW_SHEET_SMALL && pitch_mm < 0.8)
    return 0.7;
  if (fabs (body_mm - 4.4) < 0.05 && pitch_mm < 0.7)
    return 0.5;
  return pitch_mm > 2 ? 1.9 : 1.0;
}

static double
body_y (const LwDatasheet *self)
{
  double pitch = self->figure[LW_FIGURE_PITCH], body = lw_datasheet_value (self, LW_FIGURE_BODY_X);

  switch (self->family) {
  case LW_SHEET_QUAD_GULL:
    return self->figure[LW_FIGURE_SPAN_Y] - TIPS_BEYOND_BODY_MM;
  case LW_SHEET_QUAD_J:
    return self->figure[LW_FIGURE_SPAN_Y] - J_BEYOND_BODY_MM;
  case LW_SHEET_DUAL_GULL:
  case LW_SHEET_SMALL:
  case LW_SHEET_DUAL_J:
    return (lw_datasheet_value (self, LW_FIGURE_ROWS) - 1) * pitch + row_ends (self, body, pitch);
  case LW_SHEET_DUAL_PIN:
    return lw_datasheet_value (self, LW_FIGURE_ROWS) * pitch + 1;
  case LW_SHEET_CAN:
  case LW_SHEET_RADIAL:
    return body;
  default:
    return NAN;
  }
}

/* Leads along the top and the bottom: an even share, the longer side of an oblong body taking more. */
static double
columns (const LwDatasheet *self)
{
  double count = self->figure[LW_FIGURE_COUNT], oblong = 0;

  if (is_array (self))
    return sqrt (count) == floor (sqrt (count)) ? sqrt (count) : NAN;
  if (!is_quad (self))
    return NAN;
  if (!isnan (self->figure[LW_FIGURE_ROWS]))
    return count / 2 - self->figure[LW_FIGURE_ROWS];
  oblong = lw_datasheet_value (self, LW_FIGURE_BODY_X) - lw_datasheet_value (self, LW_FIGURE_BODY_Y);
  if (isnan (oblong) || fabs (oblong) < 0.05 * lw_datasheet_value (self, LW_FIGURE_BODY_X))
    oblong = 0;
  return CLAMP (round ((count / 2 + oblong / lw_datasheet_value (self, LW_FIGURE_PITCH)) / 2), 1, count / 2 - 1);
}

static double
rows (const LwDatasheet *self)
{
  double count = self->figure[LW_FIGURE_COUNT];

  if (is_array (self))
    return columns (self);
  if (is_quad (self))
    return count / 2 - lw_datasheet_value (self, LW_FIGURE_COLUMNS);
  if (self->family == LW_SHEET_SMALL)
    return count == 3 ? 3 : count == 4 && self->figure[LW_FIGURE_PITCH] > 2 ? 3 : ceil (count / 2);
  return count / 2;
}

static double
count (const LwDatasheet *self)
{
  double across = self->figure[LW_FIGURE_COLUMNS], along = self->figure[LW_FIGURE_ROWS];

  if (is_array (self))
    return self->staggered ? ceil (across * along / 2) : across * along;
  if (is_quad (self))
    return 2 * (across + along);
  if (self->family == LW_SHEET_CHIP || self->family == LW_SHEET_MOULDED || self->family == LW_SHEET_CAN
      || self->family == LW_SHEET_RADIAL)
    return 2;
  return self->family == LW_SHEET_CORNERS ? 4 : 2 * along;
}

static double
usual (const LwDatasheet *self, LwFigure figure)
{
  switch (figure) {
  case LW_FIGURE_STANDOFF:
    return standoff (self);
  case LW_FIGURE_BODY_X:
    return body_x (self);
  case LW_FIGURE_BODY_Y:
    return body_y (self);
  case LW_FIGURE_SPAN_X:
    return self->family == LW_SHEET_MOULDED ? self->figure[LW_FIGURE_BODY_X] : NAN;
  case LW_FIGURE_PITCH_Y:
    return self->figure[LW_FIGURE_PITCH];
  case LW_FIGURE_COLUMNS:
    return columns (self);
  case LW_FIGURE_ROWS:
    return rows (self);
  case LW_FIGURE_COUNT:
    return count (self);
  case LW_FIGURE_JOINT:
    return joint (self);
  case LW_FIGURE_JOINT_WIDTH:
    return joint_width (self);
  case LW_FIGURE_PAD_X:
    return 0;
  case LW_FIGURE_PAD_Y: /* a drawing with one letter for the pad means a square one */
    return lw_datasheet_row (self->family, LW_FIGURE_PAD_Y) == NULL && self->figure[LW_FIGURE_PAD_X] > 0
             ? self->figure[LW_FIGURE_PAD_X] : 0;
  default:
    return NAN;
  }
}

double
lw_datasheet_value (const LwDatasheet *self, LwFigure figure)
{
  g_return_val_if_fail (figure < LW_N_FIGURES, NAN);
  return isnan (self->figure[figure]) ? usual (self, figure) : self->figure[figure];
}
