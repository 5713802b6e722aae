/* Measured curves and the plan's own, told apart by marks and dashes as well as by colour. */
#include <math.h>

#include <glib/gi18n.h>

#include "draw/profile-painter.h"
#include "draw/run-curves.h"

#define MARK_EVERY 46.0 /* picture units along the time axis */
#define MARK_SIZE 3.6

LwColor
lw_run_color (guint k, LwLook look)
{
  const LwPalette *ink = lw_palette (look);

  return k == 0 ? ink->joints : ink->neighbour[(k - 1) % LW_PALETTE_NEIGHBOURS];
}

static void
polygon (cairo_t *cr, double x, double y, double r, guint n, double turn)
{
  for (guint i = 0; i < n; i++)
    cairo_line_to (cr, x + r * sin (turn + 2 * G_PI * i / n), y - r * cos (turn + 2 * G_PI * i / n));
  cairo_close_path (cr);
}

void
lw_draw_run_mark (cairo_t *cr, double x, double y, double size, guint k, LwLook look)
{
  cairo_new_path (cr);
  switch (k % 6) {
  case 0:
    cairo_arc (cr, x, y, size, 0, 2 * G_PI);
    break;
  case 1:
    polygon (cr, x, y, 1.25 * size, 4, G_PI / 4);
    break;
  case 2:
    polygon (cr, x, y, 1.3 * size, 3, 0);
    break;
  case 3:
    polygon (cr, x, y, 1.3 * size, 4, 0);
    break;
  case 4:
    polygon (cr, x, y, 1.3 * size, 3, G_PI);
    break;
  default:
    polygon (cr, x, y, 1.2 * size, 6, 0);
  }
  /* The second half dozen is hollow. */
  lw_color_set (cr, k / 6 % 2 == 0 ? lw_run_color (k, look) : lw_palette (look)->board);
  cairo_fill_preserve (cr);
  lw_color_set (cr, k / 6 % 2 == 0 ? lw_palette (look)->halo : lw_run_color (k, look));
  cairo_set_line_width (cr, k / 6 % 2 == 0 ? 0.9 : 1.5);
  cairo_stroke (cr);
}

static void
curve (LwProfilePainter *p, const double *t_s, const double *c, guint n)
{
  gboolean drawing = FALSE;
  double last = -INFINITY;

  cairo_new_path (p->cr);
  for (guint i = 0; i < n; i++) {
    double x = lw_layout_x (&p->layout, t_s[i]);

    if (isnan (c[i])) {
      drawing = FALSE;
      continue;
    }
    if (drawing && x - last < 0.4 && i + 1 < n)
      continue; /* more samples than the picture can show */
    if (drawing)
      cairo_line_to (p->cr, x, lw_layout_y_near (&p->layout, c[i]));
    else
      cairo_move_to (p->cr, x, lw_layout_y_near (&p->layout, c[i]));
    drawing = TRUE;
    last = x;
  }
}

static void
stroke (LwProfilePainter *p, LwColor color, double weight, const double *dash, int n_dash)
{
  cairo_set_line_join (p->cr, CAIRO_LINE_JOIN_ROUND);
  cairo_set_dash (p->cr, NULL, 0, 0);
  lw_color_set (p->cr, lw_color_fade (p->ink->halo, 0.7));
  cairo_set_line_width (p->cr, weight + 1.6);
  cairo_stroke_preserve (p->cr);
  cairo_set_dash (p->cr, dash, n_dash, 0);
  lw_color_set (p->cr, color);
  cairo_set_line_width (p->cr, weight);
  cairo_stroke (p->cr);
  cairo_set_dash (p->cr, NULL, 0, 0);
}

void
lw_run_paint_plan (LwProfilePainter *p, const LwComparison *run, const LwBenchReadings *should, int column)
{
  static const double dash[2] = { 5.0, 3.0 };

  for (guint k = 0; should != NULL && k < run->columns->len; k++) {
    const LwCompared *c = g_ptr_array_index (run->columns, k);

    if (c->couple < 0 || (guint) c->couple >= should->n_couples)
      continue;
    curve (p, should->t_s, should->c + (gsize) c->couple * should->n_moments, should->n_moments);
    stroke (p, lw_color_fade (lw_run_color (k, p->picture->look), column < 0 || column == (int) k ? 0.85 : 0.35), 1.3, dash, 2);
  }
}

static void
marks (LwProfilePainter *p, const LwComparison *run, guint k)
{
  const LwProfileLayout *l = &p->layout;

  /* Neighbours' marks do not fall on the same moments. */
  for (double x = l->x0 + MARK_EVERY * (0.3 + 0.17 * (k % 5)); x < l->x1; x += MARK_EVERY) {
    double c = lw_comparison_run_c (run, k, l->end_s * (x - l->x0) / (l->x1 - l->x0));

    if (!isnan (c) && c >= l->low_c && c <= l->high_c)
      lw_draw_run_mark (p->cr, x, lw_layout_y (l, c), MARK_SIZE, k, p->picture->look);
  }
}

static double
last_of (const LwCompared *c, guint n)
{
  while (n-- > 0)
    if (!isnan (c->run_c[n]))
      return c->run_c[n];
  return NAN;
}

void
lw_run_paint_measured (LwProfilePainter *p, const LwComparison *run, int column, gboolean all)
{
  for (guint k = 0; k < run->columns->len; k++) {
    const LwCompared *c = g_ptr_array_index (run->columns, k);
    gboolean faded = column >= 0 && column != (int) k;
    LwColor color = lw_run_color (k, p->picture->look);

    if (c->couple < 0 && !all)
      continue;
    curve (p, run->t_s, c->run_c, run->n);
    stroke (p, lw_color_fade (color, faded ? 0.45 : 1), column == (int) k ? 2.6 : c->couple >= 0 ? 1.8 : 1.1, NULL, 0);
    if (!faded)
      marks (p, run, k);
    if (!isnan (last_of (c, run->n)))
      lw_profile_add_label (p, last_of (c, run->n), g_strdup (c->couple >= 0 ? c->couple_name : c->name), color, NULL, 0, 1.8,
                            column == (int) k ? 20 : 12);
  }
}
