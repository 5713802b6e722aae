/* The colour scale beside the board map. */
#include <math.h>

#include <glib/gi18n.h>

#include "draw/board-painter.h"
#include "draw/nice.h"

static void
paint_bar (cairo_t *cr, double x, double y, double w, double h, LwLook look, gboolean upright)
{
  cairo_pattern_t *ramp = upright ? cairo_pattern_create_linear (0.0, y + h, 0.0, y)
                                  : cairo_pattern_create_linear (x, 0.0, x + w, 0.0);

  for (int k = 0; k <= 32; k++) {
    LwColor c = lw_heat_color (k / 32.0, look);

    cairo_pattern_add_color_stop_rgb (ramp, k / 32.0, c.r, c.g, c.b);
  }
  cairo_rectangle (cr, x, y, w, h);
  cairo_set_source (cr, ramp);
  cairo_fill_preserve (cr);
  cairo_pattern_destroy (ramp);
  lw_color_set (cr, lw_palette (look)->ink_soft);
  cairo_set_line_width (cr, 0.8);
  cairo_stroke (cr);
}

/* A board at another moment has other temperatures: the scale says which moment it is. */
static void
write_moment (LwLettering *type, const LwBoardPicture *picture, double x, double y)
{
  const LwPrediction *p = picture->prediction;
  double t_s = round (picture->t_s);
  g_autofree char *text = NULL;

  if (!p || p->n_times == 0 || !isfinite (t_s))
    return;
  t_s = CLAMP (t_s, p->t_s[0], p->t_s[p->n_times - 1]);
  text = t_s < 600.0 ? g_strdup_printf (_ ("%.0f s"), t_s) : g_strdup_printf ("%d:%02d", (int) t_s / 60, (int) t_s % 60);
  lw_letter_draw (type, text, x, y, 0.0, 0.0, 0.0, lw_palette (picture->look)->ink_soft, lw_palette (picture->look)->halo);
}

/* In a narrow view the board reaches under the scale; beside it this is not seen. */
static void
paint_plate (cairo_t *cr, double x, double y, double width, double height, LwColor desk)
{
  cairo_rectangle (cr, x - 5.0, y - 3.0, width + 5.0, height + 30.0);
  lw_color_set (cr, lw_color_fade (desk, 0.86));
  cairo_fill (cr);
}

static void
paint_scale (cairo_t *cr, double x, double y, double width, double height, const LwBoardPicture *picture)
{
  const LwPalette *ink = lw_palette (picture->look);
  gboolean upright = height > width;
  double bar = upright ? MIN (12.0, 0.4 * width) : MIN (12.0, 0.4 * height);
  double low, high, step, length;
  LwLettering type;

  if (!(width > 8.0) || !(height > 8.0) || !isfinite (width) || !isfinite (height))
    return;
  lw_board_range (picture, &low, &high);
  low = lw_units_shown (picture->units, low, "°C");
  high = lw_units_shown (picture->units, high, "°C");
  length = (upright ? height : width) - 12.0;
  if (length < 8.0)
    return;
  cairo_save (cr);
  lw_letter_begin (&type, cr);
  lw_letter_face (&type, 9.5, FALSE);
  step = lw_nice_step ((high - low) / MAX (length / (upright ? 26.0 : 44.0), 1.0), TRUE);
  if (upright)
    paint_plate (cr, x, y, width, height, ink->desk);
  if (upright)
    paint_bar (cr, x, y + 6.0, bar, length, picture->look, TRUE);
  else
    paint_bar (cr, x + 6.0, y, length, bar, picture->look, FALSE);
  for (double k = ceil (low / step); k * step <= high * (1.0 + 1e-12); k++) {
    g_autofree char *text = g_strdup_printf ("%.*f", lw_nice_decimals (step), k * step);
    double share = (k * step - low) / (high - low);

    if (upright)
      lw_letter_draw (&type, text, x + bar + 5.0, y + 6.0 + length * (1.0 - share), 0.0, 0.5, 0.0, ink->ink,
                      ink->halo);
    else
      lw_letter_draw (&type, text, x + 6.0 + length * share, y + bar + 2.0, 0.5, 0.0, 0.0, ink->ink, ink->halo);
  }
  if (upright) {
    lw_letter_draw (&type, lw_units_word (picture->units, "°C"), x, y + 8.0 + length, 0.0, 0.0, 0.0, ink->ink_soft, ink->halo);
    write_moment (&type, picture, x, y + 22.0 + length);
  }
  lw_letter_end (&type);
  cairo_restore (cr);
}

void
lw_draw_heat_scale (cairo_t *cr, double x, double y, double width, double height, const LwBoardPicture *picture)
{
  double letters = lw_letters (picture->letters);

  cairo_save (cr);
  cairo_scale (cr, letters, letters);
  paint_scale (cr, x / letters, y / letters, width / letters, height / letters, picture);
  cairo_restore (cr);
}
