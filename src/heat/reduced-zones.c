#include "heat/reduced-zones.h"

#include <math.h>
#include <string.h>

#include "heat/reduced-laws.h"
#include "heat/reduced-pieces.h"

/* Faces are grouped by what they see and by how warm they get: then each zone is as good as isothermal, and it
 * does not matter where its faces lie. Widths of the classes start from these and grow until there are few
 * enough zones: K at moments of a first march; before there is one, m. */
static const double CLASS_K = 2.5, CLASS_M = 10e-3, WIDEN = 1.3;
enum { ZONES_MOST = 320, SCOUT_ZONES_MOST = 90 };

typedef struct {
  HeatReduced *model;
  HeatXY *at;                /* of each node */
  double width;              /* of the classes of warmth, K, or of places, m */
  uint64_t *key;             /* hash table */
  uint32_t *value;
  size_t slots, n;
} Grouping;

static void
place_block (Grouping *g, const HeatBlock *b)
{
  const HeatMesh *m = &g->model->net.mesh;
  size_t nxy = b->nx * b->ny;
  for (size_t i = 0; i < nxy * b->nz; i++)
    g->at[b->at + i] = (HeatXY){ m->xc[b->ix0 + i % nxy % b->nx], m->yc[b->iy0 + i % nxy / b->nx] };
}

static bool
place_nodes (HeatArena *scratch, Grouping *g)
{
  const HeatNetwork *net = &g->model->net;
  const HeatScene *scene = g->model->scene;
  g->at = HEAT_TAKE (scratch, HeatXY, g->model->n);
  if (!g->at)
    return false;
  place_block (g, &net->stencil.layout.blocks[0]);
  for (size_t i = 0; i < scene->n_bodies; i++) {
    const HeatPlaced *p = &net->bodies[i];
    if (p->block != HEAT_NO_BLOCK)
      place_block (g, &net->stencil.layout.blocks[p->block]);
    else
      g->at[p->node] = scene->bodies[i].center;
  }
  return true;
}

/* A film on a coarse scale of equal ratios. */
static uint64_t
film_class (double h_w_m2k)
{
  return h_w_m2k < 1.5 ? 0 : (uint64_t) fmin (1 + floor (2 * log2 (h_w_m2k / 1.5)), 15);
}

static uint64_t
step_of (double v, double size)
{
  return (uint64_t) (int64_t) floor (v / size) & 0x3ff;
}

/* Faces with the same key are one zone. */
static uint64_t
key_of (const Grouping *g, size_t class, size_t face)
{
  const HeatReduced *m = g->model;
  const HeatFaces *f = &m->faces;
  uint32_t node = f->node[face];
  double spill = f->spill[face] > 0 && m->reference.on.gas_on
                     ? f->spill[face] * heat_spill_value (m->reference.on.spill_h, f->spill_at[face])
                     : 0;
  double under = f->pre_area[face] + f->view_geo[face];
  double a = g->at[node].x, b = g->at[node].y, c = 0;
  if (m->warmth[0]) {
    a = m->warmth[0][node];
    b = m->warmth[1][node];
    c = m->warmth[2][node];
  }
  return 1 | (uint64_t) class << 1 | (uint64_t) (f->in_area[face] > 0.5) << 6
         | (uint64_t) floor (fmin (fmax (f->eps[face], 0), 1) * 7.99) << 7 | film_class (spill) << 10
         | (uint64_t) floor (fmin (under, 1) * 3.99) << 14 | (uint64_t) (f->clamp[face] > 0.5) << 16
         | step_of (a, g->width) << 17 | step_of (b, g->width) << 27
         | step_of (c, 2 * g->width) << 37;
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

static void
number_faces (Grouping *g)
{
  HeatReduced *m = g->model;
  HeatZones *z = &m->zones;
  memset (g->key, 0, g->slots * sizeof (uint64_t));
  g->n = 0;
  for (size_t c = 0; c < m->faces.n_classes; c++) {
    HeatFaceClass *class = &z->faces.classes[c];
    *class = m->faces.classes[c];
    class->from = g->n;
    for (size_t i = m->faces.classes[c].from; i < m->faces.classes[c].to; i++)
      z->of[i] = zone_of (g, key_of (g, c, i));
    class->to = g->n;
  }
  z->faces.n = g->n;
}

static bool
find_zones (HeatArena *scratch, Grouping *g)
{
  HeatReduced *m = g->model;
  HeatZones *z = &m->zones;
  size_t most = m->options.scout ? SCOUT_ZONES_MOST : ZONES_MOST;
  *z = (HeatZones){ 0 };
  g->slots = 2 * m->faces.n + 16;
  g->key = HEAT_TAKE (scratch, uint64_t, g->slots);
  g->value = HEAT_TAKE (scratch, uint32_t, g->slots);
  z->of = HEAT_TAKE (&m->small, uint32_t, m->faces.n);
  z->faces.classes = HEAT_TAKE (&m->small, HeatFaceClass, m->faces.n_classes);
  if (!g->key || !g->value || !z->of || !z->faces.classes)
    return false;
  z->faces.n_classes = m->faces.n_classes;
  g->width = m->warmth[0] ? CLASS_K : CLASS_M;
  number_faces (g);
  for (int k = 0; k < 24 && z->faces.n > most; k++) {
    g->width *= WIDEN;
    number_faces (g);
  }
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
heat_zones_copy (HeatArena *arena, const HeatFaces *faces, HeatFaces *copy)
{
  *copy = *faces;
  copy->fresh = false;
  copy->classes = HEAT_TAKE (arena, HeatFaceClass, faces->n_classes);
  copy->eps = HEAT_TAKE (arena, float, faces->n);
  copy->view = HEAT_TAKE (arena, float, faces->n);
  copy->clamp_ht = HEAT_TAKE (arena, float, faces->n);
  if (!copy->classes || !copy->eps || !copy->view || !copy->clamp_ht)
    return false;
  memcpy (copy->classes, faces->classes, faces->n_classes * sizeof (HeatFaceClass));
  memcpy (copy->eps, faces->eps, faces->n * sizeof (float));
  memcpy (copy->view, faces->view, faces->n * sizeof (float));
  memcpy (copy->clamp_ht, faces->clamp_ht, faces->n * sizeof (float));
  return take_written (arena, copy);
}

bool
heat_zones_pick (HeatArena *arena, const HeatFaces *f, const uint32_t *face, size_t n, size_t first, HeatFaces *picked)
{
  *picked = (HeatFaces){ .n = n, .n_classes = f->n_classes };
  picked->classes = HEAT_TAKE (arena, HeatFaceClass, f->n_classes);
  if (!picked->classes || !take_zones (arena, picked))
    return false;
  float **from[N_MEANS], **to[N_MEANS];
  list_means ((HeatFaces *) f, from);
  list_means (picked, to);
  for (size_t i = 0; i < n; i++) {
    for (size_t k = 0; k < N_MEANS; k++)
      (*to[k])[i] = (*from[k])[face[i]];
    picked->spill_at[i] = f->spill_at[face[i]];
    picked->area[i] = f->area[face[i]];
    picked->node[i] = (uint32_t) (f->node[face[i]] - first);
  }
  size_t k = 0;
  for (size_t c = 0; c < f->n_classes; c++) {
    picked->classes[c] = f->classes[c];
    picked->classes[c].from = k;
    while (k < n && face[k] < f->classes[c].to)
      k++;
    picked->classes[c].to = k;
  }
  return true;
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
  if (!take_zones (&m->small, z) || !take_written (&m->small, z))
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
  HeatArena scratch = heat_arena_beside (&m->small);
  Grouping g = { .model = m };
    bool ok = place_nodes (&scratch, &g) && find_zones (&scratch, &g) && fill_zones (&scratch, m);
  heat_arena_clear (&scratch);
  if (!ok || !heat_laws_new (&m->small, m->zones.faces.n, &m->zones.laws))
    return false;
  double *temp = m->zones.laws.temp_c;
  for (size_t i = 0; i < m->zones.faces.n; i++)
    temp[i] = 0;
  for (size_t i = 0; i < m->faces.n; i++)
    temp[m->zones.of[i]] += m->laws.temp_c[i] * m->faces.area[i] / m->zones.faces.area[m->zones.of[i]];
  heat_laws_fill (m->scene, &m->reference, &m->zones.faces, &m->zones.laws);
  return true;
}

typedef struct {
  HeatReduced *m;
  double *sum[HEAT_PIECES];
} Rows;

/* The entries of a share of the vectors. */
static void
fill_rows (void *data, size_t piece)
{
  const Rows *rows = data;
  const HeatReduced *m = rows->m;
  const HeatFaces *f = &m->faces;
  const HeatZones *z = &m->zones;
  double *sum = rows->sum[piece];
  for (size_t k = piece; k < m->r; k += HEAT_PIECES) {
    const float *v = m->v + k * m->n;
    memset (sum, 0, z->faces.n * sizeof (double));
    for (size_t i = 0; i < f->n; i++)
      sum[z->of[i]] += f->area[i] * v[f->node[i]];
    for (size_t i = 0; i < z->faces.n; i++)
      z->row[i * m->stride + k] = (float) (sum[i] / z->faces.area[i]);
  }
}

bool
heat_zones_rows (HeatReduced *m)
{
  HeatArena scratch = heat_arena_beside (&m->small);
  Rows rows = { .m = m };
  bool ok = (m->zones.row = HEAT_TAKE (&m->small, float, m->zones.faces.n * m->stride)) != NULL;
  for (size_t i = 0; i < HEAT_PIECES && ok; i++)
    ok = (rows.sum[i] = HEAT_TAKE (&scratch, double, m->zones.faces.n)) != NULL;
  if (ok)
    heat_do_pieces (m->options.parallel, HEAT_PIECES, fill_rows, &rows);
  heat_arena_clear (&scratch);
  return ok;
}
