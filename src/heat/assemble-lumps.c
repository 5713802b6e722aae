/* Bodies of one node, isothermal (their Biot number on height is below about 0.1), and their joints. */
#include <math.h>

#include "heat/network.h"

typedef struct {
  HeatNetwork *net;
  const HeatBody *body;
  HeatPlaced *placed;
  double *joints; /* number of joints per column */
} Work;

static bool
clip_foot (HeatArena *arena, Work *w)
{
  HeatNetwork *net = w->net;
  HeatGrid grid = heat_mesh_grid (&net->mesh);
  size_t n = grid.nx * grid.ny;
  HeatCover cover;
  w->joints = HEAT_TAKE (arena, double, n);
  if (!w->joints || !heat_cover_new (arena, &grid, &cover))
    return false;
  HeatXY corner[HEAT_OUTLINE_MAX];
  const HeatBody *b = w->body;
  HeatLoop loop
      = { corner, heat_outline (b->center, b->angle_rad, b->length_m, b->width_m, b->round, corner) };
  heat_cover_add (&cover, &grid, &loop, 1);
  heat_cover_close (&cover, &grid);
  w->placed->foot_m2 = heat_loop_area (&loop);
  w->placed->rim_m = heat_loop_length (&loop);
  double *covered = b->below ? net->covered_down : net->covered_up;
  for (size_t i = 0; i < n; i++) {
    cover.area[i] = fmin (cover.area[i], fmax (0, net->board.area[i] - covered[i]));
    covered[i] += cover.area[i];
  }
  w->placed->contact = cover.area;
  return true;
}

static size_t
surface_node (const HeatNetwork *net, const HeatBody *body, size_t column)
{
  return (body->below ? 0 : (net->scene->board.n_layers - 1) * net->mesh.nx * net->mesh.ny) + column;
}

static double
in_series (double a, double b)
{
  return a > 0 && b > 0 ? a * b / (a + b) : 0;
}

static void
link_nodes (HeatStencil *s, size_t a, size_t b, double g)
{
  if (g > 0)
    s->links[s->n_links++] = (HeatLink){ (uint32_t) a, (uint32_t) b, g };
}

/* Joints to the board: through half the joint (or all of it, when the joints have no node of their own)
 * and the half layer under each joint's share of the footprint. */
static void
link_column (Work *w, size_t i)
{
  HeatNetwork *net = w->net;
  const HeatBody *body = w->body;
  const HeatPlaced *p = w->placed;
  const double *half = body->below ? net->half_down : net->half_up;
  size_t board = surface_node (net, body, i);
  bool fixed = body->prescribed_h_w_m2k > 0, own = p->joint_node != UINT32_MAX;
  double film = fixed ? body->prescribed_h_w_m2k : body->gap_h_w_m2k;
  link_nodes (&net->stencil, p->node, board, in_series (film * p->contact[i], p->contact[i] / half[i]));
  if (fixed || w->joints[i] <= 0)
    return;
  double under = w->joints[i] * p->foot_m2 / body->n_joints / half[i];
  double g = w->joints[i] * body->joint_g_w_k * (own ? 2 : 1);
  if (!own && body->lead_g_w_k > 0)
    g = in_series (g, w->joints[i] * body->lead_g_w_k);
  link_nodes (&net->stencil, own ? p->joint_node : p->node, board, in_series (g, under));
}

static void
join_joint_node (Work *w)
{
  HeatNetwork *net = w->net;
  const HeatBody *body = w->body;
  uint32_t node = w->placed->joint_node;
  if (node == UINT32_MAX)
    return;
  double n = (double) body->n_joints;
  net->capacity[node] = n * body->joint_c_j_k * net->scene->scale_capacity;
  double g = 2 * n * body->joint_g_w_k;
  link_nodes (&net->stencil, w->placed->node, node,
              body->lead_g_w_k > 0 ? in_series (g, n * body->lead_g_w_k) : g);
  if (!(body->joint_latent_j > 0))
    return;
  HeatMelt *melt = &net->melts.items[net->melts.n++];
  *melt = (HeatMelt){ node, net->capacity[node], n * body->joint_latent_j, 0, 0 };
  heat_melt_range (melt, body->solidus_c, body->liquidus_c);
  w->placed->n_melts = 1;
}

static bool
place_readers (HeatArena *arena, Work *w)
{
  const HeatNetwork *net = w->net;
  const HeatBlock *board = &net->stencil.layout.blocks[0];
  size_t layer = w->body->below ? 0 : board->nz - 1;
  w->placed->joints = HEAT_TAKE (arena, HeatReader, w->body->n_joints);
  if (!w->placed->joints)
    return false;
  for (size_t i = 0; i < w->body->n_joints; i++)
    w->placed->joints[i] = heat_reader (&net->mesh, board, layer, net->board.area, w->body->joints[i]);
  w->placed->center = heat_reader (&net->mesh, board, layer, net->board.area, w->body->center);
  return true;
}

static void
assemble_capacity (Work *w)
{
  double sum = 0;
  for (size_t i = 0; i < w->body->n_layers; i++)
    sum += w->body->layers[i].thickness_m * w->body->layers[i].rho_c_j_m3k;
  w->net->capacity[w->placed->node] = sum * w->placed->foot_m2 * w->net->scene->scale_capacity;
}

static bool
assemble_lump (HeatArena *keep, HeatArena *scratch, Work *w)
{
  HeatNetwork *net = w->net;
  if (!clip_foot (scratch, w))
    return false;
  double side = heat_joint_side (w->body);
  for (size_t i = 0; i < w->body->n_joints; i++)
    heat_spread (&net->mesh, &net->stencil.layout.blocks[0], net->board.area, w->body->joints[i], side,
                 1, w->joints);
  assemble_capacity (w);
  w->placed->first_melt = net->melts.n;
  join_joint_node (w);
  for (size_t i = 0; i < net->mesh.nx * net->mesh.ny; i++)
    if (w->placed->contact[i] > 0 || w->joints[i] > 0)
      link_column (w, i);
  w->placed->contact = NULL; /* scratch */
  return place_readers (keep, w);
}

/* Upper bound of the cells a square of a joint touches. */
static double
cells_of (double side, double cell, double all)
{
  double across = side / cell + 3;
  return fmin (across * across, all);
}

/* Upper bound of the links: cells under the footprint and under the joints, doubled for both paths; of a
 * meshed body, those of its leads. */
bool
heat_links_take (HeatArena *arena, HeatNetwork *net)
{
  double cell = INFINITY, count = 0;
  for (size_t i = 0; i < net->mesh.nx; i++)
    cell = fmin (cell, net->mesh.xe[i + 1] - net->mesh.xe[i]);
  for (size_t i = 0; i < net->mesh.ny; i++)
    cell = fmin (cell, net->mesh.ye[i + 1] - net->mesh.ye[i]);
  double all = (double) net->mesh.nx * net->mesh.ny;
  for (size_t i = 0; i < net->scene->n_bodies; i++) {
    const HeatBody *b = &net->scene->bodies[i];
    double spread = cells_of (heat_joint_side (b), cell, all);
    if (b->meshed && net->bodies[i].n_leads)
      count += net->bodies[i].n_leads * (spread + cells_of (heat_lead_inner_side (b), cell, all));
    if (b->meshed)
      continue;
    double reach = hypot (b->length_m, b->round ? b->length_m : b->width_m);
    count += cells_of (reach, cell, all) + fmin (b->n_joints * spread, all) + 2;
  }
  net->stencil.links = HEAT_TAKE (arena, HeatLink, (size_t) count);
  return net->stencil.links != NULL;
}

bool
heat_lumps_assemble (HeatArena *arena, HeatNetwork *net)
{
  for (size_t i = 0; i < net->scene->n_bodies; i++) {
    HeatArena scratch = heat_arena_beside (arena);
    Work w = { net, &net->scene->bodies[i], &net->bodies[i], NULL };
    if (w.placed->block != HEAT_NO_BLOCK)
      continue;
    bool ok = assemble_lump (arena, &scratch, &w);
    heat_arena_clear (&scratch);
    if (!ok)
      return false;
  }
  return true;
}
