/* The moment's line over the profile, and what the curves are at then. */
#include <math.h>

#include <glib/gi18n.h>

#include "draw/profile-painter.h"

#define PAD 5.0
#define SAMPLE 14.0 /* of a curve, before its figure */

typedef struct {
  char *text;
  LwColor color;
  double weight; /* of the curve */
} Row;

static void
row_clear (gpointer data)
{
  g_free (((Row *) data)->text);
}

/* Takes TEXT. */
static void
add_row (const LwProfilePicture *picture, GArray *rows, char *text, LwColor color, double weight)
{
  Row row = { lw_units_sentence (picture->units, text), color, weight };

  g_free (text);
  g_array_append_val (rows, row);
}

/* Of the target's joints and body, then of the selected part. */
static GArray *
rows_of (const LwProfilePicture *picture)
{
  const LwPrediction *p = picture->prediction;
  const LwPartTrace *target = lw_profile_target (picture);
  const LwPartTrace *selected = lw_profile_trace (picture, picture->selected_part);
  const LwPalette *ink = lw_palette (picture->look);
  double t_s = picture->t_s;
  GArray *rows = g_array_new (FALSE, FALSE, sizeof (Row));

  g_array_set_clear_func (rows, row_clear);
  if (target && target->joint_min && target->joint_max)
    add_row (picture, rows,
             g_strdup_printf (_ ("Joints %.0f to %.0f °C"), lw_prediction_at (p, target->joint_min, t_s),
                              lw_prediction_at (p, target->joint_max, t_s)),
             ink->joints, 2.2);
  if (target && target->body_top)
    add_row (picture, rows, g_strdup_printf (_ ("Body %.0f °C"), lw_prediction_at (p, target->body_top, t_s)), ink->body, 1.4);
  if (selected && selected != target && (selected->joint_max || selected->body_top))
    add_row (picture, rows,
             g_strdup_printf (_ ("%s %.0f °C"), selected->ref,
                              lw_prediction_at (p, selected->joint_max ? selected->joint_max : selected->body_top, t_s)),
             ink->accent, 2.8);
  return rows;
}

char **
lw_profile_readings (const LwProfilePicture *picture)
{
  g_autoptr (GArray) rows = rows_of (picture);
  char **out = g_new0 (char *, rows->len + 1);

  for (guint i = 0; i < rows->len; i++)
    out[i] = g_strdup (g_array_index (rows, Row, i).text);
  return out;
}

static char *
in_lines (const char *time, const GArray *rows)
{
  GString *text = g_string_new (time);

  for (guint i = 0; i < rows->len; i++)
    g_string_append_printf (text, "\n%s", g_array_index (rows, Row, i).text);
  return g_string_free (text, FALSE);
}

/* Beside the cursor, away from the curves: below them once the target is hot, above them before. */
static gboolean
reads_below (const LwProfilePainter *self)
{
  const LwPartTrace *target = lw_profile_target (self->picture);
  double middle = 0.5 * (self->layout.low_c + self->layout.high_c);

  return target && target->joint_mean
         && lw_prediction_at (self->picture->prediction, target->joint_mean, self->picture->t_s) > 0.9 * middle;
}

static void
paint_box (LwProfilePainter *self, double x, const char *text)
{
  cairo_t *cr = self->cr;
  const LwProfileLayout *l = &self->layout;
  double w, h, left, top = l->y0 + PAD;

  lw_letter_face (&self->type, 9.5, FALSE);
  lw_letter_measure (&self->type, text, &w, &h);
  if (h + 2.0 * PAD + 8.0 > l->y1 - l->y0)
    return;
  if (reads_below (self))
    top = MAX (l->y1 - 20.0 - h - 2.0 * PAD, top);
  left = x + 7.0 + w + 2.0 * PAD > l->x1 ? x - 7.0 - w - 2.0 * PAD : x + 7.0;
  cairo_rectangle (cr, left, top, w + 2.0 * PAD, h + 2.0 * PAD);
  lw_color_set (cr, lw_color_fade (self->ink->board, 0.92));
  cairo_fill_preserve (cr);
  lw_color_set (cr, lw_color_fade (self->ink->accent, 0.7));
  cairo_set_line_width (cr, 0.8);
  cairo_stroke (cr);
  lw_letter_draw (&self->type, text, left + PAD, top + PAD, 0.0, 0.0, 0.0, self->ink->ink, (LwColor){ 0, 0, 0, 0 });
}

/* In a small picture a box would hide the curves it tells of: one line in the stages' strip, right of the axis' unit, each
 * figure behind a sample of its curve. What finds no room is left out. */
static void
paint_line (LwProfilePainter *self, const char *time, const GArray *rows)
{
  const LwColor none = { 0, 0, 0, 0 };
  cairo_t *cr = self->cr;
  double x = 24.0, y = self->layout.y0 - 0.5 * self->layout.strip - 2.0, w, h;

  lw_letter_face (&self->type, 9.5, FALSE);
  lw_letter_measure (&self->type, time, &w, &h);
  lw_letter_draw (&self->type, time, x, y, 0.0, 0.5, 0.0, self->ink->ink, none);
  x += w + 9.0;
  for (guint i = 0; i < rows->len; i++) {
    const Row *row = &g_array_index (rows, Row, i);

    lw_letter_measure (&self->type, row->text, &w, &h);
    if (x + SAMPLE + 3.0 + w > self->picture->width - 2.0)
      return;
    cairo_move_to (cr, x, y);
    cairo_line_to (cr, x + SAMPLE, y);
    lw_color_set (cr, row->color);
    cairo_set_line_width (cr, row->weight);
    cairo_stroke (cr);
    lw_letter_draw (&self->type, row->text, x + SAMPLE + 3.0, y, 0.0, 0.5, 0.0, self->ink->ink, none);
    x += SAMPLE + 3.0 + w + 9.0;
  }
}

static void
paint_moment (LwProfilePainter *self, double x)
{
  cairo_t *cr = self->cr;
  const LwProfileLayout *l = &self->layout;

  cairo_move_to (cr, x, l->y0);
  cairo_line_to (cr, x, l->y1);
  lw_color_set (cr, lw_color_fade (self->ink->halo, 0.7));
  cairo_set_line_width (cr, 3.5);
  cairo_stroke_preserve (cr);
  lw_color_set (cr, self->ink->accent);
  cairo_set_line_width (cr, 1.4);
  cairo_stroke (cr);
  cairo_move_to (cr, x, l->y1 - 1.0);
  cairo_line_to (cr, x + 6.0, l->y1 + 7.0);
  cairo_line_to (cr, x - 6.0, l->y1 + 7.0);
  cairo_close_path (cr);
  cairo_fill (cr);
}

void
lw_profile_paint_cursor (LwProfilePainter *self)
{
  const LwProfileLayout *l = &self->layout;
  double x = lw_layout_x (l, self->picture->t_s);
  g_autoptr (GArray) rows = NULL;
  g_autofree char *time = NULL, *text = NULL;

  if (!isfinite (self->picture->t_s) || x < l->x0 - 0.5 || x > l->x1 + 0.5)
    return;
  paint_moment (self, x);
  rows = rows_of (self->picture);
  time = lw_profile_time_text (l, self->picture->t_s);
  text = in_lines (time, rows);
  if (l->small)
    paint_line (self, time, rows);
  else
    paint_box (self, x, text);
}
