/* How much of each copper layer is copper, cell by cell, as plotted: the local cover a layer's one figure
 * cannot tell. One grid for the whole board, square cells, rows from the lowest up, seen from the top.
 *
 * A cell's cover is the share of the board's area in that cell which carries copper of the layer; a cell
 * with no board in it is 0 and means nothing. Covers are kept in steps of 1/255. In memory as in the file
 * they stand packed (a zlib stream of one byte a cell, in base64), so that a job stays small and its copies
 * cheap: unpack what you need, once. */
#ifndef LW_COPPER_MAP_H
#define LW_COPPER_MAP_H

#include "board/job.h"

G_BEGIN_DECLS

/* Cells of one grid at most: a board of 250 x 250 mm in cells of 0.25 mm. */
#define LW_COPPER_MAP_CELLS_MAX 1000000u

typedef struct {
  char *layer; /* a copper layer of the stack-up */
  char *cells; /* packed */
  JsonObject *extra;
} LwLayerCover;

struct _LwCopperMap {
  double x_mm, y_mm; /* low corner of the grid */
  double cell_mm;
  guint columns, rows;
  GPtrArray *covers; /* LwLayerCover */
  JsonObject *extra;
};

LW_DECLARE_COUNTED (LwLayerCover, lw_layer_cover)
LW_DECLARE_COUNTED (LwCopperMap, lw_copper_map)

/* Adds a layer to a map nobody else sees yet. CELLS: columns x rows bytes, 255 = all copper. */
void lw_copper_map_add (LwCopperMap *map, const char *layer, const guint8 *cells);
/* Number of the layer's entry in COVERS, or -1. */
int lw_copper_map_find (const LwCopperMap *map, const char *layer);
/* The cells of entry INDEX, columns x rows bytes (transfer full); NULL when they cannot be unpacked or are
 * not as many. */
guint8 *lw_copper_map_cells (const LwCopperMap *map, guint index);

G_END_DECLS

#endif
