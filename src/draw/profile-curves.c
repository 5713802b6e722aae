/* Predicted curves: the target's joints as a band, its body, the hottest neighbours, the selected part. */
#include <math.h>

#include <glib/gi18n.h>

#include "draw/profile-painter.h"

#define NEIGHBOURS_MAX 12

const double lw_dash_gas[2] = { 7.0, 3.0 }, lw_dash_warm[4] = { 9.0, 3.0, 2.0, 3.0 };
const double lw_dash_limit[2] = { 2.0, 3.0 }, lw_dash_liquidus[2] = { 7.0, 3.5 };
const double lw_dash_selected_body[6] = { 7.0, 2.0, 1.2, 2.0, 1.2, 2.0 };

const double *
lw_dash_neighbour (guint k, int *n)
{
  static const double dashes[5][6] = { { 1.0, 0.0 }, { 4.0, 2.0 }, { 1.5, 2.5 }, { 1.5, 2.0, 1.5, 6.0 },
                                       { 3.0, 2.0, 1.0, 2.0, 1.0, 2.0 } };
  static const int counts[5] = { 0, 2, 2, 4, 6 };

  *n = counts[k % 5];
  return dashes[k % 5];
}

/* One run of known values; NaN breaks it. */
static void
curve_path (LwProfilePainter *self, const double *values, gboolean back)
{
  const LwPrediction *p = self->picture->prediction;
  gboolean drawing = back;

  for (guint k = 0; k < p->n_times; k++) {
    guint i = back ? p->n_times - 1 - k : k;
    double x = lw_layout_x (&self->layout, p->t_s[i]), y = lw_layout_y_near (&self->layout, values[i]);

    if (!isfinite (values[i])) {
      drawing = FALSE;
      continue;
    }
    if (drawing)
      cairo_line_to (self->cr, x, y);
    else
      cairo_move_to (self->cr, x, y);
    drawing = TRUE;
  }
}

static void
stroke_curve (LwProfilePainter *self, const double *values, LwColor color, double weight, const double *dash,
              int n_dash)
{
  cairo_t *cr = self->cr;

  if (!values)
    return;
  cairo_new_path (cr);
  curve_path (self, values, FALSE);
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  cairo_set_dash (cr, NULL, 0, 0.0);
  lw_color_set (cr, lw_color_fade (self->ink->halo, 0.7));
  cairo_set_line_width (cr, weight + 1.6);
  cairo_stroke_preserve (cr);
  cairo_set_dash (cr, dash, n_dash, 0.0);
  lw_color_set (cr, color);
  cairo_set_line_width (cr, weight);
  cairo_stroke (cr);
  cairo_set_dash (cr, NULL, 0, 0.0);
}

static double
last_of (const LwProfilePainter *self, const double *values)
{
  const LwPrediction *p = self->picture->prediction;

  return values && p->n_times > 0 ? values[p->n_times - 1] : NAN;
}

/* What has been delivered lags the set point; thin and faint under it. */
void
lw_profile_paint_delivered (LwProfilePainter *self)
{
  const LwPrediction *p = self->picture->prediction;

  if (!p)
    return;
  stroke_curve (self, p->gas_c, lw_color_fade (self->ink->gas, 0.5), 1.0, NULL, 0);
  stroke_curve (self, p->preheat_c, lw_color_fade (self->ink->warmth, 0.55), 1.0, NULL, 0);
}

static void
paint_band (LwProfilePainter *self, const LwPartTrace *trace)
{
  if (!trace->joint_min || !trace->joint_max)
    return;
  cairo_new_path (self->cr);
  curve_path (self, trace->joint_max, FALSE);
  curve_path (self, trace->joint_min, TRUE);
  cairo_close_path (self->cr);
  lw_color_set (self->cr, lw_color_fade (self->ink->joints, 0.22));
  cairo_fill (self->cr);
  stroke_curve (self, trace->joint_min, lw_color_fade (self->ink->joints, 0.6), 0.8, NULL, 0);
  stroke_curve (self, trace->joint_max, lw_color_fade (self->ink->joints, 0.6), 0.8, NULL, 0);
}

void
lw_profile_paint_target (LwProfilePainter *self)
{
  const LwPartTrace *trace = lw_profile_target (self->picture);

  if (!trace)
    return;
  paint_band (self, trace);
  stroke_curve (self, trace->body_top, self->ink->body, 1.4, NULL, 0);
  stroke_curve (self, trace->joint_mean, self->ink->joints, 2.2, NULL, 0);
  if (trace->joint_mean)
    /* Translators: beside a curve; reference designator */
    lw_profile_add_label (self, last_of (self, trace->joint_mean), g_strdup_printf (_ ("%s joints"), trace->ref),
                          self->ink->joints, NULL, 0, 2.2, 10)->values = trace->joint_mean;
  if (trace->body_top)
    lw_profile_add_label (self, last_of (self, trace->body_top), g_strdup_printf (_ ("%s body top"), trace->ref),
                          self->ink->body, NULL, 0, 1.4, 9)->values = trace->body_top;
}

/* The curve by which a neighbour is judged first: its joints, else its body. */
static const double *
main_curve (const LwPartTrace *trace, double *peak)
{
  if (trace->joint_max && isfinite (trace->joint_peak_c)) {
    *peak = trace->joint_peak_c;
    return trace->joint_max;
  }
  *peak = trace->body_peak_c;
  return trace->body_top;
}

static int
by_heat (gconstpointer a, gconstpointer b)
{
  const LwPartTrace *ta = *(LwPartTrace *const *) a, *tb = *(LwPartTrace *const *) b;
  double pa, pb;

  main_curve (ta, &pa);
  main_curve (tb, &pb);
  if (pa != pb && !(isnan (pa) && isnan (pb)))
    return isnan (pb) || pa > pb ? -1 : 1;
  return ta->part < tb->part ? -1 : ta->part > tb->part;
}

static void
paint_selected (LwProfilePainter *self, const LwPartTrace *trace)
{
  double peak;
  const double *curve = main_curve (trace, &peak);

  if (trace->body_top && curve != trace->body_top) {
    stroke_curve (self, trace->body_top, self->ink->accent, 1.5, lw_dash_selected_body, 6);
    lw_profile_add_label (self, last_of (self, trace->body_top), g_strdup_printf (_ ("%s body top"), trace->ref),
                          self->ink->accent, lw_dash_selected_body, 6, 1.5, 7)->values = trace->body_top;
  }
  stroke_curve (self, curve, self->ink->accent, 2.8, NULL, 0);
  if (curve)
    lw_profile_add_label (self, last_of (self, curve), g_strdup_printf (_ ("%s, peak %.0f"), trace->ref, lw_units_shown (self->picture->units, peak, "°C")),
                          self->ink->accent, NULL, 0, 2.8, 11)->values = curve;
}

GPtrArray *
lw_profile_neighbours (const LwProfilePicture *picture)
{
  const LwPrediction *p = picture->prediction;
  const LwPartTrace *selected = lw_profile_trace (picture, picture->selected_part);
  GPtrArray *others = g_ptr_array_new ();

  for (guint i = 0; p && i < p->parts->len; i++) {
    LwPartTrace *trace = g_ptr_array_index (p->parts, i);

    if (!trace->is_target && trace != selected)
      g_ptr_array_add (others, trace);
  }
  g_ptr_array_sort (others, by_heat);
  g_ptr_array_set_size (others, (gint) MIN (others->len, MIN (picture->n_neighbours, NEIGHBOURS_MAX)));
  return others;
}

void
lw_profile_paint_neighbours (LwProfilePainter *self)
{
  const LwPartTrace *selected = lw_profile_trace (self->picture, self->picture->selected_part);
  g_autoptr (GPtrArray) others = lw_profile_neighbours (self->picture);

  for (guint k = others->len; k-- > 0;) {
    const LwPartTrace *trace = g_ptr_array_index (others, k);
    LwColor color = self->ink->neighbour[k % LW_PALETTE_NEIGHBOURS];
    double peak;
    const double *curve = main_curve (trace, &peak);
    int n_dash;
    const double *dash = lw_dash_neighbour (k + 1, &n_dash);

    stroke_curve (self, curve, color, 1.4, dash, n_dash);
    if (curve)
      /* Translators: beside a curve; reference designator and highest temperature in C */
      lw_profile_add_label (self, last_of (self, curve), g_strdup_printf (_ ("%s, peak %.0f"), trace->ref, lw_units_shown (self->picture->units, peak, "°C")),
                            color, dash, n_dash, 1.4, 6 - (int) MIN (k, 5))->values = curve;
  }
  if (selected && !selected->is_target)
    paint_selected (self, selected);
}
