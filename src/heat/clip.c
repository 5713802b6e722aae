#include "heat/clip.h"

#include <math.h>

bool
heat_cover_new (HeatArena *arena, const HeatGrid *grid, HeatCover *cover)
{
  size_t n = grid->nx * grid->ny;
  cover->area = HEAT_TAKE (arena, double, n);
  cover->right = HEAT_TAKE (arena, double, n);
  cover->upper = HEAT_TAKE (arena, double, n);
  return cover->area && cover->right && cover->upper;
}

size_t
heat_cell_of (const double *edges, size_t n, double v)
{
  size_t lo = 0, hi = n;
  while (hi - lo > 1) {
    size_t mid = (lo + hi) / 2;
    if (edges[mid] <= v)
      lo = mid;
    else
      hi = mid;
  }
  return lo;
}

double
heat_loop_area (const HeatLoop *loop)
{
  double sum = 0;
  for (size_t i = 0; i < loop->n; i++) {
    HeatXY a = loop->xy[i], b = loop->xy[(i + 1) % loop->n];
    HeatXY o = loop->xy[0];
    sum += (a.x - o.x) * (b.y - o.y) - (b.x - o.x) * (a.y - o.y);
  }
  return sum / 2;
}

double
heat_loop_length (const HeatLoop *loop)
{
  double sum = 0;
  for (size_t i = 0; i < loop->n; i++) {
    HeatXY a = loop->xy[i], b = loop->xy[(i + 1) % loop->n];
    sum += hypot (b.x - a.x, b.y - a.y);
  }
  return sum;
}

bool
heat_loop_contains (const HeatLoop *loop, HeatXY at)
{
  bool in = false;
  for (size_t i = 0; i < loop->n; i++) {
    HeatXY a = loop->xy[i], b = loop->xy[(i + 1) % loop->n];
    if ((a.y > at.y) != (b.y > at.y) && at.x < a.x + (b.x - a.x) * (at.y - a.y) / (b.y - a.y))
      in = !in;
  }
  return in;
}

/* One direction of sweep: lines u = const are crossed from low u to high u; v runs along them. Element
 * (row v, column u) lies at v * sv + u * su. AREA may be NULL. OPEN receives running covers. */
typedef struct {
  const double *ue, *ve;
  size_t nu, nv, su, sv;
  double *area, *open;
} Sweep;

/* An edge piece inside row V, from (u1) to (u2), that brings COVER to everything on its right. */
static void
sweep_piece (const Sweep *s, size_t v, double u1, double u2, double cover)
{
  double low = fmin (u1, u2), high = fmax (u1, u2);
  double left = s->ue[0], right = s->ue[s->nu];
  double span = high - low;
  double rest = cover;
  if (low < left) { /* as if the piece stood on the grid's left edge */
    double part = high <= left ? cover : cover * (left - low) / span;
    if (s->area)
      s->area[v * s->sv] += part * (s->ue[1] - left);
    s->open[v * s->sv] += part;
    rest -= part;
    low = left;
    if (high <= left)
      return;
  }
  if (low >= right)
    return;
  size_t u = heat_cell_of (s->ue, s->nu, low);
  for (; u < s->nu; u++) {
    double end = fmin (high, s->ue[u + 1]);
    double part = high > s->ue[u + 1] ? cover * (end - low) / span : rest;
    if (s->area)
      s->area[v * s->sv + u * s->su] += part * (s->ue[u + 1] - (low + end) / 2);
    s->open[v * s->sv + u * s->su] += part;
    rest -= part;
    low = end;
    if (high <= s->ue[u + 1])
      return;
  }
}

static void
sweep_edge (const Sweep *s, double u1, double v1, double u2, double v2, double sign)
{
  if (v1 == v2)
    return;
  double low = fmin (v1, v2), high = fmax (v1, v2);
  double a = fmax (low, s->ve[0]), b = fmin (high, s->ve[s->nv]);
  if (a >= b)
    return;
  double slope = (u2 - u1) / (v2 - v1);
  double way = v2 > v1 ? -sign : sign;
  for (size_t v = heat_cell_of (s->ve, s->nv, a); v < s->nv && s->ve[v] < b; v++) {
    double from = fmax (a, s->ve[v]), to = fmin (b, s->ve[v + 1]);
    if (to > from)
      sweep_piece (s, v, u1 + slope * (from - v1), u1 + slope * (to - v1), way * (to - from));
  }
}

/* Turns per-cell contributions into covered area and the length covered on the far side of each cell. */
static void
sweep_close (const Sweep *s)
{
  for (size_t v = 0; v < s->nv; v++) {
    double run = 0;
    for (size_t u = 0; u < s->nu; u++) {
      size_t at = v * s->sv + u * s->su;
      if (s->area)
        s->area[at] += run * (s->ue[u + 1] - s->ue[u]);
      run += s->open[at];
      s->open[at] = run;
    }
  }
}

void
heat_cover_add (HeatCover *cover, const HeatGrid *grid, const HeatLoop *loop, double sign)
{
  if (loop->n < 3)
    return;
  double way = heat_loop_area (loop) >= 0 ? sign : -sign;
  size_t nx = grid->nx, ny = grid->ny;
  Sweep across = { grid->xe, grid->ye, nx, ny, 1, nx, cover->area, cover->right };
  Sweep along = { grid->ye, grid->xe, ny, nx, nx, 1, NULL, cover->upper };
  for (size_t i = 0; i < loop->n; i++) {
    HeatXY a = loop->xy[i], b = loop->xy[(i + 1) % loop->n];
    sweep_edge (&across, a.x, a.y, b.x, b.y, way);
    sweep_edge (&along, a.y, a.x, b.y, b.x, -way); /* swapping the axes turns the winding round */
  }
}

static double
clamp (double v, double high)
{
  return v < 0 ? 0 : v > high ? high : v;
}

void
heat_cover_close (HeatCover *cover, const HeatGrid *grid)
{
  size_t nx = grid->nx, ny = grid->ny;
  sweep_close (&(Sweep){ grid->xe, grid->ye, nx, ny, 1, nx, cover->area, cover->right });
  sweep_close (&(Sweep){ grid->ye, grid->xe, ny, nx, nx, 1, NULL, cover->upper });
  for (size_t iy = 0; iy < ny; iy++)
    for (size_t ix = 0; ix < nx; ix++) {
      size_t at = iy * nx + ix;
      double dx = grid->xe[ix + 1] - grid->xe[ix], dy = grid->ye[iy + 1] - grid->ye[iy];
      double area = clamp (cover->area[at], dx * dy);
      cover->area[at] = area > 1e-6 * dx * dy ? area : 0; /* a sliver below 1 ppm is rounding */
      cover->right[at] = clamp (cover->right[at], dy);
      cover->upper[at] = clamp (cover->upper[at], dx);
    }
}

/* One edge's share of heat_rim_add(): short pieces, each to the cell its middle lies in. */
static void
rim_edge (double *rim, const HeatGrid *grid, HeatXY a, HeatXY b, double side)
{
  double length = hypot (b.x - a.x, b.y - a.y);
  if (length <= 0)
    return;
  size_t parts = (size_t) fmin (ceil (length / 0.1e-3), 100000);
  for (size_t k = 0; k < parts; k++) {
    double s = (k + 0.5) / parts;
    double x = a.x + s * (b.x - a.x) - side * 1e-7 * (b.y - a.y) / length;
    double y = a.y + s * (b.y - a.y) + side * 1e-7 * (b.x - a.x) / length;
    if (x < grid->xe[0] || x > grid->xe[grid->nx] || y < grid->ye[0] || y > grid->ye[grid->ny])
      continue;
    rim[heat_cell_of (grid->ye, grid->ny, y) * grid->nx + heat_cell_of (grid->xe, grid->nx, x)]
        += length / parts;
  }
}

void
heat_rim_add (double *rim, const HeatGrid *grid, const HeatLoop *loop, double inner)
{
  double side = heat_loop_area (loop) >= 0 ? inner : -inner;
  for (size_t i = 0; i < loop->n; i++)
    rim_edge (rim, grid, loop->xy[i], loop->xy[(i + 1) % loop->n], side);
}

size_t
heat_outline (HeatXY center, double angle_rad, double length_m, double width_m, bool round,
              HeatXY corners[HEAT_OUTLINE_MAX])
{
  const double pi = 3.14159265358979323846;
  if (round) {
    size_t n = HEAT_OUTLINE_MAX;
    double r = length_m / 2 * sqrt (2 * pi / (n * sin (2 * pi / n)));
    for (size_t i = 0; i < n; i++)
      corners[i] = (HeatXY){ center.x + r * cos (2 * pi * i / n), center.y + r * sin (2 * pi * i / n) };
    return n;
  }
  double c = cos (angle_rad), s = sin (angle_rad);
  for (size_t i = 0; i < 4; i++) {
    double u = (i == 0 || i == 3 ? -0.5 : 0.5) * length_m, v = (i < 2 ? -0.5 : 0.5) * width_m;
    corners[i] = (HeatXY){ center.x + u * c - v * s, center.y + u * s + v * c };
  }
  return 4;
}
