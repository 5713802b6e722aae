/* The package from above and from the side. */
#include <math.h>

#include "draw/package-painter.h"

static double
px (const LwPackagePainter *self, double x_mm)
{
  return self->mid_x + self->scale * x_mm;
}

/* ---- from above ---- */

static void
box (LwPackagePainter *self, double x_mm, double y_mm, double half_x_mm, double half_y_mm)
{
  cairo_rectangle (self->cr, px (self, x_mm - half_x_mm), self->top_y - self->scale * (y_mm + half_y_mm),
                   2 * self->scale * half_x_mm, 2 * self->scale * half_y_mm);
}

static void
disc (LwPackagePainter *self, double x, double y, double radius)
{
  cairo_new_sub_path (self->cr);
  cairo_arc (self->cr, x, y, radius, 0, 2 * G_PI);
}

static gboolean
round_joints (const LwPackagePainter *self)
{
  LwDatasheetFamily family = self->picture->sheet->family;

  return family <= LW_SHEET_LANDS || family == LW_SHEET_DUAL_PIN || family == LW_SHEET_RADIAL;
}

static gboolean
has_leads (const LwPackagePainter *self)
{
  LwDatasheetFamily family = self->picture->sheet->family;

  return family == LW_SHEET_QUAD_GULL || family == LW_SHEET_DUAL_GULL || family == LW_SHEET_SMALL;
}

/* The shoulder of a pin: from the body's edge to the pin. */
static void
paint_shoulders (LwPackagePainter *self)
{
  const LwPackage *package = self->picture->package;
  double edge = package->length_mm / 2, half = 0.75 * package->joints.width_mm;

  for (guint i = 0; i < self->joints->len; i++) {
    const LwPoint *at = &g_array_index (self->joints, LwPoint, i);
    double out = fabs (at->x_mm) + package->joints.length_mm / 2;

    if (out > edge)
      box (self, copysign ((out + edge) / 2, at->x_mm), at->y_mm, (out - edge) / 2, half);
  }
  lw_color_set (self->cr, self->ink->joint);
  cairo_fill_preserve (self->cr);
  lw_color_set (self->cr, self->ink->body_edge);
  cairo_set_line_width (self->cr, 0.8);
  cairo_stroke (self->cr);
}

/* From the body's edge to the foot's heel. */
static void
lead (LwPackagePainter *self, const LwPoint *at, double half_x, double half_y)
{
  const LwPackage *package = self->picture->package;
  double edge_x = package->length_mm / 2, edge_y = package->width_mm / 2;

  if (fabs (at->x_mm) > edge_x && half_x >= half_y)
    box (self, copysign ((fabs (at->x_mm) + half_x + edge_x) / 2, at->x_mm), at->y_mm,
         (fabs (at->x_mm) + half_x - edge_x) / 2, half_y);
  else if (fabs (at->y_mm) > edge_y)
    box (self, at->x_mm, copysign ((fabs (at->y_mm) + half_y + edge_y) / 2, at->y_mm), half_x,
         (fabs (at->y_mm) + half_y - edge_y) / 2);
  else
    box (self, at->x_mm, at->y_mm, half_x, half_y);
}

static void
paint_joints (LwPackagePainter *self, gboolean hidden)
{
  static const double dash[] = { 2.5, 2.0 };
  cairo_t *cr = self->cr;
  gboolean round = round_joints (self);

  for (guint i = 0; i < self->joints->len; i++) {
    const LwPoint *at = &g_array_index (self->joints, LwPoint, i);
    double x, y;

    lw_package_joint_half (self, at, &x, &y);
    if (round)
      disc (self, px (self, at->x_mm), self->top_y - self->scale * at->y_mm, self->scale * x);
    else if (has_leads (self))
      lead (self, at, x, y);
    else
      box (self, at->x_mm, at->y_mm, x, y);
  }
  cairo_set_line_width (cr, 0.8);
  if (hidden) {
    cairo_set_dash (cr, dash, self->scale * self->picture->package->joints.length_mm > 4 ? 2 : 0, 0);
    lw_color_set (cr, lw_color_fade (self->ink->ink_soft, 0.75));
    cairo_stroke (cr);
    cairo_set_dash (cr, NULL, 0, 0);
    return;
  }
  lw_color_set (cr, self->ink->joint);
  cairo_fill_preserve (cr);
  lw_color_set (cr, self->ink->body_edge);
  cairo_stroke (cr);
}

static void
paint_pad (LwPackagePainter *self)
{
  static const double dash[] = { 4.0, 3.0 };
  const LwJoints *joints = &self->picture->package->joints;

  if (!(joints->thermal_pad_length_mm > 0) || !(joints->thermal_pad_width_mm > 0))
    return;
  box (self, 0, 0, joints->thermal_pad_length_mm / 2, joints->thermal_pad_width_mm / 2);
  cairo_set_dash (self->cr, dash, 2, 0);
  cairo_set_line_width (self->cr, 0.9);
  lw_color_set (self->cr, self->ink->ink_soft);
  cairo_stroke (self->cr);
  cairo_set_dash (self->cr, NULL, 0, 0);
}

/* A marked corner at the first joint, where the standards put it: the upper left. */
static void
paint_first (LwPackagePainter *self)
{
  const LwPackage *package = self->picture->package;
  double small = self->scale * fmin (package->length_mm, package->width_mm), side = CLAMP (0.07 * small, 4, 12);
  double x = px (self, -package->length_mm / 2), y = self->top_y - self->scale * package->width_mm / 2;

  if (self->joints->len < 3 || package->round)
    return;
  cairo_move_to (self->cr, x, y);
  cairo_line_to (self->cr, x + side, y);
  cairo_line_to (self->cr, x, y + side);
  cairo_close_path (self->cr);
  lw_color_set (self->cr, self->ink->ink);
  cairo_fill (self->cr);
}

void
lw_package_paint_top (LwPackagePainter *self)
{
  const LwPackage *package = self->picture->package;
  cairo_t *cr = self->cr;
  LwColor fill = lw_palette_body (package->kind, self->picture->look);

  if (self->picture->sheet->family == LW_SHEET_DUAL_PIN)
    paint_shoulders (self);
  if (has_leads (self) || self->picture->sheet->family == LW_SHEET_CAN || self->picture->sheet->family == LW_SHEET_MOULDED)
    paint_joints (self, FALSE);
  if (self->picture->sheet->family == LW_SHEET_CAN) {
    box (self, 0, 0, package->length_mm / 2, package->width_mm / 2);
    lw_color_set (cr, lw_color_mix (fill, self->ink->ink, 0.25));
    cairo_fill_preserve (cr);
    lw_color_set (cr, self->ink->body_edge);
    cairo_stroke (cr);
  }
  if (package->round)
    disc (self, self->mid_x, self->top_y, self->scale * package->length_mm / 2 * 0.96);
  else
    box (self, 0, 0, package->length_mm / 2, package->width_mm / 2);
  lw_color_set (cr, fill);
  cairo_fill_preserve (cr);
  lw_color_set (cr, self->ink->body_edge);
  cairo_set_line_width (cr, 1.2);
  cairo_stroke (cr);
  if (self->picture->sheet->family == LW_SHEET_CHIP)
    paint_joints (self, FALSE);
  else if (!has_leads (self) && self->picture->sheet->family != LW_SHEET_CAN
           && self->picture->sheet->family != LW_SHEET_DUAL_PIN)
    paint_joints (self, TRUE);
  paint_pad (self);
  paint_first (self);
}

/* ---- from the side ---- */

typedef struct {
  double top, bottom, left, right; /* the body, picture */
} Side;

static Side
side_of (const LwPackagePainter *self)
{
  const LwPackage *package = self->picture->package;
  double height = isnan (package->height_mm) ? lw_default_height_mm (package) : package->height_mm;
  double half = self->scale * package->length_mm / 2;

  return (Side){ self->board_y - self->scale * height, self->board_y - self->scale * package->joints.standoff_mm,
                 self->mid_x - half, self->mid_x + half };
}

/* A lead's path from the body's flank to the tip of its foot, WAY being left or right. */
static void
gull_wing (LwPackagePainter *self, const Side *side, double way, double tip, double foot)
{
  cairo_t *cr = self->cr;
  double thick = fmax (self->scale * 0.13, 1.4), out = way < 0 ? side->left : side->right;
  double from = side->bottom + 0.45 * (side->top - side->bottom), heel = tip - way * foot;
  double knee = out + way * fmax (0.25 * fabs (heel - out), 0.5 * thick);

  cairo_move_to (cr, out, from);
  cairo_line_to (cr, knee, from);
  cairo_line_to (cr, heel, self->board_y - thick / 2);
  cairo_line_to (cr, tip, self->board_y - thick / 2);
  cairo_set_line_width (cr, thick);
  lw_color_set (cr, self->ink->joint);
  cairo_stroke (cr);
}

static void
j_lead (LwPackagePainter *self, const Side *side, double way)
{
  double thick = fmax (self->scale * 0.2, 1.4), out = way < 0 ? side->left : side->right;
  double from = side->bottom + 0.45 * (side->top - side->bottom), radius = self->scale * 0.6;
  double far = out + way * fmax (self->scale * 0.4, thick);
  cairo_t *cr = self->cr;

  cairo_move_to (cr, out, from);
  cairo_line_to (cr, far - way * thick / 2, from);
  cairo_line_to (cr, far - way * thick / 2, self->board_y - radius);
  cairo_curve_to (cr, far - way * thick / 2, self->board_y, far - way * 2 * radius, self->board_y,
                  far - way * 2 * radius, self->board_y - radius);
  cairo_set_line_width (cr, thick);
  lw_color_set (cr, self->ink->joint);
  cairo_stroke (cr);
}

/* What is seen of a joint below the body: a ball, a land, a lead that stands towards us, a pin. */
static void
standing (LwPackagePainter *self, const Side *side, const LwPoint *at)
{
  const LwJoints *joints = &self->picture->package->joints;
  LwDatasheetFamily family = self->picture->sheet->family;
  double gap = self->board_y - side->bottom, x = px (self, at->x_mm), half_x, half_y;
  cairo_t *cr = self->cr;

  lw_package_joint_half (self, at, &half_x, &half_y);
  half_x *= self->scale;
  if (family == LW_SHEET_BALLS) {
    double wide = fmax (half_x / 0.8, gap / 2);

    cairo_save (cr);
    cairo_translate (cr, x, self->board_y - gap / 2);
    cairo_scale (cr, fmax (wide, 0.1), fmax (gap / 2, 0.1));
    cairo_arc (cr, 0, 0, 1, 0, 2 * G_PI);
    cairo_restore (cr);
  } else if (family == LW_SHEET_DUAL_PIN) {
    double shoulder = side->bottom + 0.4 * (side->top - side->bottom), tip = self->board_y + self->scale * 3.0;
    double edge = x < self->mid_x ? side->left : side->right, far = x < self->mid_x ? x - half_x : x + half_x;

    cairo_rectangle (cr, x - half_x, shoulder, 2 * half_x, tip - shoulder);
    cairo_rectangle (cr, fmin (edge, far), shoulder, fabs (far - edge), 2 * half_x);
  } else if (family == LW_SHEET_RADIAL) {
    cairo_rectangle (cr, x - half_x, side->bottom, 2 * half_x, gap + self->scale * 3.0);
  } else if (family == LW_SHEET_QUAD_GULL) {
    cairo_rectangle (cr, x - half_x, side->bottom + 0.45 * (side->top - side->bottom), 2 * half_x,
                     self->board_y - side->bottom - 0.45 * (side->top - side->bottom));
  } else if (family == LW_SHEET_CHIP) {
    cairo_rectangle (cr, x - half_x, side->top, 2 * half_x, side->bottom - side->top);
  } else {
    cairo_rectangle (cr, x - half_x, fmin (side->bottom, self->board_y - 1.5), 2 * half_x, fmax (gap, 1.5));
  }
  lw_color_set (cr, self->ink->joint);
  cairo_fill_preserve (cr);
  cairo_set_line_width (cr, joints->pitch_mm * self->scale > 5 || joints->pitch_mm <= 0 ? 0.8 : 0.3);
  lw_color_set (cr, self->ink->body_edge);
  cairo_stroke (cr);
}

static void
paint_leads (LwPackagePainter *self, const Side *side)
{
  const LwJoints *joints = &self->picture->package->joints;
  LwDatasheetFamily family = self->picture->sheet->family;
  double foot = self->scale * joints->length_mm;

  for (double way = -1; way <= 1; way += 2) {
    if (family == LW_SHEET_QUAD_J || family == LW_SHEET_DUAL_J)
      j_lead (self, side, way);
    else
      gull_wing (self, side, way, self->mid_x + way * self->scale * self->reach_x, foot);
  }
}

/* The strips of a moulded body come out at half its height and fold under it. */
static void
paint_strips (LwPackagePainter *self, const Side *side)
{
  double thick = fmax (self->scale * 0.12, 1.4), tip = self->scale * self->reach_x;
  double foot = self->scale * self->picture->package->joints.length_mm, from = (side->top + side->bottom) / 2;
  cairo_t *cr = self->cr;

  for (double way = -1; way <= 1; way += 2) {
    cairo_move_to (cr, way < 0 ? side->left : side->right, from);
    cairo_line_to (cr, self->mid_x + way * (tip - thick / 2), from);
    cairo_line_to (cr, self->mid_x + way * (tip - thick / 2), self->board_y - thick / 2);
    cairo_line_to (cr, self->mid_x + way * (tip - foot), self->board_y - thick / 2);
  }
  cairo_set_line_width (cr, thick);
  lw_color_set (cr, self->ink->joint);
  cairo_stroke (cr);
}

static gboolean
is_front (const LwPackagePainter *self, const LwPoint *at)
{
  const LwJoints *joints = &self->picture->package->joints;

  if (joints->pattern == LW_JOINTS_FOUR_SIDES) /* the row that faces us; the others stand beside */
    return fabs (at->y_mm + joints->span_y_mm / 2) < 1e-6;
  return TRUE;
}

static void
paint_standing (LwPackagePainter *self, const Side *side)
{
  double last = -HUGE_VAL;

  for (guint i = 0; i < self->joints->len; i++) {
    const LwPoint *at = &g_array_index (self->joints, LwPoint, i);

    if (!is_front (self, at) || at->x_mm == last)
      continue;
    last = at->x_mm;
    standing (self, side, at);
  }
}

static void
paint_board (LwPackagePainter *self)
{
  double half = self->scale * self->reach_x + 22, depth = 7;
  cairo_t *cr = self->cr;

  cairo_rectangle (cr, self->mid_x - half, self->board_y, 2 * half, depth);
  lw_color_set (cr, lw_color_mix (self->ink->board, self->ink->grid, 0.9));
  cairo_fill (cr);
  cairo_move_to (cr, self->mid_x - half, self->board_y + 0.5);
  cairo_line_to (cr, self->mid_x + half, self->board_y + 0.5);
  lw_color_set (cr, self->ink->ink_soft);
  cairo_set_line_width (cr, 1);
  cairo_stroke (cr);
}

void
lw_package_paint_side (LwPackagePainter *self)
{
  const LwPackage *package = self->picture->package;
  LwDatasheetFamily family = self->picture->sheet->family;
  Side side = side_of (self);
  LwColor fill = lw_palette_body (package->kind, self->picture->look);
  cairo_t *cr = self->cr;

  paint_board (self);
  if (family == LW_SHEET_MOULDED)
    paint_strips (self, &side);
  else if (has_leads (self) || family == LW_SHEET_QUAD_J || family == LW_SHEET_DUAL_J)
    paint_leads (self, &side);
  if (family != LW_SHEET_CHIP && !(family == LW_SHEET_DUAL_GULL || family == LW_SHEET_SMALL || family == LW_SHEET_MOULDED)
      && family != LW_SHEET_DUAL_J && family != LW_SHEET_QUAD_J)
    paint_standing (self, &side);
  cairo_rectangle (cr, side.left, side.top, side.right - side.left, side.bottom - side.top);
  lw_color_set (cr, fill);
  cairo_fill_preserve (cr);
  cairo_set_line_width (cr, 1.2);
  lw_color_set (cr, self->ink->body_edge);
  cairo_stroke (cr);
  if (family == LW_SHEET_QUAD_GULL || family == LW_SHEET_CHIP)
    paint_standing (self, &side);
}
