#include "draw/lettering.h"

#include <math.h>

#include "draw/palette.h"

void
lw_letter_begin (LwLettering *self, cairo_t *cr)
{
  cairo_font_options_t *options = cairo_font_options_create ();

  self->cr = cr;
  self->layout = pango_cairo_create_layout (cr);
  self->size = -1.0;
  /* The same advance widths at every zoom, on screen and on paper. */
  cairo_font_options_set_hint_metrics (options, CAIRO_HINT_METRICS_OFF);
  cairo_font_options_set_hint_style (options, CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_antialias (options, CAIRO_ANTIALIAS_GRAY);
  pango_cairo_context_set_font_options (pango_layout_get_context (self->layout), options);
  cairo_font_options_destroy (options);
  lw_letter_face (self, 10.0, FALSE);
}

void
lw_letter_end (LwLettering *self)
{
  g_clear_object (&self->layout);
}

void
lw_letter_face (LwLettering *self, double size, gboolean bold)
{
  PangoFontDescription *font;

  if (self->size == size && self->bold == bold)
    return;
  font = pango_font_description_new ();
  pango_font_description_set_family_static (font, "sans-serif");
  pango_font_description_set_weight (font, bold ? PANGO_WEIGHT_SEMIBOLD : PANGO_WEIGHT_NORMAL);
  pango_font_description_set_absolute_size (font, CLAMP (size, 1.0, 400.0) * PANGO_SCALE);
  pango_layout_set_font_description (self->layout, font);
  pango_font_description_free (font);
  self->size = size;
  self->bold = bold;
}

void
lw_letter_measure (LwLettering *self, const char *text, double *width, double *height)
{
  int w, h;

  pango_layout_set_text (self->layout, text, -1);
  pango_layout_get_size (self->layout, &w, &h);
  *width = (double) w / PANGO_SCALE;
  *height = (double) h / PANGO_SCALE;
}

void
lw_letter_draw (LwLettering *self, const char *text, double x, double y, double ax, double ay, double turn_rad,
              LwColor color, LwColor halo)
{
  cairo_t *cr = self->cr;
  double width, height;

  /* A place that is no number would spoil the whole context. */
  if (!(fabs (x) < 1e6) || !(fabs (y) < 1e6) || !isfinite (turn_rad))
    return;
  lw_letter_measure (self, text, &width, &height);
  cairo_save (cr);
  cairo_translate (cr, x, y);
  if (turn_rad != 0.0)
    cairo_rotate (cr, turn_rad);
  cairo_move_to (cr, -ax * width, -ay * height);
  if (halo.a > 0.0) {
    pango_cairo_layout_path (cr, self->layout);
    lw_color_set (cr, halo);
    cairo_set_line_width (cr, 0.32 * self->size);
    cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
    cairo_set_dash (cr, NULL, 0, 0.0);
    cairo_stroke (cr);
    cairo_move_to (cr, -ax * width, -ay * height);
  }
  lw_color_set (cr, color);
  pango_cairo_show_layout (cr, self->layout);
  cairo_restore (cr);
  cairo_new_path (cr);
}

void
lw_letter_draw_plate (LwLettering *self, const char *text, double x, double y, double turn_rad, LwColor color,
                      LwColor plate)
{
  cairo_t *cr = self->cr;
  double width, height, pad = 0.18 * self->size;

  if (!(fabs (x) < 1e6) || !(fabs (y) < 1e6) || !isfinite (turn_rad))
    return;
  lw_letter_measure (self, text, &width, &height);
  cairo_save (cr);
  cairo_translate (cr, x, y);
  if (turn_rad != 0.0)
    cairo_rotate (cr, turn_rad);
  /* Capitals fill about the middle three fifths of the text's box. */
  cairo_rectangle (cr, -0.5 * width - pad, -0.32 * height, width + 2.0 * pad, 0.64 * height);
  lw_color_set (cr, plate);
  cairo_fill (cr);
  cairo_move_to (cr, -0.5 * width, -0.5 * height);
  lw_color_set (cr, color);
  pango_cairo_show_layout (cr, self->layout);
  cairo_restore (cr);
  cairo_new_path (cr);
}
