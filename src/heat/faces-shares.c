/* What each face sees of the sources: nozzle, spill, preheater, clamps, shields; geometry only. */
#include <math.h>

#include "heat/box-grid.h"
#include "heat/faces.h"
#include "heat/films.h"
#include "heat/shadow.h"

typedef struct {
  HeatArena *scratch;
  const HeatNetwork *net;
  HeatFaces *f;
  double *nozzle, *preheat;           /* covered area per column, m2 */
  double *clamp, *clamp_h, *clamp_ht; /* share, sums of share x film (x temperature) per column */
  double *pass;                       /* what shields let through, per column */
  HeatBox *top, *bottom;              /* bodies on either side */
  size_t n_top, n_bottom;
  HeatBoxGrid over_top, over_bottom;
  size_t *own_top, *own_bottom; /* index of each body among them */
} Shares;

/* Where a face lies: the cell it belongs to, or a lone body's footprint. */
typedef struct {
  HeatXY at;
  size_t column;      /* SIZE_MAX: footprint */
  double cell_m2;     /* whole cell */
  double lost_inside; /* of the nozzle's area in the cell, what other faces take */
  double z_m;         /* above (or below) the board's surface */
  size_t body;        /* SIZE_MAX: board */
} Place;

static double *
clip_shape (Shares *s, const HeatLoop *loop)
{
  HeatGrid grid = heat_mesh_grid (&s->net->mesh);
  HeatCover cover;
  if (!heat_cover_new (s->scratch, &grid, &cover))
    return NULL;
  heat_cover_add (&cover, &grid, loop, 1);
  heat_cover_close (&cover, &grid);
  return cover.area;
}

static size_t
nozzle_outline (const HeatScene *scene, double grow, HeatXY corner[HEAT_OUTLINE_MAX])
{
  const HeatNozzle *n = &scene->nozzle;
  return heat_outline (n->center, n->angle_rad, n->length_m + 2 * grow, n->width_m + 2 * grow, n->round,
                       corner);
}

static size_t
preheat_outline (const HeatScene *scene, HeatXY corner[HEAT_OUTLINE_MAX])
{
  const HeatPreheat *p = &scene->preheat;
  return heat_outline (p->center, 0, p->length_m, p->width_m, false, corner);
}

/* An infrared emitter with a prescribed film acts as a film. */
static bool
preheat_is_film (const HeatPreheat *p)
{
  return p->kind == HEAT_PREHEAT_AIR || p->prescribed_h_w_m2k > 0;
}

static double
cell_area (const HeatMesh *m, size_t column)
{
  size_t ix = column % m->nx, iy = column / m->nx;
  return (m->xe[ix + 1] - m->xe[ix]) * (m->ye[iy + 1] - m->ye[iy]);
}

static bool
clip_clamps (Shares *s)
{
  const HeatScene *scene = s->net->scene;
  const HeatMesh *m = &s->net->mesh;
  size_t columns = m->nx * m->ny;
  s->clamp = HEAT_TAKE (s->scratch, double, columns);
  s->clamp_h = HEAT_TAKE (s->scratch, double, columns);
  s->clamp_ht = HEAT_TAKE (s->scratch, double, columns);
  if (!s->clamp || !s->clamp_h || !s->clamp_ht)
    return false;
  for (size_t k = 0; k < scene->n_clamps; k++) {
    const HeatClamp *c = &scene->clamps[k];
    double *area = clip_shape (s, &c->area);
    if (!area)
      return false;
    for (size_t i = 0; i < columns; i++) {
      double share = fmin (area[i] / cell_area (m, i), 1 - s->clamp[i]);
      s->clamp[i] += share;
      s->clamp_h[i] += share * c->h_w_m2k;
      s->clamp_ht[i] += share * c->h_w_m2k * (scene->room.air_c + c->rise_k);
    }
  }
  return true;
}

static bool
clip_shields (Shares *s)
{
  const HeatScene *scene = s->net->scene;
  const HeatMesh *m = &s->net->mesh;
  size_t columns = m->nx * m->ny;
  s->pass = HEAT_TAKE (s->scratch, double, columns);
  if (!s->pass)
    return false;
  for (size_t i = 0; i < columns; i++)
    s->pass[i] = 1;
  for (size_t k = 0; k < scene->n_shields; k++) {
    double *area = clip_shape (s, &scene->shields[k].area);
    if (!area)
      return false;
    for (size_t i = 0; i < columns; i++)
      s->pass[i] *= 1 - area[i] / cell_area (m, i) * (1 - scene->shields[k].share);
  }
  return true;
}

static bool
clip_sources (Shares *s)
{
  const HeatScene *scene = s->net->scene;
  HeatXY corner[HEAT_OUTLINE_MAX];
  if (scene->nozzle.present) {
    HeatLoop loop = { corner, nozzle_outline (scene, 0, corner) };
    if (!(s->nozzle = clip_shape (s, &loop)))
      return false;
  }
  if (scene->preheat.kind != HEAT_PREHEAT_NONE) {
    HeatLoop loop = { corner, preheat_outline (scene, corner) };
    if (!(s->preheat = clip_shape (s, &loop)))
      return false;
  }
  return clip_clamps (s) && clip_shields (s);
}

/* The target stands under the nozzle and shelters nothing outside it from the spill. */
static bool
list_boxes (Shares *s)
{
  const HeatScene *scene = s->net->scene;
  s->top = HEAT_TAKE (s->scratch, HeatBox, scene->n_bodies);
  s->bottom = HEAT_TAKE (s->scratch, HeatBox, scene->n_bodies);
  s->own_top = HEAT_TAKE (s->scratch, size_t, scene->n_bodies);
  s->own_bottom = HEAT_TAKE (s->scratch, size_t, scene->n_bodies);
  if (!s->top || !s->bottom || !s->own_top || !s->own_bottom)
    return false;
  for (size_t i = 0; i < scene->n_bodies; i++) {
    const HeatBody *b = &scene->bodies[i];
    HeatBox box = { b->center, b->angle_rad, b->length_m, b->width_m, b->height_m, b->round };
    s->own_top[i] = s->own_bottom[i] = SIZE_MAX;
    if (b->below)
      s->bottom[s->own_bottom[i] = s->n_bottom++] = box;
    else if (i != scene->target)
      s->top[s->own_top[i] = s->n_top++] = box;
  }
  return heat_box_grid_new (s->scratch, s->top, s->n_top, &s->over_top)
         && heat_box_grid_new (s->scratch, s->bottom, s->n_bottom, &s->over_bottom);
}

/* Boxes near enough to matter at a point: within ten heights of their edge (then below 0.3 % each). */
enum { NEAR_MAX = 64 };

static size_t
near_boxes (const HeatBox *all, const HeatBoxGrid *grid, HeatXY at, double z_m, size_t skip, HeatBox *near)
{
  const uint32_t *which;
  size_t n = heat_box_grid_at (grid, at, &which), count = 0;
  for (size_t k = 0; k < n && count < NEAR_MAX; k++) {
    const HeatBox *box = &all[which[k]];
    double dx = box->center.x - at.x, dy = box->center.y - at.y, rise = box->height_m - z_m;
    double length = box->length_m, width = box->round ? 0 : box->width_m;
    if (dx * dx + dy * dy > 200 * rise * rise + (length * length + width * width) / 2) /* (a + b)^2 <= 2 (a^2 + b^2) */
      continue;
    double away = hypot (dx, dy) - hypot (length, width) / 2;
    if (which[k] != skip && rise > 0 && away < HEAT_BOX_REACH_HEIGHTS * rise)
      near[count++] = *box;
  }
  return count;
}

/* As heat_flow_sheltered() of all boxes, asked of those near AT: no lee is longer than a grid reaches. */
static double
sheltered (const HeatBox *all, const HeatBoxGrid *grid, HeatXY from, HeatXY at, double z_m, size_t skip)
{
  const uint32_t *which;
  size_t n = heat_box_grid_at (grid, at, &which);
  double most = 0;
  for (size_t k = 0; k < n; k++)
    if (which[k] != skip)
      most = fmax (most, heat_flow_sheltered (from, at, z_m, &all[which[k]], 1, SIZE_MAX));
  return most;
}

static double
preheat_hidden (const Shares *s, const Place *place)
{
  HeatBox near[NEAR_MAX];
  size_t skip = place->body == SIZE_MAX ? SIZE_MAX : s->own_bottom[place->body];
  size_t n = near_boxes (s->bottom, &s->over_bottom, place->at, place->z_m, skip, near);
  return n ? heat_sky_hidden (place->at, place->z_m, near, n, SIZE_MAX) : 0;
}

/* Point of the nozzle's outer outline nearest to AT, and the distance (0 inside). */
static HeatXY
nearest_wall (const HeatScene *scene, HeatXY at, double *distance)
{
  const HeatNozzle *n = &scene->nozzle;
  double c = cos (n->angle_rad), s = sin (n->angle_rad), dx = at.x - n->center.x,
         dy = at.y - n->center.y;
  double u = c * dx + s * dy, v = c * dy - s * dx;
  double pu, pv;
  if (n->round) {
    double r = hypot (u, v), edge = n->length_m / 2 + n->wall_m, scale = r > edge ? edge / r : 1;
    pu = u * scale;
    pv = v * scale;
  } else {
    double hu = n->length_m / 2 + n->wall_m, hv = n->width_m / 2 + n->wall_m;
    pu = fmin (fmax (u, -hu), hu);
    pv = fmin (fmax (v, -hv), hv);
  }
  *distance = hypot (u - pu, v - pv);
  return (HeatXY){ n->center.x + c * pu - s * pv, n->center.y + s * pu + c * pv };
}

enum { SAMPLES = 12 };

/* Mean of a per-column share, or of a shape, over a lone body's footprint. */
static double
footprint_mean (const Shares *s, size_t body, const HeatLoop *shape, const double *column_share)
{
  const HeatBody *b = &s->net->scene->bodies[body];
  const HeatMesh *m = &s->net->mesh;
  double c = cos (b->angle_rad), sn = sin (b->angle_rad), sum = 0, count = 0;
  for (size_t i = 0; i < SAMPLES * SAMPLES; i++) {
    double u = ((i % SAMPLES + 0.5) / SAMPLES - 0.5) * b->length_m;
    double v = ((i / SAMPLES + 0.5) / SAMPLES - 0.5) * (b->round ? b->length_m : b->width_m);
    if (b->round && hypot (u, v) > b->length_m / 2)
      continue;
    HeatXY at = { b->center.x + u * c - v * sn, b->center.y + u * sn + v * c };
    count++;
    if (shape)
      sum += heat_loop_contains (shape, at);
    else
      sum += column_share[heat_cell_of (m->ye, m->ny, at.y) * m->nx + heat_cell_of (m->xe, m->nx, at.x)];
  }
  return sum / count;
}

static double
share_inside_nozzle (const Shares *s, const Place *place, double area)
{
  const HeatScene *scene = s->net->scene;
  if (place->column != SIZE_MAX)
    return fmin (fmax (s->nozzle[place->column] - place->lost_inside, 0), area) / area;
  HeatXY corner[HEAT_OUTLINE_MAX];
  HeatLoop loop = { corner, nozzle_outline (scene, 0, corner) };
  return footprint_mean (s, place->body, &loop, NULL);
}

static double
share_over_preheat (const Shares *s, const Place *place)
{
  if (place->column != SIZE_MAX)
    return s->preheat[place->column] / place->cell_m2;
  HeatXY corner[HEAT_OUTLINE_MAX];
  HeatLoop loop = { corner, preheat_outline (s->net->scene, corner) };
  return footprint_mean (s, place->body, &loop, NULL);
}

/* Share of the spill that reaches a point, and its place in the spill's table. */
static double
spill_reaching (const Shares *s, const Place *place, HeatXY at, double *table_at)
{
  double distance;
  HeatXY from = nearest_wall (s->net->scene, at, &distance);
  *table_at = (HEAT_SPILL_N - 1) * sqrt (fmin (distance / HEAT_SPILL_REACH, 1));
  if (distance >= HEAT_SPILL_REACH)
    return 0;
  size_t skip = place->body == SIZE_MAX ? SIZE_MAX : s->own_top[place->body];
  return 1 - sheltered (s->top, &s->over_top, from, at, place->z_m, skip);
}

/* A cell's face is sampled at the centres of its quarters: shelter and distance change within a cell by as
 * much as would show in the joints of small parts beside large ones. Quarters on which a body stands are not of the
 * face. */
static void
set_spill (Shares *s, size_t face, const Place *place, double pass)
{
  const HeatMesh *m = &s->net->mesh;
  bool cell = place->column != SIZE_MAX;
  double dx = 0, dy = 0, reached = 0, sum = 0, plain = 0, bare = 0;
  if (cell) {
    size_t ix = place->column % m->nx, iy = place->column / m->nx;
    dx = (m->xe[ix + 1] - m->xe[ix]) / 4;
    dy = (m->ye[iy + 1] - m->ye[iy]) / 4;
  }
  int n = cell ? 4 : 1;
  for (int i = 0; i < n; i++) {
    HeatXY at = { place->at.x + ((i & 1) ? dx : -dx), place->at.y + ((i >> 1) ? dy : -dy) };
    double table_at, share = spill_reaching (s, place, at, &table_at);
    reached += share;
    sum += share * table_at;
    plain += table_at / n;
    bare += share > 0;
  }
  s->f->spill_at[face] = reached > 0 ? sum / reached : plain;
  s->f->spill[face] = bare > 0 ? (1 - s->f->in_area[face]) * reached / bare * pass : 0;
}

static void
share_up (Shares *s, size_t face, const Place *place)
{
  HeatFaces *f = s->f;
  if (!s->net->scene->nozzle.present)
    return;
  double pass = place->column != SIZE_MAX ? s->pass[place->column]
                                          : footprint_mean (s, place->body, NULL, s->pass);
  f->in_area[face] = share_inside_nozzle (s, place, f->area[face]);
  f->in_film[face] = f->in_area[face] * pass;
  f->inside_m2 += f->in_area[face] * f->area[face];
  if (f->in_area[face] > 0)
    f->inside[f->n_inside++] = (uint32_t) face;
  if (f->in_area[face] < 1)
    set_spill (s, face, place, pass);
}

static void
share_preheat (Shares *s, size_t face, const Place *place, double open)
{
  const HeatPreheat *p = &s->net->scene->preheat;
  HeatFaces *f = s->f;
  /* A prescribed film is what was measured: nothing takes from it. */
  double seen = p->prescribed_h_w_m2k > 0 ? open : open * (1 - preheat_hidden (s, place));
  if (preheat_is_film (p)) {
    f->pre_area[face] = open * share_over_preheat (s, place);
    f->pre_film[face] = f->pre_area[face] > 0 ? f->pre_area[face] * seen / open : 0;
    f->preheat_m2 += f->pre_area[face] * f->area[face];
    return;
  }
  double r[4] = { p->center.x - p->length_m / 2, p->center.x + p->length_m / 2,
                  p->center.y - p->width_m / 2, p->center.y + p->width_m / 2 };
  double gap = fmax (p->gap_m - place->z_m, 1e-3);
  double view = heat_view_element (place->at.x, place->at.y, r, gap);
  f->view_geo[face] = open * view;
  f->view[face] = seen * heat_grey_pair (f->eps[face], p->emissivity, view);
  f->preheat_m2 += f->area[face] * open * share_over_preheat (s, place);
}

static void
share_down (Shares *s, size_t face, const Place *place)
{
  HeatFaces *f = s->f;
  if (place->body == SIZE_MAX) {
    f->clamp[face] = s->clamp[place->column];
    f->clamp_h[face] = s->clamp_h[place->column];
    f->clamp_ht[face] = s->clamp_ht[place->column];
  }
  if (s->net->scene->preheat.kind != HEAT_PREHEAT_NONE && f->clamp[face] < 1)
    share_preheat (s, face, place, 1 - f->clamp[face]);
}

static Place
column_place (const Shares *s, size_t column, size_t body)
{
  const HeatMesh *m = &s->net->mesh;
  return (Place){ .at = { m->xc[column % m->nx], m->yc[column / m->nx] },
                  .column = column,
                  .cell_m2 = cell_area (m, column),
                  .body = body,
                  .z_m = body == SIZE_MAX ? 0 : s->net->scene->bodies[body].height_m };
}

static void
share_board (Shares *s)
{
  size_t columns = s->net->mesh.nx * s->net->mesh.ny;
  for (size_t i = 0; i < columns; i++) {
    Place place = column_place (s, i, SIZE_MAX);
    if (s->f->up[i] != UINT32_MAX) {
      place.lost_inside = s->nozzle ? fmin (s->net->covered_up[i], s->nozzle[i]) : 0;
      share_up (s, s->f->up[i], &place);
    }
    if (s->f->down[i] != UINT32_MAX)
      share_down (s, s->f->down[i], &place);
  }
}

static void
share_body (Shares *s, size_t index)
{
  const HeatBody *body = &s->net->scene->bodies[index];
  const HeatPlaced *placed = &s->net->bodies[index];
  void (*share) (Shares *, size_t, const Place *) = body->below ? share_down : share_up;
  if (placed->block == HEAT_NO_BLOCK) {
    Place place = { .at = body->center, .column = SIZE_MAX, .z_m = body->height_m, .body = index };
    share (s, s->f->far[index][0], &place);
    return;
  }
  const HeatBlock *b = &s->net->stencil.layout.blocks[placed->block];
  for (size_t i = 0; i < b->nx * b->ny; i++) {
    if (s->f->far[index][i] == UINT32_MAX)
      continue;
    size_t column = (b->iy0 + i / b->nx) * s->net->mesh.nx + b->ix0 + i % b->nx;
    Place place = column_place (s, column, index);
    share (s, s->f->far[index][i], &place);
  }
}

/* Sides of what stands inside the nozzle see neither room nor jet. */
static void
share_sides (Shares *s)
{
  const HeatScene *scene = s->net->scene;
  if (scene->target == SIZE_MAX || !scene->nozzle.present)
    return;
  const HeatPlaced *t = &s->net->bodies[scene->target];
  const HeatBlock *b = &s->net->stencil.layout.blocks[t->block];
  size_t low = t->node, high = t->node + 1;
  if (t->block != HEAT_NO_BLOCK) {
    low = b->at;
    high = b->at + b->nx * b->ny * b->nz;
  }
  for (size_t c = 0; c < s->f->n_classes; c++)
    for (size_t i = s->f->classes[c].from; i < s->f->classes[c].to; i++)
      if (s->f->classes[c].kind == HEAT_FACE_SIDE && s->f->node[i] >= low && s->f->node[i] < high)
        s->f->in_area[i] = 1;
}

bool
heat_faces_shares (const HeatArena *arena, const HeatNetwork *net, HeatFaces *f)
{
  HeatArena scratch = heat_arena_beside (arena);
  Shares s = { .scratch = &scratch, .net = net, .f = f };
  bool ok = clip_sources (&s) && list_boxes (&s);
  if (ok) {
    share_board (&s);
    for (size_t i = 0; i < net->scene->n_bodies; i++)
      share_body (&s, i);
    share_sides (&s);
  }
  heat_arena_clear (&scratch);
  return ok;
}
