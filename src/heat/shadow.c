/* Thermal shadow.
 *
 * Seen from a point, the top edge of an upright wall at perpendicular distance p, height h above the
 * point and azimuth f of its normal stands at tan (elevation) = h / p cos (phi - f) = a cos phi +
 * b sin phi. Edges that face the point are swept by azimuth; between two neighbouring ends of edges the
 * horizon is the upper envelope of such waves, any two of which cross once at most. Under one wave the
 * cosine-weighted share of the hemisphere is 1/2pi times
 *   integral sin^2 (elevation) dphi = psi - p / s atan (p / s tan psi), s^2 = p^2 + h^2, psi = phi - f,
 * the same integral that gives a long wall its share. Nothing is allocated: at most
 * MAX_EDGES edges are held, and boxes whose whole share is below LEAST_SHARE are passed over. */
#include "heat/shadow.h"

#include <math.h>

static const double pi = 3.14159265358979323846;
static const double least_share = 1e-5;
static const double lee_heights = 8;

enum { NEAR_SIDES = 32, FAR_SIDES = 12, MAX_EDGES = 512 };

/* One wall that faces the point: tan (elevation) = a cos + b sin between its ends. */
typedef struct {
  double a, b;
} Edge;

/* Where an edge begins or ends: azimuth 0 to 2 pi, its cosine and sine. */
typedef struct {
  double azimuth, c, s;
  const Edge *edge;
  bool begins;
} End;

typedef struct {
  Edge edges[MAX_EDGES];
  End ends[2 * MAX_EDGES];
  size_t n, n_ends;
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

/* The same bound, coarser and without a root: with asin (x) <= pi x / 2 and a clear distance of at least half the whole
 * one it is 2 rise^2 radius / distance^3. TRUE: the box does not matter, and nothing else needs to be asked. */
static bool
far_away (const HeatBox *box, double distance2, double rise)
{
  double radius2 = 0.25 * (box->length_m * box->length_m + (box->round ? 0 : box->width_m * box->width_m));
  double reach = 2 * rise * rise / least_share;
  return distance2 > 4 * radius2 && distance2 * distance2 * distance2 > reach * reach * radius2;
}

static double
distance2_to (const HeatBox *box, HeatXY at)
{
  double dx = at.x - box->center.x, dy = at.y - box->center.y;
  return dx * dx + dy * dy;
}

size_t
heat_boxes_near (HeatXY at, double within_m, double z_m, const HeatBox *boxes, size_t n, size_t skip, HeatBox *near)
{
  size_t count = 0;
  for (size_t i = 0; i < n; i++) {
    double rise = boxes[i].height_m - z_m, distance = fmax (sqrt (distance2_to (&boxes[i], at)) - within_m, 0);
    if (i != skip && rise > 0 && !far_away (&boxes[i], distance * distance, rise))
      near[count++] = boxes[i];
  }
  return count;
}

static End
end_at (HeatXY corner, const Edge *edge, bool begins)
{
  double azimuth = atan2 (corner.y, corner.x), r = hypot (corner.x, corner.y);
  return (End){ azimuth < 0 ? azimuth + 2 * pi : azimuth, corner.x / r, corner.y / r, edge, begins };
}

/* Empty pieces are left out: their ends could be met in the wrong order. */
static void
add_piece (Horizon *horizon, End first, End last)
{
  if (!(last.azimuth > first.azimuth) || horizon->n_ends + 2 > 2 * MAX_EDGES)
    return;
  horizon->ends[horizon->n_ends++] = first;
  horizon->ends[horizon->n_ends++] = last;
}

/* One wall from P to Q relative to the point, outline counter-clockwise. Walls turned away are hidden by
 * those that face the point; a wall across azimuth 0 is cut in two there. */
static void
add_wall (Horizon *horizon, HeatXY p, HeatXY q, double rise)
{
  double cross = p.x * q.y - p.y * q.x;
  if (!(cross < 0) || horizon->n == MAX_EDGES)
    return;
  Edge *edge = &horizon->edges[horizon->n++];
  *edge = (Edge){ rise * (q.y - p.y) / cross, rise * (p.x - q.x) / cross };
  End first = end_at (q, edge, true), last = end_at (p, edge, false);
  if (first.azimuth <= last.azimuth) {
    add_piece (horizon, first, last);
    return;
  }
  add_piece (horizon, first, (End){ 2 * pi, 1, 0, edge, false });
  add_piece (horizon, (End){ 0, 1, 0, edge, true }, last);
}

static void
add_walls (Horizon *horizon, const HeatXY *corners, size_t n, double rise)
{
  for (size_t i = 0; i < n; i++)
    add_wall (horizon, corners[i], corners[(i + 1) % n], rise);
}

static void
add_box (Horizon *horizon, const HeatBox *box, HeatXY at, double rise)
{
  double c = cos (box->angle_rad), s = sin (box->angle_rad);
  HeatXY middle = { box->center.x - at.x, box->center.y - at.y };
  HeatXY u = { 0.5 * box->length_m * c, 0.5 * box->length_m * s };
  HeatXY v = { -0.5 * box->width_m * s, 0.5 * box->width_m * c };
  const HeatXY corners[4] = { { middle.x + u.x + v.x, middle.y + u.y + v.y },
                              { middle.x - u.x + v.x, middle.y - u.y + v.y },
                              { middle.x - u.x - v.x, middle.y - u.y - v.y },
                              { middle.x + u.x - v.x, middle.y + u.y - v.y } };
  add_walls (horizon, corners, 4, rise);
}

/* A disc is a polygon of its area. */
static void
add_disc (Horizon *horizon, const HeatBox *box, HeatXY at, double rise)
{
  HeatXY middle = { box->center.x - at.x, box->center.y - at.y }, corners[NEAR_SIDES];
  size_t n = hypot (middle.x, middle.y) < 2 * box->length_m ? NEAR_SIDES : FAR_SIDES;
  double reach = 0.5 * box->length_m / sqrt (n / (2 * pi) * sin (2 * pi / n));
  double c = cos (2 * pi / n), s = sin (2 * pi / n);
  HeatXY spoke = { reach, 0 };
  for (size_t i = 0; i < n; i++) {
    corners[i] = (HeatXY){ middle.x + spoke.x, middle.y + spoke.y };
    spoke = (HeatXY){ c * spoke.x - s * spoke.y, s * spoke.x + c * spoke.y };
  }
  add_walls (horizon, corners, n, rise);
}

/* Shell's method: a few hundred ends at most, no calls between. */
static void
sort_ends (End *ends, size_t n)
{
  static const size_t gaps[] = { 301, 132, 57, 23, 10, 4, 1 }; /* Ciura 2001 */
  for (size_t g = 0; g < sizeof gaps / sizeof gaps[0]; g++) {
    size_t gap = gaps[g];
    for (size_t i = gap; i < n; i++) {
      End end = ends[i];
      size_t j = i;
      for (; j >= gap && ends[j - gap].azimuth > end.azimuth; j -= gap)
        ends[j] = ends[j - gap];
      ends[j] = end;
    }
  }
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

/* The sweep: edges that stand over the present azimuth, and the one on top since START. */
typedef struct {
  const Edge *active[MAX_EDGES];
  size_t n;
  const Edge *top;
  double start, sum;
} Sweep;

static void
change_top (Sweep *sweep, const Edge *edge, double at)
{
  if (edge == sweep->top)
    return;
  if (sweep->top && at > sweep->start)
    sweep->sum += under_edge (sweep->top, sweep->start, at);
  sweep->top = edge;
  sweep->start = at;
}

/* The edge that is highest in direction (C, S); of equals the one that is highest in (C2, S2). */
static const Edge *
highest (const Sweep *sweep, double c, double s, double c2, double s2)
{
  const Edge *best = sweep->active[0];
  double most = best->a * c + best->b * s;
  for (size_t i = 1; i < sweep->n; i++) {
    const Edge *edge = sweep->active[i];
    double tangent = edge->a * c + edge->b * s;
    if (tangent > most || (tangent == most && (edge->a - best->a) * c2 + (edge->b - best->b) * s2 > 0)) {
      best = edge;
      most = tangent;
    }
  }
  return best;
}

/* The azimuth from FROM on where OTHER rises over TOP. */
static double
crossing (const Edge *top, const Edge *other, double from)
{
  double phi = atan2 (top->a - other->a, other->b - top->b);
  return fmax (phi + ceil ((from - phi) / pi - 1e-9) * pi, from);
}

/* Between two ends: from the edge on top at the first to the one on top at the second, each overtaken by
 * the first that crosses it. */
static void
sweep_interval (Sweep *sweep, const End *first, const End *second)
{
  double from = first->azimuth, to = second->azimuth, c = second->c, s = second->s;
  const Edge *last = highest (sweep, c, s, first->c, first->s);
  change_top (sweep, highest (sweep, first->c, first->s, c, s), from);
  for (size_t turns = 0; sweep->top != last && turns < sweep->n; turns++) {
    const Edge *top = sweep->top, *heir = last;
    double next = fmin (crossing (top, last, from), to);
    for (size_t i = 0; i < sweep->n; i++) {
      const Edge *edge = sweep->active[i];
      if ((edge->a - top->a) * c + (edge->b - top->b) * s <= 0)
        continue;
      double phi = crossing (top, edge, from);
      if (phi < next) {
        next = phi;
        heir = edge;
      }
    }
    change_top (sweep, heir, next);
    from = next;
  }
}

static void
meet_end (Sweep *sweep, const End *end)
{
  if (end->begins) {
    sweep->active[sweep->n++] = end->edge;
    return;
  }
  for (size_t i = 0; i < sweep->n; i++)
    if (sweep->active[i] == end->edge) {
      sweep->active[i] = sweep->active[--sweep->n];
      return;
    }
}

static double
swept (Horizon *horizon)
{
  Sweep sweep;
  sweep.n = 0;
  sweep.top = NULL;
  sweep.start = sweep.sum = 0;
  sort_ends (horizon->ends, horizon->n_ends);
  for (size_t i = 0; i < horizon->n_ends; i++) {
    const End *end = &horizon->ends[i];
    meet_end (&sweep, end);
    if (sweep.n == 0)
      change_top (&sweep, NULL, end->azimuth);
    else if (i + 1 < horizon->n_ends && end[1].azimuth > end->azimuth)
      sweep_interval (&sweep, end, end + 1);
  }
  return sweep.sum;
}

double
heat_sky_hidden (HeatXY at, double z_m, const HeatBox *boxes, size_t n, size_t skip)
{
  Horizon horizon;
  horizon.n = horizon.n_ends = 0;
  for (size_t i = 0; i < n; i++) {
    double rise = boxes[i].height_m - z_m;
    if (i == skip || !(rise > 0) || far_away (&boxes[i], distance2_to (&boxes[i], at), rise))
      continue;
    HeatXY local = in_box_frame (&boxes[i], at);
    if (covers (&boxes[i], local))
      return 1;
    if (!matters (&boxes[i], local, rise))
      continue;
    if (boxes[i].round)
      add_disc (&horizon, &boxes[i], at, rise);
    else
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

/* No point of the box lies within the lee's length of AT: (a + b)^2 <= 2 (a^2 + b^2). */
static bool
beyond_lee (const HeatBox *box, HeatXY at, double rise)
{
  double radius2 = 0.25 * (box->length_m * box->length_m + (box->round ? 0 : box->width_m * box->width_m));
  return distance2_to (box, at) > 2 * (lee_heights * lee_heights * rise * rise + radius2);
}

double
heat_flow_sheltered (HeatXY from, HeatXY at, double z_m, const HeatBox *boxes, size_t n, size_t skip)
{
  double path = hypot (at.x - from.x, at.y - from.y), most = 0;
  for (size_t i = 0; i < n; i++) {
    double rise = boxes[i].height_m - z_m;
    if (i == skip || !(rise > 0) || beyond_lee (&boxes[i], at, rise))
      continue;
    double share = leaving_share (&boxes[i], in_box_frame (&boxes[i], from), in_box_frame (&boxes[i], at));
    if (share >= 0)
      most = fmax (most, 1 - path * (1 - share) / (lee_heights * rise));
  }
  return most;
}
