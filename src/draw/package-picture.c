#include "draw/package-painter.h"

#include <glib/gi18n.h>
#include <math.h>

#define MOST_SCALE 140.0 /* a 01005 is not blown up beyond recognition */
#define PINS_BELOW_MM 3.0

static gboolean
is_through_board (const LwDatasheet *sheet)
{
  return sheet->family == LW_SHEET_DUAL_PIN || sheet->family == LW_SHEET_RADIAL;
}

/* Lying along a side, a joint's length points to the middle. */
void
lw_package_joint_half (const LwPackagePainter *self, const LwPoint *at, double *half_x, double *half_y)
{
  const LwJoints *joints = &self->picture->package->joints;
  gboolean upright = FALSE;

  if (joints->pattern == LW_JOINTS_FOUR_SIDES)
    upright = fabs (fabs (at->y_mm) - joints->span_y_mm / 2) < 1e-6 && fabs (fabs (at->x_mm) - joints->span_x_mm / 2) > 1e-6;
  *half_x = (upright ? joints->width_mm : joints->length_mm) / 2;
  *half_y = (upright ? joints->length_mm : joints->width_mm) / 2;
}

static void
measure_reach (LwPackagePainter *self)
{
  const LwPackage *package = self->picture->package;

  self->reach_x = package->length_mm / 2;
  self->reach_y = (package->round ? package->length_mm : package->width_mm) / 2;
  for (guint i = 0; i < self->joints->len; i++) {
    const LwPoint *at = &g_array_index (self->joints, LwPoint, i);
    double x, y;

    lw_package_joint_half (self, at, &x, &y);
    self->reach_x = fmax (self->reach_x, fabs (at->x_mm) + x);
    self->reach_y = fmax (self->reach_y, fabs (at->y_mm) + y);
  }
}

static double
height_of (const LwPackagePicture *picture)
{
  double height = isnan (picture->package->height_mm) ? lw_default_height_mm (picture->package)
                                                       : picture->package->height_mm;

  return height + (is_through_board (picture->sheet) ? PINS_BELOW_MM : 0);
}

static double
fit (const LwPackagePainter *self, double width, double height)
{
  double room_x = width - 2 * LW_PACKAGE_MARGIN_X;
  double room_y = height - LW_PACKAGE_MARGIN_TOP - LW_PACKAGE_MARGIN_BOTTOM - LW_PACKAGE_BETWEEN;
  double tall = 2 * self->reach_y + height_of (self->picture);

  return CLAMP (fmin (room_x / (2 * self->reach_x), room_y / tall), 0.05, MOST_SCALE);
}

static gboolean
begin (LwPackagePainter *self, double width, double height, const LwPackagePicture *picture)
{
  g_autoptr (LwPart) part = lw_part_new ();

  *self = (LwPackagePainter){ .picture = picture, .ink = lw_palette (picture->look) };
  if (picture->package == NULL || !(picture->package->length_mm > 0))
    return FALSE;
  self->joints = lw_part_joints (part, picture->package);
  measure_reach (self);
  self->scale = fit (self, width, height);
  return TRUE;
}

double
lw_package_picture_scale (double width, double height, const LwPackagePicture *picture)
{
  LwPackagePainter self;
  double scale = begin (&self, width, height, picture) ? self.scale : 0;

  g_clear_pointer (&self.joints, g_array_unref);
  return scale;
}

static void
place (LwPackagePainter *self, double width, double height)
{
  double tall = self->scale * (2 * self->reach_y + height_of (self->picture)) + LW_PACKAGE_BETWEEN;
  double room = height - LW_PACKAGE_MARGIN_TOP - LW_PACKAGE_MARGIN_BOTTOM;
  double from = LW_PACKAGE_MARGIN_TOP + fmax (room - tall, 0) / 2;
  double below = is_through_board (self->picture->sheet) ? PINS_BELOW_MM : 0;

  self->mid_x = width / 2;
  self->top_y = from + self->scale * self->reach_y;
  self->board_y = from + tall - self->scale * below;
}

void
lw_draw_package (cairo_t *cr, double width, double height, const LwPackagePicture *picture)
{
  LwPackagePainter self;

  cairo_save (cr);
  lw_color_set (cr, lw_palette (picture->look)->board);
  cairo_rectangle (cr, 0, 0, width, height);
  cairo_fill (cr);
  if (begin (&self, width, height, picture)) {
    self.cr = cr;
    place (&self, width, height);
    lw_letter_begin (&self.lettering, cr);
    lw_package_paint_top (&self);
    lw_package_paint_side (&self);
    lw_package_paint_dimensions (&self);
    lw_letter_end (&self.lettering);
    g_array_unref (self.joints);
  }
  cairo_restore (cr);
}
