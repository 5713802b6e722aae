#include "plan/fit-places.h"

#include <glib/gi18n.h>
#include <math.h>

#include "heat/reduced-spots.h"
#include "plan/quick-inside.h"

/* A bead and its glue need some room: common practice, no source. */
#define LEAST_BODY_MM 3.0
/* Parts farther from the reworked one than this do not come into question, nor more of them than this. */
#define NEXT_MM 45.0
#define NEXT_MOST 24
/* Bare board: a grid over its box. */
#define GRID_X 8
#define GRID_Y 5

/* ---- from thermocouple to place and back ---- */

static int
body_named (const LwCase *of, const char *ref)
{
  for (guint i = 0; *ref != '\0' && i < of->n_bodies; i++) {
    const LwPart *part = g_ptr_array_index (of->job->parts, of->body_of[i].part);
    if (g_str_equal (part->ref, ref))
      return (int) i;
  }
  return -1;
}

static guint
nearest_joint (const LwCase *of, guint body, double x_mm, double y_mm)
{
  const HeatBody *b = &of->bodies[body];
  guint best = 0;
  double least = INFINITY;

  for (size_t i = 0; i < b->n_joints; i++) {
    LwPoint at = lw_case_point_mm (of, b->joints[i]);
    double away = hypot (at.x_mm - x_mm, at.y_mm - y_mm);
    if (away < least) {
      least = away;
      best = (guint) i;
    }
  }
  return best;
}

LwPlace
lw_place_of (const LwCase *of, const LwThermocouple *couple)
{
  LwPlace out = { LW_PLACE_BOARD, 0, 0, couple->side, couple->x_mm, couple->y_mm };
  int body = body_named (of, couple->ref);

  if (body < 0)
    return out;
  out.body = (guint) body;
  if (of->body_of[body].side == couple->side)
    out.kind = LW_PLACE_BODY;
  else if (of->bodies[body].n_joints > 0 && out.body == of->scene.target) {
    out.kind = LW_PLACE_JOINT;
    out.joint = nearest_joint (of, out.body, couple->x_mm, couple->y_mm);
  } else if (of->bodies[body].n_joints > 0)
    out.kind = LW_PLACE_JOINTS;
  return out;
}

static const LwPart *
part_of (const LwCase *of, guint body)
{
  return g_ptr_array_index (of->job->parts, of->body_of[body].part);
}

LwThermocouple *
lw_place_couple (const LwCase *of, const LwPlace *place)
{
  LwThermocouple *couple = lw_thermocouple_new ();

  couple->x_mm = place->x_mm;
  couple->y_mm = place->y_mm;
  couple->side = place->side;
  if (place->kind != LW_PLACE_BOARD) {
    g_free (couple->ref);
    couple->ref = g_strdup (part_of (of, place->body)->ref);
  }
  return couple;
}

static gboolean
is_middle (const LwCase *of, const LwPlace *place)
{
  LwPoint center = lw_case_point_mm (of, of->bodies[place->body].center);

  return place->joint == nearest_joint (of, place->body, center.x_mm, center.y_mm);
}

char *
lw_place_text (const LwCase *of, const LwPlace *place)
{
  const char *ref = place->kind == LW_PLACE_BOARD ? "" : part_of (of, place->body)->ref;

  switch (place->kind) {
  case LW_PLACE_BODY:
    return g_strdup_printf (_("body of %s"), ref);
  case LW_PLACE_JOINTS:
    return g_strdup_printf (_("joints of %s"), ref);
  case LW_PLACE_JOINT:
    return is_middle (of, place)
               ? g_strdup_printf (_("joint at the middle of %s"), ref)
               /* Translators: part, then the joint's place on the board. */
               : g_strdup_printf (_("joint of %s at x %.1f, y %.1f mm"), ref, place->x_mm, place->y_mm);
  case LW_PLACE_BOARD:
  default:
    return g_strdup_printf (place->side == LW_SIDE_TOP ? _("board, top side, x %.1f, y %.1f mm")
                                                       : _("board, bottom side, x %.1f, y %.1f mm"),
                            place->x_mm, place->y_mm);
  }
}

/* ---- candidates ---- */

static void
add_joint (const LwCase *of, GArray *out, guint body, guint joint)
{
  LwSide other = of->body_of[body].side == LW_SIDE_TOP ? LW_SIDE_BOTTOM : LW_SIDE_TOP;
  LwPoint at = lw_case_point_mm (of, of->bodies[body].joints[joint]);
  LwPlace place = { LW_PLACE_JOINT, body, joint, other, at.x_mm, at.y_mm };

  for (guint i = 0; i < out->len; i++)
    if (g_array_index (out, LwPlace, i).kind == LW_PLACE_JOINT && g_array_index (out, LwPlace, i).joint == joint)
      return;
  g_array_append_val (out, place);
}

static void
add_target (const LwCase *of, GArray *out)
{
  guint body = (guint) of->scene.target;
  const HeatBody *b = &of->bodies[body];
  LwPoint center = lw_case_point_mm (of, b->center);
  LwPlace top = { LW_PLACE_BODY, body, 0, of->body_of[body].side, center.x_mm, center.y_mm };

  if (of->scene.target >= of->n_bodies)
    return;
  g_array_append_val (out, top);
  if (b->n_joints == 0)
    return;
  add_joint (of, out, body, nearest_joint (of, body, center.x_mm, center.y_mm));
  for (int k = 0; k < 4; k++) {
    double far = 1e3 * (b->length_m + b->width_m);
    add_joint (of, out, body, nearest_joint (of, body, center.x_mm + (k % 2 ? far : -far),
                                             center.y_mm + (k / 2 ? far : -far)));
  }
}

static double
away_mm (const LwCase *of, guint body)
{
  const HeatBody *b = &of->bodies[body], *target = &of->bodies[of->scene.target];

  return 1e3 * hypot (b->center.x - target->center.x, b->center.y - target->center.y);
}

static int
nearer (gconstpointer a, gconstpointer b, gpointer of)
{
  double da = away_mm (of, *(const guint *) a), db = away_mm (of, *(const guint *) b);

  return (da > db) - (da < db);
}

static void
add_next (const LwCase *of, GArray *out)
{
  g_autoptr (GArray) next = g_array_new (FALSE, FALSE, sizeof (guint));

  for (guint i = 0; i < of->n_bodies; i++)
    if (i != of->scene.target && fmin (of->bodies[i].length_m, of->bodies[i].width_m) * 1e3 >= LEAST_BODY_MM
        && away_mm (of, i) < NEXT_MM)
      g_array_append_val (next, i);
  g_array_sort_with_data (next, nearer, (gpointer) of);
  for (guint k = 0; k < MIN (next->len, NEXT_MOST); k++) {
    guint i = g_array_index (next, guint, k);
    LwPoint at = lw_case_point_mm (of, of->bodies[i].center);
    LwSide side = of->body_of[i].side, other = side == LW_SIDE_TOP ? LW_SIDE_BOTTOM : LW_SIDE_TOP;
    LwPlace body = { LW_PLACE_BODY, i, 0, side, at.x_mm, at.y_mm };
    LwPlace joints = { LW_PLACE_JOINTS, i, 0, other, at.x_mm, at.y_mm };
    g_array_append_val (out, body);
    if (of->bodies[i].n_joints > 0)
      g_array_append_val (out, joints);
  }
}

static gboolean
is_bare (const LwCase *of, HeatXY at, gboolean below)
{
  for (guint i = 0; i < of->n_bodies; i++) {
    const HeatBody *b = &of->bodies[i];
    double c = cos (b->angle_rad), s = sin (b->angle_rad), dx = at.x - b->center.x, dy = at.y - b->center.y;
    if ((b->below != 0) == below && fabs (c * dx + s * dy) < 0.5 * b->length_m + 1e-3
        && fabs (c * dy - s * dx) < 0.5 * b->width_m + 1e-3)
      return FALSE;
  }
  return TRUE;
}

static void
add_board (const LwCase *of, GArray *out)
{
  for (guint k = 0; k < 2 * GRID_X * GRID_Y; k++) {
    guint ix = k / 2 % GRID_X, iy = k / 2 / GRID_X;
    LwPlace place = { .kind = LW_PLACE_BOARD, .side = k % 2 ? LW_SIDE_BOTTOM : LW_SIDE_TOP };
    place.x_mm = round (of->box.x0_mm + (of->box.x1_mm - of->box.x0_mm) * (ix + 0.5) / GRID_X);
    place.y_mm = round (of->box.y0_mm + (of->box.y1_mm - of->box.y0_mm) * (iy + 0.5) / GRID_Y);
    if (is_bare (of, lw_case_point (of, place.x_mm, place.y_mm), lw_case_below (of, place.side)))
      g_array_append_val (out, place);
  }
}

GArray *
lw_places_candidates (const LwCase *of)
{
  GArray *out = g_array_new (FALSE, FALSE, sizeof (LwPlace));

  add_target (of, out);
  add_next (of, out);
  add_board (of, out);
  return out;
}

/* ---- reading ---- */

struct LwPlaceReader {
  LwQuick *quick;
  LwPlace *places;
  guint n, n_spots;
  gint *spot; /* of a place, or -1 */
  HeatSpots *spots;
};

LwPlaceReader *
lw_place_reader_new (LwQuick *quick, const LwPlace *places, guint n)
{
  LwPlaceReader *self = g_new0 (LwPlaceReader, 1);
  const LwCase *of = lw_quick_case (quick);
  g_autofree HeatSpot *at = g_new (HeatSpot, MAX (n, 1));

  self->quick = lw_quick_ref (quick);
  self->places = g_memdup2 (places, n * sizeof *places);
  self->n = n;
  self->spot = g_new (gint, MAX (n, 1));
  for (guint i = 0; i < n; i++) {
    self->spot[i] = places[i].kind == LW_PLACE_BOARD ? (gint) self->n_spots : -1;
    if (places[i].kind == LW_PLACE_BOARD)
      at[self->n_spots++] = (HeatSpot){ lw_case_point (of, places[i].x_mm, places[i].y_mm),
                                        !lw_case_below (of, places[i].side) };
  }
  self->spots = heat_spots_new (lw_quick_model (quick), at, self->n_spots);
  if (self->spots == NULL)
    g_error ("out of memory for points of the reduced model");
  return self;
}

void
lw_place_reader_free (LwPlaceReader *self)
{
  if (self == NULL)
    return;
  heat_spots_free (self->spots);
  lw_quick_unref (self->quick);
  g_free (self->places);
  g_free (self->spot);
  g_free (self);
}

/* Series of a place with STRIDE numbers from one moment to the next. */
static const double *
series_of (const LwPlaceReader *self, guint i, const HeatResult *result, const double *spots, size_t *stride)
{
  const LwPlace *place = &self->places[i];

  *stride = 1;
  switch (place->kind) {
  case LW_PLACE_BODY:
    return result->bodies[place->body].body_max;
  case LW_PLACE_JOINTS:
    return result->bodies[place->body].joint_mean;
  case LW_PLACE_JOINT:
    *stride = result->n_joints;
    return result->joints + place->joint;
  case LW_PLACE_BOARD:
  default:
    *stride = self->n_spots;
    return spots + self->spot[i];
  }
}

static void
resample (const double *t_s, size_t n, const double *v, size_t stride, double dt_s, guint n_grid, double *out)
{
  size_t at = 0;

  for (guint k = 0; k < n_grid; k++) {
    double t = k * dt_s, share = 0;
    while (at + 2 < n && t_s[at + 1] < t)
      at++;
    if (at + 1 < n && t_s[at + 1] > t_s[at])
      share = CLAMP ((t - t_s[at]) / (t_s[at + 1] - t_s[at]), 0, 1);
    out[k] = v[at * stride] + (share > 0 ? share * (v[(at + 1) * stride] - v[at * stride]) : 0);
  }
}

gboolean
lw_place_reader_read (const LwPlaceReader *self, LwQuickRun *run, double dt_s, guint n_grid, double *out)
{
  HeatReducedRun *heat = lw_quick_run_heat (run);
  const HeatResult *result = heat_reduced_series (lw_quick_model (self->quick), heat);
  size_t n = heat_reduced_n_times (heat);
  g_autofree double *spots = g_new (double, MAX (n * self->n_spots, 1));

  if (result == NULL)
    return FALSE;
  heat_spots_read (self->spots, heat, spots);
  for (guint i = 0; i < self->n; i++) {
    size_t stride;
    const double *v = series_of (self, i, result, spots, &stride);
    resample (heat_reduced_times (heat), n, v, stride, dt_s, n_grid, out + (gsize) i * n_grid);
  }
  return TRUE;
}
