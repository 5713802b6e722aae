/* Copper regions and via fields, drawn quietly under the parts. */
#include <string.h>

#include "draw/board-painter.h"

/* Copper is copper in every look. */
static const LwColor copper = { 0.78, 0.42, 0.16, 1.0 };

/* The outermost copper layer of the side looked at, or NULL. */
static const char *
seen_layer (const LwBoardPainter *self)
{
  const GPtrArray *layers = self->picture->job->board->layers;
  const char *name = NULL;

  for (guint i = 0; i < layers->len; i++) {
    const LwLayer *layer = g_ptr_array_index (layers, i);

    if (layer->kind != LW_LAYER_COPPER)
      continue;
    name = layer->name;
    if (self->view->side == LW_SIDE_TOP)
      break;
  }
  return name;
}

/* No fill over temperatures: their colours mean something. */
static void
paint_area (LwBoardPainter *self, const LwLoop *loop, LwColor color, double strength, gboolean dots)
{
  static const double dotted[] = { 0.0, 3.5 }, dashed[] = { 6.0, 3.0 };
  cairo_t *cr = self->cr;

  cairo_new_path (cr);
  lw_board_loop_path (self, loop);
  if (!(self->picture->show_field && self->field)) {
    lw_color_set (cr, lw_color_fade (color, 0.14 * strength));
    cairo_fill_preserve (cr);
  }
  cairo_set_dash (cr, dots ? dotted : dashed, 2, 0.0);
  lw_color_set (cr, lw_color_fade (color, 0.85 * strength));
  cairo_stroke (cr);
}

void
lw_board_paint_copper (LwBoardPainter *self)
{
  const LwBoard *board = self->picture->job->board;
  const char *seen = seen_layer (self);

  cairo_save (self->cr);
  lw_board_outline_path (self);
  cairo_clip (self->cr);
  cairo_set_line_width (self->cr, 1.3);
  cairo_set_line_cap (self->cr, CAIRO_LINE_CAP_ROUND);
  for (guint i = 0; i < board->copper_regions->len; i++) {
    const LwCopperRegion *region = g_ptr_array_index (board->copper_regions, i);

    paint_area (self, region->loop, copper, g_strcmp0 (region->layer, seen) == 0 ? 1.0 : 0.45, FALSE);
  }
  for (guint i = 0; i < board->via_fields->len; i++)
    paint_area (self, ((const LwViaField *) g_ptr_array_index (board->via_fields, i))->loop, self->ink->thermocouple, 1.0,
                TRUE);
  cairo_restore (self->cr);
}
