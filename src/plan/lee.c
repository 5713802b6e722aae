#include "plan/lee.h"

#include <math.h>
#include <stdint.h>

#include "heat/box-grid.h"

/* The boxes that stand on one side of the board. */
typedef struct {
  HeatBox *boxes;
  size_t n;
} Side;

/* One body: its box is that of NUMBER on its side. */
typedef struct {
  gboolean below;
  size_t number;
  double spill;
} Body;

struct LwLee {
  Side above, below;
  Body *bodies;
};

static void
gather (LwLee *self, const LwCase *of)
{
  for (guint i = 0; i < of->n_bodies; i++) {
    const HeatBody *body = &of->bodies[i];
    Side *side = body->below ? &self->below : &self->above;

    self->bodies[i] = (Body){ body->below, side->n, 0 };
    side->boxes[side->n++] = (HeatBox){ body->center,  body->angle_rad, body->length_m,
                                        body->width_m, body->height_m,  body->round };
  }
}

/* Point of a body at shares u, v (-0.5..0.5) of its length and width. */
static HeatXY
point_of (const HeatBox *body, double u, double v)
{
  double c = cos (body->angle_rad), s = sin (body->angle_rad);
  double dx = u * body->length_m, dy = v * body->width_m;

  return (HeatXY){ body->center.x + c * dx - s * dy, body->center.y + s * dx + c * dy };
}

/* Mean over three by three points of the body's face. */
static double
mean_hidden (const HeatBox *body, double z_m, const Side *side, size_t skip)
{
  double sum = 0;
  g_autofree HeatBox *near = g_new (HeatBox, MAX (side->n, 1));
  size_t n = heat_boxes_near (body->center, 0.5 * hypot (body->length_m, body->width_m), z_m, side->boxes, side->n, skip,
                              near);

  for (int i = 0; i < 9; i++)
    sum += heat_sky_hidden (point_of (body, (i % 3 - 1) / 3.0, (i / 3 - 1) / 3.0), z_m, near, n, SIZE_MAX);
  return sum / 9;
}

/* Nearest point of the nozzle's outer outline; FALSE when AT is inside it. */
static gboolean
leaves_nozzle_at (const HeatNozzle *nozzle, HeatXY at, HeatXY *from)
{
  double c = cos (nozzle->angle_rad), s = sin (nozzle->angle_rad);
  double dx = at.x - nozzle->center.x, dy = at.y - nozzle->center.y;
  double u = c * dx + s * dy, v = -s * dx + c * dy;
  double a = 0.5 * nozzle->length_m + nozzle->wall_m, b = 0.5 * nozzle->width_m + nozzle->wall_m;

  if (nozzle->round) {
    double r = hypot (u, v);
    if (r <= a)
      return FALSE;
    u *= a / r;
    v *= a / r;
  } else {
    if (fabs (u) <= a && fabs (v) <= b)
      return FALSE;
    u = CLAMP (u, -a, a);
    v = CLAMP (v, -b, b);
  }
  *from = (HeatXY){ nozzle->center.x + c * u - s * v, nozzle->center.y + s * u + c * v };
  return TRUE;
}

/* Asks only those near the body: no lee is longer than a grid reaches. */
static double
spill_sheltered (const LwLee *self, const HeatNozzle *nozzle, const Body *body, const HeatBoxGrid *grid)
{
  const HeatBox *boxes = self->above.boxes, *own = &boxes[body->number];
  const uint32_t *which;
  size_t n = heat_box_grid_at (grid, own->center, &which);
  double most = 0;
  HeatXY from;

  if (!leaves_nozzle_at (nozzle, own->center, &from))
    return 0;
  for (size_t k = 0; k < n; k++)
    if (which[k] != body->number)
      most = fmax (most, heat_flow_sheltered (from, own->center, own->height_m, &boxes[which[k]], 1, SIZE_MAX));
  return most;
}

static void
find_spill (LwLee *self, const LwCase *of)
{
  HeatArena arena = HEAT_ARENA_INIT;
  HeatBoxGrid grid;

  if (!of->scene.nozzle.present)
    return;
  if (!heat_box_grid_new (&arena, self->above.boxes, self->above.n, &grid))
    g_error ("out of memory for the lee of %u bodies", of->n_bodies);
  for (guint i = 0; i < of->n_bodies; i++)
    if (!self->bodies[i].below && i != of->scene.target)
      self->bodies[i].spill = spill_sheltered (self, &of->scene.nozzle, &self->bodies[i], &grid);
  heat_arena_clear (&arena);
}

LwLee *
lw_lee_new (const LwCase *of)
{
  LwLee *self = g_atomic_rc_box_new0 (LwLee);
  guint n = MAX (of->n_bodies, 1);

  self->above.boxes = g_new (HeatBox, n);
  self->below.boxes = g_new (HeatBox, n);
  self->bodies = g_new0 (Body, n);
  gather (self, of);
  find_spill (self, of);
  return self;
}

LwLee *
lw_lee_ref (LwLee *self)
{
  return g_atomic_rc_box_acquire (self);
}

static void
clear (gpointer data)
{
  LwLee *self = data;

  g_free (self->above.boxes);
  g_free (self->below.boxes);
  g_free (self->bodies);
}

void
lw_lee_unref (LwLee *self)
{
  if (self != NULL)
    g_atomic_rc_box_release_full (self, clear);
}

void
lw_lee_hidden (const LwLee *self, guint body, double *sky, double *preheat)
{
  const Body *at = &self->bodies[body];
  const Side *own = at->below ? &self->below : &self->above;
  const HeatBox *box = &own->boxes[at->number];

  *sky = mean_hidden (box, box->height_m, own, at->number);
  *preheat = at->below ? *sky : mean_hidden (box, 0, &self->below, SIZE_MAX);
}

double
lw_lee_spill (const LwLee *self, guint body)
{
  return self->bodies[body].spill;
}
