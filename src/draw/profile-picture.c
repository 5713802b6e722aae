/* The profile from bottom to top; legend and empty state. */
#include <math.h>
#include <string.h>

#include <glib/gi18n.h>

#include "draw/profile-painter.h"
#include "draw/run-curves.h"

typedef struct {
  const char *text, *brief; /* the brief words, where there are any, for little room */
  LwColor color;
  const double *dash;
  int n_dash;
  double weight;
  double band; /* opacity of a filled sample */
  gboolean hatched, run;
} LegendItem;

static double
paint_legend_item (LwProfilePainter *self, const LegendItem *item, double x, double y)
{
  cairo_t *cr = self->cr;
  double w, h;

  lw_letter_measure (&self->type, item->text, &w, &h);
  if (x + 28.0 + w > self->picture->width - 4.0)
    return x;
  if (item->band > 0.0) {
    cairo_rectangle (cr, x, y - 4.0, 20.0, 8.0);
    lw_color_set (cr, lw_color_fade (item->color, item->band));
    cairo_fill (cr);
  }
  if (item->hatched)
    lw_profile_paint_band_sample (self, x, y - 5.0, 20.0, 10.0);
  if (item->weight > 0.0) {
    cairo_move_to (cr, x, y);
    cairo_line_to (cr, x + 20.0, y);
    lw_color_set (cr, item->color);
    cairo_set_line_width (cr, item->weight);
    cairo_set_dash (cr, item->dash, item->n_dash, 0.0);
    cairo_stroke (cr);
    cairo_set_dash (cr, NULL, 0, 0.0);
  }
  lw_letter_draw (&self->type, item->text, x + 25.0, y, 0.0, 0.5, 0.0, self->ink->ink_soft,
                  (LwColor){ 0, 0, 0, 0 });
  return x + 25.0 + w + 16.0;
}

/* What one item takes of the line, with the gap behind it. */
static double
item_width (LwProfilePainter *self, const char *text)
{
  double w, h;

  lw_letter_measure (&self->type, text, &w, &h);
  return 25.0 + w + 16.0;
}

/* The long words only where the whole line has room for them. */
static void
paint_legend_line (LwProfilePainter *self, LegendItem *items, guint n)
{
  double x = self->layout.x0, y = self->picture->height - 11.0, whole = x;

  for (guint i = 0; i < n; i++)
    whole += item_width (self, items[i].text);
  for (guint i = 0; i < n; i++) {
    double before = x;

    if (whole - 13.0 > self->picture->width - 4.0 && items[i].brief)
      items[i].text = items[i].brief;
    x = paint_legend_item (self, &items[i], x, y);
    if (items[i].run && x > before)
      lw_draw_run_mark (self->cr, before + 10.0, y, 3.4, 0, self->picture->look);
  }
}

/* The set line that holds longest, for its name. */
static const LwSetLine *
longest_line (const LwProfilePainter *self, gboolean gas)
{
  const LwSetLine *longest = NULL;

  for (guint i = 0; i < self->set_lines->len; i++) {
    const LwSetLine *line = &g_array_index (self->set_lines, LwSetLine, i);
    gboolean held = isfinite (gas ? line->gas1_c : line->warm1_c) && !line->ramp;

    if (held && (longest == NULL || line->t1_s - line->t0_s > longest->t1_s - longest->t0_s))
      longest = line;
  }
  return longest;
}

/* In a low picture the set lines bear their names themselves; the curves have theirs at the right. */
static void
name_set_line (LwProfilePainter *self, gboolean gas)
{
  const LwProfileLayout *l = &self->layout;
  const LwSetLine *line = longest_line (self, gas);
  const char *name = gas ? _ ("Gas set") : _ ("Preheat set");
  double x, y, w, h;
  gboolean below;

  if (line == NULL)
    return;
  lw_letter_measure (&self->type, name, &w, &h);
  x = lw_layout_x (l, line->t0_s) + 4.0;
  y = lw_layout_y (l, gas ? line->gas1_c : line->warm1_c);
  below = y - h - 2.0 < l->y0;
  if (x + w > l->x1 || l->y1 - l->y0 < 3.0 * h)
    return;
  lw_letter_draw (&self->type, name, x, y + (below ? 2.0 : -2.0), 0.0, below ? 0.0 : 1.0, 0.0,
                  gas ? self->ink->gas : self->ink->warmth, self->ink->halo);
}

void
lw_profile_paint_legend (LwProfilePainter *self)
{
  const LwPalette *ink = self->ink;
  gboolean answer = lw_profile_target (self->picture) != NULL;
  gboolean doubt = answer && self->picture->prediction->doubt != NULL && self->picture->show_bands;
  LegendItem items[7] = {
    { _ ("Gas set"), NULL, ink->gas, lw_dash_gas, 2, 1.8, 0.0 },
    { _ ("Preheat set"), NULL, ink->warmth, lw_dash_warm, 4, 1.8, 0.0 },
    { _ ("delivered"), NULL, lw_color_fade (ink->gas, 0.5), NULL, 0, 1.0, 0.0 },
    { _ ("Joints, coldest to hottest, and mean"), _ ("Joints"), ink->joints, NULL, 0, 2.2, 0.22 },
    { _ ("Body top"), NULL, ink->body, NULL, 0, 1.4, 0.0 },
    /* xgettext:no-c-format */
    { _ ("5 % to 95 % of all cases"), _ ("5 % to 95 %"), ink->joints, NULL, 0, 0.0, 0.0, TRUE },
  };
  guint n = doubt ? 6 : answer ? 5 : 2;

  lw_letter_face (&self->type, 9.5, FALSE);
  if (self->picture->height <= LW_PROFILE_LOW) {
    if (self->layout.column > 0.0) {
      name_set_line (self, TRUE);
      name_set_line (self, FALSE);
    }
    return;
  }
  if (self->picture->run)
    items[n++] = (LegendItem){ _ ("measured"), NULL, ink->joints, NULL, 0, 1.8, 0.0, FALSE, TRUE };
  paint_legend_line (self, items, n);
}

/* Clear ground for the words, as the set lines may pass there. */
static void
paint_empty_ground (LwProfilePainter *self, double x, double y, const char *head, const char *rest)
{
  double w0, h0, w1, h1, half;
  LwColor ground = self->ink->halo;

  ground.a = 0.92;
  lw_letter_face (&self->type, 14.0, TRUE);
  lw_letter_measure (&self->type, head, &w0, &h0);
  lw_letter_face (&self->type, 10.5, FALSE);
  lw_letter_measure (&self->type, rest, &w1, &h1);
  half = 0.5 * MAX (w0, w1) + 8.0;
  cairo_new_path (self->cr);
  cairo_rectangle (self->cr, x - half, y - h0 - 4.0, 2.0 * half, h0 + h1 + 12.0);
  lw_color_set (self->cr, ground);
  cairo_fill (self->cr);
}

/* Says what is missing, low in the plot, where the fewest set lines pass. */
void
lw_profile_paint_empty (LwProfilePainter *self)
{
  const LwProfileLayout *l = &self->layout;
  double x = 0.5 * (l->x0 + l->x1), y = l->y0 + 0.76 * (l->y1 - l->y0);
  const char *head = self->plan ? _ ("No answer yet") : _ ("No part chosen for rework");
  const char *rest = self->plan ? _ ("Predicted temperatures appear here.")
                                : _ ("Choose a part to give it a plan.");

  if (l->small) { /* in the strip, as the readout */
    lw_letter_face (&self->type, 10.5, FALSE);
    lw_letter_draw (&self->type, head, l->x1, l->y0 - 0.5 * l->strip - 2.0, 1.0, 0.5, 0.0, self->ink->ink_soft,
                    (LwColor){ 0, 0, 0, 0 });
    return;
  }
  if (l->y1 - l->y0 < 40.0 || l->x1 - l->x0 < 160.0)
    return;
  paint_empty_ground (self, x, y, head, rest);
  lw_letter_face (&self->type, 14.0, TRUE);
  lw_letter_draw (&self->type, head, x, y, 0.5, 1.0, 0.0, self->ink->ink_soft, (LwColor){ 0, 0, 0, 0 });
  lw_letter_face (&self->type, 10.5, FALSE);
  lw_letter_draw (&self->type, rest, x, y + 4.0, 0.5, 0.0, 0.0, self->ink->ink_soft, (LwColor){ 0, 0, 0, 0 });
}

static void
label_clear (gpointer data)
{
  g_free (((LwColumnLabel *) data)->text);
}

static void
paint_inside (LwProfilePainter *p)
{
  const LwProfileLayout *l = &p->layout;

  cairo_save (p->cr);
  cairo_rectangle (p->cr, l->x0, l->y0 - 2.0, l->x1 - l->x0, l->y1 - l->y0 + 3.0);
  cairo_clip (p->cr);
  if (p->picture->show_limits)
    lw_profile_paint_limits (p);
  lw_profile_paint_delivered (p);
  lw_profile_paint_set_points (p);
  lw_profile_paint_bands (p);
  lw_profile_paint_neighbours (p);
  lw_profile_paint_target (p);
  if (p->picture->run)
    lw_run_paint_measured (p, p->picture->run, -1, FALSE);
  cairo_restore (p->cr);
}

void
lw_draw_profile_layers (cairo_t *cr, const LwProfilePicture *as_asked, LwProfileLayers layers)
{
  LwProfilePicture lettered = lw_profile_lettered (as_asked), *picture = &lettered;
  LwProfilePainter p = { .cr = cr, .picture = picture, .ink = lw_palette (picture->look) };

  if (!picture->job || !(picture->width > 20.0) || !(picture->height > 20.0) || !isfinite (picture->width)
      || !isfinite (picture->height))
    return;
  cairo_save (cr);
  cairo_scale (cr, lw_letters (as_asked->letters), lw_letters (as_asked->letters));
  cairo_rectangle (cr, 0.0, 0.0, picture->width, picture->height);
  cairo_clip (cr);
  p.plan = lw_profile_plan (picture);
  p.set_lines = lw_profile_set_lines (picture);
  p.column = g_array_new (FALSE, FALSE, sizeof (LwColumnLabel));
  lw_profile_layout (picture, &p.layout);
  lw_letter_begin (&p.type, cr);
  if (layers & LW_PROFILE_LAYER_BASE) {
    lw_profile_paint_frame (&p);
    lw_profile_paint_stages (&p);
    paint_inside (&p);
    if (picture->look != LW_LOOK_PRINT) /* nobody drags on paper */
      lw_profile_paint_handles (&p);
    lw_profile_paint_findings (&p);
    lw_profile_paint_column (&p);
    if (p.layout.column <= 0.0)
      lw_profile_paint_beside (&p, picture->show_legend && picture->height <= LW_PROFILE_LOW);
    if (picture->show_legend)
      lw_profile_paint_legend (&p);
    if (!picture->prediction)
      lw_profile_paint_empty (&p);
  }
  if (layers & LW_PROFILE_LAYER_CURSOR)
    lw_profile_paint_cursor (&p);
  lw_letter_end (&p.type);
  for (guint i = 0; i < p.column->len; i++)
    label_clear (&g_array_index (p.column, LwColumnLabel, i));
  g_array_unref (p.column);
  g_array_unref (p.set_lines);
  cairo_restore (cr);
}

void
lw_draw_profile (cairo_t *cr, const LwProfilePicture *picture)
{
  lw_draw_profile_layers (cr, picture, LW_PROFILE_LAYER_BASE | LW_PROFILE_LAYER_CURSOR);
}
