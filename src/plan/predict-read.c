/* A prediction as an object: life, and reading between its samples. */
#include "plan/predict.h"

#include <math.h>

#include "plan/doubt.h"
#include "plan/lee.h"
#include "plan/prediction.h"

static void
trace_free (LwPartTrace *trace)
{
  g_free (trace->ref);
  g_free (trace->joint_min);
  g_free (trace->joint_mean);
  g_free (trace->joint_max);
  g_free (trace->joint_center);
  g_free (trace->joint_corner);
  g_free (trace->body_top);
  g_free (trace->body_max);
  g_free (trace->liquid_share);
  g_free (trace);
}

static void
field_free (LwField *field)
{
  g_free (field->top);
  g_free (field->bottom);
  g_free (field);
}

LwPrediction *
lw_prediction_new (void)
{
  LwPrediction *self = g_new0 (LwPrediction, 1);

  self->ref_count = 1;
  self->target = -1;
  self->apart_k = NAN;
  self->parts = g_ptr_array_new_with_free_func ((GDestroyNotify) trace_free);
  self->fields = g_ptr_array_new_with_free_func ((GDestroyNotify) field_free);
  self->notes = g_ptr_array_new_with_free_func (g_free);
  self->target_joint_at = g_array_new (FALSE, FALSE, sizeof (LwPoint));
  return self;
}

/* A result that several predictions lie in. */
typedef struct {
  HeatResult *result;
} Held;

static void
held_clear (gpointer data)
{
  heat_result_free (((Held *) data)->result);
}

static void
light_trace_free (LwPartTrace *trace)
{
  g_free (trace->ref);
  g_free (trace);
}

static LwPrediction *
new_in (gpointer held)
{
  LwPrediction *self = lw_prediction_new ();

  self->held = held;
  g_ptr_array_set_free_func (self->parts, (GDestroyNotify) light_trace_free);
  g_ptr_array_set_free_func (self->fields, g_free);
  return self;
}

LwPrediction *
lw_prediction_new_holding (HeatResult *result)
{
  Held *held = g_atomic_rc_box_new0 (Held);

  held->result = result;
  return new_in (held);
}

LwPrediction *
lw_prediction_new_sharing (const LwPrediction *other)
{
  return new_in (g_atomic_rc_box_acquire (other->held));
}

LwPrediction *
lw_prediction_ref (LwPrediction *self)
{
  g_atomic_int_inc (&self->ref_count);
  return self;
}

void
lw_prediction_unref (LwPrediction *self)
{
  if (self == NULL || !g_atomic_int_dec_and_test (&self->ref_count))
    return;
  lw_doubt_unref (self->doubt);
  g_ptr_array_unref (self->parts);
  g_ptr_array_unref (self->fields);
  if (self->maker != NULL)
    self->maker->free (self->maker);
  lw_lee_unref (self->lee);
  if (self->held != NULL)
    g_atomic_rc_box_release_full (self->held, held_clear);
  g_ptr_array_unref (self->notes);
  g_array_unref (self->target_joint_at);
  g_free (self->t_s);
  g_free (self->apart_ref);
  g_free (self->target_joints);
  g_free (self->gas_c);
  g_free (self->preheat_c);
  g_free (self->gas_set_c);
  g_free (self->preheat_set_c);
  g_free (self->board_max);
  g_free (self->board_mean);
  g_free (self->x_edges_mm);
  g_free (self->y_edges_mm);
  g_free (self);
}

/* ---- parts ---- */

int
lw_prediction_find (const LwPrediction *self, guint part)
{
  guint from = 0, to = self->parts->len;

  while (from < to) {
    guint middle = from + (to - from) / 2;
    const LwPartTrace *trace = g_ptr_array_index (self->parts, middle);

    if (trace->part == part)
      return (int) middle;
    if (trace->part < part)
      from = middle + 1;
    else
      to = middle;
  }
  return -1;
}

/* ---- time ---- */

double
lw_prediction_at (const LwPrediction *self, const double *series, double t_s)
{
  guint lo = 0, hi = self->n_times - 1;

  if (series == NULL || self->n_times == 0)
    return NAN;
  if (t_s <= self->t_s[0])
    return series[0];
  if (t_s >= self->t_s[hi])
    return series[hi];
  while (hi - lo > 1) {
    guint mid = lo + (hi - lo) / 2;
    *(self->t_s[mid] <= t_s ? &lo : &hi) = mid;
  }
  if (!(self->t_s[hi] > self->t_s[lo]))
    return series[hi];
  return series[lo]
         + (series[hi] - series[lo]) * (t_s - self->t_s[lo]) / (self->t_s[hi] - self->t_s[lo]);
}

/* The stored fields on both sides of a moment and the share of the later one. */
static gboolean
fields_at (const LwPrediction *self, double t_s, const LwField **a, const LwField **b, double *share)
{
  guint n = self->fields->len, lo = 0, hi;

  if (n == 0)
    return FALSE;
  hi = n - 1;
  while (hi - lo > 1) {
    guint mid = lo + (hi - lo) / 2;
    const LwField *field = g_ptr_array_index (self->fields, mid);
    *(field->t_s <= t_s ? &lo : &hi) = mid;
  }
  *a = g_ptr_array_index (self->fields, lo);
  *b = g_ptr_array_index (self->fields, hi);
  *share = (*b)->t_s > (*a)->t_s ? CLAMP ((t_s - (*a)->t_s) / ((*b)->t_s - (*a)->t_s), 0, 1) : 0;
  return TRUE;
}

static const float *
side_of (const LwField *field, LwSide side)
{
  return side == LW_SIDE_TOP ? field->top : field->bottom;
}

gboolean
lw_prediction_has_field (const LwPrediction *self)
{
  return self->nx > 0 && self->ny > 0 && (self->maker != NULL || (self->fields != NULL && self->fields->len > 0));
}

void
lw_prediction_field (const LwPrediction *self, LwSide side, double t_s, float *out)
{
  gsize n = (gsize) self->nx * self->ny;
  const LwField *a, *b;
  double share;

  if (self->maker != NULL) {
    self->maker->field (self->maker, side, t_s, out);
    return;
  }
  if (!fields_at (self, t_s, &a, &b, &share)) {
    for (gsize i = 0; i < n; i++)
      out[i] = NAN;
    return;
  }
  for (gsize i = 0; i < n; i++) {
    float va = side_of (a, side)[i], vb = side_of (b, side)[i];
    out[i] = va + (vb - va) * (float) share;
  }
}

/* ---- place ---- */

/* Cell that holds V, or -1. */
static int
cell_of (const double *edges, guint n, double v)
{
  guint lo = 0, hi = n;

  if (n == 0 || !(v >= edges[0] && v <= edges[n]))
    return -1;
  while (hi - lo > 1) {
    guint mid = lo + (hi - lo) / 2;
    *(edges[mid] <= v ? &lo : &hi) = mid;
  }
  return (int) lo;
}

/* Neighbouring cell on V's side of cell I's centre, and its weight. */
static guint
beside (const double *edges, guint n, guint i, double v, double *weight)
{
  double c = 0.5 * (edges[i] + edges[i + 1]), other;
  int k = v < c ? (int) i - 1 : (int) i + 1;

  *weight = 0;
  if (k < 0 || k >= (int) n)
    return i;
  other = 0.5 * (edges[k] + edges[k + 1]);
  *weight = (v - c) / (other - c);
  return (guint) k;
}

/* Bilinear between cell centres; a neighbour off the board counts as the cell itself. */
static double
field_value (const LwPrediction *self, const float *field, guint ix, guint iy, double x, double y)
{
  double wx, wy, here = field[iy * self->nx + ix], v[3];
  guint kx = beside (self->x_edges_mm, self->nx, ix, x, &wx);
  guint ky = beside (self->y_edges_mm, self->ny, iy, y, &wy);

  v[0] = field[iy * self->nx + kx];
  v[1] = field[ky * self->nx + ix];
  v[2] = field[ky * self->nx + kx];
  for (int i = 0; i < 3; i++)
    if (isnan (v[i]))
      v[i] = here;
  return (1 - wy) * ((1 - wx) * here + wx * v[0]) + wy * ((1 - wx) * v[1] + wx * v[2]);
}

static const LwWatched *
watched_at (const LwPrediction *self, LwSide side, double x_mm, double y_mm)
{
  const GArray *all = self->maker != NULL ? self->maker->watched : NULL;

  for (guint i = 0; all != NULL && i < all->len; i++) {
    const LwWatched *place = &g_array_index (all, LwWatched, i);

    if (place->side == side && place->x_mm == x_mm && place->y_mm == y_mm)
      return place;
  }
  return NULL;
}

double
lw_prediction_board_c (const LwPrediction *self, LwSide side, double x_mm, double y_mm, double t_s)
{
  const LwWatched *watched = watched_at (self, side, x_mm, y_mm);
  int ix = cell_of (self->x_edges_mm, self->nx, x_mm), iy = cell_of (self->y_edges_mm, self->ny, y_mm);
  const LwField *a, *b;
  double share, va, vb;

  if (watched != NULL)
    return lw_prediction_at (self, watched->c, t_s);
  if (ix < 0 || iy < 0)
    return NAN;
  if (self->maker != NULL) {
    g_autofree float *field = g_new (float, (gsize) self->nx * self->ny);
    lw_prediction_field (self, side, t_s, field);
    return field_value (self, field, ix, iy, x_mm, y_mm);
  }
  if (!fields_at (self, t_s, &a, &b, &share))
    return NAN;
  va = field_value (self, side_of (a, side), ix, iy, x_mm, y_mm);
  vb = field_value (self, side_of (b, side), ix, iy, x_mm, y_mm);
  return va + (vb - va) * share;
}

void
lw_prediction_hidden (const LwPrediction *self, guint trace, double *sky, double *preheat)
{
  *sky = *preheat = NAN;
  if (self->lee != NULL && trace < self->parts->len)
    lw_lee_hidden (self->lee, trace, sky, preheat);
}
