/* Contradictions of outline, stack-up, copper and vias. */
#include <math.h>

#include <glib/gi18n.h>

#include "board/copper-map.h"
#include "board/job-check.h"
#include "board/library.h"

static const double AREA_MIN_MM2 = 0.01;
enum { CORNERS_MAX = 100000 };

static gboolean
check_loop (LwCheck *check, const LwLoop *loop, const char *path)
{
  LwNumberText area;
  guint a, b;

  if (loop->corners->len > CORNERS_MAX)
    lw_check_stop (check, g_strdup (path), _("has %u corners; at most %d are read"), loop->corners->len, CORNERS_MAX);
  else if (loop->corners->len < 2)
    lw_check_stop (check, g_strdup (path), _("needs at least two corners"));
  else if (lw_loop_crosses_itself (loop, &a, &b))
    lw_check_stop (check, g_strdup (path),
                   _("crosses or touches itself: the edge to corner %u meets the edge to corner %u "
                     "(counted from 0)"),
                   a, b);
  else if (fabs (lw_loop_area (loop)) < AREA_MIN_MM2)
    lw_check_stop (check, g_strdup (path), _("encloses only %s mm²"), lw_number_text (&area, fabs (lw_loop_area (loop))));
  else
    return TRUE;
  return FALSE;
}

static gboolean
check_loops (LwCheck *check, const GPtrArray *outline)
{
  gboolean fine = TRUE;
  gsize corners = 0;

  for (guint i = 0; i < outline->len; i++)
    {
      const LwLoop *loop = g_ptr_array_index (outline, i);
      g_autofree char *path = LW_PATH ("board.outline[%u]", i);

      corners += loop->corners->len;
      fine = check_loop (check, loop, path) && fine;
    }
  if (fine && corners > CORNERS_MAX)
    {
      lw_check_stop (check, g_strdup ("board.outline"), _("has %u corners; at most %d are read"), (guint) corners,
                     CORNERS_MAX);
      return FALSE;
    }
  return fine;
}

/* No two loops meet, so one corner tells where a whole cut-out lies. */
static void
check_cut_outs (LwCheck *check, const GPtrArray *outline)
{
  const LwLoop *edge = g_ptr_array_index (outline, 0);
  guint a, b;

  if (lw_loops_cross (outline, &a, &b))
    {
      if (a == 0)
        lw_check_stop (check, LW_PATH ("board.outline[%u]", b), _("this cut-out crosses or touches the board’s edge"));
      else
        lw_check_stop (check, LW_PATH ("board.outline[%u]", b), _("this cut-out crosses or touches cut-out %u"), a);
      return;
    }
  for (guint i = 1; i < outline->len; i++)
    {
      const LwLoop *loop = g_ptr_array_index (outline, i);
      const LwVertex *v = &g_array_index (loop->corners, LwVertex, 0);

      if (!lw_loop_contains (edge, v->x_mm, v->y_mm))
        lw_check_stop (check, LW_PATH ("board.outline[%u]", i), _("this cut-out lies outside the board’s edge"));
    }
}

static void
check_outline (LwCheck *check, const LwBoard *board)
{
  if (board->outline->len == 0)
    lw_check_stop (check, g_strdup ("board.outline"), _("the board has no outline"));
  else if (check_loops (check, board->outline))
    check_cut_outs (check, board->outline);
}

static double
layer_thickness (const LwLayer *layer)
{
  static const double oz_mm = 0.0348; /* 1 oz/ft2 of copper at 8.96 g/cm3, rounded as the trade does */

  if (!isnan (layer->thickness_mm))
    return layer->thickness_mm;
  return layer->kind == LW_LAYER_COPPER ? layer->copper_weight_oz * oz_mm : NAN;
}

static void
check_layers (LwCheck *check, const LwBoard *board)
{
  double sum = 0.0;

  for (guint i = 0; i < board->layers->len; i++)
    {
      const LwLayer *layer = g_ptr_array_index (board->layers, i);

      if (isnan (layer_thickness (layer)))
        lw_check_stop (check, LW_PATH ("board.stack_up[%u].thickness_mm", i),
                       _("is unknown; only a copper layer’s follows from its weight"));
      if (layer->kind == LW_LAYER_LAMINATE && layer->material[0] != '\0'
          && lw_library_laminate (layer->material) == NULL)
        lw_check_note (check, LW_PATH ("board.stack_up[%u].material", i),
                       _("“%s” is not in the library; ordinary glass-epoxy is used"), layer->material);
      sum += layer_thickness (layer);
    }
  if (board->layers->len > 0 && fabs (sum - board->thickness_mm) > 0.1 * board->thickness_mm)
    {
      LwNumberText is, wanted;

      lw_check_note (check, g_strdup ("board.stack_up"), _("its layers make %s mm, the board has %s mm"),
                     lw_number_text (&is, sum), lw_number_text (&wanted, board->thickness_mm));
    }
}

static gboolean
has_copper_layer (const LwBoard *board, const char *name)
{
  for (guint i = 0; i < board->layers->len; i++)
    {
      const LwLayer *layer = g_ptr_array_index (board->layers, i);

      if (layer->kind == LW_LAYER_COPPER && g_strcmp0 (layer->name, name) == 0)
        return TRUE;
    }
  return FALSE;
}

static void
check_copper (LwCheck *check, const LwBoard *board)
{
  for (guint i = 0; i < board->copper_regions->len; i++)
    {
      const LwCopperRegion *region = g_ptr_array_index (board->copper_regions, i);
      g_autofree char *path = LW_PATH ("board.copper_regions[%u].loop", i);

      check_loop (check, region->loop, path);
      if (!has_copper_layer (board, region->layer))
        lw_check_note (check, LW_PATH ("board.copper_regions[%u].layer", i),
                       _("no copper layer is named “%s”; the region is left out"), region->layer);
    }
  for (guint i = 0; i < board->via_fields->len; i++)
    {
      const LwViaField *field = g_ptr_array_index (board->via_fields, i);
      g_autofree char *path = LW_PATH ("board.via_fields[%u].loop", i);

      check_loop (check, field->loop, path);
      if (field->drill_mm >= field->pitch_mm)
        lw_check_stop (check, LW_PATH ("board.via_fields[%u].drill_mm", i), _("holes are as wide as their pitch"));
      if (field->plating_um * 2e-3 > field->drill_mm)
        lw_check_stop (check, LW_PATH ("board.via_fields[%u].plating_um", i),
                       _("is more than half the drilled hole"));
    }
}

/* A damaged map would be quietly left out of every computation. */
static void
check_copper_map (LwCheck *check, const LwBoard *board)
{
  const LwCopperMap *map = board->copper_map;
  guint64 cells = map != NULL ? (guint64) map->columns * map->rows : 0;

  if (map == NULL)
    return;
  if (cells == 0 || cells > LW_COPPER_MAP_CELLS_MAX)
    {
      lw_check_stop (check, g_strdup ("board.copper_map"), _("has %llu cells; 1 to %u are read"),
                     (unsigned long long) cells, LW_COPPER_MAP_CELLS_MAX);
      return;
    }
  for (guint i = 0; i < map->covers->len; i++)
    {
      const LwLayerCover *cover = g_ptr_array_index (map->covers, i);
      g_autofree guint8 *unpacked = lw_copper_map_cells (map, i);

      if (unpacked == NULL)
        lw_check_stop (check, LW_PATH ("board.copper_map.covers[%u].cells", i),
                       _("cannot be unpacked to %llu cells"), (unsigned long long) cells);
      if (!has_copper_layer (board, cover->layer))
        lw_check_note (check, LW_PATH ("board.copper_map.covers[%u].layer", i),
                       _("no copper layer is named “%s”; its map is left out"), cover->layer);
      if (lw_copper_map_find (map, cover->layer) != (int) i)
        lw_check_note (check, LW_PATH ("board.copper_map.covers[%u].layer", i),
                       _("a second map of “%s” is left out"), cover->layer);
    }
}

void
lw_check_board (LwCheck *check)
{
  check_outline (check, check->job->board);
  check_layers (check, check->job->board);
  check_copper (check, check->job->board);
  check_copper_map (check, check->job->board);
}
