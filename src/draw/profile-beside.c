/* In a picture too narrow for a column of labels, the curves bear their names themselves: each where the fewest others pass. */
#include <math.h>
#include <string.h>

#include <glib/gi18n.h>

#include "draw/labels.h"
#include "draw/profile-painter.h"

#define STEP 4.0       /* between two samples of a curve, picture units */
#define PLACES 24      /* tried along a curve, above it and below */
#define GAPS 2         /* between a curve and its name: close, or off it by as much as a handle reaches out */
#define CLOSE 1.0
#define FURTHER 5.0
#define LETTERS 0.76   /* of a line's height: what letters without accents fill */
#define CROSSED 0.45   /* of a name's length, with all curves added up: no worse place is taken */
#define NEEDED 7       /* labels of this priority and above; others are written only where hardly anything passes */
#define LEVEL 0.3      /* of a curve: what it counts to cross a thin level line */
#define STEEP 1.5      /* a curve that rises by so many heights of its name along it leads away from it */

typedef struct {
  guint n;
  GPtrArray *curves;   /* double[n] in picture units, NaN where there is none; */
  guint n_levels;      /* the first of them are level all along */
  GArray *taken;       /* LwBox */
} Field;

static double *
new_curve (Field *field)
{
  double *y = g_new (double, field->n);

  for (guint k = 0; k < field->n; k++)
    y[k] = NAN;
  g_ptr_array_add (field->curves, y);
  return y;
}

static double
time_of (const LwProfilePainter *self, guint k)
{
  return self->layout.end_s * k * STEP / (self->layout.x1 - self->layout.x0);
}

static double *
add_values (const LwProfilePainter *self, Field *field, const double *values)
{
  double *y = new_curve (field);

  for (guint k = 0; values && k < field->n; k++)
    y[k] = lw_layout_y (&self->layout, lw_prediction_at (self->picture->prediction, values, time_of (self, k)));
  return y;
}

static double *
add_level (const LwProfilePainter *self, Field *field, double y_of)
{
  double *y = new_curve (field);

  for (guint k = 0; k < field->n; k++)
    y[k] = y_of;
  return y;
}

static double *
add_set (const LwProfilePainter *self, Field *field, gboolean gas)
{
  double *y = new_curve (field);

  for (guint k = 0; k < field->n; k++) {
    double t = time_of (self, k);

    for (guint i = 0; i < self->set_lines->len; i++) {
      const LwSetLine *line = &g_array_index (self->set_lines, LwSetLine, i);
      double share = (t - line->t0_s) / (line->t1_s - line->t0_s), a = gas ? line->gas0_c : line->warm0_c;

      if (share >= 0.0 && share < 1.0)
        y[k] = lw_layout_y (&self->layout, a + share * ((gas ? line->gas1_c : line->warm1_c) - a));
    }
  }
  return y;
}

static void
take_marks (const LwProfilePainter *self, Field *field)
{
  const GPtrArray *findings = self->picture->findings;

  for (guint i = 0; findings && i < findings->len; i++) {
    const LwFinding *finding = g_ptr_array_index (findings, i);
    double x = lw_layout_x (&self->layout, finding->moment_s);
    LwBox box = { x - 6.0, self->layout.y1 - 15.0, x + 6.0, self->layout.y1 };

    if (finding->grade != LW_GRADE_FINE && isfinite (x))
      g_array_append_val (field->taken, box);
  }
}

static void
take_handles (const LwProfilePainter *self, Field *field)
{
  for (guint i = 0; i < 2 * self->set_lines->len; i++) {
    LwPoint at;

    if (lw_profile_handle (&self->layout, &g_array_index (self->set_lines, LwSetLine, i / 2), i % 2, &at)) {
      LwBox box = { at.x_mm - 4.9, at.y_mm - 4.9, at.x_mm + 4.9, at.y_mm + 4.9 };

      g_array_append_val (field->taken, box);
    }
  }
}

/* How much of BOX's length other curves than OWN pass through, each counted. */
static double
crossed (const LwProfilePainter *self, const Field *field, const double *own, const LwBox *box)
{
  guint from = (guint) MAX ((box->x0_mm - self->layout.x0) / STEP, 0.0), n = 0;
  double hits = 0.0;

  for (guint k = from; k + 1 < field->n && self->layout.x0 + k * STEP < box->x1_mm; k++, n++) {
    for (guint i = 0; i < field->curves->len; i++) {
      const double *y = g_ptr_array_index (field->curves, i);
      /* switching on and off is drawn as a step from below */
      double a = isfinite (y[k]) ? y[k] : self->layout.y1, b = isfinite (y[k + 1]) ? y[k + 1] : self->layout.y1;

      if (y != own && (isfinite (y[k]) || isfinite (y[k + 1])) && MIN (a, b) < box->y1_mm && MAX (a, b) > box->y0_mm)
        hits += i < field->n_levels ? LEVEL : 1.0;
    }
  }
  return n > 0 ? hits / n : 0.0;
}

/* Highest and lowest point of a curve over a name's length; FALSE where it is not there all along. */
static gboolean
span (const LwProfilePainter *self, const Field *field, const double *y, double x0, double x1, double *top, double *bottom)
{
  guint from = (guint) MAX ((x0 - self->layout.x0) / STEP, 0.0), to = (guint) ceil ((x1 - self->layout.x0) / STEP);

  *top = INFINITY;
  *bottom = -INFINITY;
  for (guint k = from; k <= to && k < field->n; k++) {
    if (!isfinite (y[k]))
      return FALSE;
    *top = MIN (*top, y[k]);
    *bottom = MAX (*bottom, y[k]);
  }
  return isfinite (*top);
}

static gboolean
is_free (const LwProfilePainter *self, const Field *field, const LwBox *box)
{
  const LwProfileLayout *l = &self->layout;

  if (box->x0_mm < l->x0 || box->x1_mm > l->x1 || box->y0_mm < l->y0 || box->y1_mm > l->y1)
    return FALSE;
  for (guint i = 0; i < field->taken->len; i++) {
    if (lw_boxes_overlap (box, &g_array_index (field->taken, LwBox, i)))
      return FALSE;
  }
  return TRUE;
}

typedef struct {
  LwBox box;
  double cost;
} Place;

/* With its left end at X, above the curve Y or below it, in both distances. */
static void
try_at (const LwProfilePainter *self, const Field *field, const double *y, double x, double w, double h, Place *best)
{
  double top, bottom;

  if (x < self->layout.x0 || !span (self, field, y, x, x + w, &top, &bottom) || bottom - top > STEEP * h)
    return;
  for (guint way = 0; way < 2 * GAPS; way++) {
    double gap = way / 2 > 0 ? FURTHER : CLOSE, y0 = way % 2 ? bottom + gap : top - gap - h;
    LwBox box = { x, y0, x + w, y0 + h };
    double cost = crossed (self, field, y, &box) + 0.02 * (bottom - top) / h + 0.01 * (way / 2);

    if (cost < best->cost - 1e-9 && is_free (self, field, &box))
      *best = (Place){ box, cost };
  }
}

static void
write_beside (LwProfilePainter *self, Field *field, const double *y, const char *text, LwColor color, int priority)
{
  const LwProfileLayout *l = &self->layout;
  const double most = priority >= NEEDED ? CROSSED : 0.1;
  Place best = { .cost = most };
  double w, h;

  lw_letter_face (&self->type, 9.5, priority >= 10);
  lw_letter_measure (&self->type, text, &w, &h);
  h *= LETTERS;
  for (guint place = 0; place < PLACES; place++)
    try_at (self, field, y, l->x0 + 4.0 + (l->x1 - l->x0 - w - 8.0) * place / (PLACES - 1.0), w, h, &best);
  if (best.cost >= most)
    return;
  g_array_append_val (field->taken, best.box);
  lw_letter_draw (&self->type, text, best.box.x0_mm, 0.5 * (best.box.y0_mm + best.box.y1_mm), 0.0, 0.5, 0.0, color,
                  self->ink->halo);
}

/* Level lines, which find their place hardest, first. */
static int
by_kind (gconstpointer a, gconstpointer b)
{
  const LwColumnLabel *la = a, *lb = b;

  if (la->level != lb->level)
    return lb->level - la->level;
  if (la->priority != lb->priority)
    return lb->priority - la->priority;
  return la->y_wanted < lb->y_wanted ? -1 : la->y_wanted > lb->y_wanted;
}

static void
write_all (LwProfilePainter *self, Field *field, gboolean set_too)
{
  g_autofree const double **curves = g_new0 (const double *, MAX (self->column->len, 1));
  const double *gas, *warm;

  g_array_sort (self->column, by_kind);
  for (guint i = 0; i < self->column->len; i++) {
    const LwColumnLabel *label = &g_array_index (self->column, LwColumnLabel, i);

    field->n_levels += label->level;
    if (label->values || label->level)
      curves[i] = label->values ? add_values (self, field, label->values) : add_level (self, field, label->y_wanted);
  }
  gas = add_set (self, field, TRUE);
  warm = add_set (self, field, FALSE);
  take_handles (self, field);
  take_marks (self, field);
  if (set_too) {
    write_beside (self, field, gas, _ ("Gas set"), self->ink->gas, NEEDED);
    write_beside (self, field, warm, _ ("Preheat set"), self->ink->warmth, NEEDED);
  }
  for (guint i = 0; i < self->column->len; i++) {
    const LwColumnLabel *label = &g_array_index (self->column, LwColumnLabel, i);

    if (curves[i])
      write_beside (self, field, curves[i], label->text, label->color, label->priority);
  }
}

void
lw_profile_paint_beside (LwProfilePainter *self, gboolean set_too)
{
  Field field = { .n = (guint) MAX ((self->layout.x1 - self->layout.x0) / STEP, 0.0) + 1 };

  field.curves = g_ptr_array_new_with_free_func (g_free);
  field.taken = g_array_new (FALSE, FALSE, sizeof (LwBox));
  write_all (self, &field, set_too);
  g_ptr_array_unref (field.curves);
  g_array_unref (field.taken);
}
