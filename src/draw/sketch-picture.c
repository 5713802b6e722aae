#include "draw/sketch-picture.h"

#include <math.h>

#include <glib/gi18n.h>

#include "board/loop-edits.h"
#include "draw/lettering.h"
#include "draw/palette.h"

#define CORNER_REACH 8.0 /* picture units */
#define EDGE_REACH 5.0
#define GRID_PITCH_MIN 7.0 /* picture units between dots */

typedef struct {
  cairo_t *cr;
  const LwViewport *view;
  const LwSketchPicture *picture;
  const LwPalette *ink;
  LwLettering type;
} Painter;

static void
to_picture (const Painter *p, double x_mm, double y_mm, double *px, double *py)
{
  lw_viewport_to_picture (p->view, x_mm, y_mm, px, py);
  *px = CLAMP (*px, -2e6, 2e6); /* cairo counts in 24.8 fixed point */
  *py = CLAMP (*py, -2e6, 2e6);
}

static void
loop_path (const Painter *p, const LwLoop *loop, gboolean open)
{
  g_autoptr (GArray) edges = g_array_new (FALSE, FALSE, sizeof (guint));
  g_autoptr (GArray) points = lw_loop_flatten_edges (loop, CLAMP (0.1 / p->view->scale, 1e-4, 10.0), edges);

  cairo_new_sub_path (p->cr);
  for (guint i = 0; i < points->len; i++) {
    double x, y;

    to_picture (p, g_array_index (points, LwPoint, i).x_mm, g_array_index (points, LwPoint, i).y_mm, &x, &y);
    cairo_line_to (p->cr, x, y);
  }
  if (!open)
    cairo_close_path (p->cr);
}

static void
edge_path (const Painter *p, const LwLoop *loop, guint edge)
{
  for (guint k = 0; k <= 32; k++) {
    LwPoint at = lw_loop_edge_point (loop, edge, k / 32.0);
    double x, y;

    to_picture (p, at.x_mm, at.y_mm, &x, &y);
    cairo_line_to (p->cr, x, y);
  }
}

static void
stroke (const Painter *p, LwColor color, double width)
{
  lw_color_set (p->cr, lw_color_fade (p->ink->halo, 0.8));
  cairo_set_line_width (p->cr, width + 2.0);
  cairo_stroke_preserve (p->cr);
  lw_color_set (p->cr, color);
  cairo_set_line_width (p->cr, width);
  cairo_stroke (p->cr);
}

/* ---- copper, vias, grid, guides ---- */

static void
paint_area (const Painter *p, LwLoopPlace place, LwColor color)
{
  static const double dots[] = { 1.5, 4.0 }, dashes[] = { 7.0, 3.0 };

  loop_path (p, lw_job_loop (p->picture->job, place), FALSE);
  lw_color_set (p->cr, lw_color_fade (color, 0.16));
  cairo_fill_preserve (p->cr);
  cairo_set_dash (p->cr, place.owner == LW_LOOP_VIAS ? dots : dashes, 2, 0.0);
  cairo_set_line_cap (p->cr, CAIRO_LINE_CAP_ROUND);
  lw_color_set (p->cr, color);
  cairo_set_line_width (p->cr, 1.5);
  cairo_stroke (p->cr);
  cairo_set_dash (p->cr, NULL, 0, 0.0);
}

static void
paint_areas (const Painter *p)
{
  const LwColor copper = { 0.78, 0.42, 0.16, 1.0 };

  for (guint i = 0; i < lw_job_n_loops (p->picture->job, LW_LOOP_COPPER); i++)
    paint_area (p, (LwLoopPlace){ LW_LOOP_COPPER, i }, copper);
  for (guint i = 0; i < lw_job_n_loops (p->picture->job, LW_LOOP_VIAS); i++)
    paint_area (p, (LwLoopPlace){ LW_LOOP_VIAS, i }, p->ink->thermocouple);
}

/* Dots, thinned out by whole steps until they stand apart. */
static void
paint_grid (const Painter *p)
{
  double step = p->picture->grid_mm, x0, y0, x1, y1, px, py;

  if (!(step > 0.0))
    return;
  while (step * p->view->scale < GRID_PITCH_MIN)
    step *= step * 2.0 * p->view->scale < GRID_PITCH_MIN ? 10.0 : 2.0;
  lw_viewport_to_board (p->view, 0.0, p->view->height, &x0, &y0);
  lw_viewport_to_board (p->view, p->view->width, 0.0, &x1, &y1);
  for (double x = ceil (MIN (x0, x1) / step) * step; x <= MAX (x0, x1); x += step)
    for (double y = ceil (y0 / step) * step; y <= y1; y += step) {
      to_picture (p, x, y, &px, &py);
      cairo_rectangle (p->cr, px - 0.6, py - 0.6, 1.2, 1.2);
    }
  lw_color_set (p->cr, lw_color_fade (p->ink->ink_faint, 0.6));
  cairo_fill (p->cr);
}

static void
paint_guides (const Painter *p, const GArray *guides, gboolean upright)
{
  static const double dash[] = { 2.0, 3.0 };

  for (guint i = 0; guides && i < guides->len; i++) {
    double at = g_array_index (guides, double, i), px, py;

    to_picture (p, upright ? at : 0.0, upright ? 0.0 : at, &px, &py);
    cairo_move_to (p->cr, upright ? px : 0.0, upright ? 0.0 : py);
    cairo_line_to (p->cr, upright ? px : p->view->width, upright ? p->view->height : py);
  }
  cairo_set_dash (p->cr, dash, 2, 0.0);
  lw_color_set (p->cr, p->ink->accent);
  cairo_set_line_width (p->cr, 1.0);
  cairo_stroke (p->cr);
  cairo_set_dash (p->cr, NULL, 0, 0.0);
}

/* ---- words ---- */

static void
write_at (Painter *p, const char *text, double x, double y)
{
  double width, height;

  lw_letter_face (&p->type, 11.0, TRUE);
  lw_letter_measure (&p->type, text, &width, &height);
  x = CLAMP (x, 0.5 * width + 4.0, MAX (p->view->width - 0.5 * width - 4.0, 0.5 * width + 4.0));
  y = CLAMP (y, 0.5 * height + 3.0, MAX (p->view->height - 0.5 * height - 3.0, 0.5 * height + 3.0));
  cairo_rectangle (p->cr, x - 0.5 * width - 4.0, y - 0.5 * height - 2.0, width + 8.0, height + 4.0);
  lw_color_set (p->cr, lw_color_fade (p->ink->halo, 0.92));
  cairo_fill (p->cr);
  lw_letter_draw (&p->type, text, x, y, 0.5, 0.5, 0.0, p->ink->ink, (LwColor){ 0, 0, 0, 0 });
}

/* Length of an edge beside its middle, outside. */
static void
write_edge (Painter *p, const LwLoop *loop, guint edge)
{
  double length = lw_loop_edge_length (loop, edge), arc = g_array_index (loop->corners, LwVertex, edge).arc_deg;
  LwPoint middle = lw_loop_edge_point (loop, edge, 0.5), near = lw_loop_edge_point (loop, edge, 0.45);
  double dx = middle.x_mm - near.x_mm, dy = middle.y_mm - near.y_mm, way = hypot (dx, dy), px, py, ox, oy;
  double out = lw_loop_area (loop) < 0.0 ? -1.0 : 1.0;
  g_autofree char *text = arc == 0.0 ? g_strdup_printf ("%.2f", length) : g_strdup_printf ("%.2f · %.1f°", length, arc);

  if (way == 0.0 || length * p->view->scale < 26.0)
    return;
  to_picture (p, middle.x_mm, middle.y_mm, &px, &py);
  to_picture (p, middle.x_mm + out * dy / way, middle.y_mm - out * dx / way, &ox, &oy);
  way = hypot (ox - px, oy - py);
  write_at (p, text, px + 16.0 * (ox - px) / way, py + 13.0 * (oy - py) / way);
}

/* ---- loops ---- */

static void
corner_mark (const Painter *p, const LwVertex *v, double half, gboolean chosen)
{
  double x, y;

  to_picture (p, v->x_mm, v->y_mm, &x, &y);
  cairo_rectangle (p->cr, x - half, y - half, 2.0 * half, 2.0 * half);
  lw_color_set (p->cr, chosen ? p->ink->accent : p->ink->halo);
  cairo_fill_preserve (p->cr);
  lw_color_set (p->cr, p->ink->accent);
  cairo_set_line_width (p->cr, 1.6);
  cairo_stroke (p->cr);
}

static void
paint_grips_of (Painter *p, LwLoopPlace place, gboolean full)
{
  const LwLoop *loop = lw_job_loop (p->picture->job, place);

  for (guint i = 0; i < loop->corners->len; i++)
    corner_mark (p, &g_array_index (loop->corners, LwVertex, i), full ? 4.0 : 2.2, full && p->picture->corner == (int) i);
  if (!full)
    return;
  if (p->picture->edge >= 0 && p->picture->edge < (int) loop->corners->len) {
    edge_path (p, loop, (guint) p->picture->edge);
    stroke (p, p->ink->accent, 3.0);
  }
  for (guint i = 0; i < loop->corners->len && loop->corners->len <= 40; i++)
    write_edge (p, loop, i);
}

static gboolean
same_place (LwLoopPlace a, LwLoopPlace b)
{
  return a.owner == b.owner && a.index == b.index;
}

static void
paint_grips (Painter *p)
{
  const LwSketchPicture *picture = p->picture;

  for (guint owner = 0; owner < LW_N_LOOP_OWNERS; owner++)
    for (guint i = 0; i < lw_job_n_loops (picture->job, owner) && i < 400; i++)
      if (!same_place (picture->place, (LwLoopPlace){ owner, i }))
        paint_grips_of (p, (LwLoopPlace){ owner, i }, FALSE);
  if (lw_job_loop (picture->job, picture->place)) {
    loop_path (p, lw_job_loop (picture->job, picture->place), FALSE);
    stroke (p, p->ink->accent, 1.4);
    paint_grips_of (p, picture->place, TRUE);
  }
}

static void
write_size (Painter *p, const LwLoop *loop)
{
  LwBox box = lw_loop_box (loop);
  g_autofree char *plain = g_strdup_printf ("%.2f × %.2f mm", box.x1_mm - box.x0_mm, box.y1_mm - box.y0_mm);
  g_autofree char *text = lw_units_sentence (p->picture->units, plain);
  double x, y;

  to_picture (p, 0.5 * (box.x0_mm + box.x1_mm), box.y1_mm, &x, &y);
  write_at (p, text, x, y - 34.0);
}

static void
paint_draft (Painter *p)
{
  static const double dash[] = { 5.0, 3.0 };
  const LwLoop *draft = p->picture->draft;

  if (!draft || draft->corners->len < 2)
    return;
  loop_path (p, draft, p->picture->draft_open);
  if (!p->picture->draft_open) {
    lw_color_set (p->cr, lw_color_fade (p->ink->accent, 0.14));
    cairo_fill_preserve (p->cr);
  }
  cairo_set_dash (p->cr, dash, 2, 0.0);
  stroke (p, p->ink->accent, 1.6);
  cairo_set_dash (p->cr, NULL, 0, 0.0);
  for (guint i = 0; i < draft->corners->len && draft->corners->len <= 24; i++)
    if (i > 0 || !p->picture->draft_open)
      write_edge (p, draft, i);
  write_size (p, draft);
}

/* ---- mark, measure, band ---- */

static void
paint_mark (const Painter *p)
{
  double x, y;

  to_picture (p, p->picture->at.x_mm, p->picture->at.y_mm, &x, &y);
  cairo_move_to (p->cr, x - 7.0, y);
  cairo_line_to (p->cr, x + 7.0, y);
  cairo_move_to (p->cr, x, y - 7.0);
  cairo_line_to (p->cr, x, y + 7.0);
  stroke (p, p->ink->accent, 1.2);
}

static void
paint_measure (Painter *p)
{
  LwPoint a = p->picture->from, b = p->picture->to;
  double dx = b.x_mm - a.x_mm, dy = b.y_mm - a.y_mm, x0, y0, x1, y1;
  g_autofree char *plain = NULL, *text = NULL;

  to_picture (p, a.x_mm, a.y_mm, &x0, &y0);
  to_picture (p, b.x_mm, b.y_mm, &x1, &y1);
  cairo_move_to (p->cr, x0, y0);
  cairo_line_to (p->cr, x1, y1);
  stroke (p, p->ink->accent, 1.6);
  for (int k = 0; k < 2; k++) {
    cairo_arc (p->cr, k ? x1 : x0, k ? y1 : y0, 3.0, 0.0, 2.0 * G_PI);
    lw_color_set (p->cr, p->ink->accent);
    cairo_fill (p->cr);
  }
  /* Translators: a measured distance with its parts along x and y. */
  plain = g_strdup_printf (_("%.2f mm   Δx %.2f mm   Δy %.2f mm   %.1f°"), hypot (dx, dy), dx, dy, atan2 (dy, dx) * 180.0 / G_PI);
  text = lw_units_sentence (p->picture->units, plain);
  write_at (p, text, 0.5 * (x0 + x1), 0.5 * (y0 + y1) - 16.0);
}

static LwPoint
on_line (const LwSketchLine *line, double along)
{
  return line->upright ? (LwPoint){ line->at_mm, along } : (LwPoint){ along, line->at_mm };
}

static void
segment (const Painter *p, const LwSketchLine *line, double from, double to)
{
  LwPoint a = on_line (line, from), b = on_line (line, to);
  double x, y;

  to_picture (p, a.x_mm, a.y_mm, &x, &y);
  cairo_move_to (p->cr, x, y);
  to_picture (p, b.x_mm, b.y_mm, &x, &y);
  cairo_line_to (p->cr, x, y);
}

/* The gap stands out of the line, with a stroke across at either end. */
static void
paint_gap (Painter *p, const LwSketchLine *line)
{
  LwPoint middle = on_line (line, 0.5 * (line->gap_from_mm + line->gap_to_mm));
  g_autofree char *plain = g_strdup_printf (_("%.2f mm"), fabs (line->gap_to_mm - line->gap_from_mm));
  g_autofree char *text = lw_units_sentence (p->picture->units, plain);
  double x, y;

  segment (p, line, line->gap_from_mm, line->gap_to_mm);
  for (int k = 0; k < 2; k++) {
    LwPoint end = on_line (line, k ? line->gap_to_mm : line->gap_from_mm);

    to_picture (p, end.x_mm, end.y_mm, &x, &y);
    cairo_move_to (p->cr, x - (line->upright ? 5.0 : 0.0), y - (line->upright ? 0.0 : 5.0));
    cairo_line_to (p->cr, x + (line->upright ? 5.0 : 0.0), y + (line->upright ? 0.0 : 5.0));
  }
  stroke (p, p->ink->accent, 1.6);
  to_picture (p, middle.x_mm, middle.y_mm, &x, &y);
  write_at (p, text, line->upright ? x + 34.0 : x, line->upright ? y : y - 14.0);
}

static void
paint_lines (Painter *p)
{
  static const double dash[] = { 4.0, 3.0 };

  for (guint i = 0; i < p->picture->n_lines; i++) {
    segment (p, &p->picture->lines[i], p->picture->lines[i].from_mm, p->picture->lines[i].to_mm);
    cairo_set_dash (p->cr, dash, 2, 0.0);
    stroke (p, p->ink->accent, 1.0);
    cairo_set_dash (p->cr, NULL, 0, 0.0);
  }
  for (guint i = 0; i < p->picture->n_lines; i++)
    if (p->picture->lines[i].gap)
      paint_gap (p, &p->picture->lines[i]);
}

static void
paint_label (Painter *p)
{
  g_autofree char *text = lw_units_sentence (p->picture->units, p->picture->label);
  double x, y;

  to_picture (p, p->picture->label_at.x_mm, p->picture->label_at.y_mm, &x, &y);
  write_at (p, text, x, y + 18.0);
}

static void
paint_band (const Painter *p)
{
  LwBox box = p->picture->band_box;
  double by = lw_letters (p->picture->letters);

  cairo_rectangle (p->cr, box.x0_mm / by, box.y0_mm / by, (box.x1_mm - box.x0_mm) / by, (box.y1_mm - box.y0_mm) / by);
  lw_color_set (p->cr, lw_color_fade (p->ink->accent, 0.14));
  cairo_fill_preserve (p->cr);
  stroke (p, p->ink->accent, 1.2);
}

void
lw_draw_sketch (cairo_t *cr, const LwViewport *viewport, const LwSketchPicture *picture)
{
  LwViewport view = lw_viewport_lettered (viewport, picture->letters);
  Painter p = { .cr = cr, .view = &view, .picture = picture, .ink = lw_palette (picture->look) };

  if (!picture->job || !(viewport->scale > 0.0))
    return;
  cairo_save (cr);
  cairo_scale (cr, lw_letters (picture->letters), lw_letters (picture->letters));
  cairo_rectangle (cr, 0.0, 0.0, view.width, view.height);
  cairo_clip (cr);
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  lw_letter_begin (&p.type, cr);
  if (picture->show_grips) {
    paint_grid (&p);
    paint_areas (&p);
  }
  paint_guides (&p, picture->guides_x, TRUE);
  paint_guides (&p, picture->guides_y, FALSE);
  if (picture->show_grips)
    paint_grips (&p);
  paint_draft (&p);
  if (picture->mark)
    paint_mark (&p);
  if (picture->measured)
    paint_measure (&p);
  paint_lines (&p);
  if (picture->label)
    paint_label (&p);
  if (picture->band)
    paint_band (&p);
  lw_letter_end (&p.type);
  cairo_restore (cr);
}

/* ---- hit ---- */

typedef struct {
  const LwViewport *view;
  double px, py, x_mm, y_mm, corner_reach, edge_reach;
  LwLoopPlace place;
  int corner, edge;
} Search;

static void
search_loop (Search *s, const LwLoop *loop, LwLoopPlace place)
{
  guint edge;
  double away;

  for (guint i = 0; i < loop->corners->len; i++) {
    const LwVertex *v = &g_array_index (loop->corners, LwVertex, i);

    away = hypot (v->x_mm - s->x_mm, v->y_mm - s->y_mm) * s->view->scale;
    if (away >= s->corner_reach)
      continue;
    s->corner_reach = away;
    s->place = place;
    s->corner = (int) i;
    s->edge = -1;
  }
  if (s->corner >= 0 || loop->corners->len < 2)
    return;
  away = lw_loop_nearest (loop, s->x_mm, s->y_mm, &edge, NULL, NULL) * s->view->scale;
  if (away >= s->edge_reach)
    return;
  s->edge_reach = away;
  s->place = place;
  s->edge = (int) edge;
}

gboolean
lw_sketch_hit (const LwJob *job, const LwViewport *viewport, LwLoopPlace prefer, double px, double py,
               LwLoopPlace *place, int *corner, int *edge)
{
  Search s = { .view = viewport, .px = px, .py = py, .corner_reach = CORNER_REACH, .edge_reach = EDGE_REACH,
               .corner = -1, .edge = -1 };

  lw_viewport_to_board (viewport, px, py, &s.x_mm, &s.y_mm);
  if (lw_job_loop (job, prefer))
    search_loop (&s, lw_job_loop (job, prefer), prefer);
  for (guint owner = 0; owner < LW_N_LOOP_OWNERS; owner++)
    for (guint i = 0; i < lw_job_n_loops (job, owner); i++)
      if (!same_place (prefer, (LwLoopPlace){ owner, i }))
        search_loop (&s, lw_job_loop (job, (LwLoopPlace){ owner, i }), (LwLoopPlace){ owner, i });
  *place = s.place;
  *corner = s.corner;
  *edge = s.corner >= 0 ? -1 : s.edge;
  return s.corner >= 0 || s.edge >= 0;
}
