#include "heat/multigrid-axes.h"

#include <math.h>

/* The next level has at most this share of a level's columns, if joining neighbours can bring that about. */
static const double SHARE_MOST = 0.45, GROW = 1.15;

bool
heat_axis_new (HeatArena *arena, const double *edges, size_t n, HeatAxis *axis)
{
  axis->n = n;
  axis->size = HEAT_TAKE (arena, double, n);
  axis->parent = HEAT_TAKE (arena, uint32_t, n);
  for (size_t i = 0; axis->size && i < n && edges; i++)
    axis->size[i] = edges[i + 1] - edges[i];
  return axis->size && axis->parent;
}

/* Numbers the parents when neighbours up to SIZE together are joined; returns how many there are. */
static size_t
join (HeatAxis *axis, double size)
{
  size_t n = 0;
  for (size_t i = 0; i < axis->n; n++) {
    bool two = i + 1 < axis->n && axis->size[i] + axis->size[i + 1] <= size * (1 + 1e-6);
    axis->parent[i++] = (uint32_t) n;
    if (two)
      axis->parent[i++] = (uint32_t) n;
  }
  return n;
}

bool
heat_axes_coarsen (HeatArena *arena, HeatAxis fine[2], HeatAxis coarse[2])
{
  double least = INFINITY, most = 0;
  for (size_t way = 0; way < 2; way++)
    for (size_t i = 0; i < fine[way].n; i++) {
      least = fmin (least, fine[way].size[i]);
      most = fmax (most, fine[way].size[i]);
    }
  size_t n[2];
  double size = 2 * least;
  for (;;) {
    for (size_t way = 0; way < 2; way++)
      n[way] = join (&fine[way], size);
    if ((double) n[0] * n[1] <= SHARE_MOST * fine[0].n * fine[1].n || size > 2 * most)
      break;
    size *= GROW;
  }
  for (size_t way = 0; way < 2; way++) {
    if (!heat_axis_new (arena, NULL, n[way], &coarse[way]))
      return false;
    for (size_t i = 0; i < fine[way].n; i++)
      coarse[way].size[fine[way].parent[i]] += fine[way].size[i];
  }
  return true;
}

double
heat_axis_stretch (const HeatAxis *fine, const HeatAxis *coarse, size_t i)
{
  size_t p = fine->parent[i];
  return (fine->size[i] + fine->size[i + 1]) / (coarse->size[p] + coarse->size[p + 1]);
}
