#include "heat/mesh.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>

/* Growth of the cell size with distance from a fine zone: neighbouring cells differ by about a quarter.
 */
static const double GROWTH = 0.22;

/* Along one axis: where cells must be fine, and where lines must run. */
typedef struct {
  double from, to, size;
} Zone;

typedef struct {
  double at;
  int rank; /* lower wins when two lie too close */
} Line;

typedef struct {
  Zone *zones;
  size_t n_zones;
  Line *lines;
  size_t n_lines;
  double coarse, low, high;
} Axis;

static double
wanted_size (const Axis *axis, double at)
{
  double size = axis->coarse;
  for (size_t i = 0; i < axis->n_zones; i++) {
    const Zone *z = &axis->zones[i];
    double away = at < z->from ? z->from - at : at > z->to ? at - z->to : 0;
    size = fmin (size, z->size + GROWTH * away);
  }
  return size;
}

static bool
is_square (double angle_rad)
{
  double quarters = angle_rad / 1.57079632679489661923;
  return fabs (quarters - round (quarters)) < 1e-6;
}

/* Half extents of a rectangle or disc along the axes. */
static HeatXY
half_box (double length_m, double width_m, double angle_rad, bool round)
{
  if (round)
    return (HeatXY){ length_m / 2, length_m / 2 };
  double c = fabs (cos (angle_rad)), s = fabs (sin (angle_rad));
  return (HeatXY){ (length_m * c + width_m * s) / 2, (length_m * s + width_m * c) / 2 };
}

static void
axis_zone (Axis *axis, double center, double half, double size)
{
  axis->zones[axis->n_zones++] = (Zone){ center - half, center + half, size };
}

static void
axis_edges (Axis *axis, double center, double half, int rank)
{
  axis->lines[axis->n_lines++] = (Line){ center - half, rank };
  axis->lines[axis->n_lines++] = (Line){ center + half, rank };
}

static double
along (HeatXY p, int axis)
{
  return axis ? p.y : p.x;
}

/* Bodies farther than this from the target need no lines of their own, and their cells grow with the
 * distance: temperatures vary little there. */
static const double NEAR_M = 16e-3, FAR_GROWTH = 0.15, FAR_CELL_M = 4e-3;
/* Round the nozzle, where the spill makes temperatures steep, cells stay small. */
static const double SPILL_M = 8e-3, SPILL_CELLS = 1.2;

/* Under the target's rim, where board and body exchange most: the heat its outer joints pass dies away in
 * the board within about a millimetre. */
static const double RIM_M = 1.5e-3, RIM_CELLS = 0.65;

/* Gap between the boxes of two bodies along the wider-parted axis, m (0: they overlap). */
static double
box_gap (const HeatBody *a, const HeatBody *b)
{
  HeatXY p = half_box (a->length_m, a->width_m, a->angle_rad, a->round);
  HeatXY q = half_box (b->length_m, b->width_m, b->angle_rad, b->round);
  double dx = fabs (a->center.x - b->center.x) - p.x - q.x;
  double dy = fabs (a->center.y - b->center.y) - p.y - q.y;
  return fmax (0, fmax (dx, dy));
}

static void
collect_body (Axis *axis, int way, const HeatBody *body, bool target, double away, double cell)
{
  HeatXY half = half_box (body->length_m, body->width_m, body->angle_rad, body->round);
  double least = body->round ? body->length_m : fmin (body->length_m, body->width_m);
  double size = target ? cell : fmin (fmax (least / 8, cell), fmax (1.5e-3, cell));
  if (away > NEAR_M)
    size = fmin (size + FAR_GROWTH * (away - NEAR_M), fmax (fmin (FAR_CELL_M, least / 4), cell));
  axis_zone (axis, along (body->center, way), along (half, way), size);
  if (target) {
    double in = fmin (RIM_M, along (half, way)) / 2, at = along (half, way) - in;
    axis_zone (axis, along (body->center, way) - at, in, RIM_CELLS * cell);
    axis_zone (axis, along (body->center, way) + at, in, RIM_CELLS * cell);
  }
  if (away <= NEAR_M && !body->round && is_square (body->angle_rad))
    axis_edges (axis, along (body->center, way), along (half, way), target ? 1 : 3);
}

static void
collect_nozzle (Axis *axis, int way, const HeatNozzle *nozzle, double cell)
{
  double wall = 2 * nozzle->wall_m;
  HeatXY in = half_box (nozzle->length_m, nozzle->width_m, nozzle->angle_rad, nozzle->round);
  HeatXY out
      = half_box (nozzle->length_m + wall, nozzle->width_m + wall, nozzle->angle_rad, nozzle->round);
  axis_zone (axis, along (nozzle->center, way), along (out, way) + cell, cell);
  axis_zone (axis, along (nozzle->center, way), along (out, way) + SPILL_M, SPILL_CELLS * cell);
  if (!nozzle->round && is_square (nozzle->angle_rad)) {
    axis_edges (axis, along (nozzle->center, way), along (in, way), 2);
    axis_edges (axis, along (nozzle->center, way), along (out, way), 2);
  }
}

/* A preheater that acts by a film stops at its edges; an emitter's view fades on its own. */
static void
collect_preheat (Axis *axis, int way, const HeatPreheat *preheat)
{
  if (preheat->kind == HEAT_PREHEAT_AIR
      || (preheat->kind != HEAT_PREHEAT_NONE && preheat->prescribed_h_w_m2k > 0))
    axis_edges (axis, along (preheat->center, way), (way ? preheat->width_m : preheat->length_m) / 2, 4);
}

static void
collect_extent (Axis *axis, int way, const HeatScene *scene)
{
  const HeatLoop *edge = &scene->board.loops[0];
  axis->low = INFINITY;
  axis->high = -INFINITY;
  for (size_t i = 0; i < edge->n; i++) {
    axis->low = fmin (axis->low, along (edge->xy[i], way));
    axis->high = fmax (axis->high, along (edge->xy[i], way));
  }
  for (size_t i = 0; i < scene->n_bodies; i++) {
    const HeatBody *b = &scene->bodies[i];
    if (!b->meshed)
      continue;
    double half = along (half_box (b->length_m, b->width_m, b->angle_rad, b->round), way);
    axis->low = fmin (axis->low, along (b->center, way) - half);
    axis->high = fmax (axis->high, along (b->center, way) + half);
  }
}

static bool
collect (HeatArena *arena, Axis *axis, int way, const HeatScene *scene, const HeatMeshSize *size)
{
  axis->zones = HEAT_TAKE (arena, Zone, scene->n_bodies + 5);
  axis->lines = HEAT_TAKE (arena, Line, 2 * scene->n_bodies + 10);
  if (!axis->zones || !axis->lines)
    return false;
  axis->coarse = size->coarse_m;
  collect_extent (axis, way, scene);
  axis->lines[axis->n_lines++] = (Line){ axis->low, 0 };
  axis->lines[axis->n_lines++] = (Line){ axis->high, 0 };
  if (size->coarse_m <= size->cell_m)
    return true;
  const HeatBody *target = scene->target < scene->n_bodies ? &scene->bodies[scene->target] : NULL;
  for (size_t i = 0; i < scene->n_bodies; i++) {
    const HeatBody *body = &scene->bodies[i];
    if (body->meshed)
      collect_body (axis, way, body, body == target, target ? box_gap (body, target) : 0, size->cell_m);
  }
  if (scene->nozzle.present)
    collect_nozzle (axis, way, &scene->nozzle, size->cell_m);
  collect_preheat (axis, way, &scene->preheat);
  return true;
}

static int
compare_lines (const void *a, const void *b)
{
  const Line *p = a, *q = b;
  return p->at < q->at ? -1 : p->at > q->at ? 1 : p->rank - q->rank;
}

/* Sorts the lines and drops those outside, doubled, or too close to a more important one. */
static void
thin_lines (Axis *axis)
{
  qsort (axis->lines, axis->n_lines, sizeof (Line), compare_lines);
  size_t n = 0;
  for (size_t i = 0; i < axis->n_lines; i++) {
    Line line = axis->lines[i];
    if (line.at < axis->low || line.at > axis->high)
      continue;
    if (n && line.at - axis->lines[n - 1].at < 0.35 * wanted_size (axis, line.at)) {
      if (line.rank < axis->lines[n - 1].rank)
        axis->lines[n - 1] = line;
      continue;
    }
    axis->lines[n++] = line;
  }
  axis->n_lines = n;
}

enum { SAMPLES_MAX = 20000 };

/* Number of cells between two lines, and, with OUT, the places of their far ends: equal shares of the
 * integral of 1 / wanted size. */
static size_t
fill_span (const Axis *axis, double from, double to, double *out)
{
  size_t samples = (size_t) fmin (fmax (16, (to - from) / 0.1e-3), SAMPLES_MAX);
  double step = (to - from) / samples, total = 0;
  for (size_t i = 0; i < samples; i++)
    total += step / wanted_size (axis, from + (i + 0.5) * step);
  size_t cells = (size_t) fmax (1, ceil (total - 1e-6));
  if (!out)
    return cells;
  double run = 0;
  size_t k = 0;
  for (size_t i = 0; i < samples && k + 1 < cells; i++) {
    double share = step / wanted_size (axis, from + (i + 0.5) * step);
    while (k + 1 < cells && run + share >= total * (k + 1) / cells) {
      out[k] = from + step * (i + (total * (k + 1) / cells - run) / share);
      k++;
    }
    run += share;
  }
  for (; k + 1 < cells; k++)
    out[k] = from + (to - from) * (k + 1) / cells;
  out[cells - 1] = to;
  return cells;
}

static HeatStatus
lay_lines (HeatArena *arena, const Axis *axis, size_t max, size_t *n, double **edges, double **centers)
{
  double cells = 0;
  for (size_t i = 0; i + 1 < axis->n_lines; i++)
    cells += fill_span (axis, axis->lines[i].at, axis->lines[i + 1].at, NULL);
  if (cells > max)
    return HEAT_TOO_LARGE;
  *n = (size_t) cells;
  *edges = HEAT_TAKE (arena, double, *n + 1);
  *centers = HEAT_TAKE (arena, double, *n);
  if (!*edges || !*centers)
    return HEAT_NO_MEMORY;
  (*edges)[0] = axis->lines[0].at;
  size_t at = 1;
  for (size_t i = 0; i + 1 < axis->n_lines; i++)
    at += fill_span (axis, axis->lines[i].at, axis->lines[i + 1].at, *edges + at);
  for (size_t i = 0; i < *n; i++)
    (*centers)[i] = ((*edges)[i] + (*edges)[i + 1]) / 2;
  return HEAT_OK;
}

HeatStatus
heat_mesh_new (HeatArena *arena, const HeatScene *scene, const HeatMeshSize *size, HeatMesh *mesh)
{
  for (int way = 0; way < 2; way++) {
    Axis axis = { 0 };
    if (!collect (arena, &axis, way, scene, size))
      return HEAT_NO_MEMORY;
    thin_lines (&axis);
    HeatStatus status
        = way ? lay_lines (arena, &axis, size->max_columns, &mesh->ny, &mesh->ye, &mesh->yc)
              : lay_lines (arena, &axis, size->max_columns, &mesh->nx, &mesh->xe, &mesh->xc);
    if (status != HEAT_OK)
      return status;
  }
  return (double) mesh->nx * mesh->ny > size->max_columns ? HEAT_TOO_LARGE : HEAT_OK;
}
