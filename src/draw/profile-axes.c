/* Ground, ticks, stages. */
#include <math.h>

#include <glib/gi18n.h>

#include "draw/nice.h"
#include "draw/profile-painter.h"

#define LETTER 9.5

char *
lw_profile_time_text (const LwProfileLayout *layout, double t_s)
{
  double rounded = round (t_s);

  if (layout->end_s < 600.0)
    return g_strdup_printf (_ ("%.0f s"), rounded);
  if (layout->end_s < 36000.0)
    return g_strdup_printf ("%d:%02d", (int) (rounded / 60.0), (int) fmod (rounded, 60.0));
  return g_strdup_printf (_ ("%.0f min"), rounded / 60.0);
}

static void
paint_level_ticks (LwProfilePainter *self)
{
  const LwProfileLayout *l = &self->layout;
  LwUnits units = self->picture->units;
  double low = lw_units_shown (units, l->low_c, "°C"), high = lw_units_shown (units, l->high_c, "°C");
  double step = lw_nice_step ((high - low) * 30.0 / (l->y1 - l->y0), FALSE);

  for (double k = ceil (low / step); k * step <= high * (1.0 + 1e-12); k++) {
    double y = lw_layout_y (l, lw_units_kept (units, k * step, "°C"));
    g_autofree char *text = g_strdup_printf ("%.*f", lw_nice_decimals (step), k * step);

    cairo_move_to (self->cr, l->x0, y);
    cairo_line_to (self->cr, l->x1, y);
    lw_color_set (self->cr, self->ink->grid);
    cairo_set_line_width (self->cr, 0.8);
    cairo_stroke (self->cr);
    lw_letter_draw (&self->type, text, l->x0 - 6.0, y, 1.0, 0.5, 0.0, self->ink->ink_soft,
                    (LwColor){ 0, 0, 0, 0 });
  }
  lw_letter_draw (&self->type, lw_units_word (units, "°C"), 6.0, l->y0 - 2.0, 0.0, 1.0, 0.0, self->ink->ink_soft,
                  (LwColor){ 0, 0, 0, 0 });
}

static void
paint_time_ticks (LwProfilePainter *self)
{
  const LwProfileLayout *l = &self->layout;
  double step = lw_nice_seconds (l->end_s * 80.0 / (l->x1 - l->x0));

  for (double k = 0.0; k * step <= l->end_s * (1.0 + 1e-12); k++) {
    double x = lw_layout_x (l, k * step);
    g_autofree char *text = lw_profile_time_text (l, k * step);

    cairo_move_to (self->cr, x, l->y1);
    cairo_line_to (self->cr, x, l->y1 + 4.0);
    lw_color_set (self->cr, self->ink->ink_faint);
    cairo_set_line_width (self->cr, 1.0);
    cairo_stroke (self->cr);
    lw_letter_draw (&self->type, text, x, l->y1 + 6.0, k == 0.0 ? 0.2 : 0.5, 0.0, 0.0, self->ink->ink_soft,
                    (LwColor){ 0, 0, 0, 0 });
  }
}

void
lw_profile_paint_frame (LwProfilePainter *self)
{
  cairo_t *cr = self->cr;
  const LwProfileLayout *l = &self->layout;

  lw_color_set (cr, self->ink->desk);
  cairo_paint (cr);
  cairo_rectangle (cr, l->x0, l->y0, l->x1 - l->x0, l->y1 - l->y0);
  lw_color_set (cr, self->ink->board);
  cairo_fill (cr);
  lw_letter_face (&self->type, LETTER, FALSE);
  paint_level_ticks (self);
  paint_time_ticks (self);
  cairo_move_to (cr, l->x0, l->y0);
  cairo_line_to (cr, l->x0, l->y1);
  cairo_line_to (cr, l->x1, l->y1);
  lw_color_set (cr, self->ink->ink_faint);
  cairo_set_line_width (cr, 1.0);
  cairo_stroke (cr);
}

static void
paint_stage (LwProfilePainter *self, guint i, const LwSetLine *line, const char *name)
{
  static const double dots[] = { 1.0, 3.0 };
  cairo_t *cr = self->cr;
  const LwProfileLayout *l = &self->layout;
  gboolean selected = (int) i == self->picture->selected_stage;
  double x0 = lw_layout_x (l, line->t0_s), x1 = lw_layout_x (l, line->t1_s), top = l->y0 - l->strip;
  g_autofree char *text = NULL;

  cairo_rectangle (cr, x0, top, x1 - x0, l->y1 - top);
  lw_color_set (cr, selected ? lw_color_fade (self->ink->accent, 0.10) : lw_color_fade (self->ink->stage, i % 2));
  cairo_fill (cr);
  cairo_move_to (cr, x1, top + 3.0);
  cairo_line_to (cr, x1, l->y1);
  lw_color_set (cr, self->ink->ink_faint);
  cairo_set_line_width (cr, 1.0);
  cairo_set_dash (cr, dots, 2, 0.0);
  cairo_stroke (cr);
  cairo_set_dash (cr, NULL, 0, 0.0);
  if (l->strip <= 0.0 || (l->small && isfinite (self->picture->t_s)))
    return;
  lw_letter_face (&self->type, 10.5, selected);
  text = lw_letter_cut (&self->type, name, x1 - x0 - 8.0);
  lw_letter_draw (&self->type, text, 0.5 * (x0 + x1), l->y0 - 0.5 * l->strip, 0.5, 0.5, 0.0,
                    selected ? self->ink->accent : self->ink->ink_soft, (LwColor){ 0, 0, 0, 0 });
  if (selected) {
    cairo_move_to (cr, x0 + 2.0, l->y0 - 1.0);
    cairo_line_to (cr, x1 - 2.0, l->y0 - 1.0);
    lw_color_set (cr, self->ink->accent);
    cairo_set_line_width (cr, 2.0);
    cairo_stroke (cr);
  }
}

void
lw_profile_paint_stages (LwProfilePainter *self)
{
  if (!self->plan || self->plan->table)
    return;
  for (guint i = 0; i < self->set_lines->len && i < self->plan->stages->len; i++) {
    const LwStage *stage = g_ptr_array_index (self->plan->stages, i);

    paint_stage (self, i, &g_array_index (self->set_lines, LwSetLine, i), stage->name);
  }
}
