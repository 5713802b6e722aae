/* The board map from bottom to top, and what a drawing needs to know before it begins. */
#include "draw/draw.h"

#include <math.h>
#include <string.h>

#include "draw/board-painter.h"
#include "draw/board-sheets.h"
#include "draw/nice.h"

void
lw_board_picture_init (LwBoardPicture *self, const LwJob *job)
{
  memset (self, 0, sizeof *self);
  self->job = job;
  self->plan = job && job->active_plan < job->plans->len ? (int) job->active_plan : -1;
  self->hovered = -1;
  self->show_field = self->show_isotherms = self->show_names = TRUE;
  self->show_other_side = self->show_copper = TRUE;
  self->show_nozzle = self->show_preheat = self->show_thermocouples = self->show_shields = TRUE;
}

const LwPlan *
lw_job_plan_at (const LwJob *job, int plan)
{
  return job && plan >= 0 && (guint) plan < job->plans->len ? g_ptr_array_index (job->plans, plan) : NULL;
}

static void
box_add (LwBox *box, gboolean *any, double x, double y)
{
  if (!isfinite (x) || !isfinite (y))
    return;
  if (!*any)
    *box = (LwBox){ x, y, x, y };
  *any = TRUE;
  box->x0_mm = MIN (box->x0_mm, x);
  box->y0_mm = MIN (box->y0_mm, y);
  box->x1_mm = MAX (box->x1_mm, x);
  box->y1_mm = MAX (box->y1_mm, y);
}

LwBox
lw_board_extent (const LwJob *job)
{
  LwBox box = { 0, 0, 0, 0 };
  gboolean any = FALSE;

  for (guint i = 0; job && i < job->board->outline->len; i++) {
    const LwLoop *loop = g_ptr_array_index (job->board->outline, i);
    LwBox b;

    if (loop->corners->len < 2)
      continue;
    b = lw_loop_box (loop);
    box_add (&box, &any, b.x0_mm, b.y0_mm);
    box_add (&box, &any, b.x1_mm, b.y1_mm);
  }
  for (guint i = 0; job && i < job->parts->len; i++) {
    const LwPart *part = g_ptr_array_index (job->parts, i);
    const LwPackage *package = lw_job_package_of (job, part);
    LwPoint corners[4];

    if (!part->placed)
      continue;
    box_add (&box, &any, part->x_mm, part->y_mm);
    lw_part_body_corners (part, package, corners);
    for (int k = 0; k < 4; k++)
      box_add (&box, &any, corners[k].x_mm, corners[k].y_mm);
  }
  return any ? box : (LwBox){ 0, 0, 100, 80 };
}

LwBox
lw_board_scene (const LwJob *job, int plan)
{
  const double most = 1.25; /* times as long or wide as the board alone */
  LwBox board = lw_board_extent (job), both = board, area;

  if (!lw_preheat_box (lw_job_plan_at (job, plan), &area))
    return board;
  lw_box_extend (&both, area.x0_mm, area.y0_mm);
  lw_box_extend (&both, area.x1_mm, area.y1_mm);
  return both.x1_mm - both.x0_mm <= most * (board.x1_mm - board.x0_mm)
                 && both.y1_mm - both.y0_mm <= most * (board.y1_mm - board.y0_mm)
             ? both
             : board;
}

static void
range_add (double value, double *low, double *high)
{
  if (!isfinite (value))
    return;
  *low = MIN (*low, value);
  *high = MAX (*high, value);
}

/* One range for the whole run, so that colours keep their meaning while time passes. */
void
lw_board_range (const LwBoardPicture *picture, double *low_c, double *high_c)
{
  const LwPrediction *p = picture->prediction;
  double low = INFINITY, high = -INFINITY, step;

  if (picture->low_c != picture->high_c && isfinite (picture->low_c) && isfinite (picture->high_c)) {
    *low_c = picture->low_c;
    *high_c = picture->high_c;
    return;
  }
  if (picture->job)
    range_add (picture->job->ambient_c, &low, &high);
  if (p) {
    range_add (p->board_peak_c, &low, &high);
    if (p->target >= 0)
      range_add (((const LwPartTrace *) g_ptr_array_index (p->parts, p->target))->joint_peak_c, &low, &high);
  }
  if (!(high > low))
    high = low = isfinite (low) ? low : 20.0;
  step = lw_nice_step ((high - low) / 12.0, FALSE);
  *low_c = step * floor (low / step + 1e-9);
  *high_c = MAX (step * ceil (high / step - 1e-9), *low_c + step);
}

static void
load_field (LwBoardPainter *self)
{
  const LwPrediction *p = self->picture->prediction;

  lw_board_range (self->picture, &self->low_c, &self->high_c);
  self->has_field = p && lw_prediction_has_field (p);
  if (!self->has_field || !(self->picture->show_field || self->picture->show_isotherms))
    return;
  self->field = g_new (float, (gsize) p->nx * p->ny);
  lw_prediction_field (p, self->view->side, self->picture->t_s, self->field);
  lw_field_fill (self->field, p->nx, p->ny);
}

/* Said in the caller's units, kept in those of the letters. */
static void
take_clear (LwBoardPainter *self)
{
  double letters = lw_letters (self->picture->letters);

  for (guint i = 0; i < self->picture->n_clear; i++) {
    const LwBox *box = &self->picture->clear[i];
    LwBox taken = { box->x0_mm / letters, box->y0_mm / letters, box->x1_mm / letters, box->y1_mm / letters };

    g_array_append_val (self->taken, taken);
  }
}

void
lw_board_painter_begin (LwBoardPainter *self, cairo_t *cr, const LwViewport *view,
                        const LwBoardPicture *picture)
{
  double margin = picture->margin / lw_letters (picture->letters);

  memset (self, 0, sizeof *self);
  self->cr = cr;
  self->view = view;
  self->picture = picture;
  self->ink = lw_palette (picture->look);
  self->plan = lw_job_plan_at (picture->job, picture->plan);
  self->target = -1;
  self->frame = (LwBox){ -margin, -margin, view->width + margin, view->height + margin };
  self->taken = g_array_new (FALSE, FALSE, sizeof (LwBox));
  take_clear (self);
  self->notes = lw_board_notes_new ();
  lw_letter_begin (&self->type, cr);
  lw_board_collect_items (self);
  load_field (self);
}

void
lw_board_painter_end (LwBoardPainter *self)
{
  lw_letter_end (&self->type);
  g_array_unref (self->items);
  g_array_unref (self->taken);
  g_array_unref (self->notes);
  g_free (self->field);
}

static gboolean
is_drawable (const LwViewport *view, const LwBoardPicture *picture)
{
  return picture->job && view->width > 0.0 && view->height > 0.0 && view->scale > 0.0
         && isfinite (view->scale) && isfinite (view->center_x_mm) && isfinite (view->center_y_mm)
         && isfinite (view->width) && isfinite (view->height);
}

static void
paint_ground (LwBoardPainter *p)
{
  lw_board_paint_ground (p);
  if (p->picture->show_field && p->field)
    lw_board_paint_field (p);
  if (p->picture->show_grid)
    lw_board_paint_grid (p);
  if (p->picture->show_isotherms && p->field)
    lw_board_paint_isotherms (p);
  if (p->picture->show_copper)
    lw_board_paint_copper (p);
  lw_board_paint_edge (p);
}

static void
paint_parts (LwBoardPainter *p)
{
  if (p->picture->show_other_side)
    lw_board_paint_other_side (p);
  lw_board_paint_parts (p);
}

static void
paint_plan (LwBoardPainter *p)
{
  lw_board_paint_scale_bar (p);
  if (p->picture->show_preheat)
    lw_board_paint_preheat (p);
  if (p->picture->show_shields)
    lw_board_paint_shields (p);
  if (p->picture->show_nozzle)
    lw_board_paint_nozzle (p);
  lw_board_paint_target (p);
  lw_board_paint_marks (p);
  if (p->picture->show_thermocouples)
    lw_board_paint_thermocouples (p);
  lw_board_paint_notes (p);
  if (p->picture->show_names)
    lw_board_paint_names (p);
  if (p->picture->show_isotherms && p->field)
    lw_board_paint_isotherm_figures (p);
}

static void
paint_over (LwBoardPainter *p)
{
  lw_board_paint_selection (p);
  lw_board_paint_proposed (p);
}

static gboolean
has_over (const LwBoardPicture *picture)
{
  return picture->n_selected > 0 || picture->hovered >= 0 || picture->proposed != NULL;
}

/* Each layer starts from a clean context, so that one by one they give the same as together. */
static void
paint_layer (LwBoardPainter *p, cairo_t *cr, void (*paint) (LwBoardPainter *))
{
  p->cr = cr;
  lw_letter_begin (&p->type, cr);
  cairo_save (cr);
  cairo_scale (cr, lw_letters (p->picture->letters), lw_letters (p->picture->letters));
  cairo_rectangle (cr, p->frame.x0_mm, p->frame.y0_mm, p->frame.x1_mm - p->frame.x0_mm, p->frame.y1_mm - p->frame.y0_mm);
  cairo_clip (cr);
  paint (p);
  cairo_restore (cr);
}

void
lw_draw_board_sheets (cairo_t *const sheets[LW_BOARD_N_LAYERS], const LwViewport *viewport, const LwBoardPicture *picture)
{
  static void (*const paint[LW_BOARD_N_LAYERS]) (LwBoardPainter *) = { paint_ground, paint_parts, paint_plan, paint_over };
  LwViewport view = lw_viewport_lettered (viewport, picture->letters);
  LwBoardPainter painter;
  gboolean begun = FALSE;

  if (!is_drawable (viewport, picture))
    return;
  for (guint i = 0; i < LW_BOARD_N_LAYERS; i++) {
    if (!sheets[i] || (1u << i == LW_BOARD_LAYER_OVER && !begun && !has_over (picture)))
      continue;
    if (!begun)
      lw_board_painter_begin (&painter, sheets[i], &view, picture);
    begun = TRUE;
    paint_layer (&painter, sheets[i], paint[i]);
  }
  if (begun)
    lw_board_painter_end (&painter);
}

void
lw_draw_board_layers (cairo_t *cr, const LwViewport *viewport, const LwBoardPicture *picture,
                      LwBoardLayers layers)
{
  cairo_t *sheets[LW_BOARD_N_LAYERS];

  for (guint i = 0; i < LW_BOARD_N_LAYERS; i++)
    sheets[i] = layers & (1u << i) ? cr : NULL;
  lw_draw_board_sheets (sheets, viewport, picture);
}

void
lw_draw_board (cairo_t *cr, const LwViewport *viewport, const LwBoardPicture *picture)
{
  lw_draw_board_layers (cr, viewport, picture, LW_BOARD_LAYER_ALL);
}
