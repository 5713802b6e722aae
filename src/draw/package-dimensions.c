/* Dimensions round the two views: a line with arrows, the drawing's letter and the figure. */
#include <math.h>

#include "draw/package-painter.h"

#define ARROW 5.0
#define LETTERS 11.0

static LwColor
color_of (const LwPackagePainter *self, LwFigure figure)
{
  return self->picture->figure == (int) figure ? self->ink->accent : self->ink->ink_soft;
}

static void
arrow (cairo_t *cr, double x, double y, double angle_rad)
{
  cairo_save (cr);
  cairo_translate (cr, x, y);
  cairo_rotate (cr, angle_rad);
  cairo_move_to (cr, 0, 0);
  cairo_line_to (cr, -ARROW, -0.36 * ARROW);
  cairo_line_to (cr, -ARROW, 0.36 * ARROW);
  cairo_close_path (cr);
  cairo_fill (cr);
  cairo_restore (cr);
}

/* Arrows stand outside where there is no room between. */
static void
arrows (cairo_t *cr, double x0, double y0, double x1, double y1)
{
  double angle = atan2 (y1 - y0, x1 - x0), length = hypot (x1 - x0, y1 - y0);
  gboolean outside = length < 3 * ARROW;
  double c = cos (angle), s = sin (angle), more = outside ? 2.2 * ARROW : 0;

  cairo_move_to (cr, x0 - more * c, y0 - more * s);
  cairo_line_to (cr, x1 + more * c, y1 + more * s);
  cairo_stroke (cr);
  arrow (cr, x0, y0, outside ? angle : angle + G_PI);
  arrow (cr, x1, y1, outside ? angle + G_PI : angle);
}

static char *
label_of (const LwPackagePainter *self, LwFigure figure)
{
  const LwDatasheetRow *row = lw_datasheet_row (self->picture->sheet->family, figure);
  double value = lw_datasheet_value (self->picture->sheet, figure);
  char number[G_ASCII_DTOSTR_BUF_SIZE];

  if (row == NULL || isnan (value))
    return NULL;
  g_snprintf (number, sizeof number, "%.3g", value);
  if (value >= 100 || fabs (value * 100 - round (value * 100)) < 1e-9)
    g_snprintf (number, sizeof number, "%g", round (value * 100) / 100);
  return row->letter[0] != '\0' ? g_strdup_printf ("%s  %s", row->letter, number) : g_strdup (number);
}

static void
extension (cairo_t *cr, double x0, double y0, double x1, double y1)
{
  cairo_move_to (cr, x0, y0);
  cairo_line_to (cr, x1, y1);
  cairo_set_line_width (cr, 0.6);
  cairo_stroke (cr);
  cairo_set_line_width (cr, 1.0);
}

static void
letters (LwPackagePainter *self, LwFigure figure, const char *text, double x, double y, double ax, double turn_rad)
{
  gboolean marked = self->picture->figure == (int) figure;

  lw_letter_face (&self->lettering, LETTERS, marked);
  if (ax == 0.5) /* in the middle of its line, which it cuts */
    lw_letter_draw_plate (&self->lettering, text, x, y, turn_rad, marked ? self->ink->accent : self->ink->ink,
                          self->ink->board);
  else
    lw_letter_draw (&self->lettering, text, x, y, ax, 0.5, turn_rad, marked ? self->ink->accent : self->ink->ink,
                    self->ink->board);
}

/* Between two places across, at Y; extension lines come from FROM_Y. */
static void
across (LwPackagePainter *self, LwFigure figure, double x0, double x1, double y, double from_y)
{
  g_autofree char *text = label_of (self, figure);
  double wide, tall, middle = (x0 + x1) / 2;

  if (text == NULL)
    return;
  lw_color_set (self->cr, color_of (self, figure));
  extension (self->cr, x0, from_y, x0, y + copysign (3, y - from_y));
  extension (self->cr, x1, from_y, x1, y + copysign (3, y - from_y));
  arrows (self->cr, x0, y, x1, y);
  lw_letter_face (&self->lettering, LETTERS, FALSE);
  lw_letter_measure (&self->lettering, text, &wide, &tall);
  if (wide + 4 * ARROW < x1 - x0)
    letters (self, figure, text, middle, y, 0.5, 0);
  else
    letters (self, figure, text, x1 + 2.6 * ARROW + 2, y, 0, 0);
}

/* Between two places up and down, at X; extension lines come from FROM_X. */
static void
upright (LwPackagePainter *self, LwFigure figure, double y0, double y1, double x, double from_x)
{
  g_autofree char *text = label_of (self, figure);
  double wide, tall;

  if (text == NULL)
    return;
  lw_color_set (self->cr, color_of (self, figure));
  extension (self->cr, from_x, y0, x + copysign (3, x - from_x), y0);
  extension (self->cr, from_x, y1, x + copysign (3, x - from_x), y1);
  arrows (self->cr, x, y0, x, y1);
  lw_letter_face (&self->lettering, LETTERS, FALSE);
  lw_letter_measure (&self->lettering, text, &wide, &tall);
  if (wide + 4 * ARROW < fabs (y1 - y0))
    letters (self, figure, text, x, (y0 + y1) / 2, 0.5, -G_PI_2);
  else
    letters (self, figure, text, x + copysign (6, x - from_x), (y0 + y1) / 2, x < from_x ? 1 : 0, 0);
}

/* ---- which ones, where ---- */

static gboolean
is_dual (const LwPackagePainter *self)
{
  LwDatasheetFamily family = self->picture->sheet->family;

  return family == LW_SHEET_DUAL_GULL || family == LW_SHEET_SMALL || family == LW_SHEET_DUAL_J
         || family == LW_SHEET_DUAL_FLAT || family == LW_SHEET_DUAL_PIN;
}

static void
paint_pitch (LwPackagePainter *self)
{
  double pitch = lw_datasheet_value (self->picture->sheet, LW_FIGURE_PITCH);
  const LwPoint *first = NULL;
  double edge_x = self->mid_x - self->scale * self->reach_x, edge_y = self->top_y + self->scale * self->reach_y;

  if (isnan (pitch) || self->joints->len < 3)
    return;
  if (is_dual (self)) { /* along the left row, from its upper end */
    for (guint i = 0; i < self->joints->len; i++) {
      const LwPoint *at = &g_array_index (self->joints, LwPoint, i);

      if (at->x_mm < 0 && (first == NULL || at->y_mm > first->y_mm))
        first = at;
    }
    if (first == NULL)
      return;
    double y = self->top_y - self->scale * first->y_mm;
    upright (self, LW_FIGURE_PITCH, y, y + self->scale * pitch, edge_x - 14, edge_x);
    return;
  }
  for (guint i = 0; i < self->joints->len; i++) { /* along the row below, from its right end */
    const LwPoint *at = &g_array_index (self->joints, LwPoint, i);

    if (first == NULL || at->y_mm < first->y_mm - 1e-6 || (fabs (at->y_mm - first->y_mm) < 1e-6 && at->x_mm > first->x_mm))
      first = at;
  }
  double x = self->mid_x + self->scale * first->x_mm;
  across (self, LW_FIGURE_PITCH, x - self->scale * pitch, x, edge_y + 14, self->top_y - self->scale * first->y_mm);
}

static void
paint_above (LwPackagePainter *self)
{
  const LwPackage *package = self->picture->package;
  double half = self->scale * package->length_mm / 2, top = self->top_y - self->scale * self->reach_y;
  double span = self->scale * lw_datasheet_value (self->picture->sheet, LW_FIGURE_SPAN_X) / 2;
  double body_top = self->top_y - self->scale * package->width_mm / 2;

  across (self, LW_FIGURE_BODY_X, self->mid_x - half, self->mid_x + half, top - 13, body_top);
  if (!isnan (span))
    across (self, LW_FIGURE_SPAN_X, self->mid_x - span, self->mid_x + span, top - 32, self->top_y);
}

static void
paint_beside (LwPackagePainter *self)
{
  const LwPackage *package = self->picture->package;
  double half = self->scale * package->width_mm / 2, right = self->mid_x + self->scale * self->reach_x;
  double span = self->scale * lw_datasheet_value (self->picture->sheet, LW_FIGURE_SPAN_Y) / 2;

  if (!package->round || !isnan (self->picture->sheet->figure[LW_FIGURE_BODY_Y]))
    upright (self, LW_FIGURE_BODY_Y, self->top_y + half, self->top_y - half, right + 16,
             self->mid_x + self->scale * package->length_mm / 2);
  if (!isnan (span))
    upright (self, LW_FIGURE_SPAN_Y, self->top_y + span, self->top_y - span, right + 38, self->mid_x);
}

static void
paint_heights (LwPackagePainter *self)
{
  const LwPackage *package = self->picture->package;
  double reach = self->scale * self->reach_x, half = self->scale * package->length_mm / 2;

  if (!isnan (package->height_mm))
    upright (self, LW_FIGURE_HEIGHT, self->board_y, self->board_y - self->scale * package->height_mm,
             self->mid_x + reach + 26, self->mid_x + half);
  upright (self, LW_FIGURE_STANDOFF, self->board_y, self->board_y - self->scale * package->joints.standoff_mm,
           self->mid_x - reach - 14, self->mid_x - half);
}

void
lw_package_paint_dimensions (LwPackagePainter *self)
{
  cairo_set_line_width (self->cr, 1.0);
  paint_above (self);
  paint_beside (self);
  paint_heights (self);
  paint_pitch (self);
}
