/* Small drawings on bodies that tell kinds apart without colour, and the joints when they are large
 * enough to see. All in the part's own frame, so that they turn and mirror with it. */
#include <math.h>

#include "draw/board-painter.h"

#define DOT_PITCH_MIN 5.0  /* picture units between balls from which they are drawn */
#define LEAD_PITCH_MIN 2.2
#define JOINTS_MAX 6000

static LwColor
ornament_color (LwColor body)
{
  return lw_color_luma (body) > 0.42 ? (LwColor){ 0.10, 0.10, 0.10, 0.55 } : (LwColor){ 1.0, 1.0, 1.0, 0.55 };
}

static void
box_path (LwBoardPainter *self, const LwBoardItem *item, double u0, double v0, double u1, double v1)
{
  const double u[4] = { u0, u1, u1, u0 }, v[4] = { v0, v0, v1, v1 };

  for (int k = 0; k < 4; k++) {
    LwPoint p = lw_board_item_point (self, item, u[k], v[k]);

    if (k == 0)
      cairo_move_to (self->cr, p.x_mm, p.y_mm);
    else
      cairo_line_to (self->cr, p.x_mm, p.y_mm);
  }
  cairo_close_path (self->cr);
}

static void
line_path (LwBoardPainter *self, const LwBoardItem *item, double u0, double v0, double u1, double v1)
{
  LwPoint a = lw_board_item_point (self, item, u0, v0), b = lw_board_item_point (self, item, u1, v1);

  cairo_move_to (self->cr, a.x_mm, a.y_mm);
  cairo_line_to (self->cr, b.x_mm, b.y_mm);
}

static void
ring_path (LwBoardPainter *self, const LwBoardItem *item, double radius_mm)
{
  LwPoint c = lw_board_item_point (self, item, item->package->center_x_mm, item->package->center_y_mm);

  cairo_new_sub_path (self->cr);
  cairo_arc (self->cr, c.x_mm, c.y_mm, MAX (radius_mm * self->view->scale, 0.1), 0.0, 2.0 * G_PI);
}

/* A small filled triangle in the corner at low u, high v. */
static void
pin_one (LwBoardPainter *self, const LwBoardItem *item)
{
  const LwPackage *pk = item->package;
  double reach = CLAMP (0.16 * MIN (pk->length_mm, pk->width_mm), 2.0 / self->view->scale,
                        7.0 / self->view->scale);
  double inset = 0.35 * reach;
  double u = pk->center_x_mm - 0.5 * pk->length_mm + inset, v = pk->center_y_mm + 0.5 * pk->width_mm - inset;
  LwPoint a = lw_board_item_point (self, item, u, v), b = lw_board_item_point (self, item, u + reach, v);
  LwPoint c = lw_board_item_point (self, item, u, v - reach);

  cairo_move_to (self->cr, a.x_mm, a.y_mm);
  cairo_line_to (self->cr, b.x_mm, b.y_mm);
  cairo_line_to (self->cr, c.x_mm, c.y_mm);
  cairo_close_path (self->cr);
  cairo_fill (self->cr);
}

static void
end_bands (LwBoardPainter *self, const LwBoardItem *item)
{
  const LwPackage *pk = item->package;
  double half_l = 0.5 * pk->length_mm, half_w = 0.5 * pk->width_mm, band = 0.22 * pk->length_mm;
  double u = pk->center_x_mm, v = pk->center_y_mm;

  box_path (self, item, u - half_l, v - half_w, u - half_l + band, v + half_w);
  box_path (self, item, u + half_l - band, v - half_w, u + half_l, v + half_w);
  cairo_fill (self->cr);
}

/* The can's bead as a ring, the negative side as a filled segment. */
static void
can_top (LwBoardPainter *self, const LwBoardItem *item)
{
  const LwPackage *pk = item->package;
  double radius = 0.40 * MIN (pk->length_mm, pk->width_mm);

  ring_path (self, item, radius);
  cairo_stroke (self->cr);
  for (int k = 0; k <= 16; k++) {
    double angle = G_PI * (0.75 + 0.5 * k / 16.0);
    LwPoint p = lw_board_item_point (self, item, pk->center_x_mm + radius * cos (angle),
                                     pk->center_y_mm + radius * sin (angle));

    cairo_line_to (self->cr, p.x_mm, p.y_mm);
  }
  cairo_close_path (self->cr);
  cairo_fill (self->cr);
}

static void
hatch (LwBoardPainter *self, const LwBoardItem *item)
{
  cairo_t *cr = self->cr;
  double span = (item->box.x1_mm - item->box.x0_mm) + (item->box.y1_mm - item->box.y0_mm);
  double gap = MAX (5.0, span / 120.0);

  cairo_save (cr);
  cairo_new_path (cr);
  lw_board_shape_path (cr, item->shape, 0.0);
  cairo_clip (cr);
  for (double s = gap; s < span; s += gap) {
    cairo_move_to (cr, item->box.x0_mm + s, item->box.y0_mm);
    cairo_line_to (cr, item->box.x0_mm, item->box.y0_mm + s);
  }
  cairo_set_line_width (cr, 0.5);
  cairo_stroke (cr);
  cairo_restore (cr);
}

static void
plus_sign (LwBoardPainter *self, const LwBoardItem *item)
{
  const LwPackage *pk = item->package;
  double arm = 0.10 * MIN (pk->length_mm, pk->width_mm);
  double u = pk->center_x_mm - 0.28 * pk->length_mm, v = pk->center_y_mm + 0.26 * pk->width_mm;

  line_path (self, item, u - arm, v, u + arm, v);
  line_path (self, item, u, v - arm, u, v + arm);
  cairo_stroke (self->cr);
}

static void
coil (LwBoardPainter *self, const LwBoardItem *item)
{
  const LwPackage *pk = item->package;
  double r = 0.34 * MIN (pk->length_mm, pk->width_mm);

  ring_path (self, item, r);
  ring_path (self, item, 0.55 * r);
  cairo_stroke (self->cr);
}

static void
inner_box (LwBoardPainter *self, const LwBoardItem *item, double share)
{
  const LwPackage *pk = item->package;
  double l = 0.5 * share * pk->length_mm, w = 0.5 * share * pk->width_mm;

  box_path (self, item, pk->center_x_mm - l, pk->center_y_mm - w, pk->center_x_mm + l, pk->center_y_mm + w);
  cairo_stroke (self->cr);
}

static void
diode (LwBoardPainter *self, const LwBoardItem *item)
{
  const LwPackage *pk = item->package;
  double r = 0.24 * MIN (pk->length_mm, pk->width_mm), u = pk->center_x_mm, v = pk->center_y_mm;

  line_path (self, item, u - r, v - r, u + r, v);
  line_path (self, item, u + r, v, u - r, v + r);
  line_path (self, item, u - r, v + r, u - r, v - r);
  line_path (self, item, u + r, v - r, u + r, v + r);
  cairo_stroke (self->cr);
}

static void
cell_top (LwBoardPainter *self, const LwBoardItem *item)
{
  ring_path (self, item, 0.40 * MIN (item->package->length_mm, item->package->width_mm));
  cairo_stroke (self->cr);
  plus_sign (self, item);
}

static void
button (LwBoardPainter *self, const LwBoardItem *item)
{
  ring_path (self, item, 0.25 * MIN (item->package->length_mm, item->package->width_mm));
  cairo_stroke (self->cr);
}

static void
lid (LwBoardPainter *self, const LwBoardItem *item)
{
  inner_box (self, item, 0.78);
}

static const struct {
  void (*paint) (LwBoardPainter *self, const LwBoardItem *item);
  double strength;
} ornaments[LW_N_KINDS] = {
  [LW_KIND_AREA_ARRAY] = { pin_one, 1.0 },
  [LW_KIND_LEADED] = { pin_one, 1.0 },
  [LW_KIND_LEADLESS] = { pin_one, 1.0 },
  [LW_KIND_MODULE] = { pin_one, 1.0 },
  [LW_KIND_OPTOCOUPLER] = { pin_one, 1.0 },
  [LW_KIND_MICROPHONE] = { pin_one, 1.0 },
  [LW_KIND_CERAMIC_CAPACITOR] = { end_bands, 0.55 },
  [LW_KIND_RESISTOR] = { end_bands, 0.55 },
  [LW_KIND_FUSE] = { end_bands, 0.55 },
  [LW_KIND_TANTALUM] = { end_bands, 0.55 },
  [LW_KIND_ELECTROLYTIC] = { can_top, 0.75 },
  [LW_KIND_POLYMER_CAPACITOR] = { can_top, 0.75 },
  [LW_KIND_SUPERCAPACITOR] = { can_top, 0.75 },
  [LW_KIND_COIN_CELL] = { cell_top, 1.0 },
  [LW_KIND_CELL_HOLDER] = { cell_top, 1.0 },
  [LW_KIND_INDUCTOR] = { coil, 1.0 },
  [LW_KIND_TRANSFORMER] = { coil, 1.0 },
  [LW_KIND_CONNECTOR] = { hatch, 0.7 },
  [LW_KIND_RELAY] = { hatch, 0.7 },
  [LW_KIND_FILM_CAPACITOR] = { hatch, 0.7 },
  [LW_KIND_SWITCH] = { button, 1.0 },
  [LW_KIND_CRYSTAL] = { lid, 1.0 },
  [LW_KIND_SHIELD_CAN] = { lid, 1.0 },
  [LW_KIND_LED] = { diode, 1.0 },
};

void
lw_board_paint_ornament (LwBoardPainter *self, const LwBoardItem *item, LwColor body)
{
  guint kind = (guint) item->package->kind;

  if (kind >= LW_N_KINDS || !ornaments[kind].paint)
    return;
  cairo_new_path (self->cr);
  lw_color_set (self->cr, lw_color_fade (ornament_color (body), ornaments[kind].strength));
  cairo_set_line_width (self->cr, CLAMP (0.03 * item->small_side, 0.5, 1.0));
  ornaments[kind].paint (self, item);
  cairo_new_path (self->cr);
}

static gboolean
lies_beside_x (const LwPackage *pk, double u, double v)
{
  double su = MAX (pk->joints.span_x_mm, 1e-6), sv = MAX (pk->joints.span_y_mm, 1e-6);

  if (pk->joints.pattern != LW_JOINTS_FOUR_SIDES)
    return TRUE;
  return fabs (u) / su >= fabs (v) / sv;
}

static void
paint_leads (LwBoardPainter *self, const LwBoardItem *item, const GArray *joints)
{
  const LwJoints *j = &item->package->joints;
  double turn = -lw_part_turn_deg (item->part) * G_PI / 180.0;
  double handed = item->part->side == LW_SIDE_BOTTOM ? -1.0 : 1.0;

  for (guint i = 0; i < joints->len; i++) {
    const LwPoint *at = &g_array_index (joints, LwPoint, i);
    double dx = at->x_mm - item->part->x_mm, dy = at->y_mm - item->part->y_mm;
    double u = handed * (dx * cos (turn) - dy * sin (turn)), v = dx * sin (turn) + dy * cos (turn);
    gboolean along = lies_beside_x (item->package, u, v);
    double l = 0.5 * (along ? j->length_mm : j->width_mm), w = 0.5 * (along ? j->width_mm : j->length_mm);

    box_path (self, item, u - l, v - w, u + l, v + w);
  }
  lw_color_set (self->cr, self->ink->joint);
  cairo_fill (self->cr);
}

/* Leads and terminals show beside the body; balls and pads under it when there is room to see them. */
void
lw_board_paint_joints (LwBoardPainter *self, const LwBoardItem *item)
{
  const LwPackage *pk = item->package;
  g_autoptr (GArray) joints = NULL;
  double pitch;

  if (!pk || pk->joints.pattern == LW_JOINTS_NONE || pk->joints.pattern == LW_JOINTS_GRID)
    return;
  pitch = (pk->joints.pattern == LW_JOINTS_TWO_ENDS ? 1.0 : pk->joints.pitch_mm) * self->view->scale;
  if (!(pitch >= LEAD_PITCH_MIN) || (double) pk->joints.columns * pk->joints.rows > JOINTS_MAX)
    return;
  joints = lw_part_joints (item->part, pk);
  cairo_new_path (self->cr);
  if (joints->len <= JOINTS_MAX)
    paint_leads (self, item, joints);
}

void
lw_board_paint_balls (LwBoardPainter *self, const LwBoardItem *item, LwColor body)
{
  const LwPackage *pk = item->package;
  g_autoptr (GArray) joints = NULL;
  double radius = 0.5 * pk->joints.length_mm * self->view->scale;

  if (pk->joints.pattern != LW_JOINTS_GRID || !(pk->joints.pitch_mm * self->view->scale >= DOT_PITCH_MIN)
      || (double) pk->joints.columns * pk->joints.rows > JOINTS_MAX)
    return;
  joints = lw_part_joints (item->part, pk);
  cairo_new_path (self->cr);
  for (guint i = 0; i < joints->len; i++) {
    const LwPoint *at = &g_array_index (joints, LwPoint, i);
    double x, y;

    lw_viewport_to_picture (self->view, at->x_mm, at->y_mm, &x, &y);
    if (x < self->frame.x0_mm - radius || y < self->frame.y0_mm - radius || x > self->frame.x1_mm + radius
        || y > self->frame.y1_mm + radius)
      continue;
    cairo_new_sub_path (self->cr);
    cairo_arc (self->cr, x, y, CLAMP (radius, 0.8, 60.0), 0.0, 2.0 * G_PI);
  }
  lw_color_set (self->cr, lw_color_fade (ornament_color (body), 0.45));
  cairo_set_line_width (self->cr, 0.7);
  cairo_stroke (self->cr);
}
