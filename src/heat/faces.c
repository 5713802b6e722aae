/* Which faces there are; what they see is in faces-shares.c. */
#include "heat/faces.h"

#include <math.h>

#include "heat/films.h"

/* First pass counts, second pass fills. */
typedef struct {
  const HeatNetwork *net;
  HeatFaces *f;
  bool fill;
} Build;

static uint32_t
add_face (Build *b, size_t node, double area, double half, double eps)
{
  size_t i = b->f->n++;
  if (b->fill) {
    b->f->node[i] = (uint32_t) node;
    b->f->area[i] = area;
    b->f->half[i] = (float) half;
    b->f->eps[i] = (float) eps;
  }
  return (uint32_t) i;
}

static void
board_faces (Build *b, bool up)
{
  const HeatNetwork *net = b->net;
  size_t columns = net->mesh.nx * net->mesh.ny;
  size_t base = up ? (net->scene->board.n_layers - 1) * columns : 0;
  const double *covered = up ? net->covered_up : net->covered_down;
  const double *half = up ? net->half_up : net->half_down;
  uint32_t *map = up ? b->f->up : b->f->down;
  for (size_t i = 0; i < columns; i++) {
    double free_m2 = net->board.area[i] - covered[i];
    map[i] = UINT32_MAX;
    if (free_m2 > 1e-4 * net->board.area[i] && net->board.area[i] > 0)
      map[i] = add_face (b, base + i, free_m2, half[i], net->scene->board.emissivity);
  }
}

static void
body_far_faces (Build *b, size_t index)
{
  const HeatBody *body = &b->net->scene->bodies[index];
  const HeatPlaced *p = &b->net->bodies[index];
  uint32_t *far = b->f->far[index];
  if (p->block == HEAT_NO_BLOCK) {
    far[0] = add_face (b, p->node, p->foot_m2, 0, body->emissivity);
    return;
  }
  const HeatBlock *block = &b->net->stencil.layout.blocks[p->block];
  size_t nxy = block->nx * block->ny, base = block->at + (block->nz - 1) * nxy;
  for (size_t i = 0; i < nxy; i++)
    far[i] = p->cover[i] > 0
                 ? add_face (b, base + i, p->cover[i], p->slab_r[block->nz - 1], body->emissivity)
                 : UINT32_MAX;
}

static void
far_faces (Build *b, bool below)
{
  for (size_t i = 0; i < b->net->scene->n_bodies; i++)
    if (b->net->scene->bodies[i].below == below)
      body_far_faces (b, i);
}

static void
body_sides (Build *b, size_t index)
{
  const HeatBody *body = &b->net->scene->bodies[index];
  const HeatPlaced *p = &b->net->bodies[index];
  if (p->block == HEAT_NO_BLOCK) {
    add_face (b, p->node, p->rim_m * (body->height_m - body->standoff_m), 0, body->emissivity);
    return;
  }
  const HeatBlock *block = &b->net->stencil.layout.blocks[p->block];
  const HeatMesh *m = &b->net->mesh;
  size_t nxy = block->nx * block->ny;
  for (size_t iz = 1; iz < block->nz; iz++)
    for (size_t i = 0; i < nxy; i++) {
      if (p->rim[i] <= 0 || p->cover[i] <= 0)
        continue;
      size_t ix = block->ix0 + i % block->nx, iy = block->iy0 + i / block->nx;
      double half = 0.25 * (m->xe[ix + 1] - m->xe[ix] + m->ye[iy + 1] - m->ye[iy]);
      double k = p->slab_k[iz];
      add_face (b, block->at + iz * nxy + i, p->rim[i] * p->slab_m[iz], half / k, body->emissivity);
    }
}

static void
board_edges (Build *b)
{
  const HeatNetwork *net = b->net;
  const HeatMesh *m = &net->mesh;
  size_t columns = m->nx * m->ny;
  for (size_t layer = 0; layer < net->scene->board.n_layers; layer++)
    for (size_t i = 0; i < columns; i++) {
      if (net->rim[i] <= 0 || net->board.area[i] <= 0)
        continue;
      size_t ix = i % m->nx, iy = i / m->nx, k = layer * columns + i;
      double half = 0.25 * (m->xe[ix + 1] - m->xe[ix] + m->ye[iy + 1] - m->ye[iy]);
      add_face (b, k, net->rim[i] * net->scene->board.layers[layer].thickness_m, half / net->kin[k],
                net->scene->board.emissivity);
    }
}

/* Length the level faces' free convection is referred to: area over perimeter of the board. */
static double
level_length (const HeatScene *scene)
{
  return fabs (heat_loop_area (&scene->board.loops[0])) / heat_loop_length (&scene->board.loops[0]);
}

static bool
new_class (HeatArena *arena, Build *b, HeatFaceKind kind, double length)
{
  const HeatScene *scene = b->net->scene;
  HeatFaceClass *c = &b->f->classes[b->f->n_classes++];
  double given = kind == HEAT_FACE_UP     ? scene->room.prescribed_up_w_m2k
                 : kind == HEAT_FACE_DOWN ? scene->room.prescribed_down_w_m2k
                                          : scene->room.prescribed_side_w_m2k;
  *c = (HeatFaceClass){ .kind = kind, .from = b->f->n, .fixed = scene->room.prescribed || given > 0 };
  c->room_h = c->fixed ? given * scene->scale_room_film : 0;
  if (!b->fill)
    return true;
  c->flux = HEAT_TAKE (arena, double, HEAT_FLUX_N + 1);
  if (!c->flux || c->fixed)
    return c->flux != NULL;
  double room = scene->room.air_c;
  for (size_t i = 0; i <= HEAT_FLUX_N; i++) {
    double t = HEAT_FLUX_LOW + i * HEAT_FLUX_STEP;
    double h = 0;
    if (kind == HEAT_FACE_UP)
      h = heat_free_film_up (t, room, length);
    else if (kind == HEAT_FACE_DOWN)
      h = heat_free_film_down (t, room, length);
    else {
      HeatAir air = heat_air ((t + room) / 2);
      double beta = 1 / ((t + room) / 2 + HEAT_KELVIN), nu = air.mu / air.rho;
      double ra = 9.80665 * beta * fabs (t - room) * length * length * length / (nu * nu) * air.pr;
      h = heat_free_vertical_laminar (ra, air.pr) * air.k / length;
    }
    c->flux[i] = scene->scale_room_film * h * (t - room);
  }
  return true;
}

/* Bodies' sides by height, in steps of a factor of about 1.6, so that each height class has one table.
 */
static const double HEIGHTS[] = { 1.0e-3, 1.6e-3, 2.5e-3, 4.0e-3, 6.3e-3, 10e-3, 16e-3, 25e-3, 1e3 };
enum { N_HEIGHTS = sizeof HEIGHTS / sizeof HEIGHTS[0] };

static bool
side_classes (HeatArena *arena, Build *b)
{
  const HeatScene *scene = b->net->scene;
  double low = 0;
  for (size_t k = 0; k < N_HEIGHTS; low = HEIGHTS[k], k++) {
    size_t before = b->f->n;
    if (!new_class (arena, b, HEAT_FACE_SIDE, k + 1 < N_HEIGHTS ? HEIGHTS[k] : 40e-3))
      return false;
    for (size_t i = 0; i < scene->n_bodies; i++)
      if (scene->bodies[i].height_m > low && scene->bodies[i].height_m <= HEIGHTS[k])
        body_sides (b, i);
    b->f->classes[b->f->n_classes - 1].to = b->f->n;
    if (b->f->n == before)
      b->f->n_classes--;
  }
  return true;
}

static bool
lay_faces (HeatArena *arena, Build *b)
{
  const HeatScene *scene = b->net->scene;
  double level = level_length (scene), thickness = 0;
  for (size_t i = 0; i < scene->board.n_layers; i++)
    thickness += scene->board.layers[i].thickness_m;
  b->f->n = b->f->n_classes = 0;
  for (int below = 0; below < 2; below++) {
    if (!new_class (arena, b, below ? HEAT_FACE_DOWN : HEAT_FACE_UP, level))
      return false;
    board_faces (b, !below);
    far_faces (b, below);
    b->f->classes[b->f->n_classes - 1].to = b->f->n;
  }
  bool sides = !(scene->room.prescribed && scene->room.prescribed_side_w_m2k <= 0);
  if (!sides)
    return true;
  if (!new_class (arena, b, HEAT_FACE_SIDE, thickness))
    return false;
  board_edges (b);
  b->f->classes[b->f->n_classes - 1].to = b->f->n;
  return side_classes (arena, b);
}

static bool
take_maps (HeatArena *arena, const HeatNetwork *net, HeatFaces *f)
{
  size_t columns = net->mesh.nx * net->mesh.ny;
  f->up = HEAT_TAKE (arena, uint32_t, columns);
  f->down = HEAT_TAKE (arena, uint32_t, columns);
  f->far = HEAT_TAKE (arena, uint32_t *, net->scene->n_bodies);
  f->classes = HEAT_TAKE (arena, HeatFaceClass, HEAT_FACE_CLASSES_MAX);
  if (!f->up || !f->down || !f->far || !f->classes)
    return false;
  for (size_t i = 0; i < net->scene->n_bodies; i++) {
    const HeatBlock *b = &net->stencil.layout.blocks[net->bodies[i].block];
    f->far[i] = HEAT_TAKE (arena, uint32_t, net->bodies[i].block == HEAT_NO_BLOCK ? 1 : b->nx * b->ny);
    if (!f->far[i])
      return false;
  }
  return true;
}

static bool
take_arrays (HeatArena *arena, HeatFaces *f)
{
  double **doubles[] = { &f->area, &f->ts, &f->q, &f->dq };
  float **floats[] = { &f->half, &f->eps,      &f->in_film,  &f->in_area,  &f->spill,   &f->spill_at,
                       &f->view, &f->view_geo, &f->pre_film, &f->pre_area, &f->clamp,   &f->clamp_h,
                       &f->hl,   &f->ht,       &f->wc,       &f->er,       &f->clamp_ht };
  f->node = HEAT_TAKE (arena, uint32_t, f->n);
  f->inside = HEAT_TAKE (arena, uint32_t, f->n);
  if (!f->node || !f->inside)
    return false;
  for (size_t i = 0; i < sizeof doubles / sizeof doubles[0]; i++)
    if (!(*doubles[i] = HEAT_TAKE (arena, double, f->n)))
      return false;
  for (size_t i = 0; i < sizeof floats / sizeof floats[0]; i++)
    if (!(*floats[i] = HEAT_TAKE (arena, float, f->n)))
      return false;
  return true;
}

HeatStatus
heat_faces_new (HeatArena *arena, const HeatNetwork *net, HeatFaces *f)
{
  Build b = { net, f, false };
  if (!take_maps (arena, net, f) || !lay_faces (arena, &b) || !take_arrays (arena, f))
    return HEAT_NO_MEMORY;
  b.fill = true;
  if (!lay_faces (arena, &b) || !heat_faces_shares (arena, net, f))
    return HEAT_NO_MEMORY;
  return HEAT_OK;
}
