#include "draw/run-picture.h"

#include <math.h>

#include <glib/gi18n.h>

#include "draw/nice.h"
#include "draw/run-curves.h"

#define DIFFERENCE_SHARE 0.27
#define DIFFERENCE_LEAST 44.0
#define GAP 12.0
#define LEGEND 16.0

typedef struct {
  double y0, y1, most_k; /* panel of differences; y1 <= y0 = there is no room */
} Below;

/* ---- ranges ---- */

static double
end_of (const LwRunPicture *self)
{
  double end = 0;

  if (self->end_s > 0)
    return self->end_s;
  if (self->run != NULL && self->run->n > 0)
    end = self->run->t_s[self->run->n - 1];
  return MAX (end, 10.0);
}

/* What belongs to no thermocouple, as the gas itself, may run out of the picture. */
static gboolean
any_couple (const LwRunPicture *self)
{
  for (guint k = 0; self->run != NULL && k < self->run->columns->len; k++)
    if (((const LwCompared *) g_ptr_array_index (self->run->columns, k))->couple >= 0)
      return TRUE;
  return FALSE;
}

static double
highest (const LwRunPicture *self)
{
  gboolean couples = any_couple (self);
  double high = 100;

  for (guint k = 0; self->run != NULL && k < self->run->columns->len; k++) {
    const LwCompared *c = g_ptr_array_index (self->run->columns, k);

    if (couples && c->couple < 0)
      continue;
    high = isfinite (c->run.peak_c) ? MAX (high, c->run.peak_c) : high;
    high = isfinite (c->plan.peak_c) ? MAX (high, c->plan.peak_c) : high;
  }
  if (self->run != NULL && isfinite (self->run->liquidus_c))
    high = MAX (high, self->run->liquidus_c);
  return high;
}

static gboolean
has_differences (const LwRunPicture *self)
{
  for (guint k = 0; self->run != NULL && k < self->run->columns->len; k++)
    if (((const LwCompared *) g_ptr_array_index (self->run->columns, k))->n > 0)
      return TRUE;
  return FALSE;
}

/* The upper panel as a profile of its own; set points would push the curves down, so the axis follows the curves. */
static void
profile_of (const LwRunPicture *self, LwProfilePicture *profile, Below *below)
{
  double below_height = has_differences (self) ? MAX (DIFFERENCE_SHARE * self->height, DIFFERENCE_LEAST) : 0;
  LwProfilePicture bare;
  double end_s, high_c;

  if (self->height - below_height < 110)
    below_height = 0;
  lw_profile_picture_init (profile, self->job, self->width, self->height - below_height - LEGEND);
  profile->look = self->look;
  profile->units = self->units;
  profile->plan = self->plan;
  profile->show_legend = profile->show_bands = FALSE;
  profile->n_neighbours = 0;
  bare = *profile;
  lw_profile_range (&bare, &end_s, &high_c);
  profile->end_s = self->end_s > 0 ? self->end_s : MAX (end_s, end_of (self));
  profile->high_c = 20.0 * ceil (highest (self) * 1.06 / 20.0);
  below->y0 = self->height - LEGEND - below_height + (below_height > 0 ? GAP : 0);
  below->y1 = below_height > 0 ? self->height - LEGEND - 6.0 : below->y0;
  below->most_k = 0;
}

/* In units as large as its letters are. */
static LwRunPicture
lettered (const LwRunPicture *self)
{
  LwRunPicture out = *self;

  out.width /= lw_letters (self->letters);
  out.height /= lw_letters (self->letters);
  return out;
}

static void
upper_of (const LwRunPicture *self, LwProfilePicture *profile)
{
  LwRunPicture own = lettered (self);
  Below below;

  profile_of (&own, profile, &below);
}

double
lw_run_end_s (const LwRunPicture *self)
{
  LwProfilePicture profile;

  upper_of (self, &profile);
  return profile.end_s;
}

double
lw_run_time_at (const LwRunPicture *self, double px)
{
  LwProfilePicture profile;

  upper_of (self, &profile);
  return lw_profile_time_at (&profile, px / lw_letters (self->letters));
}

double
lw_run_x_of (const LwRunPicture *self, double t_s)
{
  LwProfilePicture profile;

  upper_of (self, &profile);
  return lw_letters (self->letters) * lw_profile_x_of (&profile, t_s);
}

int
lw_run_hit (const LwRunPicture *self, double px, double py)
{
  LwProfilePicture profile;
  LwProfileLayout layout;
  double near = 9.0;
  int best = -1;

  upper_of (self, &profile);
  px /= lw_letters (self->letters);
  py /= lw_letters (self->letters);
  lw_profile_layout (&profile, &layout);
  for (guint k = 0; self->run != NULL && k < self->run->columns->len && px >= layout.x0 && px <= layout.x1; k++) {
    double c = lw_comparison_run_c (self->run, k, lw_profile_time_at (&profile, px));
    double away = fabs (lw_layout_y (&layout, c) - py);

    if (!(away < near))
      continue;
    near = away;
    best = (int) k;
  }
  return best;
}

/* ---- differences ---- */

static double
difference (const LwComparison *run, guint k, guint i)
{
  const LwCompared *c = g_ptr_array_index (run->columns, k);

  return c->plan_c[i] - c->run_c[i];
}

static void
find_most (const LwRunPicture *self, Below *below)
{
  for (guint k = 0; k < self->run->columns->len; k++) {
    double most = fabs (((const LwCompared *) g_ptr_array_index (self->run->columns, k))->most_k);

    below->most_k = isfinite (most) ? MAX (below->most_k, most) : below->most_k;
  }
  below->most_k = MAX (below->most_k * 1.1, 2.0);
}

static double
y_of (const Below *below, double k)
{
  return 0.5 * (below->y0 + below->y1) - 0.5 * (below->y1 - below->y0) * k / below->most_k;
}

static double
legend_line (const LwRunPicture *self)
{
  return self->height - 0.5 * LEGEND - 1.0;
}

static void
paint_level (LwProfilePainter *p, const Below *below, double k)
{
  double shown = lw_units_shown (p->picture->units, k, "K");
  g_autofree char *text = k == 0 ? g_strdup ("0") : g_strdup_printf ("%+.*f", fabs (shown) < 1 ? 1 : 0, shown);

  cairo_move_to (p->cr, p->layout.x0, y_of (below, k));
  cairo_line_to (p->cr, p->layout.x1, y_of (below, k));
  lw_color_set (p->cr, k == 0 ? p->ink->ink_faint : p->ink->grid);
  cairo_set_line_width (p->cr, k == 0 ? 1.2 : 0.8);
  cairo_stroke (p->cr);
  lw_letter_draw (&p->type, text, p->layout.x0 - 6.0, y_of (below, k), 1.0, 0.5, 0.0, p->ink->ink_soft, (LwColor){ 0, 0, 0, 0 });
}

static void
paint_difference (LwProfilePainter *p, const LwRunPicture *self, const Below *below, guint k)
{
  gboolean faded = self->column >= 0 && self->column != (int) k, drawing = FALSE;
  double last_mark = p->layout.x0 + 46.0 * (0.17 * (k % 5)) - 46.0;

  cairo_new_path (p->cr);
  for (guint i = 0; i < self->run->n; i++) {
    double d = difference (self->run, k, i);

    if (isnan (d)) {
      drawing = FALSE;
      continue;
    }
    if (drawing)
      cairo_line_to (p->cr, lw_layout_x (&p->layout, self->run->t_s[i]), y_of (below, d));
    else
      cairo_move_to (p->cr, lw_layout_x (&p->layout, self->run->t_s[i]), y_of (below, d));
    drawing = TRUE;
  }
  lw_color_set (p->cr, lw_color_fade (lw_run_color (k, self->look), faded ? 0.4 : 1));
  cairo_set_line_width (p->cr, self->column == (int) k ? 2.2 : 1.4);
  cairo_stroke (p->cr);
  for (guint i = 0; i < self->run->n && !faded; i++) {
    double x = lw_layout_x (&p->layout, self->run->t_s[i]), d = difference (self->run, k, i);

    if (x - last_mark < 46.0 || isnan (d))
      continue;
    last_mark = x;
    lw_draw_run_mark (p->cr, x, y_of (below, d), 2.8, k, self->look);
  }
}

/* What the lower panel shows: beside it, or in the legend's line behind LEGEND_END; never where a curve may pass. */
static void
write_title (LwProfilePainter *p, const LwRunPicture *self, const Below *below, double legend_end)
{
  const LwProfileLayout *l = &p->layout;
  g_autofree char *title = g_strdup_printf (_ ("plan minus run, %s"), lw_units_word (self->units, "K")), *cut = NULL;
  LwColor none = { 0, 0, 0, 0 };
  double w, h;

  lw_letter_face (&p->type, 9.5, FALSE);
  lw_letter_measure (&p->type, title, &w, &h);
  if (w <= l->column - 12.0) {
    lw_letter_draw (&p->type, title, l->x1 + 8.0, below->y0, 0.0, 0.0, 0.0, p->ink->ink_soft, none);
    return;
  }
  cut = lw_letter_cut (&p->type, title, l->x1 - legend_end);
  lw_letter_draw (&p->type, cut, l->x1, legend_line (self), 1.0, 0.5, 0.0, p->ink->ink_soft, none);
}

static void
paint_differences (LwProfilePainter *p, const LwRunPicture *self, Below *below)
{
  cairo_t *cr = p->cr;
  const LwProfileLayout *l = &p->layout;

  find_most (self, below);
  cairo_rectangle (cr, l->x0, below->y0, l->x1 - l->x0, below->y1 - below->y0);
  lw_color_set (cr, p->ink->board);
  cairo_fill (cr);
  lw_letter_face (&p->type, 9.5, FALSE);
  double step = lw_nice_step (below->most_k * 0.9, FALSE);
  if (step > below->most_k)
    step = 0.5 * step;
  paint_level (p, below, -step);
  paint_level (p, below, 0);
  paint_level (p, below, step);
  cairo_save (cr);
  cairo_rectangle (cr, l->x0, below->y0, l->x1 - l->x0, below->y1 - below->y0);
  cairo_clip (cr);
  for (guint k = 0; k < self->run->columns->len; k++)
    paint_difference (p, self, below, k);
  cairo_restore (cr);
}

/* ---- legend, cursor ---- */

static double
legend_item (LwProfilePainter *p, const LwRunPicture *self, const char *text, gboolean measured, double x, double y)
{
  static const double dash[2] = { 5.0, 3.0 };
  double w, h;

  lw_letter_measure (&p->type, text, &w, &h);
  if (x + 32.0 + w > self->width - 4.0)
    return x;
  cairo_move_to (p->cr, x, y);
  cairo_line_to (p->cr, x + 26.0, y);
  lw_color_set (p->cr, p->ink->ink_soft);
  cairo_set_line_width (p->cr, measured ? 1.8 : 1.3);
  cairo_set_dash (p->cr, dash, measured ? 0 : 2, 0);
  cairo_stroke (p->cr);
  cairo_set_dash (p->cr, NULL, 0, 0);
  if (measured) {
    cairo_arc (p->cr, x + 13.0, y, 3.2, 0, 2 * G_PI);
    cairo_fill (p->cr);
  }
  lw_letter_draw (&p->type, text, x + 31.0, y, 0.0, 0.5, 0.0, p->ink->ink_soft, (LwColor){ 0, 0, 0, 0 });
  return x + 31.0 + w + 18.0;
}

/* Where it ends. */
static double
paint_legend (LwProfilePainter *p, const LwRunPicture *self)
{
  double y = legend_line (self), x = p->layout.x0;

  lw_letter_face (&p->type, 9.5, FALSE);
  x = legend_item (p, self, _ ("measured"), TRUE, x, y);
  if (self->should != NULL)
    x = legend_item (p, self, _ ("planned"), FALSE, x, y);
  return x;
}

static void
paint_cursor (LwProfilePainter *p, const LwRunPicture *self, const Below *below)
{
  double x = lw_layout_x (&p->layout, self->t_s);

  if (!isfinite (self->t_s) || x < p->layout.x0 || x > p->layout.x1)
    return;
  cairo_move_to (p->cr, x, p->layout.y0);
  cairo_line_to (p->cr, x, MAX (p->layout.y1, below->y1));
  lw_color_set (p->cr, lw_color_fade (p->ink->accent, 0.8));
  cairo_set_line_width (p->cr, 1.2);
  cairo_stroke (p->cr);
}

static void
paint_liquidus (LwProfilePainter *p, const LwRunPicture *self)
{
  double liquidus = self->run != NULL ? self->run->liquidus_c : NAN, y;

  if (isnan (liquidus))
    return;
  y = lw_layout_y (&p->layout, liquidus);
  cairo_move_to (p->cr, p->layout.x0, y);
  cairo_line_to (p->cr, p->layout.x1, y);
  cairo_set_dash (p->cr, lw_dash_liquidus, 2, 0);
  lw_color_set (p->cr, p->ink->ink_soft);
  cairo_set_line_width (p->cr, 1.2);
  cairo_stroke (p->cr);
  cairo_set_dash (p->cr, NULL, 0, 0);
  lw_profile_add_label (p, liquidus, g_strdup_printf (_ ("liquidus %.0f"), lw_units_shown (self->units, liquidus, "°C")), p->ink->ink_soft,
                        lw_dash_liquidus, 2, 1.2, 8);
}

static void
paint_inside (LwProfilePainter *p, const LwRunPicture *self)
{
  const LwProfileLayout *l = &p->layout;

  cairo_save (p->cr);
  cairo_rectangle (p->cr, l->x0, l->y0 - 2.0, l->x1 - l->x0, l->y1 - l->y0 + 3.0);
  cairo_clip (p->cr);
  paint_liquidus (p, self);
  if (self->run != NULL) {
    lw_run_paint_plan (p, self->run, self->should, self->column);
    lw_run_paint_measured (p, self->run, self->column, TRUE);
  }
  cairo_restore (p->cr);
}

void
lw_draw_run (cairo_t *cr, const LwRunPicture *as_asked)
{
  LwRunPicture own = lettered (as_asked), *self = &own;
  LwProfilePicture profile;
  LwProfilePainter p = { .cr = cr, .picture = &profile, .ink = lw_palette (self->look) };
  Below below;
  double legend_end;

  if (self->job == NULL || !(self->width > 20.0) || !(self->height > 40.0))
    return;
  profile_of (self, &profile, &below);
  cairo_save (cr);
  cairo_scale (cr, lw_letters (as_asked->letters), lw_letters (as_asked->letters));
  cairo_rectangle (cr, 0, 0, self->width, self->height);
  cairo_clip (cr);
  p.plan = lw_profile_plan (&profile);
  p.set_lines = lw_profile_set_lines (&profile);
  p.column = g_array_new (FALSE, FALSE, sizeof (LwColumnLabel));
  lw_profile_layout (&profile, &p.layout);
  lw_letter_begin (&p.type, cr);
  lw_profile_paint_frame (&p);
  lw_profile_paint_stages (&p);
  paint_inside (&p, self);
  lw_profile_paint_column (&p);
  legend_end = paint_legend (&p, self);
  if (below.y1 > below.y0) {
    paint_differences (&p, self, &below);
    write_title (&p, self, &below, legend_end);
  }
  paint_cursor (&p, self, &below);
  lw_letter_end (&p.type);
  for (guint i = 0; i < p.column->len; i++)
    g_free (g_array_index (p.column, LwColumnLabel, i).text);
  g_array_unref (p.column);
  g_array_unref (p.set_lines);
  cairo_restore (cr);
}
