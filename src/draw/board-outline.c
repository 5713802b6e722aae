/* Desk, board, cut-outs, grid and scale bar. */
#include <math.h>

#include "draw/board-painter.h"
#include "draw/nice.h"

double
lw_board_hairline (const LwBoardPainter *self)
{
  return self->picture->look == LW_LOOK_PRINT ? 0.7 : 0.9;
}

static guint
cell_of (const double *edges, guint n, double at)
{
  guint low = 0, high = n;

  while (high - low > 1) {
    guint middle = (low + high) / 2;

    if (edges[middle] <= at)
      low = middle;
    else
      high = middle;
  }
  return low;
}

LwColor
lw_board_ground_at (const LwBoardPainter *self, double px, double py)
{
  const LwPrediction *p = self->picture->prediction;
  double x, y;
  float temp_c;

  if (!self->picture->show_field || !self->field)
    return self->ink->board;
  lw_viewport_to_board (self->view, px, py, &x, &y);
  if (!(x >= p->x_edges_mm[0] && x <= p->x_edges_mm[p->nx] && y >= p->y_edges_mm[0] && y <= p->y_edges_mm[p->ny]))
    return self->ink->desk;
  temp_c = self->field[(gsize) cell_of (p->y_edges_mm, p->ny, y) * p->nx + cell_of (p->x_edges_mm, p->nx, x)];
  if (isnan (temp_c))
    return self->ink->desk;
  return lw_heat_color ((temp_c - self->low_c) / (self->high_c - self->low_c), self->picture->look);
}

LwColor
lw_board_ink_on (const LwBoardPainter *self, LwColor ground, LwColor own)
{
  double light = lw_color_luma (ground);

  if (fabs (lw_color_luma (own) - light) > 0.42)
    return own;
  return light > 0.5 ? (LwColor){ 0.10, 0.10, 0.10, 1.0 } : (LwColor){ 0.98, 0.98, 0.98, 1.0 };
}

void
lw_board_write (LwBoardPainter *self, const char *text, double x, double y, double turn, LwColor ground,
                LwColor own)
{
  lw_letter_draw_plate (&self->type, text, x, y, turn, lw_board_ink_on (self, ground, own),
                        lw_color_fade (ground, 0.72));
}

void
lw_board_loop_path (LwBoardPainter *self, const LwLoop *loop)
{
  g_autoptr (GArray) points = NULL;

  if (loop->corners->len < 2)
    return;
  points = lw_loop_flatten (loop, CLAMP (0.1 / self->view->scale, 1e-4, 10.0));
  cairo_new_sub_path (self->cr);
  for (guint i = 0; i < points->len; i++) {
    const LwPoint *p = &g_array_index (points, LwPoint, i);
    double x, y;

    lw_viewport_to_picture (self->view, p->x_mm, p->y_mm, &x, &y);
    /* cairo counts in 24.8 fixed point: keep far corners of a deep zoom inside its range. */
    cairo_line_to (self->cr, CLAMP (x, -2e6, 2e6), CLAMP (y, -2e6, 2e6));
  }
  cairo_close_path (self->cr);
}

void
lw_board_outline_path (LwBoardPainter *self)
{
  const LwBoard *board = self->picture->job->board;

  cairo_new_path (self->cr);
  cairo_set_fill_rule (self->cr, CAIRO_FILL_RULE_EVEN_ODD);
  for (guint i = 0; i < board->outline->len; i++)
    lw_board_loop_path (self, g_ptr_array_index (board->outline, i));
}

void
lw_board_paint_ground (LwBoardPainter *self)
{
  cairo_t *cr = self->cr;

  lw_color_set (cr, self->ink->desk);
  cairo_paint (cr);
  if (self->ink->shadow.a > 0.0) {
    cairo_save (cr);
    cairo_translate (cr, 0.0, 2.5);
    lw_board_outline_path (self);
    lw_color_set (cr, lw_color_fade (self->ink->shadow, 0.5));
    cairo_set_line_width (cr, 5.0);
    cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
    cairo_stroke_preserve (cr);
    lw_color_set (cr, self->ink->shadow);
    cairo_fill (cr);
    cairo_restore (cr);
  }
  lw_board_outline_path (self);
  lw_color_set (cr, self->ink->board);
  cairo_fill (cr);
}

void
lw_board_paint_edge (LwBoardPainter *self)
{
  static const double assumed[] = { 7.0, 4.0 };
  cairo_t *cr = self->cr;

  lw_board_outline_path (self);
  lw_color_set (cr, self->ink->board_edge);
  cairo_set_line_width (cr, 1.5);
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  if (self->picture->job->board->outline_assumed)
    cairo_set_dash (cr, assumed, 2, 0.0);
  cairo_stroke (cr);
  cairo_set_dash (cr, NULL, 0, 0.0);
}

void
lw_board_paint_grid (LwBoardPainter *self)
{
  cairo_t *cr = self->cr;
  double step = lw_nice_step (28.0 / self->view->scale, FALSE);
  const LwBox *frame = &self->frame;
  double x0, y0, x1, y1, px, py;

  lw_viewport_to_board (self->view, frame->x0_mm, frame->y1_mm, &x0, &y0);
  lw_viewport_to_board (self->view, frame->x1_mm, frame->y0_mm, &x1, &y1);
  if (x0 > x1) {
    double swap = x0;

    x0 = x1;
    x1 = swap;
  }
  cairo_new_path (cr);
  for (double k = ceil (x0 / step); k <= x1 / step; k++) {
    lw_viewport_to_picture (self->view, k * step, 0.0, &px, &py);
    cairo_move_to (cr, px, frame->y0_mm);
    cairo_line_to (cr, px, frame->y1_mm);
  }
  for (double k = ceil (y0 / step); k <= y1 / step; k++) {
    lw_viewport_to_picture (self->view, 0.0, k * step, &px, &py);
    cairo_move_to (cr, frame->x0_mm, py);
    cairo_line_to (cr, frame->x1_mm, py);
  }
  lw_color_set (cr, self->ink->grid);
  cairo_set_line_width (cr, 0.6);
  cairo_stroke (cr);
}

/* About 90 units long, a round number; alternate halves filled as on a map. */
void
lw_board_paint_scale_bar (LwBoardPainter *self)
{
  cairo_t *cr = self->cr;
  LwUnits units = self->picture->units;
  double step = lw_nice_step (lw_units_shown (units, 48.0 / self->view->scale, "mm"), FALSE);
  double length = lw_units_kept (units, step, "mm") * self->view->scale;
  double x = 14.0, y = self->view->height - 14.0;
  g_autofree char *text = NULL;
  double words_w, words_h;
  LwBox box;

  if (self->view->width < length + 60.0 || self->view->height < 60.0)
    return;
  text = g_strdup_printf ("%.*f %s", lw_nice_decimals (step), step, lw_units_word (units, "mm"));
  lw_letter_face (&self->type, 10.0, FALSE);
  lw_letter_measure (&self->type, text, &words_w, &words_h);
  box = (LwBox){ x - 4.0, y - 10.0, x + length + 10.0 + words_w, y + 8.0 };
  g_array_append_val (self->taken, box);
  cairo_rectangle (cr, x, y - 2.5, length, 5.0);
  lw_color_set (cr, self->ink->halo);
  cairo_set_line_width (cr, 4.0);
  cairo_stroke_preserve (cr);
  cairo_fill (cr);
  cairo_rectangle (cr, x, y - 2.5, 0.5 * length, 5.0);
  lw_color_set (cr, self->ink->ink);
  cairo_fill (cr);
  cairo_rectangle (cr, x, y - 2.5, length, 5.0);
  cairo_set_line_width (cr, 1.0);
  cairo_stroke (cr);
  lw_letter_draw (&self->type, text, x + length + 6.0, y, 0.0, 0.5, 0.0, self->ink->ink, self->ink->halo);
}
