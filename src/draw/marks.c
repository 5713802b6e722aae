#include "draw/draw.h"

#include <math.h>

#include "draw/palette.h"

/* Told apart by lightness as well as hue, so that they hold under colour blindness. */
LwColor
lw_grade_color (LwGrade grade, LwLook look)
{
  static const LwColor colors[3][3] = {
    [LW_LOOK_LIGHT] = { { 0.72, 0.07, 0.16, 1 }, { 0.86, 0.52, 0.02, 1 }, { 0.08, 0.44, 0.40, 1 } },
    [LW_LOOK_DARK] = { { 1.00, 0.36, 0.38, 1 }, { 1.00, 0.76, 0.28, 1 }, { 0.38, 0.80, 0.72, 1 } },
    [LW_LOOK_PRINT] = { { 0, 0, 0, 1 }, { 0.25, 0.25, 0.25, 1 }, { 0.45, 0.45, 0.45, 1 } },
  };

  return colors[lw_look_plain (look)][CLAMP ((int) grade, 0, 2)];
}

static void
polygon_path (cairo_t *cr, double x, double y, double radius, int corners, double turn)
{
  for (int i = 0; i < corners; i++) {
    double angle = turn + 2.0 * G_PI * i / corners;

    cairo_line_to (cr, x + radius * cos (angle), y + radius * sin (angle));
  }
  cairo_close_path (cr);
}

static void
mark_path (cairo_t *cr, double x, double y, double size, LwGrade grade)
{
  cairo_new_path (cr);
  if (grade == LW_GRADE_STOP) {
    polygon_path (cr, x, y, 0.54 * size, 8, G_PI / 8.0);
  } else if (grade == LW_GRADE_WATCH) {
    polygon_path (cr, x, y + 0.09 * size, 0.62 * size, 3, -G_PI / 2.0);
  } else {
    cairo_new_sub_path (cr);
    cairo_arc (cr, x, y, 0.38 * size, 0.0, 2.0 * G_PI);
  }
}

/* A bar for stop, a bar with a dot for watch: the sign inside the shape. */
static void
mark_sign (cairo_t *cr, double x, double y, double size, LwGrade grade, LwColor color)
{
  lw_color_set (cr, color);
  cairo_set_line_width (cr, 0.14 * size);
  cairo_set_line_cap (cr, CAIRO_LINE_CAP_ROUND);
  if (grade == LW_GRADE_STOP) {
    cairo_move_to (cr, x - 0.22 * size, y);
    cairo_line_to (cr, x + 0.22 * size, y);
    cairo_stroke (cr);
  } else {
    cairo_move_to (cr, x, y - 0.14 * size);
    cairo_line_to (cr, x, y + 0.08 * size);
    cairo_stroke (cr);
    cairo_arc (cr, x, y + 0.26 * size, 0.075 * size, 0.0, 2.0 * G_PI);
    cairo_fill (cr);
  }
}

void
lw_draw_grade_mark (cairo_t *cr, double x, double y, double size, LwGrade grade, LwLook look)
{
  const LwPalette *ink = lw_palette (look);
  LwColor color = lw_grade_color (grade, look);
  LwColor halo = ink->halo;

  cairo_save (cr);
  cairo_set_dash (cr, NULL, 0, 0.0);
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  mark_path (cr, x, y, size, grade);
  halo.a = 1.0;
  lw_color_set (cr, halo);
  if (grade == LW_GRADE_FINE) {
    cairo_set_line_width (cr, 0.36 * size);
    cairo_stroke_preserve (cr);
    lw_color_set (cr, color);
    cairo_set_line_width (cr, 0.18 * size);
    cairo_stroke (cr);
  } else {
    cairo_set_line_width (cr, 0.26 * size);
    cairo_stroke_preserve (cr);
    lw_color_set (cr, color);
    cairo_fill (cr);
    mark_sign (cr, x, y, size, grade, halo);
  }
  cairo_restore (cr);
  cairo_new_path (cr);
}
