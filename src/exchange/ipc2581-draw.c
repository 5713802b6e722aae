#include "exchange/ipc2581-draw.h"
#include "exchange/ipc2581-shapes.h"

#include <math.h>
#include <string.h>

#define CHORD_MM 0.005

void
lw_ipc_pen_start (LwIpcPen *self, double unit_mm)
{
  lw_ipc_pen_clear (self);
  *self = (LwIpcPen){ .plot = lw_plot_new (), .unit_mm = unit_mm, .place = { .scale = 1 } };
  self->points = g_array_new (FALSE, FALSE, sizeof (LwPoint));
}

void
lw_ipc_pen_clear (LwIpcPen *self)
{
  g_clear_pointer (&self->plot, lw_plot_free);
  g_clear_pointer (&self->points, g_array_unref);
  g_clear_pointer (&self->name, g_free);
}

/* 0 where it is missing or no number: copper that cannot be read is only not counted. */
static double
length (const LwIpcPen *self, const LwXmlTag *tag, const char *attribute)
{
  double value;

  return lw_xml_number (tag, attribute, &value) == 1 && fabs (value) < 1e9 ? value * self->unit_mm : 0;
}

static void
add_point (LwIpcPen *self, double x, double y)
{
  LwPoint at = { x, y };

  g_array_append_val (self->points, at);
}

static double
sweep_deg (LwPoint from, LwPoint to, LwPoint center, gboolean clockwise)
{
  double a = atan2 (from.y_mm - center.y_mm, from.x_mm - center.x_mm);
  double b = atan2 (to.y_mm - center.y_mm, to.x_mm - center.x_mm), sweep = (b - a) * 180 / G_PI;

  if (!clockwise && sweep <= 1e-9)
    sweep += 360;
  if (clockwise && sweep >= -1e-9)
    sweep -= 360;
  return sweep;
}

static void
add_curve (LwIpcPen *self, const LwXmlTag *tag, LwPoint to)
{
  LwPoint from = g_array_index (self->points, LwPoint, self->points->len - 1);
  LwPoint center = { length (self, tag, "centerX"), length (self, tag, "centerY") };
  gboolean clockwise = lw_xml_is (tag, "clockwise", "true") || lw_xml_is (tag, "clockwise", "1");

  lw_plot_add_arc (self->points, from, center, sweep_deg (from, to, center, clockwise), CHORD_MM);
}

void
lw_ipc_pen_element (LwIpcPen *self, const LwXmlTag *tag)
{
  if (self->plot == NULL)
    return;
  g_array_set_size (self->points, 0);
  g_free (self->name);
  self->name = g_strdup (tag->name);
  self->width_mm = self->radius_mm = 0;
  self->box = (LwIpcShape){ 0 };
  self->hollow = FALSE;
  self->clear = strcmp (tag->name, "Cutout") == 0;
  lw_ipc_primitive (tag, self->unit_mm, &self->box);
  self->radius_mm = length (self, tag, "radius");
  if (strcmp (tag->name, "Line") == 0 || strcmp (tag->name, "Arc") == 0)
    add_point (self, length (self, tag, "startX"), length (self, tag, "startY"));
  if (strcmp (tag->name, "Line") == 0)
    add_point (self, length (self, tag, "endX"), length (self, tag, "endY"));
  if (strcmp (tag->name, "Arc") == 0)
    add_curve (self, tag, (LwPoint){ length (self, tag, "endX"), length (self, tag, "endY") });
}

void
lw_ipc_pen_point (LwIpcPen *self, const LwXmlTag *tag)
{
  LwPoint to = { length (self, tag, "x"), length (self, tag, "y") };

  if (self->plot == NULL || self->points->len > LW_IPC_MAX_LOOP_POINTS)
    return;
  if (strcmp (tag->name, "PolyStepCurve") == 0 && self->points->len > 0)
    add_curve (self, tag, to);
  else
    g_array_append_val (self->points, to);
}

void
lw_ipc_pen_line (LwIpcPen *self, const LwXmlTag *tag, GHashTable *widths)
{
  g_autofree char *id = lw_xml_text (tag, "id");
  const double *named = id != NULL ? g_hash_table_lookup (widths, id) : NULL;

  self->width_mm = named != NULL ? *named : length (self, tag, "lineWidth");
}

void
lw_ipc_pen_fill (LwIpcPen *self, const LwXmlTag *tag)
{
  self->hollow = lw_xml_is (tag, "fillProperty", "HOLLOW");
}

void
lw_ipc_pen_place (LwIpcPen *self, const LwXmlTag *tag)
{
  double deg;

  if (strcmp (tag->name, "Location") == 0) {
    self->place.dx_mm = length (self, tag, "x");
    self->place.dy_mm = length (self, tag, "y");
    return;
  }
  if (lw_xml_number (tag, "rotation", &deg) == 1)
    self->place.turn_deg = lw_angle_normalise (deg);
  self->mirrored = lw_xml_is (tag, "mirror", "true") || lw_xml_is (tag, "mirror", "1");
}

/* ---- shapes ---- */

static void
stroke (LwIpcPen *self, gboolean closed)
{
  const LwPoint *p = (const LwPoint *)(const void *)self->points->data;
  guint n = self->points->len;

  if (self->width_mm <= 0)
    return;
  if (n == 1)
    lw_plot_capsule (self->plot, TRUE, p[0], p[0], self->width_mm / 2);
  for (guint i = 0; i + 1 < n; i++)
    lw_plot_capsule (self->plot, TRUE, p[i], p[i + 1], self->width_mm / 2);
  if (closed && n > 2)
    lw_plot_capsule (self->plot, TRUE, p[n - 1], p[0], self->width_mm / 2);
}

static void
fill (LwIpcPen *self, gboolean dark)
{
  if (self->points->len > 2)
    lw_plot_polygon (self->plot, dark, (const LwPoint *)(const void *)self->points->data,
                     self->points->len);
}

/* A box with corners rounded by RADIUS as points, counter-clockwise. */
static void
make_box (LwIpcPen *self, double w, double h, double radius)
{
  static const double sx[4] = { 1, -1, -1, 1 }, sy[4] = { 1, 1, -1, -1 };

  radius = CLAMP (radius, 0, MIN (w, h) / 2);
  for (int i = 0; i < 4; i++) {
    LwPoint c = { sx[i] * (w / 2 - radius), sy[i] * (h / 2 - radius) };
    double a = i * G_PI / 2;
    LwPoint from = { c.x_mm + radius * cos (a), c.y_mm + radius * sin (a) };

    g_array_append_val (self->points, from);
    if (radius > 0)
      lw_plot_add_arc (self->points, from, c, 90, CHORD_MM);
  }
}

static void
draw_primitive (LwIpcPen *self)
{
  double w = self->box.length_mm, h = self->box.width_mm;
  gboolean round = strcmp (self->name, "Circle") == 0 || strcmp (self->name, "Donut") == 0;
  gboolean oval = strcmp (self->name, "Oval") == 0 || strcmp (self->name, "Ellipse") == 0;

  if (!(w > 0 && h > 0))
    return;
  make_box (self, w, h,
            round || oval                           ? MIN (w, h) / 2
            : strcmp (self->name, "RectRound") == 0 ? self->radius_mm
                                                    : 0);
  if (self->hollow)
    stroke (self, TRUE);
  else
    fill (self, TRUE);
}

void
lw_ipc_pen_end (LwIpcPen *self)
{
  if (self->plot == NULL || self->name == NULL)
    return;
  if (strcmp (self->name, "Polygon") == 0 || self->clear) {
    if (self->hollow)
      stroke (self, TRUE);
    else
      fill (self, !self->clear);
  } else if (strcmp (self->name, "Line") == 0 || strcmp (self->name, "Arc") == 0
             || strcmp (self->name, "Polyline") == 0)
    stroke (self, FALSE);
  else
    draw_primitive (self);
  g_clear_pointer (&self->name, g_free);
}

void
lw_ipc_pen_stamp (LwIpcPen *self, const LwPlot *drawing)
{
  LwPlotPlace here = { .scale = 1 };

  if (self->plot != NULL && drawing != NULL)
    lw_plot_append (self->plot, drawing, 0, lw_plot_length (drawing), &here, TRUE);
}

/* By the standard a drawing is turned first and then mirrored in x: mirrored first, it turns the other
 * way. */
void
lw_ipc_pen_finish (LwIpcPen *self, LwPlot *layer, gboolean dark)
{
  if (self->plot == NULL)
    return;
  self->place.mirror_x = self->mirrored;
  if (self->mirrored)
    self->place.turn_deg = -self->place.turn_deg;
  if (layer != NULL && lw_plot_length (self->plot) > 0)
    lw_plot_stamp (layer, self->plot, &self->place, dark);
  lw_ipc_pen_clear (self);
}
