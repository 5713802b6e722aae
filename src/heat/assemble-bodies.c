/* Meshed bodies: where their blocks lie, and their part of the network. */
#include <math.h>

#include "heat/network.h"

/* Body layers are cut into slabs no thicker than this, at most SLABS_MAX each. */
static const double SLAB_M = 0.6e-3;
enum { SLABS_MAX = 4 };

static size_t
slabs_of (const HeatLayer *layer)
{
  double n = ceil (layer->thickness_m / SLAB_M - 1e-6);
  return n < 1 ? 1 : n > SLABS_MAX ? SLABS_MAX : (size_t) n;
}

static void
column_range (const double *edges, size_t n, double low, double high, size_t *first, size_t *count)
{
  double nudge = 1e-9;
  *first = heat_cell_of (edges, n, low + nudge);
  *count = heat_cell_of (edges, n, high - nudge) - *first + 1;
}

static void
lay_block (const HeatMesh *mesh, const HeatBody *body, HeatBlock *block)
{
  HeatXY corner[HEAT_OUTLINE_MAX];
  size_t n
      = heat_outline (body->center, body->angle_rad, body->length_m, body->width_m, body->round, corner);
  double x0 = INFINITY, x1 = -INFINITY, y0 = INFINITY, y1 = -INFINITY;
  for (size_t i = 0; i < n; i++) {
    x0 = fmin (x0, corner[i].x);
    x1 = fmax (x1, corner[i].x);
    y0 = fmin (y0, corner[i].y);
    y1 = fmax (y1, corner[i].y);
  }
  column_range (mesh->xe, mesh->nx, x0, x1, &block->ix0, &block->nx);
  column_range (mesh->ye, mesh->ny, y0, y1, &block->iy0, &block->ny);
  block->nz = 1;
  for (size_t i = 0; i < body->n_layers; i++)
    block->nz += slabs_of (&body->layers[i]);
  block->below = body->below;
}

static void
append_block (HeatLayout *layout, const HeatBlock *block)
{
  HeatBlock *b = &layout->blocks[layout->n_blocks++];
  *b = *block;
  b->at = layout->n_cells;
  b->couple = layout->n_couple;
  layout->n_cells += b->nx * b->ny * b->nz;
  if (layout->n_blocks > 1)
    layout->n_couple += b->nx * b->ny;
}

static bool
melts (const HeatBody *body)
{
  return body->n_joints && body->joint_latent_j > 0 && !(body->prescribed_h_w_m2k > 0);
}

static bool
holds_heat (const HeatBody *body)
{
  return body->n_joints && !(body->prescribed_h_w_m2k > 0)
         && (body->joint_c_j_k > 0 || body->joint_latent_j > 0);
}

static void
lay_lumps (HeatNetwork *net)
{
  HeatLayout *layout = &net->stencil.layout;
  layout->n = layout->n_cells;
  for (size_t i = 0; i < net->scene->n_bodies; i++) {
    HeatPlaced *placed = &net->bodies[i];
    placed->joint_node = UINT32_MAX;
    if (placed->block != HEAT_NO_BLOCK) {
      placed->node = (uint32_t) layout->n;
      layout->n += placed->n_leads;
      continue;
    }
    placed->node = (uint32_t) layout->n++;
    if (holds_heat (&net->scene->bodies[i]))
      placed->joint_node = (uint32_t) layout->n++;
  }
}

bool
heat_bodies_lay (HeatArena *arena, HeatNetwork *net)
{
  const HeatScene *scene = net->scene;
  HeatLayout *layout = &net->stencil.layout;
  net->bodies = HEAT_TAKE (arena, HeatPlaced, scene->n_bodies);
  layout->blocks = HEAT_TAKE (arena, HeatBlock, scene->n_bodies + 1);
  if (!net->bodies || !layout->blocks)
    return false;
  append_block (layout,
                &(HeatBlock){ .nx = net->mesh.nx, .ny = net->mesh.ny, .nz = scene->board.n_layers });
  size_t melting = 0;
  for (size_t i = 0; i < scene->n_bodies; i++) {
    const HeatBody *body = &scene->bodies[i];
    HeatBlock block = { 0 };
    if (body->meshed) {
      lay_block (&net->mesh, body, &block);
      net->bodies[i].block = layout->n_blocks;
      append_block (layout, &block);
    }
    net->bodies[i].n_leads = heat_leads_mark (body, NULL);
    if (melts (body))
      melting += body->meshed ? block.nx * block.ny + net->bodies[i].n_leads : 1;
  }
  lay_lumps (net);
  net->melts.items = HEAT_TAKE (arena, HeatMelt, melting);
  return net->melts.items != NULL;
}

/* Everything one body's assembly needs at hand. */
typedef struct {
  HeatNetwork *net;
  const HeatBody *body;
  HeatPlaced *placed;
  const HeatBlock *block;
  HeatGrid grid; /* of the block's columns */
  HeatCover cover;
  double *joints;            /* number of joints per column */
  double side;               /* of the square each takes, m */
  bool apart;                /* such squares do not touch */
  double *kin, *kthr, *rhoc; /* per slab */
} Work;

static bool
clip_body (HeatArena *arena, Work *w)
{
  const HeatMesh *mesh = &w->net->mesh;
  size_t n = w->block->nx * w->block->ny;
  w->grid = (HeatGrid){ mesh->xe + w->block->ix0, mesh->ye + w->block->iy0, w->block->nx, w->block->ny };
  w->placed->contact = HEAT_TAKE (arena, double, n);
  w->placed->rim = HEAT_TAKE (arena, double, n);
  if (!w->placed->contact || !w->placed->rim || !heat_cover_new (arena, &w->grid, &w->cover))
    return false;
  HeatXY corner[HEAT_OUTLINE_MAX];
  const HeatBody *b = w->body;
  HeatLoop loop
      = { corner, heat_outline (b->center, b->angle_rad, b->length_m, b->width_m, b->round, corner) };
  heat_cover_add (&w->cover, &w->grid, &loop, 1);
  heat_cover_close (&w->cover, &w->grid);
  heat_rim_add (w->placed->rim, &w->grid, &loop, 1);
  w->placed->cover = w->cover.area;
  w->placed->foot_m2 = heat_loop_area (&loop);
  w->placed->rim_m = heat_loop_length (&loop);
  return true;
}

/* Board area each column gives to the joint layer; what is taken cannot be taken twice. */
static void
take_contact (Work *w)
{
  HeatNetwork *net = w->net;
  double *covered = w->body->below ? net->covered_down : net->covered_up;
  for (size_t iy = 0; iy < w->block->ny; iy++)
    for (size_t ix = 0; ix < w->block->nx; ix++) {
      size_t i = iy * w->block->nx + ix;
      size_t c = (w->block->iy0 + iy) * net->mesh.nx + w->block->ix0 + ix;
      double area = fmin (w->cover.area[i], fmax (0, net->board.area[c] - covered[c]));
      w->placed->contact[i] = area;
      covered[c] += area;
    }
}

static bool
spread_joints (HeatArena *arena, Work *w)
{
  w->joints = HEAT_TAKE (arena, double, w->block->nx * w->block->ny);
  w->placed->apart = HEAT_TAKE (arena, bool, w->body->n_joints);
  if (!w->joints || !w->placed->apart)
    return false;
  w->side = heat_joint_side (w->body);
  heat_leads_mark (w->body, w->placed->apart);
  w->apart = w->side >= HEAT_JOINT_SIDE_MOST_M;
  for (size_t i = 0; i < w->body->n_joints; i++)
    if (!w->placed->apart[i])
      heat_spread (&w->net->mesh, w->block, w->placed->contact, w->body->joints[i], w->side, w->apart, 1, w->joints, NULL);
  return true;
}

static bool
cut_slabs (HeatArena *arena, Work *w)
{
  size_t n = w->block->nz;
  HeatPlaced *p = w->placed;
  p->slab_m = HEAT_TAKE (arena, double, n);
  p->slab_r = HEAT_TAKE (arena, double, n);
  p->slab_k = w->kin = HEAT_TAKE (arena, double, n);
  w->kthr = HEAT_TAKE (arena, double, n);
  w->rhoc = HEAT_TAKE (arena, double, n);
  if (!p->slab_m || !p->slab_r || !w->kin || !w->kthr || !w->rhoc)
    return false;
  const HeatScene *scene = w->net->scene;
  size_t iz = 1;
  for (size_t i = 0; i < w->body->n_layers; i++) {
    const HeatLayer *layer = &w->body->layers[i];
    size_t parts = slabs_of (layer);
    for (size_t j = 0; j < parts; j++, iz++) {
      p->slab_m[iz] = layer->thickness_m / parts;
      w->kin[iz] = layer->k_in_w_mk * scene->scale_conductivity;
      w->kthr[iz] = layer->k_thr_w_mk * scene->scale_conductivity;
      w->rhoc[iz] = layer->rho_c_j_m3k * scene->scale_capacity;
      p->slab_r[iz] = p->slab_m[iz] / 2 / w->kthr[iz];
    }
  }
  return true;
}

static double
in_series (double a, double b)
{
  return a > 0 && b > 0 ? a * b / (a + b) : 0;
}

/* From the joint layer's node to the middle of the next cell: half the joints (and their leads, when
 * LEAD > 0) and the air between them through the half cell over the area joints take, and half the gap's
 * film through the rest. */
static double
half_layer (const Work *w, double joints, double contact, double film, double half_m2k_w, double lead, double strait)
{
  double side = w->side, under = fmin (contact, joints * side * side), half = 2 * w->body->joint_g_w_k;
  double metal = joints * half / (1 + half * strait);
  double solder = (lead > 0 ? in_series (metal, joints * lead) : metal) + 2 * film * under;
  return in_series (solder, under / half_m2k_w)
         + in_series (2 * film * (contact - under), (contact - under) / half_m2k_w);
}

/* The joint layer of one column. */
static void
join_column (Work *w, size_t i)
{
  HeatNetwork *net = w->net;
  const HeatBody *body = w->body;
  double contact = w->placed->contact[i];
  if (contact <= 0)
    return;
  size_t k = w->block->at + i;
  size_t c = (w->block->iy0 + i / w->block->nx) * net->mesh.nx + w->block->ix0 + i % w->block->nx;
  bool fixed = body->prescribed_h_w_m2k > 0;
  double joints = fixed ? 0 : w->joints[i], film = fixed ? body->prescribed_h_w_m2k : body->gap_h_w_m2k;
  const double *half = body->below ? net->half_down : net->half_up;
  net->stencil.gz[k] = half_layer (w, joints, contact, film, w->placed->slab_r[1], body->lead_g_w_k, 0);
  net->stencil.gc[w->block->couple + i] = half_layer (w, joints, contact, film, half[c], 0,
                                                    w->apart ? heat_joint_strait (net, body->below, c, w->side) : 0);
  if (joints <= 0)
    return;
  net->capacity[k] = joints * body->joint_c_j_k * net->scene->scale_capacity;
  if (!melts (body))
    return;
  HeatMelt *melt = &net->melts.items[net->melts.n++];
  *melt = (HeatMelt){ (uint32_t) k, net->capacity[k], joints * body->joint_latent_j, 0, 0 };
  heat_melt_range (melt, body->solidus_c, body->liquidus_c);
}

static void
join_slab (Work *w, size_t iz)
{
  HeatNetwork *net = w->net;
  size_t nx = w->block->nx, ny = w->block->ny, base = w->block->at + iz * nx * ny;
  double t = w->placed->slab_m[iz], k = w->kin[iz];
  const double *xe = w->grid.xe, *ye = w->grid.ye;
  for (size_t iy = 0; iy < ny; iy++)
    for (size_t ix = 0; ix < nx; ix++) {
      size_t i = iy * nx + ix;
      double area = w->cover.area[i];
      if (area <= 0)
        continue;
      net->capacity[base + i] = area * t * w->rhoc[iz];
      if (ix + 1 < nx && w->cover.area[i + 1] > 0)
        net->stencil.gx[base + i] = w->cover.right[i] * t * k / ((xe[ix + 2] - xe[ix]) / 2);
      if (iy + 1 < ny && w->cover.area[i + nx] > 0)
        net->stencil.gy[base + i] = w->cover.upper[i] * t * k / ((ye[iy + 2] - ye[iy]) / 2);
      if (iz + 1 < w->block->nz)
        net->stencil.gz[base + i] = area / (w->placed->slab_r[iz] + w->placed->slab_r[iz + 1]);
    }
}

static bool
place_readers (HeatArena *arena, Work *w)
{
  HeatPlaced *p = w->placed;
  const HeatBody *body = w->body;
  const HeatMesh *mesh = &w->net->mesh;
  p->joints = HEAT_TAKE (arena, HeatReader, body->n_joints);
  if (!p->joints)
    return false;
  const double *open = body->prescribed_h_w_m2k > 0 || !body->n_joints ? p->contact : w->joints;
  uint32_t lead = p->node;
  for (size_t i = 0; i < body->n_joints; i++)
    if (p->apart[i]) {
      for (size_t k = 0; k < 4; k++)
        p->joints[i].node[k] = lead;
      p->joints[i].w[0] = 1;
      lead++;
    } else
      p->joints[i] = heat_reader (mesh, w->block, 0, open, body->joints[i]);
  p->center = heat_reader (mesh, w->block, 0, p->contact, body->center);
  p->top = heat_reader (mesh, w->block, w->block->nz - 1, p->cover, body->center);
  return true;
}

static bool
assemble_body (HeatArena *arena, Work *w)
{
  if (!clip_body (arena, w))
    return false;
  take_contact (w);
  if (!spread_joints (arena, w) || !cut_slabs (arena, w))
    return false;
  w->placed->first_melt = w->net->melts.n;
  for (size_t i = 0; i < w->block->nx * w->block->ny; i++)
    join_column (w, i);
  if (!heat_leads_assemble (arena, w->net, (size_t) (w->placed - w->net->bodies)))
    return false;
  w->placed->n_melts = w->net->melts.n - w->placed->first_melt;
  for (size_t iz = 1; iz < w->block->nz; iz++)
    join_slab (w, iz);
  return heat_windows_new (arena, &w->net->mesh, w->block, w->body, w->cover.area, &w->placed->windows)
         && place_readers (arena, w);
}

static bool
mark_corners (HeatArena *arena, const HeatBody *body, HeatPlaced *placed)
{
  placed->corner = HEAT_TAKE (arena, bool, body->n_joints);
  if (!placed->corner)
    return false;
  double most = 0;
  for (size_t i = 0; i < body->n_joints; i++)
    most = fmax (most, hypot (body->joints[i].x - body->center.x, body->joints[i].y - body->center.y));
  for (size_t i = 0; i < body->n_joints; i++)
    placed->corner[i]
        = hypot (body->joints[i].x - body->center.x, body->joints[i].y - body->center.y) >= 0.995 * most;
  return true;
}

bool
heat_bodies_assemble (HeatArena *arena, HeatNetwork *net)
{
  for (size_t i = 0; i < net->scene->n_bodies; i++) {
    HeatPlaced *placed = &net->bodies[i];
    Work w = { .net = net,
               .body = &net->scene->bodies[i],
               .placed = placed,
               .block = &net->stencil.layout.blocks[placed->block] };
    if (!mark_corners (arena, w.body, placed)
        || (placed->block != HEAT_NO_BLOCK && !assemble_body (arena, &w)))
      return false;
  }
  return true;
}
