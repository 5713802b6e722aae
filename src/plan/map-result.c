#include "plan/map-result.h"

#include <glib/gi18n.h>
#include <math.h>

#include "plan/profile.h"

static const double ramp_window_s = 5;

static double *
copy_series (const double *v, guint n)
{
  return v != NULL ? g_memdup2 (v, n * sizeof (double)) : NULL;
}

/* ---- parts ---- */

/* Where the result has them: of a board with thousands of parts they are hundreds of megabytes. */
static void
share_trace (LwPartTrace *to, const HeatTrace *from)
{
  to->joint_min = from->joint_min;
  to->joint_mean = from->joint_mean;
  to->joint_max = from->joint_max;
  to->joint_center = from->joint_center;
  to->joint_corner = from->joint_corner;
  to->liquid_share = from->liquid_share;
  to->body_top = from->body_top;
  to->body_max = from->body_max;
}

static double
peak (const double *t, const double *v, guint n, double *at_s)
{
  guint at = 0;
  double value;

  if (v == NULL) {
    if (at_s != NULL)
      *at_s = NAN;
    return NAN;
  }
  value = lw_profile_peak (v, n, &at);
  if (at_s != NULL)
    *at_s = t[at];
  return value;
}

static void
set_figures (LwPartTrace *trace, const double *t, guint n)
{
  trace->joint_peak_c = peak (t, trace->joint_max, n, &trace->joint_peak_s);
  trace->joint_center_peak_c = peak (t, trace->joint_center, n, NULL);
  trace->joint_corner_peak_c = peak (t, trace->joint_corner, n, NULL);
  trace->body_peak_c = peak (t, trace->body_max, n, &trace->body_peak_s);
  trace->ramp_up_c_per_s = lw_profile_ramp_up (t, trace->body_top, n, ramp_window_s, &trace->ramp_up_s);
  trace->ramp_down_c_per_s
      = lw_profile_ramp_down (t, trace->body_top, n, ramp_window_s, &trace->ramp_down_s);
  trace->above_liquidus_s = trace->joint_min == NULL ? NAN
                                                     : lw_profile_time_above (t, trace->joint_min, n,
                                                                              trace->joint_liquidus_c);
  trace->joint_doubt_k = trace->body_doubt_k = NAN;
}

static void
map_parts (LwPrediction *to, const LwCase *self, const HeatResult *from)
{
  for (guint i = 0; i < self->n_bodies; i++) {
    const LwCaseBody *of = &self->body_of[i];
    const LwPart *part = g_ptr_array_index (self->job->parts, of->part);
    LwPartTrace *trace = g_new0 (LwPartTrace, 1);
    trace->ref = g_strdup (part->ref);
    trace->part = of->part;
    trace->side = of->side;
    trace->height_known = of->height_known;
    trace->is_target = i == self->scene.target;
    trace->joint_liquidus_c = of->liquidus_c;
    share_trace (trace, &from->bodies[i]);
    set_figures (trace, to->t_s, to->n_times);
    if (trace->is_target)
      to->target = (int) i;
    g_ptr_array_add (to->parts, trace);
  }
}

static void
map_target_joints (LwPrediction *to, const LwCase *self, const HeatResult *from)
{
  const HeatBody *target = &self->bodies[self->scene.target];

  if (from->joints == NULL)
    return;
  to->target_joints = g_memdup2 (from->joints, from->n_times * from->n_joints * sizeof (double));
  for (size_t i = 0; i < from->n_joints; i++) {
    LwPoint at = lw_case_point_mm (self, target->joints[i]);
    g_array_append_val (to->target_joint_at, at);
  }
}

/* ---- fields ---- */

static void
map_edges (LwPrediction *to, const LwCase *self, const HeatResult *from)
{
  to->nx = from->nx;
  to->ny = from->ny;
  to->x_edges_mm = g_new (double, from->nx + 1);
  to->y_edges_mm = g_new (double, from->ny + 1);
  for (size_t i = 0; i <= from->nx; i++) {
    size_t k = self->flipped ? from->nx - i : i;
    to->x_edges_mm[i] = lw_case_point_mm (self, (HeatXY){ from->x_edges[k], 0 }).x_mm;
  }
  for (size_t i = 0; i <= from->ny; i++)
    to->y_edges_mm[i] = lw_case_point_mm (self, (HeatXY){ 0, from->y_edges[i] }).y_mm;
}

/* In place: the result is the prediction's. */
static float *
mirrored (float *field, size_t nx, size_t ny)
{
  for (size_t iy = 0; iy < ny; iy++)
    for (size_t ix = 0; ix < nx / 2; ix++) {
      float *a = &field[iy * nx + ix], *b = &field[iy * nx + nx - 1 - ix], was = *a;
      *a = *b;
      *b = was;
    }
  return field;
}

static void
map_fields (LwPrediction *to, const LwCase *self, const HeatResult *from)
{
  for (size_t i = 0; i < from->n_frames; i++) {
    const HeatFrame *frame = &from->frames[i];
    LwField *field = g_new0 (LwField, 1);
    field->t_s = frame->t_s;
    field->top = self->flipped ? mirrored (frame->bottom, from->nx, from->ny) : frame->top;
    field->bottom = self->flipped ? mirrored (frame->top, from->nx, from->ny) : frame->bottom;
    g_ptr_array_add (to->fields, field);
  }
}

static void
map_board_peak (LwPrediction *to, const LwCase *self, const HeatResult *from)
{
  to->board_peak_c = -INFINITY;
  for (size_t i = 0; from->cell_peak_top != NULL && i < from->nx * from->ny; i++) {
    double hot = fmax (from->cell_peak_top[i], from->cell_peak_bottom[i]);
    size_t ix = i % from->nx, iy = i / from->nx;
    if (!(hot > to->board_peak_c))
      continue;
    to->board_peak_c = hot;
    to->board_peak_at
        = lw_case_point_mm (self, (HeatXY){ 0.5 * (from->x_edges[ix] + from->x_edges[ix + 1]),
                                            0.5 * (from->y_edges[iy] + from->y_edges[iy + 1]) });
  }
  to->board_tg_c = self->tg_c;
  to->board_td_c = self->td_c;
  to->board_above_tg_s = isnan (self->tg_c)
                             ? NAN
                             : lw_profile_time_above (to->t_s, to->board_max, to->n_times, self->tg_c);
}

/* ---- the rest ---- */

static double *
sample (const LwSetPoints *asked, const double *t, guint n)
{
  double *v = g_new (double, n);

  for (guint i = 0; i < n; i++)
    v[i] = lw_set_points_at (asked, t[i]);
  return v;
}

/* The scene knows no preheater that is off, only one at room temperature. */
static double *
preheat_delivered (const LwPrediction *to, const LwCase *self, const HeatResult *from)
{
  double *v = copy_series (from->preheat_c, to->n_times);

  for (guint i = 0; i < to->n_times && self->scene.preheat.lag_s == 0; i++)
    if (isnan (to->preheat_set_c[i]))
      v[i] = NAN;
  return v;
}

static void
map_films (LwPrediction *to, const HeatResult *from)
{
  const HeatFilmReport *films = &from->films;

  to->nozzle_h_w_m2k = films->nozzle_h_w_m2k;
  to->nozzle_h_eff_w_m2k = films->nozzle_h_eff_w_m2k;
  to->nozzle_reynolds = films->nozzle_reynolds;
  to->nozzle_height_ratio = films->nozzle_height_ratio;
  to->nozzle_radius_ratio = films->nozzle_radius_ratio;
  to->nozzle_in_range = films->nozzle_in_range;
  to->gas_power_w = films->gas_power_w;
  to->gas_out_c = films->gas_out_c;
  to->spill_h_w_m2k = films->spill_h_w_m2k;
  to->preheat_h_w_m2k = films->preheat_h_w_m2k;
  to->room_up_h_w_m2k = films->room_up_h_w_m2k;
  to->room_down_h_w_m2k = films->room_down_h_w_m2k;
}

static void
set_lee (LwPrediction *prediction, const LwCase *compiled, LwLee *lee)
{
  prediction->lee = lw_lee_ref (lee);

  for (guint i = 0; i < compiled->n_bodies; i++) {
    LwPartTrace *trace = g_ptr_array_index (prediction->parts, i);
    trace->spill_sheltered = lw_lee_spill (lee, i);
  }
}

static void
note_range (LwPrediction *prediction, const LwCase *compiled)
{
  const HeatNozzle *nozzle = &compiled->scene.nozzle;

  if (nozzle->present && !(nozzle->prescribed_h_w_m2k > 0) && !prediction->nozzle_in_range)
    g_ptr_array_add (prediction->notes,
                     g_strdup (_("The nozzle works outside the published range of the jet formula: the "
                                  "film at the nearest point "
                                  "of that range is used, and its doubt is doubled.")));
}

LwPrediction *
lw_map_result (const LwCase *self, HeatResult *from, LwLee *lee)
{
  LwPrediction *to = lw_prediction_new_holding (from);

  to->plan = self->plan;
  to->flipped = self->flipped;
  to->full = TRUE;
  to->n_times = from->n_times;
  to->t_s = copy_series (from->t_s, to->n_times);
  to->board_max = copy_series (from->board_max, to->n_times);
  to->board_mean = copy_series (from->board_mean, to->n_times);
  to->gas_set_c = sample (&self->set.gas_asked, to->t_s, to->n_times);
  to->preheat_set_c = sample (&self->set.preheat_asked, to->t_s, to->n_times);
  to->gas_c = copy_series (from->gas_c, to->n_times);
  to->preheat_c = preheat_delivered (to, self, from);
  map_parts (to, self, from);
  map_target_joints (to, self, from);
  map_edges (to, self, from);
  map_fields (to, self, from);
  map_board_peak (to, self, from);
  map_films (to, from);
  to->n_nodes = from->n_nodes;
  to->n_steps = from->n_steps;
  to->energy_imbalance = from->energy.imbalance_share;
  for (guint i = 0; i < self->notes->len; i++)
    g_ptr_array_add (to->notes, g_strdup (g_ptr_array_index (self->notes, i)));
  set_lee (to, self, lee);
  note_range (to, self);
  return to;
}
