/* How sure the curves are: where 5 % and 95 % of all cases run. Told from the joints' spread, which is solid, by
 * hatching and dotted edges, so that it reads without colour. */
#include <math.h>

#include "draw/profile-painter.h"

/* Joints of the target: hatched with edges; its body: edges; neighbours: a tint, or the plot fills with dots. */
typedef enum { BAND_JOINTS, BAND_BODY, BAND_NEIGHBOUR } BandLook;

#define HATCH 5.0 /* distance of the lines */

typedef struct {
  double *low, *high; /* [n_times] */
} Edges;

static gboolean
edges_of (const LwProfilePainter *self, guint body, LwCurve low_curve, const double *low_values, LwCurve high_curve,
          const double *high_values, Edges *out)
{
  const LwPrediction *p = self->picture->prediction;
  double low, high;

  if (!low_values || !high_values || p->n_times == 0)
    return FALSE;
  out->low = g_new (double, p->n_times);
  out->high = g_new (double, p->n_times);
  for (guint i = 0; i < p->n_times; i++) {
    if (!lw_doubt_curve (p->doubt, body, low_curve, p->t_s[i], &low, &high)) {
      g_free (out->low);
      g_free (out->high);
      return FALSE;
    }
    out->low[i] = low_values[i] + low;
    if (!lw_doubt_curve (p->doubt, body, high_curve, p->t_s[i], &low, &high))
      high = 0;
    out->high[i] = high_values[i] + high;
  }
  return TRUE;
}

static void
edge_path (const LwProfilePainter *self, const double *values, gboolean back)
{
  const LwPrediction *p = self->picture->prediction;

  for (guint k = 0; k < p->n_times; k++) {
    guint i = back ? p->n_times - 1 - k : k;

    if (isfinite (values[i]))
      cairo_line_to (self->cr, lw_layout_x (&self->layout, p->t_s[i]), lw_layout_y_near (&self->layout, values[i]));
  }
}

/* Rising lines over the clip, always at the same places, so that nothing crawls while values move. */
static void
hatch (LwProfilePainter *self, LwColor color)
{
  cairo_t *cr = self->cr;
  double x0, y0, x1, y1;

  cairo_clip_extents (cr, &x0, &y0, &x1, &y1);
  for (double c = floor ((x0 + y0) / HATCH) * HATCH; c < x1 + y1 && x1 - x0 < 1e5; c += HATCH) {
    cairo_move_to (cr, c - y0, y0);
    cairo_line_to (cr, c - y1, y1);
  }
  lw_color_set (cr, color);
  cairo_set_line_width (cr, 0.7);
  cairo_stroke (cr);
}

static void
paint_edges (LwProfilePainter *self, const Edges *edges, LwColor color, BandLook look)
{
  static const double dots[] = { 1.2, 2.2 };
  cairo_t *cr = self->cr;

  cairo_save (cr);
  cairo_new_path (cr);
  edge_path (self, edges->high, FALSE);
  edge_path (self, edges->low, TRUE);
  cairo_close_path (cr);
  lw_color_set (cr, lw_color_fade (color, look == BAND_NEIGHBOUR ? 0.12 : 0.08));
  cairo_fill_preserve (cr);
  cairo_clip (cr);
  cairo_new_path (cr);
  if (look == BAND_JOINTS)
    hatch (self, lw_color_fade (color, 0.35));
  cairo_restore (cr);
  cairo_new_path (cr);
  if (look == BAND_NEIGHBOUR)
    return;
  edge_path (self, edges->low, FALSE);
  cairo_new_sub_path (cr);
  edge_path (self, edges->high, FALSE);
  cairo_set_dash (cr, dots, 2, 0.0);
  lw_color_set (cr, lw_color_fade (color, look == BAND_JOINTS ? 0.8 : 0.6));
  cairo_set_line_width (cr, look == BAND_JOINTS ? 1.0 : 0.8);
  cairo_stroke (cr);
  cairo_set_dash (cr, NULL, 0, 0.0);
}

static void
paint_band (LwProfilePainter *self, guint body, LwCurve low, const double *low_values, LwCurve high,
            const double *high_values, LwColor color, BandLook look)
{
  Edges edges;

  if (!edges_of (self, body, low, low_values, high, high_values, &edges))
    return;
  paint_edges (self, &edges, color, look);
  g_free (edges.low);
  g_free (edges.high);
}

static void
paint_neighbour (LwProfilePainter *self, const LwPartTrace *trace, LwColor color)
{
  const LwPrediction *p = self->picture->prediction;
  gboolean joints = trace->joint_max && isfinite (trace->joint_peak_c);
  LwCurve curve = joints ? LW_CURVE_JOINT_MAX : LW_CURVE_BODY_TOP;
  const double *values = joints ? trace->joint_max : trace->body_top;
  int body = lw_prediction_find (p, trace->part);

  if (body >= 0)
    paint_band (self, (guint) body, curve, values, curve, values, color, BAND_NEIGHBOUR);
}

void
lw_profile_paint_bands (LwProfilePainter *self)
{
  const LwPrediction *p = self->picture->prediction;
  const LwPartTrace *target = lw_profile_target (self->picture);
  const LwPartTrace *selected = lw_profile_trace (self->picture, self->picture->selected_part);
  g_autoptr (GPtrArray) others = NULL;

  if (!p || !p->doubt || !self->picture->show_bands)
    return;
  others = lw_profile_neighbours (self->picture);
  for (guint k = others->len; k-- > 0;)
    paint_neighbour (self, g_ptr_array_index (others, k), self->ink->neighbour[k % LW_PALETTE_NEIGHBOURS]);
  if (selected && !selected->is_target)
    paint_neighbour (self, selected, self->ink->accent);
  if (!target)
    return;
  paint_band (self, (guint) p->target, LW_CURVE_BODY_TOP, target->body_top, LW_CURVE_BODY_TOP, target->body_top,
              self->ink->body, BAND_BODY);
  paint_band (self, (guint) p->target, LW_CURVE_JOINT_MIN, target->joint_min, LW_CURVE_JOINT_MAX, target->joint_max,
              self->ink->joints, BAND_JOINTS);
}

/* A sample for the legend. */
void
lw_profile_paint_band_sample (LwProfilePainter *self, double x, double y, double width, double height)
{
  cairo_t *cr = self->cr;

  cairo_save (cr);
  cairo_rectangle (cr, x, y, width, height);
  cairo_clip (cr);
  hatch (self, lw_color_fade (self->ink->joints, 0.6));
  cairo_restore (cr);
}
