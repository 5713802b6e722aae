/* Where everything goes: the map with the distances that are measured first, and a table with all of them. */
#include <glib/gi18n.h>
#include <math.h>

#include "draw/board-painter.h"
#include "draw/sheet-inside.h"
#include "plan/bench.h"

#define MAP_MARGIN 22.0 /* round the board, for words */
#define STRIP 14.0      /* beyond it, for the distances */
#define MAP_MOST 300.0
#define MAP_LEAST 130.0
#define FRAME_LEAST 220.0
#define ARROW 5.0
#define N_LEADS 4     /* dashed lines that lead to the distances */
#define CLEAR 1.5     /* kept clear on either side of them */
#define WHAT 0.22        /* shares of the table's width */
#define HOW 0.39

static LwSide
target_side (const LwBenchSheet *self)
{
  const LwPart *target = lw_sheet_target (self);

  return target != NULL ? target->side : LW_SIDE_TOP;
}

/* The plan whose place on the board the map has to hold, -1 when nothing heats. */
static int
heating_plan (const LwBenchSheet *self)
{
  return lw_sheet_heats (self) ? (int) self->input.plan : -1;
}

static LwBox
board_box (const LwBenchSheet *self)
{
  const GPtrArray *outline = self->job->board->outline;

  return outline->len > 0 ? lw_loop_box (g_ptr_array_index (outline, 0)) : lw_board_extent (self->job);
}

/* Where a point lies as the map shows it: from the board's left and lower edges, mm. */
static LwPoint
place_of (const LwBenchSheet *self, double x_mm, double y_mm)
{
  LwBox box = board_box (self);

  return (LwPoint){ target_side (self) == LW_SIDE_TOP ? x_mm - box.x0_mm : box.x1_mm - x_mm, y_mm - box.y0_mm };
}

/* The middle of the target's body, board frame. */
static LwPoint
middle_of_target (const LwBenchSheet *self)
{
  const LwPart *target = lw_sheet_target (self);
  const LwPackage *package = target != NULL ? lw_job_package_of (self->job, target) : NULL;

  if (target == NULL)
    return (LwPoint){ NAN, NAN };
  return package != NULL ? lw_part_body_center (target, package) : (LwPoint){ target->x_mm, target->y_mm };
}

/* ---- the map ---- */

static void
arrow_head (cairo_t *cr, double x, double y, double dx, double dy)
{
  cairo_move_to (cr, x, y);
  cairo_line_to (cr, x - ARROW * dx - 0.4 * ARROW * dy, y - ARROW * dy + 0.4 * ARROW * dx);
  cairo_line_to (cr, x - ARROW * dx + 0.4 * ARROW * dy, y - ARROW * dy - 0.4 * ARROW * dx);
  cairo_close_path (cr);
  cairo_fill (cr);
}

static void
measure_line (cairo_t *cr, double x0, double y0, double x1, double y1)
{
  double length = hypot (x1 - x0, y1 - y0), dx, dy;

  if (length < 2.0 * ARROW)
    return;
  dx = (x1 - x0) / length;
  dy = (y1 - y0) / length;
  cairo_move_to (cr, x0, y0);
  cairo_line_to (cr, x1, y1);
  cairo_set_line_width (cr, 0.7);
  cairo_stroke (cr);
  arrow_head (cr, x1, y1, dx, dy);
  arrow_head (cr, x0, y0, -dx, -dy);
}

static void
dashed (cairo_t *cr, double x0, double y0, double x1, double y1)
{
  static const double dash[] = { 2.0, 3.0 };

  cairo_set_dash (cr, dash, 2, 0);
  cairo_set_line_width (cr, 0.6);
  cairo_move_to (cr, x0, y0);
  cairo_line_to (cr, x1, y1);
  cairo_stroke (cr);
  cairo_set_dash (cr, NULL, 0, 0);
}

/* Where the distances are drawn: from the left edge along the top, from the lower edge along the right, as the scale's bar has the
 * lower left. Picture units. */
typedef struct {
  double left, right, low, high; /* the board's edges */
  double cx, cy;                 /* the part's middle */
  double x, y;                   /* of the upright and of the lying line */
} Measures;

static gboolean
measures_of (const LwBenchSheet *self, const LwViewport *view, Measures *m)
{
  LwBox box = board_box (self), scene = lw_board_scene (self->job, heating_plan (self));
  LwPoint middle = middle_of_target (self);
  double x0, y0, x1, y1;

  if (isnan (middle.x_mm))
    return FALSE;
  lw_viewport_to_picture (view, box.x0_mm, box.y0_mm, &x0, &y0);
  lw_viewport_to_picture (view, box.x1_mm, box.y1_mm, &x1, &y1);
  *m = (Measures){ .left = fmin (x0, x1), .right = fmax (x0, x1), .low = fmax (y0, y1), .high = fmin (y0, y1) };
  lw_viewport_to_picture (view, middle.x_mm, middle.y_mm, &m->cx, &m->cy);
  lw_viewport_to_picture (view, scene.x0_mm, scene.y0_mm, &x0, &y0);
  lw_viewport_to_picture (view, scene.x1_mm, scene.y1_mm, &x1, &y1);
  m->y = fmin (y0, y1) - MAP_MARGIN - 4.0;
  m->x = fmax (x0, x1) + MAP_MARGIN + 4.0;
  return TRUE;
}

/* No words under the dashed lines that lead to the distances. */
static void
measures_boxes (const Measures *m, LwBox boxes[N_LEADS])
{
  boxes[0] = (LwBox){ m->left - CLEAR, m->y, m->left + CLEAR, m->high };
  boxes[1] = (LwBox){ m->cx - CLEAR, m->y, m->cx + CLEAR, m->cy };
  boxes[2] = (LwBox){ m->right, m->low - CLEAR, m->x, m->low + CLEAR };
  boxes[3] = (LwBox){ m->cx, m->cy - CLEAR, m->x, m->cy + CLEAR };
}

static void
paint_measures (cairo_t *cr, const LwBenchSheet *self, const Measures *m)
{
  LwPoint middle = middle_of_target (self), at = place_of (self, middle.x_mm, middle.y_mm);
  g_autofree char *across = g_strdup_printf (_("%.1f mm"), at.x_mm), *up = g_strdup_printf (_("%.1f mm"), at.y_mm);
  const LwColor black = { 0, 0, 0, 1 }, white = { 1, 1, 1, 1 };
  LwLettering type;

  cairo_set_source_rgb (cr, 0, 0, 0);
  dashed (cr, m->left, m->high, m->left, m->y - 3.0);
  dashed (cr, m->cx, m->cy, m->cx, m->y - 3.0);
  dashed (cr, m->right, m->low, m->x + 3.0, m->low);
  dashed (cr, m->cx, m->cy, m->x + 3.0, m->cy);
  measure_line (cr, m->left, m->y, m->cx, m->y);
  measure_line (cr, m->x, m->low, m->x, m->cy);
  lw_letter_begin (&type, cr);
  lw_letter_face (&type, LW_SHEET_TEXT_PT, TRUE);
  lw_letter_draw_plate (&type, across, fmax (0.5 * (m->left + m->cx), m->left + 24.0), m->y, 0, black, white);
  lw_letter_draw_plate (&type, up, m->x, fmin (0.5 * (m->low + m->cy), m->low - 24.0), -G_PI / 2, black, white);
  lw_letter_end (&type);
}

/* A frame just round the board, so that no words reach into the strips above and to the right of it. */
static LwViewport
map_view (const LwBenchSheet *self, double width, double height)
{
  LwBox scene = lw_board_scene (self->job, heating_plan (self));
  LwViewport view = { .width = width - 2.0 * STRIP, .height = height - STRIP, .side = target_side (self), .scale = 1.0 };

  lw_viewport_fit (&view, scene, MAP_MARGIN);
  view.width = fmin (view.width, fmax ((scene.x1_mm - scene.x0_mm) * view.scale + 2.0 * MAP_MARGIN, FRAME_LEAST));
  return view;
}

static void
paint_map (cairo_t *cr, double width, double height, gconstpointer data)
{
  const LwBenchSheet *self = data;
  LwViewport view = map_view (self, width, height);
  LwBoardPicture picture;
  LwBox clear[N_LEADS];
  Measures measures;
  gboolean measured = measures_of (self, &view, &measures);

  lw_board_picture_init (&picture, self->job);
  picture.look = LW_LOOK_PRINT;
  picture.plan = (int) self->input.plan;
  if (measured) {
    measures_boxes (&measures, clear);
    picture.clear = clear;
    picture.n_clear = N_LEADS;
  }
  picture.show_other_side = picture.show_copper = FALSE;
  picture.show_far_thermocouples = picture.nozzle_told = TRUE;
  if (!lw_sheet_heats (self))
    picture.show_nozzle = picture.show_preheat = picture.show_shields = picture.show_thermocouples = FALSE;
  cairo_save (cr);
  cairo_translate (cr, floor (0.5 * (width - view.width)), STRIP);
  lw_draw_board (cr, &view, &picture);
  if (measured)
    paint_measures (cr, self, &measures);
  cairo_restore (cr);
}

/* As high as the board needs at the text's width. */
static double
map_height (const LwBenchSheet *self, double width)
{
  LwBox scene = lw_board_scene (self->job, heating_plan (self));
  double w = fmax (scene.x1_mm - scene.x0_mm, 1.0), h = fmax (scene.y1_mm - scene.y0_mm, 1.0);
  double full = CLAMP ((width - 2.0 * (MAP_MARGIN + STRIP)) * h / w + 2.0 * MAP_MARGIN + STRIP, MAP_LEAST, MAP_MOST);

  return fmax (full * self->map_share, MAP_LEAST);
}

void
lw_sheet_lay_map (LwBenchSheet *self, LwSheetFlow *flow)
{
  g_autofree char *head
      = g_strdup (target_side (self) == LW_SIDE_TOP ? _("The board from its top side")
                                                      : _("The board from its bottom side: left and right are as seen"));

  lw_flow_heading (flow, head);
  lw_flow_picture (flow, map_height (self, flow->right - flow->left), paint_map, self);
}

/* ---- the table ---- */

typedef struct {
  LwBenchSheet *sheet;
  LwSheetFlow *flow;
} Places;

static void
lay_row (const Places *p, const char *const texts[5], LwRowStyle style)
{
  double w = p->flow->right - p->flow->left, column = (1.0 - WHAT - HOW) / 3.0;
  LwSheetCell cells[5] = { { .text = texts[0], .x = 2, .width = WHAT * w - 6, .bold = TRUE },
                           { .text = texts[1], .x = WHAT * w, .width = HOW * w - 6 } };

  for (guint i = 0; i < 3; i++)
    cells[2 + i] = (LwSheetCell){ .text = texts[2 + i], .x = (WHAT + HOW + i * column) * w, .width = column * w - 4,
                                  .align = 1, .bold = style == LW_ROW_HEAD };
  lw_flow_row (p->flow, cells, 5, LW_SHEET_TEXT_PT, style);
}

static void
row (const Places *p, const char *what, const char *how, LwPoint at, LwRowStyle style)
{
  LwPoint from = place_of (p->sheet, at.x_mm, at.y_mm), middle = middle_of_target (p->sheet);
  g_autofree char *x = lw_sheet_number (from.x_mm, 1), *y = lw_sheet_number (from.y_mm, 1);
  g_autofree char *away = lw_sheet_number (hypot (at.x_mm - middle.x_mm, at.y_mm - middle.y_mm), 1);
  lay_row (p, (const char *const[5]){ what, how, x, y, away }, style);
}

static void
head_row (const Places *p)
{
  lay_row (p, (const char *const[5]){ _("Places, mm"), "", _("from left"), _("from below"), _("from part") }, LW_ROW_HEAD);
}

static void
target_row (const Places *p)
{
  const LwPart *target = lw_sheet_target (p->sheet);
  const LwPackage *package = target != NULL ? lw_job_package_of (p->sheet->job, target) : NULL;
  g_autofree char *how = NULL;
  gboolean known = FALSE;

  if (target == NULL)
    return;
  double height = lw_part_height_mm (target, package, &known);
  if (package == NULL)
    how = g_strdup (_("body not known"));
  else
    how = g_strdup_printf (known ? _("body %.1f × %.1f, %.2f high") : _("body %.1f × %.1f, height not known (%.2f assumed)"),
                           package->length_mm, package->width_mm, height);
  row (p, target->ref, how, middle_of_target (p->sheet), LW_ROW_RULED);
}

static void
nozzle_row (const Places *p)
{
  const LwPlan *plan = lw_sheet_plan (p->sheet);
  LwNozzlePlace place;
  g_autofree char *how = NULL;

  if (!lw_nozzle_place (p->sheet->job, plan, &place))
    return;
  if (place.nozzle->round) /* however turned, the same */
    how = g_strdup_printf (_("⌀ %.1f inside, %.1f above the part"), place.nozzle->length_mm, plan->nozzle_height_mm);
  else if (fabs (plan->nozzle_turn_deg) > 0.05)
    how = g_strdup_printf (_("%.1f × %.1f inside, %.1f above the part, turned by %.1f°"), place.nozzle->length_mm,
                           place.nozzle->width_mm, plan->nozzle_height_mm, plan->nozzle_turn_deg);
  else
    how = g_strdup_printf (_("%.1f × %.1f inside, %.1f above the part"), place.nozzle->length_mm, place.nozzle->width_mm,
                           plan->nozzle_height_mm);
  g_autofree char *what = g_strdup_printf (_("Nozzle %s"), plan->nozzle);
  row (p, what, how, place.center, LW_ROW_RULED);
}

static void
preheat_row (const Places *p)
{
  const LwPlan *plan = lw_sheet_plan (p->sheet);
  LwBox box;
  g_autofree char *how = NULL;

  if (!lw_preheat_box (plan, &box))
    return;
  how = g_strdup_printf (_("%.0f × %.0f under the board; its middle:"), plan->preheat_length_mm, plan->preheat_width_mm);
  row (p, _("Preheat area"), how, (LwPoint){ plan->preheat_x_mm, plan->preheat_y_mm }, LW_ROW_RULED);
}

static void
shield_row (const Places *p, const LwShield *shield)
{
  LwBox box = lw_loop_box (shield->loop);
  g_autofree char *how = g_strdup_printf (_("shield of %s, %.1f × %.1f; its middle:"), shield->material,
                                          box.x1_mm - box.x0_mm, box.y1_mm - box.y0_mm);

  row (p, shield->name[0] != '\0' ? shield->name : _("Shield"), how,
       (LwPoint){ 0.5 * (box.x0_mm + box.x1_mm), 0.5 * (box.y0_mm + box.y1_mm) }, LW_ROW_RULED);
}

static char *
touch_text (const LwBenchSheet *self, const LwThermocouple *couple)
{
  switch (lw_bench_touch (self->job, couple)) {
  case LW_TOUCH_BODY:
    return g_strdup_printf (_("on the body of %s"), couple->ref);
  case LW_TOUCH_JOINTS:
    return g_strdup_printf (couple->side == LW_SIDE_TOP ? _("at the joints of %s, from the top")
                                                        : _("at the joints of %s, from below"),
                            couple->ref);
  case LW_TOUCH_BOARD:
    break;
  }
  return g_strdup (couple->side == LW_SIDE_TOP ? _("on the board, top side") : _("on the board, bottom side"));
}

static void
couple_row (const Places *p, const LwThermocouple *couple, guint number)
{
  g_autofree char *how = touch_text (p->sheet, couple);
  g_autofree char *what = g_strdup_printf ("T%u %s", number, couple->name);

  row (p, what, how, (LwPoint){ couple->x_mm, couple->y_mm }, LW_ROW_RULED);
}

void
lw_sheet_lay_places (LwBenchSheet *self, LwSheetFlow *flow)
{
  const LwPlan *plan = lw_sheet_plan (self);
  Places p = { self, flow };

  lw_flow_gap (flow, 4.0);
  lw_flow_need (flow, 60.0);
  head_row (&p);
  target_row (&p);
  if (!lw_sheet_heats (self))
    return;
  nozzle_row (&p);
  preheat_row (&p);
  for (guint i = 0; i < plan->shields->len; i++)
    shield_row (&p, g_ptr_array_index (plan->shields, i));
  for (guint i = 0; i < plan->thermocouples->len; i++)
    couple_row (&p, g_ptr_array_index (plan->thermocouples, i), i + 1);
}
