/* Aperture macros: expressions, and the shapes they place. */
#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

#include "exchange/gerber-private.h"

#define MAX_VARIABLES 1000
#define MAX_FIELDS 20000 /* of one shape: an outline of 5,000 corners has some 10,000 */
#define MAX_DEPTH 40     /* of brackets */

/* ---- expressions ---- */

typedef struct {
  const char *p;
  const double *variables;
  guint n;
  guint depth;
  const char *reason;
} Parser;

static double parse_sum (Parser *self);

static double
parse_failed (Parser *self, const char *reason)
{
  if (self->reason == NULL)
    self->reason = reason;
  return 0;
}

static void
skip_blanks (Parser *self)
{
  while (*self->p == ' ' || *self->p == '\t')
    self->p++;
}

static double
parse_variable (Parser *self)
{
  guint number = 0;

  self->p++;
  if (!g_ascii_isdigit (*self->p))
    return parse_failed (self, _("a number is missing after $"));
  while (g_ascii_isdigit (*self->p) && number <= MAX_VARIABLES)
    number = number * 10 + (guint) (*self->p++ - '0');
  if (number == 0 || number > MAX_VARIABLES)
    return parse_failed (self, _("there is no such variable"));
  return number <= self->n ? self->variables[number - 1] : 0; /* what was not given is 0 */
}

static double
parse_number (Parser *self)
{
  const char *start = self->p;
  char digits[64];
  gsize n;

  while (g_ascii_isdigit (*self->p) || *self->p == '.')
    self->p++;
  n = (gsize) (self->p - start);
  if (n == 0 || n >= sizeof digits)
    return parse_failed (self, _("a number is expected"));
  memcpy (digits, start, n);
  digits[n] = '\0';
  return g_ascii_strtod (digits, NULL);
}

static double
parse_factor (Parser *self)
{
  double value;

  skip_blanks (self);
  if (self->reason != NULL)
    return 0;
  if (*self->p != '(' && *self->p != '-' && *self->p != '+')
    return *self->p == '$' ? parse_variable (self) : parse_number (self);
  if (++self->depth > MAX_DEPTH)
    return parse_failed (self, _("brackets are nested too deep"));
  if (*self->p == '(')
    {
      self->p++;
      value = parse_sum (self);
      skip_blanks (self);
      if (*self->p != ')')
        return parse_failed (self, _("a bracket is not closed"));
      self->p++;
    }
  else
    value = *self->p++ == '-' ? -parse_factor (self) : parse_factor (self);
  self->depth--;
  return value;
}

static double
parse_product (Parser *self)
{
  double value = parse_factor (self);

  for (skip_blanks (self); self->reason == NULL && (*self->p == 'x' || *self->p == 'X' || *self->p == '/');
       skip_blanks (self))
    {
      gboolean divide = *self->p++ == '/';
      double other = parse_factor (self);

      if (divide && other == 0)
        return parse_failed (self, _("a division by zero"));
      value = divide ? value / other : value * other;
    }
  return value;
}

static double
parse_sum (Parser *self)
{
  double value = parse_product (self);

  for (skip_blanks (self); self->reason == NULL && (*self->p == '+' || *self->p == '-'); skip_blanks (self))
    value += *self->p++ == '-' ? -parse_product (self) : parse_product (self);
  return value;
}

/* Value of an expression such as "$1+2x($2-0.5)"; FALSE with *REASON (translated) when there is none. */
static gboolean
evaluate (const char *text, const double *variables, guint n, double *value, const char **reason)
{
  Parser parser = { text, variables, n, 0, NULL };

  *value = parse_sum (&parser);
  if (parser.reason == NULL && *parser.p != '\0')
    parser.reason = _("an operator is expected");
  if (parser.reason == NULL && !(fabs (*value) < 1e6))
    parser.reason = _("a number is out of range");
  *reason = parser.reason;
  return parser.reason == NULL;
}

/* ---- shapes ---- */

typedef struct {
  double *v;
  guint n;
  double unit;
  LwPlot *shape;
  gboolean clears;
} Draw;

/* The point (x, y), in file units, turned about the macro's middle. */
static LwPoint
turned (const Draw *self, double x, double y, double deg)
{
  double c = cos (deg * G_PI / 180), s = sin (deg * G_PI / 180);

  return (LwPoint) { (c * x - s * y) * self->unit, (s * x + c * y) * self->unit };
}

static gboolean
is_dark (Draw *self)
{
  gboolean dark = self->v[1] != 0;

  self->clears |= !dark;
  return dark;
}

static void
draw_circle (Draw *self)
{
  LwPoint at = turned (self, self->v[3], self->v[4], self->v[5]);

  lw_plot_capsule (self->shape, is_dark (self), at, at, fabs (self->v[2]) / 2 * self->unit);
}

static void
draw_box (Draw *self, gboolean dark, double x, double y, double length, double width, double way_deg,
          double turn_deg)
{
  double c = cos (way_deg * G_PI / 180), s = sin (way_deg * G_PI / 180);
  LwPoint corners[4];

  for (guint i = 0; i < 4; i++)
    {
      double u = (i == 1 || i == 2 ? 0.5 : -0.5) * length, v = (i >= 2 ? 0.5 : -0.5) * width;

      corners[i] = turned (self, x + c * u - s * v, y + s * u + c * v, turn_deg);
    }
  lw_plot_polygon (self->shape, dark, corners, 4);
}

static void
draw_vector (Draw *self)
{
  const double *v = self->v;
  double dx = v[5] - v[3], dy = v[6] - v[4];

  draw_box (self, is_dark (self), (v[3] + v[5]) / 2, (v[4] + v[6]) / 2, hypot (dx, dy), v[2],
            atan2 (dy, dx) * 180 / G_PI, v[7]);
}

static void
draw_center_line (Draw *self)
{
  draw_box (self, is_dark (self), self->v[4], self->v[5], self->v[2], self->v[3], 0, self->v[6]);
}

static void
draw_lower_left (Draw *self)
{
  const double *v = self->v;

  draw_box (self, is_dark (self), v[4] + v[2] / 2, v[5] + v[3] / 2, v[2], v[3], 0, v[6]);
}

static void
draw_outline (Draw *self)
{
  guint n = (guint) self->v[2] + 1;
  g_autofree LwPoint *corners = g_new (LwPoint, n);

  for (guint i = 0; i < n; i++)
    corners[i] = turned (self, self->v[3 + 2 * i], self->v[4 + 2 * i], self->v[3 + 2 * n]);
  lw_plot_polygon (self->shape, is_dark (self), corners, n);
}

static void
draw_polygon (Draw *self)
{
  const double *v = self->v;
  guint n = (guint) CLAMP (v[2], 3, 1000);
  g_autofree LwPoint *corners = g_new (LwPoint, n);

  for (guint i = 0; i < n; i++)
    corners[i] = turned (self, v[3] + v[5] / 2 * cos (2 * G_PI * i / n),
                         v[4] + v[5] / 2 * sin (2 * G_PI * i / n), v[6]);
  lw_plot_polygon (self->shape, is_dark (self), corners, n);
}

static void
draw_ring (Draw *self, LwPoint at, double outer, double inner)
{
  g_autoptr (GArray) ring = g_array_new (FALSE, FALSE, sizeof (LwPoint));
  LwPoint start = { at.x_mm + outer, at.y_mm }, in = { at.x_mm + inner, at.y_mm };

  g_array_append_val (ring, start);
  lw_plot_add_arc (ring, start, at, 360, LW_GERBER_CHORD_MM);
  if (inner > 0)
    {
      g_array_append_val (ring, in);
      lw_plot_add_arc (ring, in, at, -360, LW_GERBER_CHORD_MM);
    }
  lw_plot_polygon (self->shape, TRUE, (const LwPoint *) (const void *) ring->data, ring->len);
}

/* Rings about a point, and a cross. */
static void
draw_moire (Draw *self)
{
  const double *v = self->v;
  LwPoint at = turned (self, v[1], v[2], v[9]);
  double outer = v[3] / 2;

  for (guint i = 0; i < (guint) CLAMP (v[6], 0, 100) && outer > 0; i++, outer -= v[4] + v[5])
    draw_ring (self, at, outer * self->unit, fmax (outer - v[4], 0) * self->unit);
  draw_box (self, TRUE, v[1], v[2], v[8], v[7], 0, v[9]);
  draw_box (self, TRUE, v[1], v[2], v[7], v[8], 0, v[9]);
}

/* A ring less a cross: four pieces. */
static void
draw_thermal (Draw *self)
{
  const double *v = self->v;
  double outer = v[3] / 2, inner = v[4] / 2, gap = v[5] / 2;
  LwPoint middle = turned (self, v[1], v[2], v[6]);

  if (!(outer > inner) || !(outer > gap * G_SQRT2) || inner < 0 || gap < 0)
    return;
  for (guint i = 0; i < 4; i++)
    {
      g_autoptr (GArray) piece = g_array_new (FALSE, FALSE, sizeof (LwPoint));
      double from = asin (gap / outer) * 180 / G_PI, near = inner > gap ? sqrt (inner * inner - gap * gap) : gap;
      double far = sqrt (outer * outer - gap * gap);
      LwPoint p = { far * self->unit, gap * self->unit }, q = { gap * self->unit, near * self->unit };
      LwPlotPlace place = { FALSE, FALSE, 1, v[6] + 90 * i, middle.x_mm, middle.y_mm };
      g_autoptr (LwPlot) one = lw_plot_new ();

      g_array_append_val (piece, p);
      lw_plot_add_arc (piece, p, (LwPoint) { 0, 0 }, 90 - 2 * from, LW_GERBER_CHORD_MM);
      g_array_append_val (piece, q);
      if (inner > gap)
        lw_plot_add_arc (piece, q, (LwPoint) { 0, 0 }, -(90 - 2 * asin (gap / inner) * 180 / G_PI),
                         LW_GERBER_CHORD_MM);
      lw_plot_polygon (one, TRUE, (const LwPoint *) (const void *) piece->data, piece->len);
      lw_plot_append (self->shape, one, 0, lw_plot_length (one), &place, TRUE);
    }
}

/* Shapes by their code, with the fields each needs (its code counted). */
static const struct {
  int code;
  guint fields;
  void (*draw) (Draw *self);
} primitives[] = {
  { 1, 6, draw_circle },       { 20, 8, draw_vector },  { 2, 8, draw_vector },  { 21, 7, draw_center_line },
  { 22, 7, draw_lower_left },  { 4, 8, draw_outline },  { 5, 7, draw_polygon }, { 6, 10, draw_moire },
  { 7, 7, draw_thermal },
};

static char *
draw_primitive (Draw *self)
{
  guint needed = G_MAXUINT;

  for (guint i = 0; i < G_N_ELEMENTS (primitives); i++)
    if (primitives[i].code == self->v[0])
      {
        needed = primitives[i].fields;
        if (self->v[0] == 4 && self->n > 3)
          needed = self->v[2] >= 2 && self->v[2] < MAX_FIELDS ? 6 + 2 * (guint) self->v[2] : G_MAXUINT - 1;
        if (self->n + 1 >= needed) /* the last is a turn, which some leave out: 0 */
          {
            primitives[i].draw (self);
            return NULL;
          }
      }
  if (needed == G_MAXUINT)
    return g_strdup_printf (_("shape %.10g of an aperture macro is not known"), self->v[0]);
  return g_strdup_printf (_("shape %.10g of an aperture macro has too few figures"), self->v[0]);
}

/* ---- blocks ---- */

static char *
set_variable (const char *block, double *variables)
{
  const char *equals = strchr (block, '='), *reason;
  guint64 number = g_ascii_strtoull (block + 1, NULL, 10);
  double value;

  if (equals == NULL || number == 0 || number > MAX_VARIABLES)
    return g_strdup (_("an aperture macro sets no variable"));
  if (!evaluate (equals + 1, variables, MAX_VARIABLES, &value, &reason))
    return g_strdup_printf (_("in an aperture macro: %s"), reason);
  variables[number - 1] = value;
  return NULL;
}

static char *
draw_block (Draw *self, const char *block, const double *variables)
{
  g_auto (GStrv) fields = g_strsplit (block, ",", MAX_FIELDS + 1);
  g_autofree double *values = NULL;
  const char *reason;

  self->n = g_strv_length (fields);
  if (self->n > MAX_FIELDS)
    return g_strdup (_("a shape of an aperture macro has too many figures"));
  values = g_new0 (double, self->n + 1);
  self->v = values;
  for (guint i = 0; i < self->n; i++)
    if (*g_strstrip (fields[i]) == '\0' && i + 1 == self->n) /* a last comma with nothing after it */
      self->n--;
    else if (!evaluate (fields[i], variables, MAX_VARIABLES, &values[i], &reason))
      return g_strdup_printf (_("in an aperture macro: %s"), reason);
  return draw_primitive (self);
}

char *
lw_gerber_macro_draw (const LwGerberMacro *macro, const double *parameters, guint n, double unit_mm,
                      LwPlot *shape, gboolean *stamp)
{
  g_autofree double *variables = g_new0 (double, MAX_VARIABLES);
  Draw draw = { .unit = unit_mm, .shape = shape };

  memcpy (variables, parameters, MIN (n, MAX_VARIABLES) * sizeof (double));
  for (guint i = 0; i < macro->blocks->len; i++)
    {
      const char *block = macro->blocks->pdata[i];
      char *reason = NULL;

      while (*block == ' ')
        block++;
      if (*block == '0' || *block == '\0') /* a comment */
        continue;
      reason = *block == '$' ? set_variable (block, variables) : draw_block (&draw, block, variables);
      if (reason != NULL)
        return reason;
    }
  *stamp = draw.clears;
  return NULL;
}
