/* The plan's objects: nozzle, preheat area, shields, thermocouples. */
#include <math.h>
#include <string.h>

#include <glib/gi18n.h>

#include "draw/board-painter.h"

#define GRIP 7.0

static void
turned_box (LwPoint center, double half_l, double half_w, double turn_deg, LwPoint out[4])
{
  const double u[4] = { -half_l, half_l, half_l, -half_l }, v[4] = { -half_w, -half_w, half_w, half_w };
  double c = cos (turn_deg * G_PI / 180.0), s = sin (turn_deg * G_PI / 180.0);

  for (int k = 0; k < 4; k++)
    out[k] = (LwPoint){ center.x_mm + u[k] * c - v[k] * s, center.y_mm + u[k] * s + v[k] * c };
}

gboolean
lw_nozzle_place (const LwJob *job, const LwPlan *plan, LwNozzlePlace *place)
{
  int target = plan ? lw_job_find_part (job, plan->ref) : -1;
  const LwPart *part = target >= 0 ? g_ptr_array_index (job->parts, target) : NULL;
  const LwPackage *package = part ? lw_job_package_of (job, part) : NULL;
  const LwNozzle *nozzle = plan ? lw_station_find_nozzle (job->station, plan->nozzle) : NULL;

  if (!part || !part->placed || !nozzle)
    return FALSE;
  memset (place, 0, sizeof *place);
  place->nozzle = nozzle;
  place->center = package ? lw_part_body_center (part, package) : (LwPoint){ part->x_mm, part->y_mm };
  place->center.x_mm += plan->nozzle_dx_mm;
  place->center.y_mm += plan->nozzle_dy_mm;
  place->turn_deg = lw_part_turn_deg (part) + plan->nozzle_turn_deg;
  place->inner_radius_mm = 0.5 * nozzle->length_mm;
  place->outer_radius_mm = place->inner_radius_mm + nozzle->wall_mm;
  turned_box (place->center, 0.5 * nozzle->length_mm, 0.5 * nozzle->width_mm, place->turn_deg, place->inner);
  turned_box (place->center, 0.5 * nozzle->length_mm + nozzle->wall_mm,
              0.5 * nozzle->width_mm + nozzle->wall_mm, place->turn_deg, place->outer);
  return TRUE;
}

gboolean
lw_preheat_box (const LwPlan *plan, LwBox *box)
{
  if (!plan || !(plan->preheat_length_mm > 0.0) || !(plan->preheat_width_mm > 0.0))
    return FALSE;
  *box = (LwBox){ plan->preheat_x_mm - 0.5 * plan->preheat_length_mm,
                  plan->preheat_y_mm - 0.5 * plan->preheat_width_mm,
                  plan->preheat_x_mm + 0.5 * plan->preheat_length_mm,
                  plan->preheat_y_mm + 0.5 * plan->preheat_width_mm };
  return TRUE;
}

void
lw_board_stroke_haloed (LwBoardPainter *self, LwColor color, double weight, const double *dash,
                        int n_dash)
{
  cairo_t *cr = self->cr;

  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  cairo_set_dash (cr, NULL, 0, 0.0);
  lw_color_set (cr, lw_color_luma (color) > 0.5 ? (LwColor){ 0.06, 0.06, 0.06, 0.4 }
                                                : (LwColor){ 1.0, 1.0, 1.0, 0.4 });
  cairo_set_line_width (cr, weight + 1.6);
  cairo_stroke_preserve (cr);
  cairo_set_dash (cr, dash, n_dash, 0.0);
  lw_color_set (cr, color);
  cairo_set_line_width (cr, weight);
  cairo_stroke (cr);
  cairo_set_dash (cr, NULL, 0, 0.0);
}

static void
nozzle_path (LwBoardPainter *self, const LwNozzlePlace *place, gboolean outer)
{
  const LwPoint *corners = outer ? place->outer : place->inner;
  double radius = outer ? place->outer_radius_mm : place->inner_radius_mm, x, y;
  g_autoptr (GArray) shape = NULL;

  cairo_new_path (self->cr);
  if (place->nozzle->round) {
    lw_viewport_to_picture (self->view, place->center.x_mm, place->center.y_mm, &x, &y);
    cairo_arc (self->cr, x, y, CLAMP (radius * self->view->scale, 0.1, 1e6), 0.0, 2.0 * G_PI);
    return;
  }
  shape = g_array_new (FALSE, FALSE, sizeof (LwPoint));
  for (int k = 0; k < 4; k++) {
    LwPoint p;

    lw_viewport_to_picture (self->view, corners[k].x_mm, corners[k].y_mm, &p.x_mm, &p.y_mm);
    g_array_append_val (shape, p);
  }
  lw_board_shape_path (self->cr, shape, outer ? 5.0 : 3.0);
}

/* One ink for the whole outline, by what lies under its corners. */
static LwColor
nozzle_ink (const LwBoardPainter *self, const LwNozzlePlace *place)
{
  LwColor mean = { 0, 0, 0, 1 };

  for (int k = 0; k < 4; k++) {
    const LwPoint *a = &place->inner[k], *b = &place->inner[(k + 1) % 4];
    double x, y;

    lw_viewport_to_picture (self->view, 0.5 * (a->x_mm + b->x_mm), 0.5 * (a->y_mm + b->y_mm), &x, &y);
    mean = lw_color_mix (mean, lw_board_ground_at (self, x, y), 1.0 / (k + 1));
  }
  return lw_board_ink_on (self, mean, self->ink->nozzle);
}

void
lw_board_paint_nozzle (LwBoardPainter *self)
{
  static const double dash[] = { 5.0, 3.0 };
  LwNozzlePlace place;
  g_autofree char *text = NULL, *plain = NULL;
  int target;
  const LwPart *part;
  LwColor ink;

  if (!lw_nozzle_place (self->picture->job, self->plan, &place))
    return;
  target = lw_job_find_part (self->picture->job, self->plan->ref);
  part = g_ptr_array_index (self->picture->job->parts, target);
  if (part->side != self->view->side) {
    nozzle_path (self, &place, FALSE);
    lw_color_set (self->cr, self->ink->ghost);
    cairo_set_dash (self->cr, dash, 2, 0.0);
    cairo_set_line_width (self->cr, 1.2);
    cairo_stroke (self->cr);
    cairo_set_dash (self->cr, NULL, 0, 0.0);
    return;
  }
  ink = nozzle_ink (self, &place);
  nozzle_path (self, &place, TRUE);
  lw_board_stroke_haloed (self, ink, 1.1, dash, 2);
  nozzle_path (self, &place, FALSE);
  lw_board_stroke_haloed (self, ink, 1.7, NULL, 0);
  if (self->picture->nozzle_told)
    return;
  /* Translators: beside the nozzle on the board; its name and the outlet's height above the part */
  plain = g_strdup_printf (_ ("%s, %.1f mm up"), place.nozzle->name, self->plan->nozzle_height_mm);
  text = lw_units_sentence (self->picture->units, plain);
  nozzle_path (self, &place, TRUE);
  lw_board_note_path (self, text, self->ink->nozzle, LW_NOTE_LEADER);
}

static void
paint_grip (LwBoardPainter *self, double x, double y, LwColor color)
{
  if (self->picture->still || self->picture->look == LW_LOOK_PRINT) /* nobody drags on paper */
    return;
  cairo_rectangle (self->cr, x - 0.5 * GRIP, y - 0.5 * GRIP, GRIP, GRIP);
  lw_color_set (self->cr, self->ink->board);
  cairo_fill_preserve (self->cr);
  lw_color_set (self->cr, color);
  cairo_set_line_width (self->cr, 1.4);
  cairo_stroke (self->cr);
}

void
lw_board_paint_preheat (LwBoardPainter *self)
{
  static const double dash[] = { 12.0, 4.0, 2.0, 4.0 };
  cairo_t *cr = self->cr;
  LwBox box;
  double x0, y0, x1, y1;
  g_autofree char *text = NULL, *plain = NULL;

  if (!lw_preheat_box (self->plan, &box))
    return;
  lw_viewport_to_picture (self->view, box.x0_mm, box.y1_mm, &x0, &y0);
  lw_viewport_to_picture (self->view, box.x1_mm, box.y0_mm, &x1, &y1);
  x0 = CLAMP (x0, -1e6, 1e6);
  x1 = CLAMP (x1, -1e6, 1e6);
  y0 = CLAMP (y0, -1e6, 1e6);
  y1 = CLAMP (y1, -1e6, 1e6);
  cairo_new_path (cr);
  cairo_rectangle (cr, x0, y0, x1 - x0, y1 - y0);
  lw_board_stroke_haloed (self, self->ink->preheat, 1.4, dash, 4);
  paint_grip (self, x0, 0.5 * (y0 + y1), self->ink->preheat);
  paint_grip (self, x1, 0.5 * (y0 + y1), self->ink->preheat);
  paint_grip (self, 0.5 * (x0 + x1), y0, self->ink->preheat);
  paint_grip (self, 0.5 * (x0 + x1), y1, self->ink->preheat);
  plain = g_strdup_printf (_ ("Preheat %.0f × %.0f mm"), self->plan->preheat_length_mm,
                           self->plan->preheat_width_mm);
  text = lw_units_sentence (self->picture->units, plain);
  cairo_rectangle (cr, MIN (x0, x1), y0, fabs (x1 - x0), y1 - y0);
  lw_board_note_path (self, text, self->ink->preheat, LW_NOTE_BELOW);
}

static void
paint_shield (LwBoardPainter *self, const LwShield *shield)
{
  cairo_t *cr = self->cr;
  g_autoptr (GArray) points = lw_loop_flatten (shield->loop, CLAMP (0.15 / self->view->scale, 1e-4, 10.0));
  double x0, y0, x1, y1;

  for (guint i = 0; i < points->len; i++) {
    LwPoint *p = &g_array_index (points, LwPoint, i);

    lw_viewport_to_picture (self->view, p->x_mm, p->y_mm, &p->x_mm, &p->y_mm);
  }
  if (points->len < 3)
    return;
  cairo_new_path (cr);
  lw_board_shape_path (cr, points, 0.0);
  cairo_path_extents (cr, &x0, &y0, &x1, &y1);
  cairo_save (cr);
  cairo_clip (cr);
  x0 = MAX (x0, self->frame.x0_mm - 20.0);
  y0 = MAX (y0, self->frame.y0_mm - 20.0);
  x1 = MIN (x1, self->frame.x1_mm + 20.0);
  y1 = MIN (y1, self->frame.y1_mm + 20.0);
  for (double s = 6.0; s < (x1 - x0) + (y1 - y0); s += 6.0) {
    cairo_move_to (cr, x0 + s, y0);
    cairo_line_to (cr, x0, y0 + s);
  }
  lw_color_set (cr, lw_color_fade (self->ink->shield, 0.55));
  cairo_set_line_width (cr, 1.2);
  cairo_stroke (cr);
  cairo_restore (cr);
  lw_board_shape_path (cr, points, 0.0);
  lw_board_stroke_haloed (self, self->ink->shield, 1.5, NULL, 0);
  lw_board_shape_path (cr, points, 0.0);
  lw_board_note_path (self, shield->name[0] ? shield->name : _ ("Shield"), self->ink->shield,
                      LW_NOTE_ABOVE);
}

void
lw_board_paint_shields (LwBoardPainter *self)
{
  for (guint i = 0; self->plan && i < self->plan->shields->len; i++)
    paint_shield (self, g_ptr_array_index (self->plan->shields, i));
}

/* A dot where the junction sits, a flag with its number beside it; hollow when it sits on the other side. */
static void
paint_thermocouple (LwBoardPainter *self, const LwThermocouple *tc, guint number)
{
  gboolean hollow = tc->side != self->view->side;
  LwColor ground = hollow ? self->ink->thermocouple : self->ink->board;
  LwColor fill = hollow ? self->ink->board : self->ink->thermocouple;
  cairo_t *cr = self->cr;
  g_autofree char *text = g_strdup_printf ("T%u", number);
  double x, y, w, h, pole = 13.0;
  LwBox box;

  lw_viewport_to_picture (self->view, tc->x_mm, tc->y_mm, &x, &y);
  if (x < self->frame.x0_mm - 30.0 || y < self->frame.y0_mm - 30.0 || x > self->frame.x1_mm + 30.0
      || y > self->frame.y1_mm + 30.0)
    return;
  lw_letter_face (&self->type, 9.0, TRUE);
  lw_letter_measure (&self->type, text, &w, &h);
  cairo_new_path (cr);
  cairo_move_to (cr, x, y);
  cairo_line_to (cr, x, y - pole);
  lw_board_stroke_haloed (self, self->ink->thermocouple, 1.3, NULL, 0);
  box = (LwBox){ x - 1.0, y - pole - h, x + w + 6.0, y - pole };
  cairo_rectangle (cr, box.x0_mm, box.y0_mm, box.x1_mm - box.x0_mm, h);
  lw_color_set (cr, fill);
  cairo_fill_preserve (cr);
  lw_color_set (cr, ground);
  cairo_set_line_width (cr, 0.8);
  cairo_stroke (cr);
  lw_letter_draw (&self->type, text, x + 2.5, y - pole - 0.5 * h, 0.0, 0.5, 0.0, ground,
                  (LwColor){ 0, 0, 0, 0 });
  cairo_arc (cr, x, y, 2.6, 0.0, 2.0 * G_PI);
  lw_color_set (cr, fill);
  cairo_fill_preserve (cr);
  lw_color_set (cr, ground);
  cairo_stroke (cr);
  box.y1_mm = y + 3.0;
  g_array_append_val (self->taken, box);
}

void
lw_board_paint_thermocouples (LwBoardPainter *self)
{
  for (guint i = 0; self->plan && i < self->plan->thermocouples->len; i++) {
    const LwThermocouple *tc = g_ptr_array_index (self->plan->thermocouples, i);

    if (tc->side == self->view->side || self->picture->show_far_thermocouples)
      paint_thermocouple (self, tc, i + 1);
  }
}

/* Rings about the place, and the flag of a thermocouple that is not there yet; dashed when it sits on the other side. */
void
lw_board_paint_proposed (LwBoardPainter *self)
{
  static const double dash[2] = { 3.0, 2.5 };
  const LwThermocouple *tc = self->picture->proposed;
  cairo_t *cr = self->cr;
  double x, y;

  if (tc == NULL)
    return;
  lw_viewport_to_picture (self->view, tc->x_mm, tc->y_mm, &x, &y);
  for (guint i = 0; i < 2; i++) {
    cairo_new_path (cr);
    cairo_arc (cr, x, y, i == 0 ? 6.5 : 13.0, 0.0, 2.0 * G_PI);
    lw_color_set (cr, self->ink->halo); /* it has to be found at once on any temperature */
    cairo_set_line_width (cr, 5.0);
    cairo_stroke_preserve (cr);
    lw_board_stroke_haloed (self, self->ink->accent, i == 0 ? 2.2 : 1.4, dash, tc->side != self->view->side ? 2 : 0);
  }
  cairo_arc (cr, x, y, 2.4, 0.0, 2.0 * G_PI);
  lw_color_set (cr, self->ink->accent);
  cairo_fill (cr);
}
