/* Which of a body's many joints can be its hottest or its coldest. Readers over the same four nodes take a plane's height
 * with a twist: along each axis of the mesh it is straight, so of a row of joints along it only the two at the ends count,
 * and of the columns of these again. An array over coarse cells comes down to the corners of what lies in each. */
#include <math.h>
#include <string.h>

#include "heat/network.h"

/* Bodies with fewer joints are read whole. */
enum { MANY = 8 };
/* Rows, or nodes, looked back upon for one that a joint belongs to: those of an array follow one another. What is not found
 * is kept twice, which does no harm. */
enum { LOOK_BACK = 64 };
/* Shares this close are the same. */
static const double SAME = 1e-9;

/* How far a reader is from the first of its nodes to the others; false when it is not straight between them. */
static bool
shares_of (const HeatReader *r, double share[2])
{
  share[0] = r->w[1] + r->w[3];
  share[1] = r->w[2] + r->w[3];
  return fabs (r->w[3] - share[0] * share[1]) < SAME && fabs (r->w[0] - (1 - share[0]) * (1 - share[1])) < SAME;
}

/* Whether B lies in one row with A along AXIS. */
static bool
in_row (const HeatReader *a, const HeatReader *b, size_t axis)
{
  double from[2], to[2];
  return memcmp (a->node, b->node, sizeof a->node) == 0 && shares_of (a, from) && shares_of (b, to)
         && fabs (from[1 - axis] - to[1 - axis]) < SAME;
}

static double
along (const HeatReader *r, size_t axis)
{
  double share[2];
  shares_of (r, share);
  return share[axis];
}

/* Keeps of each row along AXIS the first and the last, in place; ROW: room for 2 N. Returns how many. */
static size_t
thin (HeatReader *list, size_t n, size_t axis, HeatReader *row)
{
  size_t rows = 0, kept = 0;
  for (size_t i = 0; i < n; i++) {
    size_t k = rows, least = rows > LOOK_BACK ? rows - LOOK_BACK : 0;
    while (k > least && !in_row (&row[2 * (k - 1)], &list[i], axis))
      k--;
    if (k == least) {
      row[2 * rows] = row[2 * rows + 1] = list[i];
      rows++;
    } else if (along (&list[i], axis) < along (&row[2 * (k - 1)], axis)) {
      row[2 * (k - 1)] = list[i];
    } else if (along (&list[i], axis) > along (&row[2 * (k - 1) + 1], axis)) {
      row[2 * (k - 1) + 1] = list[i];
    }
  }
  for (size_t k = 0; k < rows; k++) {
    list[kept++] = row[2 * k];
    if (memcmp (&row[2 * k], &row[2 * k + 1], sizeof *row) != 0)
      list[kept++] = row[2 * k + 1];
  }
  return kept;
}

static HeatReader *
copy_of (HeatArena *arena, const HeatReader *list, size_t n)
{
  HeatReader *to = HEAT_TAKE (arena, HeatReader, n);
  if (to)
    memcpy (to, list, n * sizeof *to);
  return to;
}

/* The mean of all as one sum over nodes; returns of how many. */
static size_t
add_up (const HeatPlaced *p, size_t n_joints, uint32_t *node, double *w)
{
  size_t n = 0;
  for (size_t i = 0; i < 4 * n_joints; i++) {
    const HeatReader *r = &p->joints[i / 4];
    size_t k = n, least = n > LOOK_BACK ? n - LOOK_BACK : 0;
    if (r->w[i % 4] == 0)
      continue;
    while (k > least && node[k - 1] != r->node[i % 4])
      k--;
    if (k == least) {
      node[n] = r->node[i % 4];
      w[n] = 0;
      k = ++n;
    }
    w[k - 1] += r->w[i % 4] / (double) n_joints;
  }
  return n;
}

typedef struct {
  HeatReader *list, *row; /* [joints], [2 joints] */
  uint32_t *node;         /* [4 joints] */
  double *w;
} Room;

static bool
find_ends (HeatArena *arena, const Room *room, size_t n_joints, HeatPlaced *p)
{
  HeatEnds *e = &p->ends;
  memcpy (room->list, p->joints, n_joints * sizeof *room->list);
  e->n = thin (room->list, thin (room->list, n_joints, 0, room->row), 1, room->row);
  e->end = copy_of (arena, room->list, e->n);
  for (size_t i = 0; i < n_joints; i++)
    if (p->corner[i])
      room->list[e->n_corners++] = p->joints[i];
  e->n_corners = thin (room->list, thin (room->list, e->n_corners, 0, room->row), 1, room->row);
  e->corner = copy_of (arena, room->list, e->n_corners);
  e->n_nodes = add_up (p, n_joints, room->node, room->w);
  e->node = HEAT_TAKE (arena, uint32_t, e->n_nodes);
  e->w = HEAT_TAKE (arena, double, e->n_nodes);
  if (!e->end || !e->corner || !e->node || !e->w)
    return false;
  memcpy (e->node, room->node, e->n_nodes * sizeof *e->node);
  memcpy (e->w, room->w, e->n_nodes * sizeof *e->w);
  return true;
}

/* Joints of one node without one for themselves hang on the columns they lie over in a way of their own. */
static bool
is_even (const HeatPlaced *p)
{
  return p->block != HEAT_NO_BLOCK || p->joint_node != UINT32_MAX;
}

bool
heat_ends_new (HeatArena *arena, HeatNetwork *net)
{
  HeatArena scratch = heat_arena_beside (arena);
  size_t most = 0;
  for (size_t i = 0; i < net->scene->n_bodies; i++)
    most = net->scene->bodies[i].n_joints > most ? net->scene->bodies[i].n_joints : most;
  Room room = { HEAT_TAKE (&scratch, HeatReader, most), HEAT_TAKE (&scratch, HeatReader, 2 * most),
                HEAT_TAKE (&scratch, uint32_t, 4 * most), HEAT_TAKE (&scratch, double, 4 * most) };
  bool ok = room.list && room.row && room.node && room.w;
  for (size_t i = 0; ok && i < net->scene->n_bodies; i++)
    if (net->scene->bodies[i].n_joints >= MANY && is_even (&net->bodies[i]))
      ok = find_ends (arena, &room, net->scene->bodies[i].n_joints, &net->bodies[i]);
  heat_arena_clear (&scratch);
  return ok;
}
