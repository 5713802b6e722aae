#include "draw/fit-picture.h"

#include <math.h>

#include <glib/gi18n.h>

#include "draw/lettering.h"
#include "draw/nice.h"
#include "draw/palette.h"
#include "draw/run-picture.h"

#define LEFT 46.0
#define RIGHT 10.0
#define HEAD 20.0 /* legend */
#define FOOT 22.0 /* times */
#define TITLE 15.0
#define STRIP 74.0 /* natural height, its title in it */
#define LEAST_K 2.0
#define MARK_EVERY 46.0

typedef struct {
  cairo_t *cr;
  const LwFitPicture *picture;
  const LwPalette *ink;
  LwLettering type;
  double x0, x1, end_s, most_k;
} Painter;

static const LwColor no_halo = { 0, 0, 0, 0 };

static const LwFitChannel *
channel_of (const LwFitPicture *picture, guint k)
{
  return g_ptr_array_index (picture->fit->channels, k);
}

/* ---- measures ---- */

double
lw_fit_picture_height (const LwFitAnswer *fit)
{
  return HEAD + FOOT + STRIP * MAX (fit != NULL ? fit->channels->len : 0, 1);
}

/* All strips share one scale, so that they can be held against each other. What is left has to be seen; what was before may run out
 * of the strip. */
static double
most_of (const LwFitPicture *picture)
{
  double after = 0, before = 0;

  for (guint k = 0; k < picture->fit->channels->len; k++) {
    const LwFitChannel *c = channel_of (picture, k);
    for (guint i = 0; i < c->n; i++) {
      after = fmax (after, fabs (c->measured_c[i] - c->after_c[i]));
      before = fmax (before, fabs (c->measured_c[i] - c->before_c[i]));
    }
  }
  return fmax (LEAST_K, fmax (1.15 * after, fmin (1.1 * before, 4 * after)));
}

void
lw_fit_picture_strip (const LwFitPicture *picture, guint k, double *y0, double *y1, double *most_k)
{
  double letters = lw_letters (picture->letters);
  double each = (picture->height / letters - HEAD - FOOT) / MAX (picture->fit->channels->len, 1);

  *y0 = letters * (HEAD + each * k + TITLE);
  *y1 = letters * (HEAD + each * (k + 1) - 4.0);
  *most_k = most_of (picture);
}

static double
end_of (const LwFitPicture *picture)
{
  double end = 10;

  for (guint k = 0; k < picture->fit->channels->len; k++) {
    const LwFitChannel *c = channel_of (picture, k);
    end = fmax (end, c->n > 0 ? c->t_s[c->n - 1] : 0);
  }
  return end;
}

static double
x_of (const Painter *p, double t_s)
{
  return p->x0 + (p->x1 - p->x0) * t_s / p->end_s;
}

/* ---- a strip ---- */

typedef struct {
  double y0, y1;
} Strip;

static double
y_of (const Painter *p, const Strip *s, double k)
{
  double middle = 0.5 * (s->y0 + s->y1), half = 0.5 * (s->y1 - s->y0);

  return middle - half * CLAMP (k / p->most_k, -8, 8);
}

static void
paint_level (Painter *p, const Strip *s, double k)
{
  double shown = lw_units_shown (p->picture->units, k, "K");
  g_autofree char *text = k == 0 ? g_strdup ("0") : g_strdup_printf ("%+.*f", fabs (shown) < 1 ? 1 : 0, shown);

  cairo_move_to (p->cr, p->x0, y_of (p, s, k));
  cairo_line_to (p->cr, p->x1, y_of (p, s, k));
  lw_color_set (p->cr, k == 0 ? p->ink->ink_faint : p->ink->grid);
  cairo_set_line_width (p->cr, k == 0 ? 1.1 : 0.8);
  cairo_stroke (p->cr);
  lw_letter_draw (&p->type, text, p->x0 - 6.0, y_of (p, s, k), 1.0, 0.5, 0.0, p->ink->ink_soft, no_halo);
}

/* Two deviations of the noise: what is left may lie in there by chance. */
static void
paint_noise (Painter *p, const Strip *s, double noise_k)
{
  cairo_rectangle (p->cr, p->x0, y_of (p, s, 2 * noise_k), p->x1 - p->x0, y_of (p, s, -2 * noise_k) - y_of (p, s, 2 * noise_k));
  lw_color_set (p->cr, lw_color_fade (p->ink->ink_soft, 0.16));
  cairo_fill (p->cr);
}

static void
paint_curve (Painter *p, const Strip *s, const LwFitChannel *c, const double *predicted, LwColor color, double weight, gboolean dashed)
{
  static const double dash[2] = { 4.0, 3.0 };

  cairo_new_path (p->cr);
  for (guint i = 0; i < c->n; i++) /* a gap in the readings starts a new line */
    if (i == 0 || c->t_s[i] - c->t_s[i - 1] > 12)
      cairo_move_to (p->cr, x_of (p, c->t_s[i]), y_of (p, s, c->measured_c[i] - predicted[i]));
    else
      cairo_line_to (p->cr, x_of (p, c->t_s[i]), y_of (p, s, c->measured_c[i] - predicted[i]));
  lw_color_set (p->cr, color);
  cairo_set_line_width (p->cr, weight);
  cairo_set_dash (p->cr, dash, dashed ? 2 : 0, 0);
  cairo_stroke (p->cr);
  cairo_set_dash (p->cr, NULL, 0, 0);
}

static void
paint_marks (Painter *p, const Strip *s, const LwFitChannel *c, guint k)
{
  double last = p->x0 - 0.5 * MARK_EVERY;

  for (guint i = 0; i < c->n; i++) {
    double x = x_of (p, c->t_s[i]);
    if (x - last < MARK_EVERY)
      continue;
    last = x;
    lw_draw_run_mark (p->cr, x, y_of (p, s, c->measured_c[i] - c->after_c[i]), 2.6, k, p->picture->look);
  }
}

static char *
title_of (const Painter *p, const LwFitChannel *c)
{
  gboolean several = p->picture->fit->clock_s->len > 1;
  LwUnits units = p->picture->units;

  if (several) /* Translators: number of the run, thermocouple, its place */
    return g_strdup_printf (_ ("%u. run, %s: %s"), c->run + 1, c->name, c->place);
  /* Translators: thermocouple, its place, root mean squares, unit. */
  return g_strdup_printf (_ ("%s: %s, %.1f %s before, %.1f %s after"), c->name, c->place, lw_units_shown (units, c->rms_before_k, "K"),
                          lw_units_word (units, "K"), lw_units_shown (units, c->rms_after_k, "K"), lw_units_word (units, "K"));
}

static void
paint_strip (Painter *p, guint k)
{
  const LwFitChannel *c = channel_of (p->picture, k);
  g_autofree char *title = title_of (p, c);
  double step = lw_nice_step (0.5 * p->most_k, FALSE), most;
  Strip s;

  lw_fit_picture_strip (p->picture, k, &s.y0, &s.y1, &most);
  if (step > 0.9 * p->most_k)
    step *= 0.5;
  cairo_rectangle (p->cr, p->x0, s.y0, p->x1 - p->x0, s.y1 - s.y0);
  lw_color_set (p->cr, p->ink->board);
  cairo_fill (p->cr);
  lw_letter_face (&p->type, 9.5, FALSE);
  paint_level (p, &s, -step);
  paint_level (p, &s, 0);
  paint_level (p, &s, step);
  cairo_save (p->cr);
  cairo_rectangle (p->cr, p->x0, s.y0, p->x1 - p->x0, s.y1 - s.y0);
  cairo_clip (p->cr);
  paint_noise (p, &s, c->noise_k);
  paint_curve (p, &s, c, c->before_c, p->ink->ink_soft, 1.0, TRUE);
  paint_curve (p, &s, c, c->after_c, lw_run_color (k, p->picture->look), 1.6, FALSE);
  paint_marks (p, &s, c, k);
  cairo_restore (p->cr);
  lw_letter_face (&p->type, 10.0, TRUE);
  lw_letter_draw (&p->type, title, p->x0, s.y0 - 0.5 * TITLE, 0.0, 0.5, 0.0, p->ink->ink, no_halo);
}

/* ---- around them ---- */

static double
paint_sample (Painter *p, const char *text, gboolean after, double x)
{
  static const double dash[2] = { 4.0, 3.0 };
  double w, h, y = 0.5 * HEAD - 1.0;

  lw_letter_measure (&p->type, text, &w, &h);
  cairo_move_to (p->cr, x, y);
  cairo_line_to (p->cr, x + 24.0, y);
  lw_color_set (p->cr, after ? p->ink->ink : p->ink->ink_soft);
  cairo_set_line_width (p->cr, after ? 1.6 : 1.0);
  cairo_set_dash (p->cr, dash, after ? 0 : 2, 0);
  cairo_stroke (p->cr);
  cairo_set_dash (p->cr, NULL, 0, 0);
  lw_letter_draw (&p->type, text, x + 29.0, y, 0.0, 0.5, 0.0, p->ink->ink_soft, no_halo);
  return x + 29.0 + w + 16.0;
}

static void
paint_legend (Painter *p)
{
  g_autofree char *title = g_strdup_printf (_ ("measured minus predicted, %s"), lw_units_word (p->picture->units, "K"));
  double x, w, h;

  lw_letter_face (&p->type, 9.5, FALSE);
  x = paint_sample (p, _ ("before the fit"), FALSE, p->x0);
  x = paint_sample (p, _ ("after it"), TRUE, x);
  lw_letter_measure (&p->type, _ ("noise"), &w, &h);
  cairo_rectangle (p->cr, x, 0.5 * HEAD - 6.0, 24.0, 10.0);
  lw_color_set (p->cr, lw_color_fade (p->ink->ink_soft, 0.22));
  cairo_fill (p->cr);
  lw_letter_draw (&p->type, _ ("noise"), x + 29.0, 0.5 * HEAD - 1.0, 0.0, 0.5, 0.0, p->ink->ink_soft, no_halo);
  x += 29.0 + w + 16.0;
  lw_letter_measure (&p->type, title, &w, &h);
  if (p->x1 - w > x)
    lw_letter_draw (&p->type, title, p->x1, 0.5 * HEAD - 1.0, 1.0, 0.5, 0.0, p->ink->ink_soft, no_halo);
}

static void
paint_times (Painter *p)
{
  double step = lw_nice_seconds (p->end_s * 70.0 / fmax (p->x1 - p->x0, 70.0)), y = p->picture->height - FOOT;

  lw_letter_face (&p->type, 9.5, FALSE);
  for (double t = 0; t <= p->end_s + 1e-9; t += step) {
    g_autofree char *text = g_strdup_printf (t == 0 ? "%.0f s" : "%.0f", t);
    cairo_move_to (p->cr, x_of (p, t), HEAD + TITLE);
    cairo_line_to (p->cr, x_of (p, t), y);
    lw_color_set (p->cr, lw_color_fade (p->ink->grid, 0.8));
    cairo_set_line_width (p->cr, 0.7);
    cairo_stroke (p->cr);
    lw_letter_draw (&p->type, text, CLAMP (x_of (p, t), p->x0 + 6, p->x1 - 8), y + 3.0, 0.5, 0.0, 0.0, p->ink->ink_soft, no_halo);
  }
}

void
lw_draw_fit (cairo_t *cr, const LwFitPicture *as_asked)
{
  double letters = lw_letters (as_asked->letters);
  LwFitPicture own = { as_asked->look, as_asked->units, as_asked->fit, as_asked->width / letters, as_asked->height / letters, 1.0 };
  const LwFitPicture *self = &own;
  Painter p = { .cr = cr, .picture = self, .ink = lw_palette (self->look), .x0 = LEFT, .x1 = self->width - RIGHT };

  if (self->fit == NULL || self->fit->channels->len == 0 || !(self->width > 120.0) || !(self->height > 60.0))
    return;
  p.end_s = end_of (self);
  p.most_k = most_of (self);
  cairo_save (cr);
  cairo_scale (cr, letters, letters);
  cairo_rectangle (cr, 0, 0, self->width, self->height);
  cairo_clip (cr);
  lw_letter_begin (&p.type, cr);
  paint_legend (&p);
  for (guint k = 0; k < self->fit->channels->len; k++)
    paint_strip (&p, k);
  paint_times (&p);
  lw_letter_end (&p.type);
  cairo_restore (cr);
}
