#include "heat/reduced-zones.h"

#include <math.h>
#include <string.h>

/* Sizes of zones, m, by distance from what the nozzle covers. The laws being exact for the mean of a zone,
 * a zone's size only matters where films or temperatures curve: near the nozzle. */
typedef struct {
  double up_to_m, upper_m, lower_m;
} Ring;
static const Ring RINGS[] = { { 10e-3, 5e-3, 8e-3 }, { 30e-3, 10e-3, 15e-3 }, { INFINITY, 25e-3, 30e-3 } };
static const Ring SCOUT_RINGS[]
    = { { 10e-3, 10e-3, 16e-3 }, { 30e-3, 20e-3, 30e-3 }, { INFINITY, 50e-3, 60e-3 } };
/* Zones along each side of a meshed body's far face. */
enum { BODY_ZONES = 5, SCOUT_BODY_ZONES = 3 };
/* A body of one node whose faces take more than this share of what its joints pass has a zone of its own;
 * W/m2K a face takes at most (our choice). */
static const double OWN_SHARE = 0.02, FACE_W_M2K = 60;

typedef struct {
  HeatReduced *model;
  HeatXY *at;                /* of each node */
  uint32_t *owner;           /* body of each node, n_bodies: the board */
  HeatXY center;             /* of the nozzle, or of the target */
  double reach_x, reach_y;   /* its half extents */
  uint64_t *key;             /* hash table */
  uint32_t *value;
  size_t slots, n;
} Grouping;

static void
place_block (Grouping *g, const HeatBlock *b, uint32_t owner)
{
  const HeatMesh *m = &g->model->net.mesh;
  size_t nxy = b->nx * b->ny;
  for (size_t i = 0; i < nxy * b->nz; i++) {
    size_t c = i % nxy;
    g->at[b->at + i] = (HeatXY){ m->xc[b->ix0 + c % b->nx], m->yc[b->iy0 + c / b->nx] };
    g->owner[b->at + i] = owner;
  }
}

static bool
place_nodes (HeatArena *scratch, Grouping *g)
{
  const HeatNetwork *net = &g->model->net;
  const HeatScene *scene = g->model->scene;
  g->at = HEAT_TAKE (scratch, HeatXY, g->model->n);
  g->owner = HEAT_TAKE (scratch, uint32_t, g->model->n);
  if (!g->at || !g->owner)
    return false;
  place_block (g, &net->stencil.layout.blocks[0], (uint32_t) scene->n_bodies);
  for (size_t i = 0; i < scene->n_bodies; i++) {
    const HeatPlaced *p = &net->bodies[i];
    if (p->block != HEAT_NO_BLOCK)
      place_block (g, &net->stencil.layout.blocks[p->block], (uint32_t) i);
    else {
      g->at[p->node] = scene->bodies[i].center;
      g->owner[p->node] = (uint32_t) i;
    }
  }
  return true;
}

static void
find_center (Grouping *g)
{
  const HeatScene *s = g->model->scene;
  double length = 0, width = 0;
  if (s->nozzle.present) {
    g->center = s->nozzle.center;
    length = s->nozzle.length_m;
    width = s->nozzle.round ? length : s->nozzle.width_m;
  } else if (s->target < s->n_bodies) {
    const HeatBody *b = &s->bodies[s->target];
    g->center = b->center;
    length = b->length_m;
    width = b->round ? length : b->width_m;
  } else {
    g->center = (HeatXY){ s->preheat.center.x, s->preheat.center.y };
  }
  g->reach_x = fmax (length, width) / 2;
  g->reach_y = g->reach_x;
}

static double
ring_size (const Grouping *g, HeatXY at, bool lower, unsigned *ring)
{
  double dx = fabs (at.x - g->center.x) - g->reach_x, dy = fabs (at.y - g->center.y) - g->reach_y;
  double away = fmax (fmax (dx, dy), 0);
  const Ring *rings = g->model->options.scout ? SCOUT_RINGS : RINGS;
  unsigned k = 0;
  while (away > rings[k].up_to_m)
    k++;
  *ring = k;
  return lower ? rings[k].lower_m : rings[k].upper_m;
}

/* Whether a body of one node is warmed or cooled by its faces enough to matter beside its joints. */
static bool
stands_alone (const HeatReduced *m, size_t body)
{
  const HeatPlaced *p = &m->net.bodies[body];
  const HeatBody *b = &m->scene->bodies[body];
  double area = p->foot_m2 + p->rim_m * (b->height_m - b->standoff_m);
  return area * FACE_W_M2K > OWN_SHARE * m->net.stencil.gsum[p->node];
}

static uint64_t
tile (double v, double size)
{
  return (uint64_t) (int64_t) floor (v / size) & 0x3ff;
}

/* Faces with the same key are one zone. */
static uint64_t
key_of (const Grouping *g, size_t class, size_t face)
{
  const HeatReduced *m = g->model;
  const HeatFaces *f = &m->faces;
  HeatFaceKind kind = f->classes[class].kind;
  uint32_t node = f->node[face], owner = g->owner[node];
  bool board = owner == m->scene->n_bodies, meshed = !board && m->scene->bodies[owner].meshed;
  unsigned ring = 0;
  uint64_t key = 1 | (uint64_t) class << 1 | (uint64_t) (f->in_area[face] > 0.5) << 6;
  double size = ring_size (g, g->at[node], kind == HEAT_FACE_DOWN, &ring);
  uint64_t own = 1; /* all small bodies together */
  if (meshed || (!board && stands_alone (m, owner)))
    own = 2 + owner;
  else if (board)
    own = 0;
  if (meshed) {
    const HeatBody *b = &m->scene->bodies[owner];
    double zones = m->options.scout ? SCOUT_BODY_ZONES : BODY_ZONES;
    size = fmax (b->length_m, b->round ? 0 : b->width_m) * (kind == HEAT_FACE_SIDE ? 0.5 : 1 / zones);
    ring = 0;
  } else if (kind == HEAT_FACE_SIDE)
    size = fmax (size, 30e-3);
  HeatXY from = meshed ? m->scene->bodies[owner].center : g->center;
  key |= (uint64_t) ring << 7 | own << 9 | tile (g->at[node].x - from.x + size / 2, size) << 34;
  return key | tile (g->at[node].y - from.y + size / 2, size) << 44;
}

/* The zone of a key; a new one when there is none yet. */
static uint32_t
zone_of (Grouping *g, uint64_t key)
{
  size_t at = (size_t) (key * 0x9e3779b97f4a7c15u >> 32) % g->slots;
  while (g->key[at] && g->key[at] != key)
    at = (at + 1) % g->slots;
  if (!g->key[at]) {
    g->key[at] = key;
    g->value[at] = (uint32_t) g->n++;
  }
  return g->value[at];
}

static bool
number_faces (HeatArena *scratch, Grouping *g)
{
  HeatReduced *m = g->model;
  HeatZones *z = &m->zones;
  g->slots = 2 * m->faces.n + 16;
  g->key = HEAT_TAKE (scratch, uint64_t, g->slots);
  g->value = HEAT_TAKE (scratch, uint32_t, g->slots);
  z->of = HEAT_TAKE (&m->arena, uint32_t, m->faces.n);
  z->faces.classes = HEAT_TAKE (&m->arena, HeatFaceClass, m->faces.n_classes);
  if (!g->key || !g->value || !z->of || !z->faces.classes)
    return false;
  z->faces.n_classes = m->faces.n_classes;
  for (size_t c = 0; c < m->faces.n_classes; c++) {
    HeatFaceClass *class = &z->faces.classes[c];
    *class = m->faces.classes[c];
    class->from = g->n;
    for (size_t i = m->faces.classes[c].from; i < m->faces.classes[c].to; i++)
      z->of[i] = zone_of (g, key_of (g, c, i));
    class->to = g->n;
  }
  z->faces.n = g->n;
  return true;
}

/* The members that are means over a zone's area. */
enum { N_MEANS = 12 };
static void
list_means (HeatFaces *f, float **list[N_MEANS])
{
  float **all[N_MEANS] = { &f->half,     &f->eps,      &f->in_film, &f->in_area, &f->spill,   &f->view,
                           &f->view_geo, &f->pre_film, &f->pre_area, &f->clamp,  &f->clamp_h, &f->clamp_ht };
  memcpy (list, all, sizeof all);
}

static bool
take_zones (HeatArena *arena, HeatFaces *f)
{
  float **means[N_MEANS];
  list_means (f, means);
  for (size_t i = 0; i < N_MEANS; i++)
    if (!(*means[i] = HEAT_TAKE (arena, float, f->n)))
      return false;
  f->spill_at = HEAT_TAKE (arena, float, f->n);
  f->node = HEAT_TAKE (arena, uint32_t, f->n);
  f->inside = HEAT_TAKE (arena, uint32_t, f->n);
  f->area = HEAT_TAKE (arena, double, f->n);
  return f->spill_at && f->node && f->inside && f->area;
}

static bool
take_written (HeatArena *arena, HeatFaces *f)
{
  double **doubles[] = { &f->ts, &f->q, &f->dq };
  float **floats[] = { &f->hl, &f->ht, &f->wc, &f->er };
  for (size_t i = 0; i < 3; i++)
    if (!(*doubles[i] = HEAT_TAKE (arena, double, f->n)))
      return false;
  for (size_t i = 0; i < 4; i++)
    if (!(*floats[i] = HEAT_TAKE (arena, float, f->n)))
      return false;
  return true;
}

bool
heat_zones_copy (HeatArena *arena, const HeatZones *zones, HeatFaces *copy)
{
  *copy = zones->faces;
  copy->fresh = false;
  copy->classes = HEAT_TAKE (arena, HeatFaceClass, zones->faces.n_classes);
  if (!copy->classes)
    return false;
  memcpy (copy->classes, zones->faces.classes, zones->faces.n_classes * sizeof (HeatFaceClass));
  return take_written (arena, copy);
}

static bool
mean_member (HeatArena *scratch, const HeatFaces *f, const uint32_t *of, const float *from,
             const float *weight, const HeatFaces *zones, float *to)
{
  double *sum = HEAT_TAKE (scratch, double, zones->n), *total = HEAT_TAKE (scratch, double, zones->n);
  if (!sum || !total)
    return false;
  for (size_t i = 0; i < f->n; i++) {
    double w = f->area[i] * (weight ? weight[i] : 1);
    sum[of[i]] += w * from[i];
    total[of[i]] += w;
  }
  for (size_t i = 0; i < zones->n; i++)
    to[i] = total[i] > 0 ? (float) (sum[i] / total[i]) : 0;
  return true;
}

static bool
fill_zones (HeatArena *scratch, HeatReduced *m)
{
  HeatFaces *f = &m->faces, *z = &m->zones.faces;
  float **from[N_MEANS], **to[N_MEANS];
  if (!take_zones (&m->arena, z) || !take_written (&m->arena, z))
    return false;
  list_means (f, from);
  list_means (z, to);
  for (size_t i = 0; i < N_MEANS; i++)
    if (!mean_member (scratch, f, m->zones.of, *from[i], NULL, z, *to[i]))
      return false;
  if (!mean_member (scratch, f, m->zones.of, f->spill_at, f->spill, z, z->spill_at))
    return false;
  for (size_t i = 0; i < f->n; i++)
    z->area[m->zones.of[i]] += f->area[i];
  z->inside_m2 = f->inside_m2;
  z->preheat_m2 = f->preheat_m2;
  for (size_t i = 0; i < z->n; i++)
    z->node[i] = (uint32_t) i;
  for (size_t c = 0; c < z->n_classes; c++)
    for (size_t i = z->classes[c].from; z->classes[c].kind == HEAT_FACE_UP && i < z->classes[c].to; i++)
      if (z->in_area[i] > 0)
        z->inside[z->n_inside++] = (uint32_t) i;
  return true;
}

bool
heat_zones_group (HeatReduced *m)
{
  HeatArena scratch = HEAT_ARENA_INIT;
  scratch.countdown = m->arena.countdown;
  Grouping g = { .model = m };
  find_center (&g);
  bool ok = place_nodes (&scratch, &g) && number_faces (&scratch, &g) && fill_zones (&scratch, m);
  heat_arena_clear (&scratch);
  return ok;
}

bool
heat_zones_rows (HeatReduced *m)
{
  const HeatFaces *f = &m->faces;
  HeatZones *z = &m->zones;
  z->row = HEAT_TAKE (&m->small, double, z->faces.n * m->stride);
  if (!z->row)
    return false;
  for (size_t k = 0; k < m->r; k++)
    for (size_t i = 0; i < f->n; i++)
      z->row[z->of[i] * m->stride + k] += f->area[i] * m->v[k * m->n + f->node[i]];
  for (size_t i = 0; i < z->faces.n; i++)
    for (size_t k = 0; k < m->r; k++)
      z->row[i * m->stride + k] /= z->faces.area[i];
  return true;
}
