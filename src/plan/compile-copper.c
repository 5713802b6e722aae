/* The copper map of a board as a raster of the scene: in each cell of the map the slices of the board have
 * the copper that was plotted there. */
#include "plan/compile.h"

#include <math.h>

#include "board/copper-map.h"
#include "heat/clip.h"

/* The sheets of the stack-up that have a map, with their covers unpacked. */
typedef struct {
  LwCase *owner;
  const LwStack *stack;
  const LwCopperMap *map;
  float **covers; /* by sheet, NULL = no map; columns x rows, 0..1 */
} Copper;

gboolean
lw_case_is_mapped (const LwCase *self, const LwStack *stack, int sheet)
{
  const LwCopperMap *map = self->job->board->copper_map;
  const LwSheet *s = &g_array_index (stack->sheets, LwSheet, sheet);

  return map != NULL && *s->name != '\0' && lw_stack_find (stack, s->name) == sheet
         && lw_copper_map_find (map, s->name) >= 0;
}

/* ---- the covers ---- */

static float *
unpack (const LwCopperMap *map, const char *layer)
{
  g_autofree guint8 *cells = lw_copper_map_cells (map, (guint) lw_copper_map_find (map, layer));
  gsize n = (gsize) map->columns * map->rows;
  float *cover;

  if (cells == NULL)
    return NULL;
  cover = g_new (float, n);
  for (gsize i = 0; i < n; i++)
    cover[i] = cells[i] / 255.0f;
  return cover;
}

/* The lines of the map's grid that a box of the board meets, mm. */
static double *
grid_lines (double origin, double cell, guint n, double low, double high, guint *first, size_t *count)
{
  double from = CLAMP (floor ((low - origin) / cell), 0, n), to = CLAMP (ceil ((high - origin) / cell), 0, n);
  double *lines;

  *first = (guint) from;
  *count = to > from ? (size_t) (to - from) : 0;
  lines = g_new (double, *count + 1);
  for (size_t i = 0; i <= *count; i++)
    lines[i] = origin + (*first + i) * cell;
  return lines;
}

/* What was drawn by hand counts before what was plotted. */
static void
blend_region (const Copper *self, const LwCopperRegion *region, float *cover)
{
  const LwCopperMap *map = self->map;
  LwBox box = lw_loop_box (region->loop);
  g_autoptr (GArray) points = lw_loop_flatten (region->loop, 0.05);
  HeatGrid grid = { 0 };
  guint column, row;
  g_autofree double *xe = grid_lines (map->x_mm, map->cell_mm, map->columns, box.x0_mm, box.x1_mm, &column, &grid.nx);
  g_autofree double *ye = grid_lines (map->y_mm, map->cell_mm, map->rows, box.y0_mm, box.y1_mm, &row, &grid.ny);
  HeatLoop loop = { (const HeatXY *) (const void *) points->data, points->len };
  HeatArena arena = HEAT_ARENA_INIT;
  HeatCover inside;

  grid.xe = xe;
  grid.ye = ye;
  if (grid.nx > 0 && grid.ny > 0 && points->len >= 3 && heat_cover_new (&arena, &grid, &inside)) {
    heat_cover_add (&inside, &grid, &loop, 1);
    heat_cover_close (&inside, &grid);
    for (size_t i = 0; i < grid.nx * grid.ny; i++) {
      float *cell = &cover[(row + i / grid.nx) * map->columns + column + i % grid.nx];
      double share = fmin (inside.area[i] / (map->cell_mm * map->cell_mm), 1);
      *cell = (float) (*cell * (1 - share) + region->cover * share);
    }
  }
  heat_arena_clear (&arena);
}

static void
read_covers (Copper *self)
{
  const GPtrArray *regions = self->owner->job->board->copper_regions;
  guint n = self->stack->sheets->len;

  self->covers = g_new0 (float *, n);
  for (guint i = 0; i < n; i++)
    if (lw_case_is_mapped (self->owner, self->stack, (int) i))
      self->covers[i] = unpack (self->map, g_array_index (self->stack->sheets, LwSheet, i).name);
  for (guint i = 0; i < regions->len; i++) {
    const LwCopperRegion *region = g_ptr_array_index (regions, i);
    int sheet = lw_stack_find (self->stack, region->layer);
    if (sheet >= 0 && self->covers[sheet] != NULL)
      blend_region (self, region, self->covers[sheet]);
  }
}

static void
free_covers (Copper *self)
{
  for (guint i = 0; i < self->stack->sheets->len; i++)
    g_free (self->covers[i]);
  g_free (self->covers);
}

/* ---- the raster ---- */

static gboolean
slice_has_map (const Copper *self, double z0, double z1)
{
  double top = 0;

  for (guint i = 0; i < self->stack->sheets->len; i++) {
    double bottom = top + g_array_index (self->stack->sheets, LwSheet, i).thickness_m;
    if (self->covers[i] != NULL && fmin (z1, bottom) > fmax (z0, top))
      return TRUE;
    top = bottom;
  }
  return FALSE;
}

/* What is prescribed stays as prescribed. */
static void
set_cell (const LwBoard *board, HeatLayer was, HeatLayer is, gsize at, float *k_in, float *k_thr, float *rho_c)
{
  k_in[at] = isnan (board->prescribed_k_in_plane_w_per_mk) ? (float) (is.k_in_w_mk - was.k_in_w_mk) : 0;
  k_thr[at] = isnan (board->prescribed_k_through_w_per_mk) ? (float) (is.k_thr_w_mk - was.k_thr_w_mk) : 0;
  rho_c[at] = isnan (board->prescribed_heat_capacity_j_per_m3k) ? (float) (is.rho_c_j_m3k - was.rho_c_j_m3k) : 0;
}

static HeatSheet
make_sheet (const Copper *self, guint layer, double z0, double z1)
{
  const LwCopperMap *map = self->map;
  guint n = self->stack->sheets->len;
  gsize n_cells = (gsize) map->columns * map->rows;
  float *k_in = lw_case_alloc (self->owner, n_cells, sizeof (float));
  float *k_thr = lw_case_alloc (self->owner, n_cells, sizeof (float));
  float *rho_c = lw_case_alloc (self->owner, n_cells, sizeof (float));
  g_autofree double *covers = g_new (double, n);
  HeatLayer was = lw_stack_slice (self->stack, z0, z1, -1, 0);

  for (gsize at = 0; at < n_cells; at++) {
    guint column = at % map->columns;
    /* A board that is turned over is seen from its other side. */
    gsize from = self->owner->flipped ? at - column + (map->columns - 1 - column) : at;
    for (guint i = 0; i < n; i++)
      covers[i] = self->covers[i] != NULL ? self->covers[i][from] : NAN;
    set_cell (self->owner->job->board, was, lw_stack_slice_covered (self->stack, z0, z1, covers), at, k_in, k_thr,
              rho_c);
  }
  return (HeatSheet){ layer, k_in, k_thr, rho_c };
}

static HeatXY
scene_origin (const LwCase *self, const LwCopperMap *map)
{
  return lw_case_point (self, self->flipped ? map->x_mm + map->columns * map->cell_mm : map->x_mm, map->y_mm);
}

void
lw_case_add_copper (LwCase *self, const LwStack *stack, const double *const *cuts, guint n)
{
  Copper copper = { self, stack, self->job->board->copper_map, NULL };
  HeatRaster *raster;
  HeatSheet *sheets;

  if (copper.map == NULL)
    return;
  read_covers (&copper);
  raster = lw_case_alloc (self, 1, sizeof (HeatRaster));
  sheets = lw_case_alloc (self, n, sizeof (HeatSheet));
  *raster = (HeatRaster){ scene_origin (self, copper.map), copper.map->cell_mm * 1e-3, copper.map->columns,
                          copper.map->rows, sheets, 0 };
  for (guint layer = 0; layer < n; layer++)
    if (slice_has_map (&copper, cuts[layer][0], cuts[layer][1]))
      sheets[raster->n_sheets++] = make_sheet (&copper, layer, cuts[layer][0], cuts[layer][1]);
  if (raster->n_sheets > 0)
    self->scene.board.raster = raster;
  free_covers (&copper);
}
