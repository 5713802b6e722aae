/* What a finding depends on: one bar for each uncertain input, from the figure with the input at its 5 % to the
 * figure with it at its 95 %. The end with more of the input is filled, the other hollow, so that it reads
 * without colour; the limit and the band of everything together stand across. */
#include <math.h>

#include <glib/gi18n.h>

#include "board/apart.h"
#include "draw/draw.h"
#include "draw/lettering.h"
#include "draw/nice.h"
#include "draw/palette.h"
#include "plan/doubt.h"

#define ROW 24.0
#define HEAD 22.0 /* above the bars: words of the lines */
#define FOOT 58.0 /* below: axis, legend, what to do */
#define LETTER 10.5
#define SMALL 9.5

typedef struct {
  cairo_t *cr;
  const LwTornadoPicture *picture;
  const LwPalette *ink;
  LwLettering type;
  LwDependence rows[LW_N_UNSURE];
  guint n, fit;
  LwBand all;
  double x0, x1, y0, y1; /* of the bars */
  double low, high;      /* of the axis, in the figure's unit */
} Tornado;

static const LwColor no_halo = { 0, 0, 0, 0 };

/* ---- measures ---- */

static guint
rows_of (const LwTornadoPicture *picture, LwDependence rows[LW_N_UNSURE])
{
  const LwFinding *f = picture->finding;

  if (!f || !picture->doubt || f->body < 0 || f->figure < 0 || !isfinite (f->value))
    return 0;
  return lw_doubt_depends (picture->doubt, (guint) f->body, (LwFigure) f->figure, rows);
}

static guint
rows_fit (const LwTornadoPicture *picture, guint n)
{
  double room = picture->height - HEAD - FOOT;

  return room < ROW ? 0 : MIN (n, (guint) (room / ROW) - (room / ROW >= 2 ? 1 : 0)); /* one for all together */
}

static LwTornadoPicture
lettered (const LwTornadoPicture *picture)
{
  LwTornadoPicture out = *picture;

  out.width /= lw_letters (picture->letters);
  out.height /= lw_letters (picture->letters);
  return out;
}

guint
lw_tornado_rows (const LwTornadoPicture *picture)
{
  LwTornadoPicture own = lettered (picture);
  LwDependence rows[LW_N_UNSURE];

  return rows_fit (&own, rows_of (picture, rows));
}

double
lw_tornado_height (const LwTornadoPicture *picture)
{
  LwDependence rows[LW_N_UNSURE];

  return lw_letters (picture->letters) * (HEAD + FOOT + ROW * (rows_of (picture, rows) + 1));
}

/* The axis holds every bar, the band and, when it is not far off, the limit. */
static void
set_axis (Tornado *t)
{
  const LwFinding *f = t->picture->finding;
  double low = fmin (f->value, t->all.low), high = fmax (f->value, t->all.high), room;

  for (guint i = 0; i < t->n; i++) {
    low = fmin (low, f->value + fmin (t->rows[i].low, t->rows[i].high));
    high = fmax (high, f->value + fmax (t->rows[i].low, t->rows[i].high));
  }
  room = fmax (high - low, 1e-6);
  if (isfinite (f->limit) && f->limit > low - 2 * room && f->limit < high + 2 * room) {
    low = fmin (low, f->limit);
    high = fmax (high, f->limit);
  }
  room = 0.06 * (high - low);
  t->low = low - room;
  t->high = high + room;
}

static double
x_of (const Tornado *t, double value)
{
  return t->x0 + (value - t->low) / (t->high - t->low) * (t->x1 - t->x0);
}

/* Names to the left as wide as they need, shares to the right. */
static void
set_columns (Tornado *t)
{
  double widest = 0, w, h;

  lw_letter_face (&t->type, LETTER, FALSE);
  for (guint i = 0; i < t->fit; i++) {
    lw_letter_measure (&t->type, lw_unsure_name (t->rows[i].input), &w, &h);
    widest = fmax (widest, w);
  }
  t->x0 = fmin (widest + 16.0, 0.42 * t->picture->width);
  t->x1 = t->picture->width - 58.0;
  t->y0 = HEAD;
  t->y1 = HEAD + ROW * (t->fit + 1);
}

/* ---- pieces ---- */

static void
line_down (Tornado *t, double x, LwColor color, double width, const double *dash, int n_dash)
{
  cairo_move_to (t->cr, x, t->y0 - 4.0);
  cairo_line_to (t->cr, x, t->y1);
  lw_color_set (t->cr, color);
  cairo_set_line_width (t->cr, width);
  cairo_set_dash (t->cr, dash, n_dash, 0.0);
  cairo_stroke (t->cr);
  cairo_set_dash (t->cr, NULL, 0, 0.0);
}

static char *
figure_text (const char *number, const char *unit)
{
  return g_strdup_printf ("%s %s", number, unit);
}

static void
paint_axis (Tornado *t)
{
  double span = t->high - t->low, step = lw_nice_step (span * 70.0 / fmax (t->x1 - t->x0, 70.0), FALSE);

  lw_letter_face (&t->type, SMALL, FALSE);
  for (double v = ceil (t->low / step) * step; v <= t->high; v += step) {
    double x = x_of (t, v);
    g_autofree char *text = g_strdup_printf ("%.*f", lw_nice_decimals (step), v + 0.0);

    cairo_move_to (t->cr, x, t->y0);
    cairo_line_to (t->cr, x, t->y1 + 3.0);
    lw_color_set (t->cr, lw_color_fade (t->ink->grid, 0.9));
    cairo_set_line_width (t->cr, 1.0);
    cairo_stroke (t->cr);
    lw_letter_draw (&t->type, text, x, t->y1 + 5.0, 0.5, 0.0, 0.0, t->ink->ink_soft, no_halo);
  }
  lw_letter_draw (&t->type, t->picture->finding->unit, t->x1 + 14.0, t->y1 + 5.0, 0.0, 0.0, 0.0, t->ink->ink_soft,
                  no_halo);
}

/* Predicted figure and limit, with their words above; the one further to the right starts at its line. */
static void
paint_lines (Tornado *t)
{
  static const double dash[] = { 4.0, 3.0 };
  const LwFinding *f = t->picture->finding;
  double span = t->high - t->low, x = x_of (t, f->value), xl = x_of (t, f->limit);
  gboolean limit = isfinite (f->limit) && f->limit >= t->low && f->limit <= t->high, left = limit && xl > x;
  LwApart told = lw_apart (f->value, f->limit, span < 5 ? 2 : span < 50 ? 1 : 0);
  g_autofree char *number = figure_text (told.value, f->unit);
  /* Translators: a predicted figure with its unit. */
  g_autofree char *value = g_strdup_printf (_ ("predicted %s"), number);

  lw_letter_face (&t->type, SMALL, FALSE);
  line_down (t, x, t->ink->ink, 1.2, NULL, 0);
  lw_letter_draw (&t->type, value, x + (left ? 3.0 : -3.0), 2.0, left ? 1.0 : 0.0, 0.0, 0.0, t->ink->ink, no_halo);
  if (!limit)
    return;
  g_autofree char *limit_number = figure_text (told.limit, f->unit);
  /* Translators: a limit with its unit. */
  g_autofree char *words = g_strdup_printf (_ ("limit %s"), limit_number);
  line_down (t, xl, t->ink->limit, 1.8, dash, 2);
  lw_letter_draw (&t->type, words, xl + (left ? -3.0 : 3.0), 2.0, left ? 0.0 : 1.0, 0.0, 0.0, t->ink->limit, no_halo);
}

static void
box (Tornado *t, double from, double to, double y, double height, LwColor color, gboolean filled)
{
  double x = fmin (x_of (t, from), x_of (t, to)), w = fabs (x_of (t, to) - x_of (t, from));

  if (w < 0.3)
    return;
  cairo_rectangle (t->cr, x, y - 0.5 * height, w, height);
  lw_color_set (t->cr, filled ? color : lw_color_mix (t->ink->board, color, 0.12));
  cairo_fill_preserve (t->cr);
  lw_color_set (t->cr, color);
  cairo_set_line_width (t->cr, 1.2);
  cairo_stroke (t->cr);
}

static void
paint_row (Tornado *t, guint i)
{
  const LwDependence *row = &t->rows[i];
  double y = t->y0 + ROW * (i + 0.5), v = t->picture->finding->value;
  g_autofree char *name = NULL, *share = NULL;

  share = row->share < 0.005 ? g_strdup ("< 1 %") : g_strdup_printf ("%.0f %%", 100 * row->share);
  lw_letter_face (&t->type, LETTER, i == 0);
  name = lw_letter_cut (&t->type, lw_unsure_name (row->input), t->x0 - 14.0);
  lw_letter_draw (&t->type, name, t->x0 - 8.0, y, 1.0, 0.5, 0.0, t->ink->ink, no_halo);
  box (t, v, v + row->low, y, 12.0, t->ink->accent, FALSE);
  box (t, v, v + row->high, y, 12.0, t->ink->accent, TRUE);
  lw_letter_face (&t->type, SMALL, i == 0);
  lw_letter_draw (&t->type, share, t->picture->width - 10.0, y, 1.0, 0.5, 0.0, t->ink->ink_soft, no_halo);
}

/* All inputs drawn at once: a bar with ends, as wide as the band. */
static void
paint_all (Tornado *t)
{
  double y = t->y0 + ROW * (t->fit + 0.5), a = x_of (t, t->all.low), b = x_of (t, t->all.high);
  g_autofree char *name = NULL;

  lw_letter_face (&t->type, LETTER, FALSE);
  name = lw_letter_cut (&t->type, _ ("All together"), t->x0 - 14.0);
  lw_letter_draw (&t->type, name, t->x0 - 8.0, y, 1.0, 0.5, 0.0, t->ink->ink_soft, no_halo);
  if (isnan (a) || isnan (b))
    return;
  cairo_move_to (t->cr, a, y);
  cairo_line_to (t->cr, b, y);
  cairo_move_to (t->cr, a, y - 5.0);
  cairo_line_to (t->cr, a, y + 5.0);
  cairo_move_to (t->cr, b, y - 5.0);
  cairo_line_to (t->cr, b, y + 5.0);
  lw_color_set (t->cr, t->ink->ink_soft);
  cairo_set_line_width (t->cr, 1.6);
  cairo_stroke (t->cr);
}

static double
legend_item (Tornado *t, double x, double y, gboolean filled, const char *words)
{
  double w, h;

  cairo_rectangle (t->cr, x, y - 5.0, 14.0, 10.0);
  lw_color_set (t->cr, filled ? t->ink->accent : lw_color_mix (t->ink->board, t->ink->accent, 0.12));
  cairo_fill_preserve (t->cr);
  lw_color_set (t->cr, t->ink->accent);
  cairo_set_line_width (t->cr, 1.2);
  cairo_stroke (t->cr);
  lw_letter_draw (&t->type, words, x + 19.0, y, 0.0, 0.5, 0.0, t->ink->ink_soft, no_halo);
  lw_letter_measure (&t->type, words, &w, &h);
  return x + 19.0 + w + 16.0;
}

static void
paint_foot (Tornado *t)
{
  double y = t->y1 + 28.0, x = 10.0;
  g_autofree char *words = NULL, *fit = NULL;

  lw_letter_face (&t->type, SMALL, FALSE);
  x = legend_item (t, x, y, FALSE, _ ("input at its 5 %"));
  x = legend_item (t, x, y, TRUE, _ ("input at its 95 %"));
  if (x + 110.0 < t->picture->width)
    lw_letter_draw (&t->type, _ ("share of the doubt"), t->picture->width - 10.0, y, 1.0, 0.5, 0.0, t->ink->ink_soft,
                    no_halo);
  lw_letter_face (&t->type, LETTER, TRUE);
  /* Translators: %s is a sentence that says how to measure something. */
  words = g_strdup_printf (_ ("Measure first: %s"), lw_unsure_measure (t->rows[0].input));
  fit = lw_letter_cut (&t->type, words, t->picture->width - 20.0);
  lw_letter_draw (&t->type, fit, 10.0, t->y1 + 47.0, 0.0, 0.5, 0.0, t->ink->ink, no_halo);
}

static void
paint_nothing (Tornado *t)
{
  const LwTornadoPicture *picture = t->picture;
  double x = 0.5 * picture->width, y = 0.5 * picture->height, room = picture->width - 16.0;
  const char *words = picture->finding && picture->doubt && t->n > 0 ? _ ("Too little room for the bars.")
                      : picture->doubt                               ? _ ("No uncertain input moves this finding.")
                                       : _ ("What moves a finding most, and how to measure it, appears here.");
  g_autofree char *fit = NULL;

  if (picture->doubt == NULL && picture->height > 60.0) {
    g_autofree char *head = NULL;

    lw_letter_face (&t->type, 14.0, TRUE);
    head = lw_letter_cut (&t->type, _ ("Doubt not computed yet"), room);
    lw_letter_draw (&t->type, head, x, y - 2.0, 0.5, 1.0, 0.0, t->ink->ink_soft, no_halo);
    y += 12.0;
  }
  lw_letter_face (&t->type, 10.5, FALSE);
  fit = lw_letter_cut (&t->type, words, room);
  lw_letter_draw (&t->type, fit, x, y, 0.5, 0.5, 0.0, t->ink->ink_soft, no_halo);
}

void
lw_draw_tornado (cairo_t *cr, const LwTornadoPicture *as_asked)
{
  LwTornadoPicture own = lettered (as_asked), *picture = &own;
  Tornado t = { .cr = cr, .picture = picture, .ink = lw_palette (picture->look) };

  if (!(picture->width > 20.0) || !(picture->height > 20.0) || !isfinite (picture->width)
      || !isfinite (picture->height))
    return;
  cairo_save (cr);
  cairo_scale (cr, lw_letters (as_asked->letters), lw_letters (as_asked->letters));
  cairo_rectangle (cr, 0.0, 0.0, picture->width, picture->height);
  cairo_clip (cr);
  lw_color_set (cr, t.ink->desk);
  cairo_paint (cr);
  lw_letter_begin (&t.type, cr);
  t.n = rows_of (picture, t.rows);
  t.fit = picture->width < 220.0 ? 0 : rows_fit (picture, t.n);
  if (t.fit == 0) {
    paint_nothing (&t);
  } else {
    t.all = lw_doubt_band (picture->doubt, (guint) picture->finding->body, (LwFigure) picture->finding->figure,
                           picture->finding->value);
    set_axis (&t);
    set_columns (&t);
    paint_axis (&t);
    for (guint i = 0; i < t.fit; i++)
      paint_row (&t, i);
    paint_all (&t);
    paint_lines (&t);
    paint_foot (&t);
  }
  lw_letter_end (&t.type);
  cairo_restore (cr);
}
