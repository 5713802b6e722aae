#include "plan/lee.h"

#include <math.h>
#include <stdint.h>

#include "heat/shadow.h"

/* The boxes that stand on one side of the board, and each body's number among them. */
typedef struct {
  HeatBox *boxes, *near; /* near: those that one body sees */
  size_t n;
  size_t *number; /* of body i, SIZE_MAX when it is on the other side */
} Side;

static Side
gather (const LwCase *self, gboolean below)
{
  Side side = { g_new0 (HeatBox, MAX (self->n_bodies, 1)), g_new (HeatBox, MAX (self->n_bodies, 1)), 0,
                g_new (size_t, MAX (self->n_bodies, 1)) };

  for (guint i = 0; i < self->n_bodies; i++) {
    const HeatBody *body = &self->bodies[i];
    side.number[i] = SIZE_MAX;
    if (body->below != below)
      continue;
    side.number[i] = side.n;
    side.boxes[side.n++] = (HeatBox){ body->center,  body->angle_rad, body->length_m,
                                      body->width_m, body->height_m,  body->round };
  }
  return side;
}

static void
drop (Side *side)
{
  g_free (side->boxes);
  g_free (side->near);
  g_free (side->number);
}

/* Point of a body at shares u, v (-0.5..0.5) of its length and width. */
static HeatXY
point_of (const HeatBody *body, double u, double v)
{
  double c = cos (body->angle_rad), s = sin (body->angle_rad);
  double dx = u * body->length_m, dy = v * body->width_m;

  return (HeatXY){ body->center.x + c * dx - s * dy, body->center.y + s * dx + c * dy };
}

/* Mean over three by three points of the body's face. */
static double
mean_hidden (const HeatBody *body, double z_m, const Side *side, size_t skip)
{
  double sum = 0;
  size_t n = heat_boxes_near (body->center, 0.5 * hypot (body->length_m, body->width_m), z_m, side->boxes, side->n, skip,
                              side->near);

  for (int i = 0; i < 9; i++)
    sum += heat_sky_hidden (point_of (body, (i % 3 - 1) / 3.0, (i / 3 - 1) / 3.0), z_m, side->near, n, SIZE_MAX);
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

static double
spill_sheltered (const LwCase *self, guint i, const Side *above)
{
  const HeatBody *body = &self->bodies[i];
  HeatXY from;

  if (!self->scene.nozzle.present || body->below || i == self->scene.target
      || !leaves_nozzle_at (&self->scene.nozzle, body->center, &from))
    return 0;
  return heat_flow_sheltered (from, body->center, body->height_m, above->boxes, above->n,
                              above->number[i]);
}

LwLee *
lw_lee_of_case (const LwCase *self)
{
  LwLee *lee = g_new0 (LwLee, MAX (self->n_bodies, 1));
  Side above = gather (self, FALSE), below = gather (self, TRUE);

  for (guint i = 0; i < self->n_bodies; i++) {
    const HeatBody *body = &self->bodies[i];
    const Side *own = body->below ? &below : &above;
    lee[i].sky_hidden = mean_hidden (body, body->height_m, own, own->number[i]);
    lee[i].preheat_hidden = body->below ? lee[i].sky_hidden : mean_hidden (body, 0, &below, SIZE_MAX);
    lee[i].spill_sheltered = spill_sheltered (self, i, &above);
  }
  drop (&above);
  drop (&below);
  return lee;
}
