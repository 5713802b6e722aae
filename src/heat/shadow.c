/* Thermal shadow.
 *
 * Seen from a point, the top edge of an upright wall at perpendicular distance p, height h above the
 * point and azimuth f of its normal stands at tan (elevation) = h / p cos (phi - f) = a cos phi +
 * b sin phi. Edges that face the point are swept by azimuth; between two neighbouring ends of edges the
 * horizon is the upper envelope of such waves, any two of which cross once at most. Under one wave the
 * cosine-weighted share of the hemisphere is 1/2pi times
 *   integral sin^2 (elevation) dphi = psi - p / s atan (p / s tan psi), s^2 = p^2 + h^2, psi = phi - f,
 * the same integral that gives the long wall of heat_view_long_wall(). Nothing is allocated: at most
 * MAX_EDGES edges are held, and boxes whose whole share is below LEAST_SHARE are passed over. */
#include "heat/shadow.h"

#include <math.h>
#include <stdlib.h>

static const double pi = 3.14159265358979323846;
static const double least_share = 2e-6;
static const double lee_heights = 8;

enum { ROUND_SIDES = 32, MAX_EDGES = 512 };

typedef struct {
  double from, to; /* azimuth, 0 <= from < to <= 2 pi */
  double a, b;     /* tan (elevation) = a cos + b sin */
} Edge;

typedef struct {
  Edge edges[MAX_EDGES];
  size_t n;
} Horizon;

static HeatXY
in_box_frame (const HeatBox *box, HeatXY at)
{
  double dx = at.x - box->center.x, dy = at.y - box->center.y;
  double c = cos (box->angle_rad), s = sin (box->angle_rad);
  return (HeatXY){ c * dx + s * dy, c * dy - s * dx };
}

static bool
covers (const HeatBox *box, HeatXY local)
{
  if (box->round)
    return hypot (local.x, local.y) < 0.5 * box->length_m;
  return fabs (local.x) < 0.5 * box->length_m && fabs (local.y) < 0.5 * box->width_m;
}

/* An upper bound of what a box hides: elevation at its nearest point over the angle its outline takes. */
static bool
matters (const HeatBox *box, HeatXY local, double rise)
{
  double radius = box->round ? 0.5 * box->length_m : 0.5 * hypot (box->length_m, box->width_m);
  double distance = hypot (local.x, local.y), clear = distance - radius;
  if (clear <= rise)
    return true;
  return rise * rise / (rise * rise + clear * clear) * asin (radius / distance) / pi > least_share;
}

static void
add_piece (Horizon *horizon, double from, double to, double a, double b)
{
  if (to > from && horizon->n < MAX_EDGES)
    horizon->edges[horizon->n++] = (Edge){ from, to, a, b };
}

/* One wall from P to Q relative to the point, outline counter-clockwise; walls turned away are hidden by
 * those that face the point. */
static void
add_wall (Horizon *horizon, HeatXY p, HeatXY q, double rise)
{
  double cross = p.x * q.y - p.y * q.x;
  if (!(cross < 0))
    return;
  double a = rise * (q.y - p.y) / cross, b = rise * (p.x - q.x) / cross;
  double from = atan2 (q.y, q.x), to = atan2 (p.y, p.x);
  from += from < 0 ? 2 * pi : 0;
  to += to < 0 ? 2 * pi : 0;
  if (from <= to) {
    add_piece (horizon, from, to, a, b);
  } else {
    add_piece (horizon, from, 2 * pi, a, b);
    add_piece (horizon, 0, to, a, b);
  }
}

static void
add_box (Horizon *horizon, const HeatBox *box, HeatXY at, double rise)
{
  double c = cos (box->angle_rad), s = sin (box->angle_rad);
  double x0 = box->center.x - at.x, y0 = box->center.y - at.y;
  HeatXY corner[ROUND_SIDES];
  int n = box->round ? ROUND_SIDES : 4;
  /* A polygon of the disc's area. */
  double reach = 0.5 * box->length_m / sqrt (ROUND_SIDES / (2 * pi) * sin (2 * pi / ROUND_SIDES));
  for (int i = 0; i < n; i++) {
    double turn = 2 * pi * i / ROUND_SIDES;
    double u = box->round ? reach * cos (turn) : 0.5 * box->length_m * (i == 0 || i == 3 ? 1 : -1);
    double v = box->round ? reach * sin (turn) : 0.5 * box->width_m * (i < 2 ? 1 : -1);
    corner[i] = (HeatXY){ x0 + c * u - s * v, y0 + s * u + c * v };
  }
  for (int i = 0; i < n; i++)
    add_wall (horizon, corner[i], corner[(i + 1) % n], rise);
}

static int
by_from (const void *left, const void *right)
{
  double a = ((const Edge *)left)->from, b = ((const Edge *)right)->from;
  return (a > b) - (a < b);
}

static int
by_value (const void *left, const void *right)
{
  double a = *(const double *)left, b = *(const double *)right;
  return (a > b) - (a < b);
}

static double
wave (const Edge *edge, double phi)
{
  return edge->a * cos (phi) + edge->b * sin (phi);
}

/* integral of sin^2 (elevation) under one edge; with t = tan (elevation) of the normal, p / s =
 * 1 / sqrt (1 + t^2). */
static double
under_edge (const Edge *edge, double from, double to)
{
  double normal = atan2 (edge->b, edge->a), t2 = edge->a * edge->a + edge->b * edge->b;
  double share = 1 / sqrt (1 + t2);
  double middle = 0.5 * (from + to) - normal;
  double shift = middle - remainder (middle, 2 * pi) + normal;
  double u = from - shift, v = to - shift;
  return v - u - share * (atan (share * tan (v)) - atan (share * tan (u)));
}

/* The azimuth after FROM where OTHER rises over TOP, or beyond TO if it does not. */
static double
overtaken (const Edge *top, const Edge *other, double from, double to)
{
  if (wave (other, to) <= wave (top, to))
    return INFINITY;
  double phi = atan2 (top->a - other->a, other->b - top->b);
  phi += ceil ((from - phi) / pi - 1e-9) * pi;
  return fmin (fmax (phi, from), to);
}

static double
under_envelope (const Edge **active, size_t n, double from, double to)
{
  double sum = 0;
  const Edge *top = active[0];
  for (size_t i = 1; i < n; i++) {
    double gain = wave (active[i], from) - wave (top, from);
    if (gain > 0 || (gain == 0 && wave (active[i], to) > wave (top, to)))
      top = active[i];
  }
  for (size_t turns = 0; from < to && turns <= n; turns++) {
    double next = to;
    const Edge *heir = NULL;
    for (size_t i = 0; i < n; i++) {
      double phi = active[i] == top ? INFINITY : overtaken (top, active[i], from, to);
      if (phi < next) {
        next = phi;
        heir = active[i];
      }
    }
    sum += under_edge (top, from, next);
    from = next;
    top = heir ? heir : top;
  }
  return sum;
}

static double
swept (Horizon *horizon)
{
  double ends[2 * MAX_EDGES], sum = 0;
  const Edge *active[MAX_EDGES];
  size_t n_active = 0, next = 0;
  qsort (horizon->edges, horizon->n, sizeof (Edge), by_from);
  for (size_t i = 0; i < horizon->n; i++) {
    ends[2 * i] = horizon->edges[i].from;
    ends[2 * i + 1] = horizon->edges[i].to;
  }
  qsort (ends, 2 * horizon->n, sizeof (double), by_value);
  for (size_t i = 0; i + 1 < 2 * horizon->n; i++) {
    double from = ends[i], to = ends[i + 1];
    size_t kept = 0;
    for (size_t j = 0; j < n_active; j++)
      if (active[j]->to > from)
        active[kept++] = active[j];
    n_active = kept;
    while (next < horizon->n && horizon->edges[next].from <= from) {
      const Edge *edge = &horizon->edges[next++];
      if (edge->to > from)
        active[n_active++] = edge;
    }
    if (n_active > 0 && to > from)
      sum += under_envelope (active, n_active, from, to);
  }
  return sum;
}

double
heat_sky_hidden (HeatXY at, double z_m, const HeatBox *boxes, size_t n, size_t skip)
{
  Horizon horizon;
  horizon.n = 0;
  for (size_t i = 0; i < n; i++) {
    double rise = boxes[i].height_m - z_m;
    if (i == skip || !(rise > 0))
      continue;
    HeatXY local = in_box_frame (&boxes[i], at);
    if (covers (&boxes[i], local))
      return 1;
    if (matters (&boxes[i], local, rise))
      add_box (&horizon, &boxes[i], at, rise);
  }
  return fmin (fmax (swept (&horizon) / (2 * pi), 0), 1);
}

/* Narrows the stretch [*enter, *leave] of a segment to where LOW <= start + share * step <= HIGH. */
static bool
clip (double start, double step, double half, double *enter, double *leave)
{
  if (step == 0)
    return fabs (start) < half;
  double a = (-half - start) / step, b = (half - start) / step;
  *enter = fmax (*enter, fmin (a, b));
  *leave = fmin (*leave, fmax (a, b));
  return *enter < *leave;
}

/* Share of the segment from P to Q (box frame) at which it leaves the outline; < 0 where it misses it. */
static double
leaving_share (const HeatBox *box, HeatXY p, HeatXY q)
{
  double dx = q.x - p.x, dy = q.y - p.y, enter = 0, leave = 1;
  if (!box->round) {
    bool crossed = clip (p.x, dx, 0.5 * box->length_m, &enter, &leave)
                   && clip (p.y, dy, 0.5 * box->width_m, &enter, &leave);
    return crossed ? leave : -1;
  }
  double a = dx * dx + dy * dy, b = p.x * dx + p.y * dy;
  double c = p.x * p.x + p.y * p.y - 0.25 * box->length_m * box->length_m, d = b * b - a * c;
  if (!(a > 0 && d > 0))
    return -1;
  enter = fmax ((-b - sqrt (d)) / a, 0);
  leave = fmin ((-b + sqrt (d)) / a, 1);
  return enter < leave ? leave : -1;
}

double
heat_flow_sheltered (HeatXY from, HeatXY at, double z_m, const HeatBox *boxes, size_t n, size_t skip)
{
  double path = hypot (at.x - from.x, at.y - from.y), most = 0;
  for (size_t i = 0; i < n; i++) {
    double rise = boxes[i].height_m - z_m;
    if (i == skip || !(rise > 0))
      continue;
    double share = leaving_share (&boxes[i], in_box_frame (&boxes[i], from), in_box_frame (&boxes[i], at));
    if (share >= 0)
      most = fmax (most, 1 - path * (1 - share) / (lee_heights * rise));
  }
  return most;
}
