/* Joints of leads that lie outside a meshed body or on its rim: a node each. On the board's side it holds
 * to the square round the joint's true place; on the body's to a square of a given size that lies inside
 * the outline. Were it left to the cells of the joint layer, such a joint would have to enter the body
 * through a sliver as narrow as the mesh happens to make it. */
#include <math.h>

#include "heat/network.h"

/* A lead runs some millimetres inside its housing (common practice, no source): its heat enters the body
 * over a square at least this wide. */
static const double INSIDE_M = 2e-3;

typedef struct {
  HeatNetwork *net;
  const HeatBody *body;
  const HeatPlaced *placed;
  const HeatBlock *block;
  double side, inner; /* of the squares on the board and in the body, m */
  double *under, *in; /* shares per column of the board and of the block */
} Work;

/* Half of what a square along the board's axes takes up along the body's, or along its radius. */
static double
half_reach (const HeatBody *body, double side)
{
  double turn = body->round ? 1.41421356 : fabs (cos (body->angle_rad)) + fabs (sin (body->angle_rad));
  return side / 2 * turn;
}

HeatXY
heat_drawn_in (const HeatBody *body, HeatXY at, double side)
{
  double c = cos (body->angle_rad), s = sin (body->angle_rad), reach = half_reach (body, side);
  double dx = at.x - body->center.x, dy = at.y - body->center.y;
  double x = c * dx + s * dy, y = c * dy - s * dx;
  double free_x = fmax (0, body->length_m / 2 - reach), free_y = fmax (0, body->width_m / 2 - reach);
  if (body->round) {
    double out = hypot (x, y), scale = out > free_x ? free_x / out : 1;
    x *= scale;
    y *= scale;
  } else {
    x = fmin (fmax (x, -free_x), free_x);
    y = fmin (fmax (y, -free_y), free_y);
  }
  return (HeatXY){ body->center.x + c * x - s * y, body->center.y + s * x + c * y };
}

double
heat_square_within (const HeatBody *body, double side)
{
  double most = body->round ? body->length_m : fmin (body->length_m, body->width_m);
  return fmin (side, most / half_reach (body, 2));
}

size_t
heat_leads_mark (const HeatBody *body, bool *apart)
{
  size_t n = 0;
  bool leads = body->meshed && body->lead_g_w_k > 0 && !(body->prescribed_h_w_m2k > 0);
  double side = leads && body->n_joints ? heat_joint_side (body) : 0;
  for (size_t i = 0; i < body->n_joints; i++) {
    HeatXY at = body->joints[i], in = leads ? heat_drawn_in (body, at, side) : at;
    bool out = hypot (in.x - at.x, in.y - at.y) > 1e-6;
    if (apart)
      apart[i] = out;
    n += out;
  }
  return n;
}

double
heat_lead_inner_side (const HeatBody *body)
{
  return heat_square_within (body, fmax (heat_joint_side (body), INSIDE_M));
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

/* Half the joint and the half layer under its square, which lies in RANGE; where leads stand closer than their squares,
 * each has its part of the body's underside. What was shared out is taken back for the next joint. */
static void
link_joint (const Work *w, size_t node, const HeatRange *range)
{
  HeatNetwork *net = w->net;
  const HeatBody *body = w->body;
  const HeatBlock *board = &net->stencil.layout.blocks[0], *block = w->block;
  size_t columns = board->nx * board->ny, nxy = block->nx * block->ny;
  size_t surface = body->below ? 0 : (board->nz - 1) * columns;
  const double *half = body->below ? net->half_down : net->half_up;
  double metal = 2 * body->joint_g_w_k, lead = in_series (metal, body->lead_g_w_k);
  double area = w->side * w->side;
  double inside = fmin (w->inner * w->inner, w->placed->foot_m2 / (double) body->n_joints);
  for (size_t iy = range->y0; iy < range->y1; iy++)
    for (size_t i = iy * board->nx + range->x0; i < iy * board->nx + range->x1; i++) {
      if (w->under[i] > 0)
        link_nodes (&net->stencil, node, surface + i,
                    w->under[i] * in_series (metal / (1 + metal * heat_joint_strait (net, body->below, i, w->side)),
                                             area / half[i]));
      w->under[i] = 0;
    }
  for (size_t i = 0; i < nxy; i++) /* the cell first: the node's home is on the board */
    if (w->in[i] > 0)
      link_nodes (&net->stencil, block->at + nxy + i, node,
                  w->in[i] * in_series (lead, inside / w->placed->slab_r[1]));
}

static void
join_one (const Work *w, size_t joint, size_t node)
{
  HeatNetwork *net = w->net;
  const HeatBody *body = w->body;
  const HeatBlock *board = &net->stencil.layout.blocks[0];
  HeatRange range = HEAT_RANGE_EMPTY;
  for (size_t i = 0; i < w->block->nx * w->block->ny; i++)
    w->in[i] = 0;
  HeatXY at = body->joints[joint];
  heat_spread (&net->mesh, board, net->board.area, at, w->side, true, 1, w->under, &range);
  heat_spread (&net->mesh, w->block, w->placed->cover, heat_drawn_in (body, at, w->inner), w->inner, false, 1, w->in,
               NULL);
  link_joint (w, node, &range);
  net->capacity[node] = body->joint_c_j_k * net->scene->scale_capacity;
  if (!(body->joint_latent_j > 0))
    return;
  HeatMelt *melt = &net->melts.items[net->melts.n++];
  *melt = (HeatMelt){ (uint32_t) node, net->capacity[node], body->joint_latent_j, 0, 0 };
  heat_melt_range (melt, body->solidus_c, body->liquidus_c);
}

bool
heat_leads_assemble (HeatArena *arena, HeatNetwork *net, size_t index)
{
  HeatPlaced *placed = &net->bodies[index];
  const HeatBlock *block = &net->stencil.layout.blocks[placed->block];
  Work w = { .net = net, .body = &net->scene->bodies[index], .placed = placed, .block = block };
  if (!placed->n_leads)
    return true;
  HeatArena scratch = heat_arena_beside (arena);
  w.under = HEAT_TAKE (&scratch, double, net->mesh.nx * net->mesh.ny);
  w.in = HEAT_TAKE (&scratch, double, block->nx * block->ny);
  w.side = heat_joint_side (w.body);
  w.inner = heat_lead_inner_side (w.body);
  bool ok = w.under && w.in;
  size_t node = placed->node;
  for (size_t i = 0; ok && i < w.body->n_joints; i++)
    if (placed->apart[i])
      join_one (&w, i, node++);
  heat_arena_clear (&scratch);
  return ok;
}
