#include "draw/show-page.h"

#include <glib/gi18n.h>
#include <math.h>

#include "draw/board-painter.h"
#include "draw/lettering.h"
#include "draw/palette.h"

#define MARGIN 14.0
#define TITLE 15.0
#define WORDS 13.5
#define CLOCK 24.0
/* Letters of the window are made for this height. */
#define USUAL_HEIGHT 620.0

/* One plan's board and profile, in units of the letters. */
typedef struct {
  LwShown shown;
  LwBox board, profile; /* places on the page; y grows downward */
  LwViewport view;
  LwBoardPicture board_picture;
  LwProfilePicture profile_picture;
  cairo_surface_t *curves; /* what does not move with time */
} Side;

struct LwShowPainter {
  LwShowPage page;
  double scale;         /* letters */
  double width, height; /* page in units of the letters */
  double words_top;     /* of the strip with the words */
  guint n_sides;
  Side sides[2];
};

/* ---- places ---- */

static double
width_of (LwBox box)
{
  return box.x1_mm - box.x0_mm;
}

static double
height_of (LwBox box)
{
  return box.y1_mm - box.y0_mm;
}

/* One plan: board left, profile right. Two: each a column, board above its profile. */
static void
lay_out (LwShowPainter *self)
{
  double top = MARGIN + CLOCK + 14.0, bottom = self->height - 96.0, w = self->width;

  self->words_top = bottom + 6.0;
  if (self->n_sides == 1) {
    self->sides[0].board = (LwBox){ MARGIN, top, 0.5 * w - 0.5 * MARGIN, bottom };
    self->sides[0].profile = (LwBox){ 0.5 * w + 0.5 * MARGIN, top, w - MARGIN, bottom };
    return;
  }
  for (guint i = 0; i < 2; i++) {
    double x0 = i == 0 ? MARGIN : 0.5 * w + 0.5 * MARGIN, x1 = i == 0 ? 0.5 * w - 0.5 * MARGIN : w - MARGIN;
    double middle = top + 22.0 + 0.55 * (bottom - top - 22.0);

    self->sides[i].board = (LwBox){ x0, top + 22.0, x1, middle - 4.0 };
    self->sides[i].profile = (LwBox){ x0, middle + 4.0, x1, bottom };
  }
}

static double
end_of (const LwShown *shown)
{
  const LwPrediction *p = shown->prediction;

  return p != NULL && p->n_times > 0 ? p->t_s[p->n_times - 1] : 0.0;
}

double
lw_show_end_s (const LwShowPage *page)
{
  return fmax (end_of (&page->main), page->other.job != NULL ? end_of (&page->other) : 0.0);
}

/* What is kept as an image has to lie on whole pixels, or its letters blur. */
static double
on_pixel (const LwShowPainter *self, double at)
{
  return round (at * self->scale) / self->scale;
}

/* ---- pictures ---- */

static void
set_pictures (LwShowPainter *self, Side *side)
{
  LwBoardPicture *board = &side->board_picture;
  LwProfilePicture *profile = &side->profile_picture;

  lw_board_picture_init (board, side->shown.job);
  board->look = self->page.look;
  board->plan = side->shown.plan;
  board->prediction = side->shown.prediction;
  board->findings = side->shown.findings;
  board->units = self->page.units;
  board->show_grid = FALSE;
  board->still = TRUE;
  side->view = (LwViewport){ .width = width_of (side->board) - 52.0, .height = height_of (side->board), .side = self->page.side };
  lw_viewport_fit (&side->view, lw_board_scene (side->shown.job, side->shown.plan), 10.0);
  lw_profile_picture_init (profile, side->shown.job, width_of (side->profile), height_of (side->profile));
  profile->look = self->page.look;
  profile->plan = side->shown.plan;
  profile->prediction = side->shown.prediction;
  profile->findings = side->shown.findings;
  profile->units = self->page.units;
  profile->still = TRUE;
  profile->end_s = lw_show_end_s (&self->page);
}

/* The temperature scale is the same on both boards, or they could not be compared. */
static void
share_range (LwShowPainter *self)
{
  double low = INFINITY, high = -INFINITY;

  for (guint i = 0; i < self->n_sides; i++) {
    double a, b;

    lw_board_range (&self->sides[i].board_picture, &a, &b);
    low = fmin (low, a);
    high = fmax (high, b);
  }
  for (guint i = 0; i < self->n_sides; i++) {
    self->sides[i].board_picture.low_c = low;
    self->sides[i].board_picture.high_c = high;
  }
}

static cairo_surface_t *
kept_curves (const LwShowPainter *self, const Side *side)
{
  cairo_surface_t *surface
    = cairo_image_surface_create (CAIRO_FORMAT_ARGB32, MAX ((int) ceil (width_of (side->profile) * self->scale), 1),
                                  MAX ((int) ceil (height_of (side->profile) * self->scale), 1));
  cairo_t *cr = cairo_create (surface);

  cairo_scale (cr, self->scale, self->scale);
  lw_draw_profile_layers (cr, &side->profile_picture, LW_PROFILE_LAYER_BASE);
  cairo_destroy (cr);
  return surface;
}

double
lw_show_letters (double height)
{
  return fmax (height / USUAL_HEIGHT, 1.0);
}

LwShowPainter *
lw_show_painter_new (const LwShowPage *page)
{
  LwShowPainter *self = g_new0 (LwShowPainter, 1);

  self->page = *page;
  self->scale = page->letters > 0.0 ? page->letters : lw_show_letters (page->height);
  self->width = fmax (page->width / self->scale, 1.0);
  self->height = fmax (page->height / self->scale, 1.0);
  self->sides[0].shown = page->main;
  self->sides[1].shown = page->other;
  self->n_sides = page->other.job != NULL ? 2 : 1;
  lay_out (self);
  for (guint i = 0; i < self->n_sides; i++) {
    self->sides[i].profile.x0_mm = on_pixel (self, self->sides[i].profile.x0_mm);
    self->sides[i].profile.y0_mm = on_pixel (self, self->sides[i].profile.y0_mm);
  }
  for (guint i = 0; i < self->n_sides; i++)
    set_pictures (self, &self->sides[i]);
  share_range (self);
  for (guint i = 0; i < self->n_sides; i++)
    self->sides[i].curves = kept_curves (self, &self->sides[i]);
  return self;
}

void
lw_show_painter_free (LwShowPainter *self)
{
  if (self == NULL)
    return;
  for (guint i = 0; i < self->n_sides; i++)
    cairo_surface_destroy (self->sides[i].curves);
  g_free (self);
}

/* ---- what moves ---- */

static void
put (const LwShowPainter *self, cairo_t *cr, cairo_surface_t *surface)
{
  cairo_save (cr);
  cairo_scale (cr, 1.0 / self->scale, 1.0 / self->scale);
  cairo_set_source_surface (cr, surface, 0.0, 0.0);
  cairo_paint (cr);
  cairo_restore (cr);
}

/* Bodies have the colour of their own temperature, and words the ink that suits it: both are of the moment. */
static void
paint_board (Side *side, cairo_t *cr, double t_s)
{
  LwBoardPicture rest;

  side->board_picture.t_s = t_s;
  rest = side->board_picture;
  rest.show_isotherms = FALSE; /* their figures would jump about: the scale beside the board says as much */
  cairo_save (cr);
  cairo_translate (cr, side->board.x0_mm, side->board.y0_mm);
  lw_draw_board_layers (cr, &side->view, &side->board_picture, LW_BOARD_LAYER_GROUND);
  lw_draw_board_layers (cr, &side->view, &rest, LW_BOARD_LAYER_PARTS | LW_BOARD_LAYER_PLAN);
  lw_draw_heat_scale (cr, side->view.width + 8.0, 8.0, 40.0, fmin (side->view.height - 30.0, 220.0), &side->board_picture);
  cairo_restore (cr);
}

static void
paint_side (const LwShowPainter *self, Side *side, cairo_t *cr, double t_s)
{
  paint_board (side, cr, t_s);
  cairo_save (cr);
  cairo_translate (cr, side->profile.x0_mm, side->profile.y0_mm);
  put (self, cr, side->curves);
  side->profile_picture.t_s = t_s;
  lw_draw_profile_layers (cr, &side->profile_picture, LW_PROFILE_LAYER_CURSOR);
  cairo_restore (cr);
}

static char *
title_of (const LwShown *shown)
{
  const LwPlan *plan = shown->plan >= 0 ? g_ptr_array_index (shown->job->plans, shown->plan) : NULL;

  if (plan == NULL)
    return g_strdup (shown->job->title);
  /* Translators: what is done with a part, and the board: "Remove U1 · Gateway". */
  return g_strdup_printf (plan->operation == LW_OP_REMOVE ? _("Remove %s · %s") : _("Place %s · %s"), plan->ref,
                          shown->job->title);
}

static void
paint_heads (const LwShowPainter *self, LwLettering *type, double t_s)
{
  const LwPalette *ink = lw_palette (self->page.look);
  g_autofree char *clock = g_strdup_printf ("%d:%02d", (int) (t_s / 60.0), (int) fmod (floor (t_s), 60.0));

  lw_letter_face (type, TITLE, TRUE);
  for (guint i = 0; i < self->n_sides; i++) {
    g_autofree char *title = title_of (&self->sides[i].shown);
    double y = self->n_sides == 1 ? MARGIN + 0.5 * CLOCK : MARGIN + CLOCK + 20.0;

    lw_letter_draw (type, title, self->sides[i].board.x0_mm, y, 0.0, 0.5, 0.0, ink->ink, (LwColor){ 0, 0, 0, 0 });
  }
  lw_letter_face (type, CLOCK, TRUE);
  lw_letter_draw (type, clock, self->width - MARGIN, MARGIN + 0.5 * CLOCK, 1.0, 0.5, 0.0, ink->accent,
                  (LwColor){ 0, 0, 0, 0 });
}

/* ---- words and figures ---- */

/* A paragraph in a box, as large as fits. */
static void
paint_paragraph (cairo_t *cr, const LwPalette *ink, const char *title, const char *text, LwBox box)
{
  g_autoptr (PangoLayout) layout = pango_cairo_create_layout (cr);
  g_autofree char *safe_title = g_markup_escape_text (title, -1), *safe_text = g_markup_escape_text (text, -1);
  g_autofree char *markup = g_strdup_printf ("<b>%s</b>\n%s", safe_title, safe_text);
  double size = WORDS;
  int w, h;

  pango_layout_set_width (layout, (int) (width_of (box) * PANGO_SCALE));
  pango_layout_set_wrap (layout, PANGO_WRAP_WORD_CHAR);
  for (; size >= 8.0; size -= 0.5) {
    g_autoptr (PangoFontDescription) font = pango_font_description_from_string ("Sans");

    pango_font_description_set_absolute_size (font, size * PANGO_SCALE);
    pango_layout_set_font_description (layout, font);
    pango_layout_set_markup (layout, markup, -1);
    pango_layout_get_pixel_size (layout, &w, &h);
    if (h <= height_of (box))
      break;
  }
  lw_color_set (cr, ink->ink);
  cairo_move_to (cr, box.x0_mm, box.y0_mm);
  pango_cairo_show_layout (cr, layout);
}

static void
add_figure (GString *out, const char *name, double value_c)
{
  if (isfinite (value_c))
    g_string_append_printf (out, "%s%s %.0f °C", out->len > 0 ? "   ·   " : "", name, value_c);
}

char *
lw_show_figures (const LwShown *shown, LwUnits units, double t_s)
{
  const LwPrediction *p = shown->prediction;
  const LwPartTrace *target = p->target >= 0 ? g_ptr_array_index (p->parts, p->target) : NULL;
  g_autoptr (GString) out = g_string_new (NULL);

  if (target != NULL && target->joint_min != NULL) {
    add_figure (out, _("Coldest joint"), lw_prediction_at (p, target->joint_min, t_s));
    add_figure (out, _("Hottest joint"), lw_prediction_at (p, target->joint_max, t_s));
  }
  if (target != NULL && target->body_top != NULL)
    add_figure (out, _("Body top"), lw_prediction_at (p, target->body_top, t_s));
  if (p->board_max != NULL)
    add_figure (out, _("Hottest of the board"), lw_prediction_at (p, p->board_max, t_s));
  if (p->gas_c != NULL)
    add_figure (out, _("Gas"), lw_prediction_at (p, p->gas_c, t_s));
  if (p->preheat_c != NULL)
    add_figure (out, _("Preheater"), lw_prediction_at (p, p->preheat_c, t_s));
  return lw_units_sentence (units, out->str);
}

static void
paint_words (const LwShowPainter *self, cairo_t *cr, double t_s)
{
  const LwPalette *ink = lw_palette (self->page.look);

  for (guint i = 0; i < self->n_sides; i++) {
    const Side *side = &self->sides[i];
    const LwPassage *passage = side->shown.story != NULL ? lw_story_at (side->shown.story, t_s) : NULL;
    LwBox box = { side->board.x0_mm, self->words_top, self->n_sides == 1 ? self->width - MARGIN : side->board.x1_mm,
                  self->height - 8.0 };
    g_autofree char *figures = self->page.show_figures ? lw_show_figures (&side->shown, self->page.units, t_s) : NULL;
    g_autofree char *said = passage != NULL ? lw_units_paragraph (self->page.units, passage->text) : NULL;

    if (figures != NULL)
      paint_paragraph (cr, ink, passage != NULL ? passage->title : _("At this moment"), figures, box);
    else if (passage != NULL)
      paint_paragraph (cr, ink, passage->title, said, box);
  }
}

void
lw_show_paint (LwShowPainter *self, cairo_t *cr, double t_s)
{
  LwLettering type;

  cairo_save (cr);
  cairo_scale (cr, self->scale, self->scale);
  lw_color_set (cr, lw_palette (self->page.look)->desk);
  cairo_paint (cr);
  for (guint i = 0; i < self->n_sides; i++)
    paint_side (self, &self->sides[i], cr, fmin (t_s, end_of (&self->sides[i].shown)));
  lw_letter_begin (&type, cr);
  paint_heads (self, &type, t_s);
  lw_letter_end (&type);
  paint_words (self, cr, t_s);
  cairo_restore (cr);
}
