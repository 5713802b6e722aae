/* The copper layers of a set: the stack-up, and the local cover of what was plotted. */
#include <glib/gi18n.h>
#include <math.h>

#include "board/copper-map.h"
#include "exchange/plot-set.h"

#define CELL_MM 0.5
#define MAX_CELLS 250000.0 /* a larger board gets larger cells */
/* Of layers nobody plotted, as of a board without a stack-up: common practice, no source. */
#define OUTER_COVER 0.3
#define INNER_COVER 0.9

/* ---- numbers ---- */

static guint
count_copper (const GPtrArray *layers)
{
  guint n = 0;

  for (guint i = 0; layers != NULL && i < layers->len; i++)
    n += ((const LwLayer *) layers->pdata[i])->kind == LW_LAYER_COPPER;
  return n;
}

/* Number of copper layers the board has: what the job file says, else what the files name. */
static guint
count_layers (const GArray *copper, const LwGerberJob *job)
{
  guint n = job != NULL ? MAX (job->n_layers, count_copper (job->layers)) : 0;
  gboolean top = FALSE, bottom = FALSE;
  guint loose = 0;

  for (guint i = 0; i < copper->len; i++)
    {
      const LwPlotUse *use = &g_array_index (copper, LwPlotCopper, i).use;

      n = MAX (n, use->layer + (use->by_name && use->inner));
      top |= !use->inner && use->side == LW_SIDE_TOP;
      bottom |= !use->inner && use->side == LW_SIDE_BOTTOM;
      loose += use->inner && use->layer == 0;
    }
  return CLAMP (MAX (n, top + bottom + loose), 1, 100);
}

static void
number_layers (GArray *copper, guint n)
{
  guint next = 2;

  for (guint i = 0; i < copper->len; i++)
    {
      LwPlotCopper *layer = &g_array_index (copper, LwPlotCopper, i);

      if (layer->use.layer > 0)
        layer->number = layer->use.layer;
      else if (layer->use.inner)
        layer->number = next++;
      else
        layer->number = layer->use.side == LW_SIDE_TOP ? 1 : n;
    }
}

/* ---- the stack-up ---- */

static LwLayer *
new_layer (LwLayerKind kind, char *name, double thickness_mm)
{
  LwLayer *layer = lw_layer_new ();

  g_free (layer->name);
  layer->name = name;
  layer->kind = kind;
  layer->thickness_mm = thickness_mm;
  return layer;
}

/* Copper of ordinary weight, evenly apart. */
static void
add_even_layers (LwBoard *board, guint n)
{
  double copper = 0.0348, gap = n > 1 ? fmax (board->thickness_mm - n * copper, board->thickness_mm / 2) / (n - 1)
                                      : fmax (board->thickness_mm - copper, board->thickness_mm / 2);

  for (guint i = 1; i <= n; i++)
    {
      g_ptr_array_add (board->layers, new_layer (LW_LAYER_COPPER, g_strdup_printf ("L%u", i), NAN));
      if (i < n || n == 1)
        g_ptr_array_add (board->layers, new_layer (LW_LAYER_LAMINATE, g_strdup (""), fmin (gap, 20)));
    }
}

/* Copper layers need names of their own: maps and regions name them. */
static void
name_layers (LwBoard *board)
{
  g_autoptr (GHashTable) names = g_hash_table_new (g_str_hash, g_str_equal);
  guint n = 0;

  for (guint i = 0; i < board->layers->len; i++)
    {
      LwLayer *layer = board->layers->pdata[i];

      if (layer->kind != LW_LAYER_COPPER)
        continue;
      n++;
      if (*layer->name == '\0' || g_hash_table_contains (names, layer->name))
        {
          g_free (layer->name);
          layer->name = g_strdup_printf ("L%u", n);
        }
      g_hash_table_add (names, layer->name);
    }
}

static void
set_stack (LwBoard *board, const LwGerberJob *job, guint n, GPtrArray *notes)
{
  gboolean told = job != NULL && count_copper (job->layers) == n;

  for (guint i = 0; told && i < job->layers->len; i++)
    g_ptr_array_add (board->layers, lw_layer_copy (job->layers->pdata[i]));
  if (!told)
    {
      lw_notes_add (notes, job != NULL ? job->name : _("plots"), 0,
                    _("the stack-up is not told: %u copper layers of 35 µm, evenly apart, are assumed"), n);
      add_even_layers (board, n);
    }
  name_layers (board);
}

static LwLayer *
copper_layer (const LwBoard *board, guint number)
{
  for (guint i = 0; i < board->layers->len; i++)
    {
      LwLayer *layer = board->layers->pdata[i];

      if (layer->kind == LW_LAYER_COPPER && --number == 0)
        return layer;
    }
  return NULL;
}

static void
assume_covers (LwBoard *board, const GArray *copper, guint n, GPtrArray *notes)
{
  for (guint number = 1; number <= n; number++)
    {
      gboolean plotted = FALSE;
      LwLayer *layer = copper_layer (board, number);

      for (guint i = 0; i < copper->len; i++)
        plotted |= g_array_index (copper, LwPlotCopper, i).number == number;
      if (plotted || layer == NULL)
        continue;
      layer->cover = number == 1 || number == n ? OUTER_COVER : INNER_COVER;
      lw_notes_add (notes, _("plots"), 0, _("copper layer %u (%.60s) is not plotted here; %.0f %% cover is assumed"),
                    number, layer->name, 100 * layer->cover);
    }
}

/* ---- covers ---- */

LwPlotGrid
lw_plot_board_grid (const LwBoard *board)
{
  LwBox box = lw_loop_box (board->outline->pdata[0]);
  double w = fmax (box.x1_mm - box.x0_mm, 0.01), h = fmax (box.y1_mm - box.y0_mm, 0.01);
  double cell = fmax (fmax (CELL_MM, sqrt (w * h / MAX_CELLS)), fmax (w, h) / 50000);

  return (LwPlotGrid) { box.x0_mm, box.y0_mm, cell, (guint) ceil (w / cell), (guint) ceil (h / cell) };
}

LwPlot *
lw_plot_board_edge (const LwBoard *board)
{
  LwPlot *plot = lw_plot_new ();

  for (guint i = 0; i < board->outline->len; i++)
    {
      g_autoptr (GArray) points = lw_loop_flatten (board->outline->pdata[i], 0.01);

      lw_plot_polygon (plot, i == 0, (const LwPoint *) (const void *) points->data, points->len);
    }
  return plot;
}

static double
board_area (const LwBoard *board)
{
  double area = 0;

  for (guint i = 0; i < board->outline->len; i++)
    area += (i == 0 ? 1 : -1) * fabs (lw_loop_area (board->outline->pdata[i]));
  return area;
}

gboolean
lw_plot_layer_cover (const LwBoard *board, LwLayer *layer, LwCopperMap *map, const LwPlot *plot, gboolean negative,
                     const LwPlot *edge, const LwPlotGrid *grid, GCancellable *cancellable, GError **error)
{
  gsize n = (gsize) grid->columns * grid->rows;
  double total = 0, share;
  g_autofree double *cover = lw_plot_cover (plot, edge, grid, &total, cancellable, error);
  g_autofree guint8 *cells = NULL;

  if (cover == NULL)
    return FALSE;
  cells = g_new (guint8, n);
  for (gsize i = 0; i < n; i++)
    cells[i] = (guint8) lround (255 * (negative ? 1 - cover[i] : cover[i]));
  share = CLAMP (total / fmax (board_area (board), 1e-9), 0, 1);
  layer->cover = negative ? 1 - share : share;
  lw_copper_map_add (map, layer->name, cells);
  return TRUE;
}

LwCopperMap *
lw_plot_board_map (const LwPlotGrid *grid)
{
  LwCopperMap *map = lw_copper_map_new ();

  map->x_mm = grid->x_mm;
  map->y_mm = grid->y_mm;
  map->cell_mm = grid->cell_mm;
  map->columns = grid->columns;
  map->rows = grid->rows;
  return map;
}

static gboolean
add_cover (LwBoard *board, LwCopperMap *map, const LwPlotCopper *copper, const LwPlot *edge, const LwPlotGrid *grid,
           GCancellable *cancellable, GError **error)
{
  return lw_plot_layer_cover (board, copper_layer (board, copper->number), map, copper->gerber->plot, copper->negative,
                              edge, grid, cancellable, error);
}

/* Holes go through after everything is plotted; in a negative what is drawn is no copper. */
void
lw_plot_drill (LwPlot *plot, gboolean negative, const LwHole *hole)
{
  lw_plot_capsule (plot, negative, hole->a, hole->b, 0.5 * hole->diameter_mm);
}

static void
drill_layer (const LwPlotCopper *layer, const GArray *holes)
{
  for (guint i = 0; i < holes->len; i++)
    {
      const LwHole *hole = &g_array_index (holes, LwHole, i);

      if (hole->from == 0 || (layer->number >= hole->from && layer->number <= hole->to))
        lw_plot_drill (layer->gerber->plot, layer->negative, hole);
    }
}

/* A layer that is plotted twice, or is none of the board's, is left out. */
static gboolean
is_usable (const LwBoard *board, const GArray *copper, guint i, GPtrArray *notes)
{
  const LwPlotCopper *own = &g_array_index (copper, LwPlotCopper, i);

  for (guint k = 0; k < i; k++)
    {
      const LwPlotCopper *other = &g_array_index (copper, LwPlotCopper, k);

      if (other->number != own->number)
        continue;
      lw_notes_add (notes, own->gerber->name, 0, _("copper layer %u is plotted in %.60s too, which is taken"),
                    own->number, other->gerber->name);
      return FALSE;
    }
  return copper_layer (board, own->number) != NULL;
}

gboolean
lw_plot_copper_set (LwBoard *board, GArray *copper, const GArray *holes, const LwGerberJob *job, GPtrArray *notes,
                    LwImportProgress progress, gpointer user_data, GCancellable *cancellable, GError **error)
{
  guint n = count_layers (copper, job);
  LwPlotGrid grid = lw_plot_board_grid (board);
  g_autoptr (LwPlot) edge = lw_plot_board_edge (board);
  g_autoptr (LwCopperMap) map = lw_plot_board_map (&grid);

  number_layers (copper, n);
  set_stack (board, job, n, notes);
  for (guint i = 0; i < copper->len; i++)
    {
      g_autoptr (GError) why = NULL;
      LwPlotCopper *layer = &g_array_index (copper, LwPlotCopper, i);

      if (!is_usable (board, copper, i, notes))
        continue;
      drill_layer (layer, holes);
      if (!add_cover (board, map, layer, edge, &grid, cancellable, &why))
        {
          if (g_cancellable_set_error_if_cancelled (cancellable, error))
            return FALSE;
          lw_notes_add (notes, layer->gerber->name, 0, _("its cover is left out: %s"), why->message);
          layer->number = 0;
        }
      if (progress != NULL)
        progress (0.5 + 0.5 * (i + 1) / copper->len, user_data);
    }
  assume_covers (board, copper, n, notes);
  if (map->covers->len > 0)
    board->copper_map = g_steal_pointer (&map);
  return TRUE;
}
