/* The board's part of the network. */
#include <math.h>

#include "heat/assemble-raster.h"
#include "heat/network.h"

/* Through conductivity and in-plane conductivity per board node are kept until the faces are done. */
typedef HeatSolids Solids;

static bool
fill_layers (HeatArena *arena, const HeatNetwork *net, Solids *solids)
{
  const HeatBoard *board = &net->scene->board;
  size_t columns = net->mesh.nx * net->mesh.ny, n = columns * board->n_layers;
  solids->kin = HEAT_TAKE (arena, double, n);
  solids->kthr = HEAT_TAKE (arena, double, n);
  solids->rhoc = HEAT_TAKE (arena, double, n);
  if (!solids->kin || !solids->kthr || !solids->rhoc)
    return false;
  for (size_t i = 0; i < n; i++) {
    const HeatLayer *layer = &board->layers[i / columns];
    solids->kin[i] = layer->k_in_w_mk;
    solids->kthr[i] = layer->k_thr_w_mk;
    solids->rhoc[i] = layer->rho_c_j_m3k;
  }
  return true;
}

static bool
add_patch (HeatArena *arena, const HeatNetwork *net, const HeatPatch *patch, Solids *solids)
{
  HeatGrid grid = heat_mesh_grid (&net->mesh);
  HeatCover cover;
  if (!heat_cover_new (arena, &grid, &cover))
    return false;
  heat_cover_add (&cover, &grid, &patch->area, 1);
  heat_cover_close (&cover, &grid);
  size_t columns = grid.nx * grid.ny;
  for (size_t i = 0; i < columns; i++) {
    if (cover.area[i] <= 0 || net->board.area[i] <= 0)
      continue;
    double share = fmin (1, cover.area[i] / net->board.area[i]);
    size_t k = patch->layer * columns + i;
    solids->kin[k] += share * patch->add_k_in_w_mk;
    solids->kthr[k] += share * patch->add_k_thr_w_mk;
    solids->rhoc[k] += share * patch->add_rho_c_j_m3k;
  }
  return true;
}

static bool
add_patches (const HeatArena *arena, const HeatNetwork *net, Solids *solids)
{
  for (size_t i = 0; i < net->scene->board.n_patches; i++) {
    HeatArena scratch = heat_arena_beside (arena);
    bool ok = add_patch (&scratch, net, &net->scene->board.patches[i], solids);
    heat_arena_clear (&scratch);
    if (!ok)
      return false;
  }
  return true;
}

static void
finish_solids (const HeatNetwork *net, Solids *solids)
{
  const HeatScene *scene = net->scene;
  size_t n = net->mesh.nx * net->mesh.ny * scene->board.n_layers;
  for (size_t i = 0; i < n; i++) {
    solids->kin[i] = fmax (solids->kin[i], 1e-3) * scene->scale_conductivity;
    solids->kthr[i] = fmax (solids->kthr[i], 1e-3) * scene->scale_conductivity;
    solids->rhoc[i] = fmax (solids->rhoc[i], 1e3) * scene->scale_capacity;
  }
}

/* From a layer's node up to its upper face, or DOWN to its lower one: the length of layer that resists as much, m. */
static double
half_layer (const HeatLayer *layer, bool down)
{
  return layer->thickness_m * (0.5 + (down ? layer->off_middle : -layer->off_middle));
}

/* Half cells in series, over an open length and a thickness. */
static double
series (double open_m2, double half_a_m, double k_a, double half_b_m, double k_b)
{
  return open_m2 > 0 ? open_m2 / (half_a_m / k_a + half_b_m / k_b) : 0;
}

static void
join_cell (HeatNetwork *net, const Solids *solids, size_t layer, size_t ix, size_t iy)
{
  const HeatMesh *m = &net->mesh;
  const HeatLayer *layers = net->scene->board.layers;
  size_t columns = m->nx * m->ny, c = iy * m->nx + ix, k = layer * columns + c;
  double area = net->board.area[c], t = layers[layer].thickness_m;
  if (area <= 0)
    return;
  double dx = m->xe[ix + 1] - m->xe[ix], dy = m->ye[iy + 1] - m->ye[iy];
  net->capacity[k] = area * t * solids->rhoc[k];
  if (ix + 1 < m->nx && net->board.area[c + 1] > 0)
    net->stencil.gx[k] = series (net->board.right[c] * t, dx / 2, solids->kin[k],
                                 (m->xe[ix + 2] - m->xe[ix + 1]) / 2, solids->kin[k + 1]);
  if (iy + 1 < m->ny && net->board.area[c + m->nx] > 0)
    net->stencil.gy[k] = series (net->board.upper[c] * t, dy / 2, solids->kin[k],
                                 (m->ye[iy + 2] - m->ye[iy + 1]) / 2, solids->kin[k + m->nx]);
  if (layer + 1 < net->scene->board.n_layers)
    net->stencil.gz[k] = series (area, half_layer (&layers[layer], false), solids->kthr[k],
                                 half_layer (&layers[layer + 1], true), solids->kthr[k + columns]);
}

static bool
outer_halves (HeatArena *arena, HeatNetwork *net, const Solids *solids)
{
  const HeatBoard *board = &net->scene->board;
  size_t columns = net->mesh.nx * net->mesh.ny, last = (board->n_layers - 1) * columns;
  net->half_up = HEAT_TAKE (arena, double, columns);
  net->half_down = HEAT_TAKE (arena, double, columns);
  if (!net->half_up || !net->half_down)
    return false;
  for (size_t i = 0; i < columns; i++) {
    net->half_up[i] = half_layer (&board->layers[board->n_layers - 1], false) / solids->kthr[last + i];
    net->half_down[i] = half_layer (&board->layers[0], true) / solids->kthr[i];
  }
  return true;
}

static bool
clip_board (HeatArena *arena, HeatNetwork *net)
{
  HeatGrid grid = heat_mesh_grid (&net->mesh);
  const HeatBoard *board = &net->scene->board;
  net->rim = HEAT_TAKE (arena, double, grid.nx *grid.ny);
  if (!net->rim || !heat_cover_new (arena, &grid, &net->board))
    return false;
  for (size_t i = 0; i < board->n_loops; i++) {
    heat_cover_add (&net->board, &grid, &board->loops[i], i ? -1 : 1);
    heat_rim_add (net->rim, &grid, &board->loops[i], i ? -1 : 1);
  }
  heat_cover_close (&net->board, &grid);
  return true;
}

bool
heat_board_assemble (HeatArena *arena, HeatNetwork *net)
{
  Solids solids;
  if (!clip_board (arena, net) || !fill_layers (arena, net, &solids)
      || !add_patches (arena, net, &solids) || !heat_raster_add (arena, net, &solids))
    return false;
  finish_solids (net, &solids);
  for (size_t layer = 0; layer < net->scene->board.n_layers; layer++)
    for (size_t iy = 0; iy < net->mesh.ny; iy++)
      for (size_t ix = 0; ix < net->mesh.nx; ix++)
        join_cell (net, &solids, layer, ix, iy);
  net->kin = solids.kin;
  return outer_halves (arena, net, &solids);
}
