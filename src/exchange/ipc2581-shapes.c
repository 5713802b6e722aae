#include "exchange/ipc2581-shapes.h"

#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

#define MAX_COORDINATE_MM 1e6
#define SAME_MM 0.0003

static gboolean
fail_number (const LwIpcFile *file, const LwXmlTag *tag, const char *attribute, GError **error)
{
  g_autofree char *text = lw_xml_text (tag, attribute);

  if (text == NULL)
    return lw_notes_fail (error, LW_IMPORT_ERROR_SYNTAX, file->name, tag->line, _ ("%s: %s is missing"),
                          tag->name, attribute);
  return lw_notes_fail (error, LW_IMPORT_ERROR_SYNTAX, file->name, tag->line,
                        _ ("%s: %s: a number expected, not “%.40s”"), tag->name, attribute, text);
}

gboolean
lw_ipc_length (const LwIpcFile *file, const LwXmlTag *tag, const char *attribute, double unit_mm,
               double fallback_mm, double *mm, GError **error)
{
  int found = lw_xml_number (tag, attribute, mm);

  if (found < 0 || (found == 0 && isnan (fallback_mm)))
    return fail_number (file, tag, attribute, error);
  *mm = found == 0 ? fallback_mm : *mm * unit_mm;
  if (fabs (*mm) <= MAX_COORDINATE_MM)
    return TRUE;
  return lw_notes_fail (error, LW_IMPORT_ERROR_SYNTAX, file->name, tag->line,
                        _ ("%s: %s is farther than a kilometre"), tag->name, attribute);
}

gboolean
lw_ipc_maybe_length (const LwIpcFile *file, const LwXmlTag *tag, const char *attribute, double unit_mm,
                     double *mm, GError **error)
{
  if (lw_xml_has (tag, attribute))
    return lw_ipc_length (file, tag, attribute, unit_mm, NAN, mm, error);
  *mm = NAN;
  return TRUE;
}

gboolean
lw_ipc_angle (const LwIpcFile *file, const LwXmlTag *tag, const char *attribute, double *deg,
              GError **error)
{
  int found = lw_xml_number (tag, attribute, deg);

  if (found < 0)
    return fail_number (file, tag, attribute, error);
  *deg = found > 0 ? lw_angle_normalise (*deg) : 0;
  return TRUE;
}

/* 1 inch = 25.4 mm exactly. */
gboolean
lw_ipc_unit (const LwIpcFile *file, const LwXmlTag *tag, double *unit_mm, GError **error)
{
  static const struct {
    const char *word;
    double mm;
  } units[] = { { "MILLIMETER", 1.0 }, { "MICRON", 0.001 }, { "INCH", 25.4 } };
  g_autofree char *text = lw_xml_text (tag, "units");

  for (guint i = 0; text != NULL && i < G_N_ELEMENTS (units); i++)
    if (g_ascii_strcasecmp (units[i].word, text) == 0) {
      *unit_mm = units[i].mm;
      return TRUE;
    }
  return lw_notes_fail (error, LW_IMPORT_ERROR_SYNTAX, file->name, tag->line,
                        _ ("%s: units: MILLIMETER, MICRON or INCH expected, not “%.40s”"), tag->name,
                        text != NULL ? text : "");
}

/* ---- polygons ---- */

static LwVertex *
last_corner (const LwListedLoop *loop)
{
  return &g_array_index (loop->loop->corners, LwVertex, loop->loop->corners->len - 1);
}

static void
add_corner (LwListedLoop *loop, double x, double y, double arc_deg, guint line)
{
  lw_loop_add (loop->loop, x, y, arc_deg);
  g_array_append_val (loop->lines, line);
}

/* From one angle to another the way round the curve says, (0, 360] or [-360, 0). */
static double
sweep_deg (double from, double to, gboolean clockwise)
{
  double sweep = (to - from) * 180.0 / G_PI;

  while (!clockwise && sweep <= 0)
    sweep += 360;
  while (clockwise && sweep >= 0)
    sweep -= 360;
  return sweep;
}

/* A curve back to its start is a whole circle: two halves, as no edge of a loop turns that far. */
static gboolean
add_curve (LwIpcFile *file, LwListedLoop *loop, const LwXmlTag *tag, double unit_mm, LwVertex to,
           GError **error)
{
  LwVertex from = *last_corner (loop);
  gboolean clockwise = lw_xml_is (tag, "clockwise", "true") || lw_xml_is (tag, "clockwise", "1");
  double cx, cy;

  if (!lw_ipc_length (file, tag, "centerX", unit_mm, NAN, &cx, error)
      || !lw_ipc_length (file, tag, "centerY", unit_mm, NAN, &cy, error))
    return FALSE;
  if (hypot (to.x_mm - from.x_mm, to.y_mm - from.y_mm) <= SAME_MM) {
    double half = clockwise ? -180 : 180;

    if (hypot (from.x_mm - cx, from.y_mm - cy) <= SAME_MM)
      return TRUE;
    add_corner (loop, 2 * cx - from.x_mm, 2 * cy - from.y_mm, half, tag->line);
    add_corner (loop, to.x_mm, to.y_mm, half, tag->line);
    return TRUE;
  }
  double sweep = sweep_deg (atan2 (from.y_mm - cy, from.x_mm - cx), atan2 (to.y_mm - cy, to.x_mm - cx),
                            clockwise);
  add_corner (loop, to.x_mm, to.y_mm, CLAMP (sweep, -359.9, 359.9), tag->line);
  return TRUE;
}

gboolean
lw_ipc_polygon_add (LwIpcFile *file, LwListedLoop *loop, const LwXmlTag *tag, double unit_mm,
                    GError **error)
{
  gboolean begin = strcmp (tag->name, "PolyBegin") == 0;
  LwVertex to = { 0 };

  if (!lw_ipc_length (file, tag, "x", unit_mm, NAN, &to.x_mm, error)
      || !lw_ipc_length (file, tag, "y", unit_mm, NAN, &to.y_mm, error))
    return FALSE;
  if (begin != (loop->loop->corners->len == 0))
    return lw_notes_fail (error, LW_IMPORT_ERROR_SYNTAX, file->name, tag->line,
                          _ ("%s: a polygon has one PolyBegin, and it comes first"), tag->name);
  if (++file->n_points > LW_IPC_MAX_POINTS || loop->loop->corners->len >= LW_IPC_MAX_LOOP_POINTS)
    return lw_notes_fail (error, LW_IMPORT_ERROR_TOO_LARGE, file->name, tag->line,
                          _ ("too many outline points"));
  if (strcmp (tag->name, "PolyStepCurve") == 0)
    return add_curve (file, loop, tag, unit_mm, to, error);
  if (!begin
      && hypot (to.x_mm - last_corner (loop)->x_mm, to.y_mm - last_corner (loop)->y_mm) <= SAME_MM)
    return TRUE;
  add_corner (loop, to.x_mm, to.y_mm, 0, tag->line);
  return TRUE;
}

/* Two half circles about one point. */
static void
recognise_circle (LwListedLoop *loop)
{
  const LwVertex *a = &g_array_index (loop->loop->corners, LwVertex, 0);
  const LwVertex *b = &g_array_index (loop->loop->corners, LwVertex, 1);

  if (loop->loop->corners->len != 2 || fabs (a->arc_deg) != 180 || fabs (b->arc_deg) != 180)
    return;
  loop->circle = TRUE;
  loop->radius_mm = hypot (a->x_mm - b->x_mm, a->y_mm - b->y_mm) / 2;
  g_array_set_size (loop->lines, 0);
}

gboolean
lw_ipc_polygon_end (LwIpcFile *file, LwListedLoop *loop)
{
  GArray *corners = loop->loop->corners;

  if (corners->len > 1) {
    LwVertex *first = &g_array_index (corners, LwVertex, 0), last = *last_corner (loop);

    if (hypot (first->x_mm - last.x_mm, first->y_mm - last.y_mm) <= SAME_MM) {
      first->arc_deg = last.arc_deg;
      g_array_set_size (corners, corners->len - 1);
      g_array_set_size (loop->lines, corners->len);
    } else if (corners->len > 2)
      lw_notes_add (file->notes, file->name, loop->line,
                    _ ("the outline loop that starts here is not closed: closed with a straight line"));
  }
  if (!lw_listed_loop_encloses (loop)) {
    lw_notes_add (file->notes, file->name, loop->line,
                  _ ("an outline loop that encloses nothing is left out"));
    return FALSE;
  }
  recognise_circle (loop);
  return TRUE;
}

/* ---- primitives ---- */

gboolean
lw_ipc_primitive (const LwXmlTag *tag, double unit_mm, LwIpcShape *shape)
{
  static const struct {
    const char *name, *length, *width;
  } primitives[] = {
    { "Circle", "diameter", "diameter" },
    { "RectCenter", "width", "height" },
    { "RectRound", "width", "height" },
    { "RectCham", "width", "height" },
    { "Oval", "width", "height" },
    { "Ellipse", "width", "height" },
    { "Octagon", "length", "length" },
    { "Hexagon", "length", "length" },
    { "Diamond", "width", "height" },
    { "Triangle", "base", "height" },
    { "Moire", "diameter", "diameter" },
    { "Donut", "outerDiameter", "outerDiameter" },
    { "Thermal", "outerDiameter", "outerDiameter" },
  };
  double length, width;

  for (guint i = 0; i < G_N_ELEMENTS (primitives); i++)
    if (strcmp (primitives[i].name, tag->name) == 0) {
      if (lw_xml_number (tag, primitives[i].length, &length) == 1
          && lw_xml_number (tag, primitives[i].width, &width) == 1)
        *shape = (LwIpcShape){ fabs (length * unit_mm), fabs (width * unit_mm) };
      return TRUE;
    }
  return FALSE;
}
