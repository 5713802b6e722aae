/* The copper an IPC-2581 file draws, as the cover of each layer and its map. */
#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

#include "board/copper-map.h"
#include "exchange/ipc2581-file.h"
#include "exchange/plot-private.h"
#include "exchange/plot-set.h"

/* Edges met by the lines a cover is counted along (32 in a cell): some 100 million take a second. Layers
 * of real boards have a few million; what has more is no copper anybody drew. */
#define MAX_MEETINGS 150e6
#define LINES_PER_CELL 32.0

/* How often the counting lines meet what is drawn. */
static double
meetings (const LwPlot *plot, double cell_mm)
{
  double along_mm = 0;

  for (guint i = 0; i < plot->shapes->len; i++) {
    const LwShape *shape = &g_array_index (plot->shapes, LwShape, i);

    if (shape->kind == LW_SHAPE_CAPSULE)
      along_mm += 2 * (fabs (shape->ay - shape->by) + 2 * shape->r);
    for (guint k = 1; shape->kind == LW_SHAPE_POLYGON && k < shape->n; k++)
      along_mm += fabs (g_array_index (plot->corners, LwPoint, shape->first + k).y_mm
                        - g_array_index (plot->corners, LwPoint, shape->first + k - 1).y_mm);
  }
  return along_mm * LINES_PER_CELL / cell_mm;
}

static int
number_of (const LwBoard *board, const char *name)
{
  for (guint i = 0; name != NULL && i < board->layers->len; i++)
    if (strcmp (((const LwLayer *)board->layers->pdata[i])->name, name) == 0)
      return (int)i;
  return -1;
}

/* Drills without a known span go through the whole board. */
static gboolean
goes_through (const LwBoard *board, const LwIpcLayer *drill, int number)
{
  int from = number_of (board, drill->from), to = number_of (board, drill->to);

  return from < 0 || to < 0 || (number >= MIN (from, to) && number <= MAX (from, to));
}

static void
drill_holes (const LwIpcStep *step, const LwBoard *board, int number, LwPlot *plot, gboolean negative)
{
  const LwIpcLayer *last = NULL;
  gboolean through = FALSE;

  for (guint i = 0; i < step->holes->len; i++) {
    const LwIpcHole *hole = &g_array_index (step->holes, LwIpcHole, i);
    LwHole round = { { hole->x_mm, hole->y_mm }, { hole->x_mm, hole->y_mm }, hole->diameter_mm,
                     LW_HOLE_UNKNOWN, FALSE, 0, 0, 0 };

    if (hole->layer != last)
      through = goes_through (board, hole->layer, number);
    last = hole->layer;
    if (through)
      lw_plot_drill (plot, negative, &round);
  }
}

/* Holes and slots, after all that is drawn. */
static void
drill_layer (const LwIpcStep *step, const LwBoard *board, int number, LwPlot *plot, gboolean negative)
{
  static const LwPlotPlace as_it_lies = { FALSE, FALSE, 1, 0, 0, 0 };
  GHashTableIter iter;
  gpointer drill, slots;

  drill_holes (step, board, number, plot, negative);
  g_hash_table_iter_init (&iter, step->slots);
  while (g_hash_table_iter_next (&iter, &drill, &slots))
    if (goes_through (board, drill, number))
      lw_plot_append (plot, slots, 0, lw_plot_length (slots), &as_it_lies, negative);
}

/* TRUE when the layer's cover is counted. */
static gboolean
count_layer (LwIpcFile *self, const LwIpcStep *step, LwBoard *board, LwLayer *layer, LwCopperMap *map,
             const LwPlot *edge, const LwPlotGrid *grid, GCancellable *cancellable)
{
  LwPlot *plot = g_hash_table_lookup (step->plots, layer->name);
  const LwIpcLayer *from = g_hash_table_lookup (self->layers, layer->name);
  g_autoptr (GError) why = NULL;

  if (plot == NULL || lw_plot_length (plot) == 0 || lw_copper_map_find (map, layer->name) >= 0)
    return FALSE;
  drill_layer (step, board, number_of (board, layer->name), plot, from != NULL && from->negative);
  self->n_meetings += meetings (plot, grid->cell_mm);
  if (lw_plot_is_full (plot) || self->n_meetings > MAX_MEETINGS)
    lw_notes_add (self->notes, self->name, 0, _ ("layer “%.60s”: more is drawn than can be counted"),
                  layer->name);
  else if (lw_plot_layer_cover (board, layer, map, plot, from != NULL && from->negative, edge, grid,
                                cancellable, &why))
    return TRUE;
  else
    lw_notes_add (self->notes, self->name, 0, _ ("layer “%.60s”: its cover is left out: %s"),
                  layer->name, why->message);
  return FALSE;
}

gboolean
lw_ipc_set_copper (LwIpcFile *self, const LwIpcStep *step, LwBoard *board, GCancellable *cancellable,
                   GError **error)
{
  LwPlotGrid grid = lw_plot_board_grid (board);
  g_autoptr (LwPlot) edge = lw_plot_board_edge (board);
  g_autoptr (LwCopperMap) map = lw_plot_board_map (&grid);

  for (guint i = 0; i < board->layers->len; i++) {
    LwLayer *layer = board->layers->pdata[i];

    if (layer->kind == LW_LAYER_COPPER
        && !count_layer (self, step, board, layer, map, edge, &grid, cancellable))
      lw_notes_add (self->notes, self->name, 0,
                    _ ("copper of layer “%.60s” is not drawn here; %.0f %% cover is assumed"),
                    layer->name, 100 * layer->cover);
    if (g_cancellable_set_error_if_cancelled (cancellable, error))
      return FALSE;
  }
  if (map->covers->len > 0)
    board->copper_map = g_steal_pointer (&map);
  return TRUE;
}
