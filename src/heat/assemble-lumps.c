/* Bodies of one node, isothermal (their Biot number on height is below about 0.1), and their joints. */
#include <math.h>

#include "heat/network.h"

/* CONTACT and JOINTS are of the whole board and zero outside RANGE, so that a body costs what lies under it. */
typedef struct {
  HeatNetwork *net;
  const HeatBody *body;
  HeatPlaced *placed;
  double *contact; /* covered area per column with board behind it, m2 */
  double *joints;  /* number of joints per column */
  HeatRange range;
  double side; /* of the square each joint takes, m */
} Work;

/* Cells [*FROM, *TO) from LOW to HIGH, and one more on either side: an outline may run along a line. */
static void
cells_between (const double *edges, size_t n, double low, double high, size_t *from, size_t *to)
{
  size_t first = heat_cell_of (edges, n, low), last = heat_cell_of (edges, n, high);
  *from = first > 0 ? first - 1 : 0;
  *to = last + 2 < n ? last + 2 : n;
}

static HeatRange
range_of (const HeatMesh *mesh, const HeatLoop *loop)
{
  HeatXY low = loop->xy[0], high = loop->xy[0];
  HeatRange range;
  for (size_t i = 1; i < loop->n; i++) {
    low = (HeatXY){ fmin (low.x, loop->xy[i].x), fmin (low.y, loop->xy[i].y) };
    high = (HeatXY){ fmax (high.x, loop->xy[i].x), fmax (high.y, loop->xy[i].y) };
  }
  cells_between (mesh->xe, mesh->nx, low.x, high.x, &range.x0, &range.x1);
  cells_between (mesh->ye, mesh->ny, low.y, high.y, &range.y0, &range.y1);
  return range;
}

/* The covered part of RANGE. */
static bool
clip_range (HeatArena *scratch, const HeatMesh *mesh, const HeatRange *range, const HeatLoop *loop, HeatCover *cover)
{
  HeatGrid grid = { mesh->xe + range->x0, mesh->ye + range->y0, range->x1 - range->x0, range->y1 - range->y0 };
  if (!heat_cover_new (scratch, &grid, cover))
    return false;
  heat_cover_add (cover, &grid, loop, 1);
  heat_cover_close (cover, &grid);
  return true;
}

static bool
clip_foot (HeatArena *scratch, Work *w)
{
  HeatNetwork *net = w->net;
  HeatCover cover;
  HeatXY corner[HEAT_OUTLINE_MAX];
  const HeatBody *b = w->body;
  HeatLoop loop
      = { corner, heat_outline (b->center, b->angle_rad, b->length_m, b->width_m, b->round, corner) };
  w->range = range_of (&net->mesh, &loop);
  if (!clip_range (scratch, &net->mesh, &w->range, &loop, &cover))
    return false;
  w->placed->foot_m2 = heat_loop_area (&loop);
  w->placed->rim_m = heat_loop_length (&loop);
  double *covered = b->below ? net->covered_down : net->covered_up;
  for (size_t iy = w->range.y0, k = 0; iy < w->range.y1; iy++)
    for (size_t ix = w->range.x0; ix < w->range.x1; ix++, k++) {
      size_t i = iy * net->mesh.nx + ix;
      w->contact[i] = fmin (cover.area[k], fmax (0, net->board.area[i] - covered[i]));
      covered[i] += w->contact[i];
    }
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
  double contact = w->contact[i];
  const double *half = body->below ? net->half_down : net->half_up;
  size_t board = surface_node (net, body, i);
  bool fixed = body->prescribed_h_w_m2k > 0, own = p->joint_node != UINT32_MAX;
  double film = fixed ? body->prescribed_h_w_m2k : body->gap_h_w_m2k;
  link_nodes (&net->stencil, p->node, board, in_series (film * contact, contact / half[i]));
  if (fixed || w->joints[i] <= 0)
    return;
  double under = w->joints[i] * p->foot_m2 / body->n_joints / half[i];
  double g = body->joint_g_w_k * (own ? 2 : 1);
  g = w->joints[i] * g / (1 + g * heat_joint_strait (net, body->below, i, w->side));
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

/* Links the columns under it and takes back what was written there for the next body. */
static void
link_columns (Work *w)
{
  for (size_t iy = w->range.y0; iy < w->range.y1; iy++)
    for (size_t i = iy * w->net->mesh.nx + w->range.x0; i < iy * w->net->mesh.nx + w->range.x1; i++) {
      if (w->contact[i] > 0 || w->joints[i] > 0)
        link_column (w, i);
      w->contact[i] = w->joints[i] = 0;
    }
}

static bool
assemble_lump (HeatArena *keep, HeatArena *scratch, Work *w)
{
  HeatNetwork *net = w->net;
  if (!clip_foot (scratch, w))
    return false;
  w->side = heat_joint_side (w->body);
  for (size_t i = 0; i < w->body->n_joints; i++)
    heat_spread (&net->mesh, &net->stencil.layout.blocks[0], net->board.area, w->body->joints[i], w->side,
                 true, 1, w->joints, &w->range);
  assemble_capacity (w);
  w->placed->first_melt = net->melts.n;
  join_joint_node (w);
  link_columns (w);
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

static bool
assemble_lumps (HeatArena *arena, Work *w)
{
  for (size_t i = 0; i < w->net->scene->n_bodies; i++) {
    HeatArena scratch = heat_arena_beside (arena);
    w->body = &w->net->scene->bodies[i];
    w->placed = &w->net->bodies[i];
    if (w->placed->block != HEAT_NO_BLOCK)
      continue;
    bool ok = assemble_lump (arena, &scratch, w);
    heat_arena_clear (&scratch);
    if (!ok)
      return false;
  }
  return true;
}

bool
heat_lumps_assemble (HeatArena *arena, HeatNetwork *net)
{
  HeatArena board = heat_arena_beside (arena);
  size_t columns = net->mesh.nx * net->mesh.ny;
  Work w = { .net = net };
  w.contact = HEAT_TAKE (&board, double, columns);
  w.joints = HEAT_TAKE (&board, double, columns);
  bool ok = w.contact && w.joints && assemble_lumps (arena, &w);
  heat_arena_clear (&board);
  return ok;
}
