/* Drawing by hand on the board view: corners and edges pulled, new shapes, measuring. */
#include "widgets/board-view-private.h"

#include <math.h>

#include <glib/gi18n.h>

#include "board/edits-outline.h"
#include "board/edits.h"
#include "board/loop-edits.h"
#include "draw/sketch-picture.h"
#include "widgets/shown-units.h"
#include "widgets/text-scale.h"

#define REACH 9.0 /* picture units within which points snap */
#define REGION_COVER 0.9
/* A field of plain through vias: common practice, no source. */
#define VIA_PITCH_MM 1.2
#define VIA_DRILL_MM 0.3
#define VIA_PLATING_UM 25.0

static LwSketch *
sketch_of (LwBoardView *self)
{
  return lw_desk_sketch (self->desk);
}

LwTool
lw_board_view_sketch_tool (LwBoardView *self)
{
  return self->desk == NULL || lw_board_view_job (self) == NULL ? LW_TOOL_PLAN : lw_sketch_tool (sketch_of (self));
}

gboolean
lw_board_view_sketching (LwBoardView *self)
{
  return lw_board_view_sketch_tool (self) != LW_TOOL_PLAN;
}

static LwPoint
snap (LwBoardView *self, double px, double py, gboolean free, LwSnapKind *kind)
{
  LwSketch *sketch = sketch_of (self);
  LwSnapRule rule = { .grid_mm = free ? 0.0 : lw_sketch_grid_mm (sketch),
                      .reach_mm = free ? 0.0 : REACH / self->view.scale,
                      .guides_x = lw_sketch_guides (sketch, TRUE),
                      .guides_y = lw_sketch_guides (sketch, FALSE),
                      .skip = self->sketch.corner >= 0 || self->sketch.edge >= 0,
                      .skip_place = self->sketch.place };
  double x, y;

  lw_viewport_to_board (&self->view, px, py, &x, &y);
  return lw_job_snap (self->drag.before != NULL ? self->drag.before : lw_board_view_job (self), &rule, x, y, kind);
}

static void
track (LwBoardView *self, double px, double py, gboolean free)
{
  self->sketch.to = snap (self, px, py, free, &self->sketch.snap);
  self->sketch.snapped = self->sketch.snap > LW_SNAP_GRID;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

/* ---- shapes ---- */

static LwLoop *
circle_about (LwPoint center, LwPoint rim)
{
  double radius = hypot (rim.x_mm - center.x_mm, rim.y_mm - center.y_mm);

  return radius > 0.0 ? lw_loop_new_circle (center.x_mm, center.y_mm, radius) : NULL;
}

static LwLoop *
polygon_so_far (LwBoardView *self, gboolean with_pointer)
{
  const GArray *points = self->sketch.points;
  LwLoop *loop = lw_loop_new ();

  for (guint i = 0; points != NULL && i < points->len; i++)
    lw_loop_add (loop, g_array_index (points, LwPoint, i).x_mm, g_array_index (points, LwPoint, i).y_mm, 0.0);
  if (with_pointer)
    lw_loop_add (loop, self->sketch.to.x_mm, self->sketch.to.y_mm, 0.0);
  return loop;
}

/* What is drawn at this moment; NULL when nothing is. */
static LwLoop *
draft_loop (LwBoardView *self, GError **error)
{
  LwPoint a = self->sketch.from, b = self->sketch.to;

  if (lw_board_view_sketch_tool (self) == LW_TOOL_POLYGON)
    return self->sketch.points != NULL ? polygon_so_far (self, TRUE) : NULL;
  if (self->drag.kind != LW_DRAG_SKETCH || !self->drag.moved)
    return NULL;
  switch (lw_board_view_sketch_tool (self)) {
  case LW_TOOL_RECTANGLE: return lw_loop_new_rounded (a.x_mm, a.y_mm, b.x_mm, b.y_mm, 0.0, error);
  case LW_TOOL_CIRCLE: return circle_about (a, b);
  case LW_TOOL_SLOT:
    return lw_loop_new_slot (a.x_mm, a.y_mm, b.x_mm, b.y_mm, lw_sketch_slot_width_mm (sketch_of (self)), error);
  default: return NULL;
  }
}

/* Copper drawn on a side lies in the outermost copper of that side. */
static const char *
outer_copper (const LwBoard *board, LwSide side)
{
  const char *name = NULL;

  for (guint i = 0; i < board->layers->len; i++) {
    const LwLayer *layer = g_ptr_array_index (board->layers, i);

    if (layer->kind == LW_LAYER_COPPER && (name == NULL || side == LW_SIDE_BOTTOM))
      name = layer->name;
  }
  return name;
}

static LwJob *
add_loop (LwBoardView *self, LwLoop *loop, GError **error)
{
  LwJob *job = lw_board_view_job (self);
  LwLoopOwner owner = lw_sketch_draws (sketch_of (self));
  const char *layer = outer_copper (job->board, self->view.side);

  if (owner == LW_LOOP_OUTLINE)
    return lw_edit_add_cut_out (job, loop, error);
  if (owner == LW_LOOP_VIAS)
    return lw_edit_add_vias (job, VIA_PITCH_MM, VIA_DRILL_MM, VIA_PLATING_UM, loop, error);
  if (layer != NULL)
    return lw_edit_add_copper (job, layer, REGION_COVER, loop, error);
  lw_loop_unref (loop);
  g_set_error_literal (error, LW_EDIT_ERROR, LW_EDIT_ERROR_REFERENCE,
                       _("Copper needs a layer: give the board its stack-up first"));
  return NULL;
}

gboolean
lw_board_view_add_loop (LwBoardView *self, LwLoop *loop, GError **error)
{
  static const char *const labels[] = { N_ ("Add cut-out"), N_ ("Add copper region"), N_ ("Add via field") };
  LwLoopOwner owner = lw_sketch_draws (sketch_of (self));
  LwJob *job = add_loop (self, loop, error);

  if (job == NULL)
    return FALSE;
  lw_desk_edit (self->desk, job, _(labels[owner]), NULL, NULL);
  lw_sketch_choose (sketch_of (self), (LwLoopPlace){ owner, lw_job_n_loops (lw_board_view_job (self), owner) - 1 }, -1,
                    -1);
  return TRUE;
}

static void
finish_shape (LwBoardView *self, LwLoop *loop, GError *refused)
{
  g_autoptr (GError) error = refused;

  if (loop != NULL && lw_board_view_add_loop (self, loop, &error))
    lw_sketch_set_tool (sketch_of (self), LW_TOOL_SHAPE);
  if (error != NULL)
    lw_desk_tell (self->desk, error->message, FALSE);
}

/* ---- pulling ---- */

static LwLoop *
pull_edge (const LwLoop *loop, guint edge, LwPoint from, LwPoint to, gboolean bend, GError **error)
{
  const LwVertex *b = &g_array_index (loop->corners, LwVertex, edge);
  const LwVertex *a = &g_array_index (loop->corners, LwVertex, edge == 0 ? loop->corners->len - 1 : edge - 1);
  double dx = b->x_mm - a->x_mm, dy = b->y_mm - a->y_mm, chord2 = dx * dx + dy * dy, aside;

  if (bend || b->arc_deg != 0.0)
    return lw_loop_set_arc (loop, edge,
                            lw_arc_by_bulge ((LwPoint){ a->x_mm, a->y_mm }, (LwPoint){ b->x_mm, b->y_mm }, to), error);
  if (!(chord2 > 0.0))
    return NULL;
  aside = ((to.x_mm - from.x_mm) * -dy + (to.y_mm - from.y_mm) * dx) / chord2;
  return lw_loop_move_edge (loop, edge, -dy * aside, dx * aside, error);
}

static void
pull_loop (LwBoardView *self)
{
  LwBoardDrag *drag = &self->drag;
  const LwBoardSketch *s = &self->sketch;
  const LwLoop *loop = lw_job_loop (drag->before, s->place);
  g_autoptr (GError) error = NULL;
  gboolean bend = (self->press_state & GDK_CONTROL_MASK) != 0;
  LwLoop *next;
  LwJob *job;

  if (loop == NULL)
    return;
  next = s->corner >= 0 ? lw_loop_move_corner (loop, (guint) s->corner, s->to.x_mm, s->to.y_mm, &error)
                        : pull_edge (loop, (guint) s->edge, s->from, s->to, bend, &error);
  job = next == NULL ? NULL : lw_edit_set_loop (drag->before, s->place, next, &error);
  g_clear_pointer (&drag->refusal, g_free);
  if (job == NULL) {
    drag->refusal = g_strdup (error != NULL ? error->message : "");
    return;
  }
  drag->edited = TRUE;
  lw_desk_edit (self->desk, job, _("Change outline"), drag->key, NULL);
}

static gboolean
loop_at (LwBoardView *self, double x, double y, LwLoopPlace *place, int *corner, int *edge)
{
  double letters = lw_text_scale (GTK_WIDGET (self)); /* grips are as large */
  LwViewport view = lw_viewport_lettered (&self->view, letters);

  return lw_sketch_hit (lw_board_view_job (self), &view, lw_sketch_place (sketch_of (self)), x / letters, y / letters, place,
                        corner, edge);
}

void
lw_board_view_sketch_begin (LwBoardView *self, double x, double y)
{
  LwBoardSketch *s = &self->sketch;

  s->corner = s->edge = -1;
  if (lw_board_view_sketch_tool (self) == LW_TOOL_SHAPE) {
    if (!loop_at (self, x, y, &s->place, &s->corner, &s->edge)) {
      self->drag.kind = LW_DRAG_PAN;
      return;
    }
    lw_sketch_choose (sketch_of (self), s->place, s->corner, s->edge);
  }
  if (lw_board_view_sketch_tool (self) == LW_TOOL_POLYGON) {
    self->drag.kind = LW_DRAG_PAN;
    return;
  }
  s->from = snap (self, x, y, FALSE, NULL);
  s->to = s->from;
}

void
lw_board_view_sketch_update (LwBoardView *self, double x, double y, gboolean free)
{
  track (self, x, y, free);
  if (lw_board_view_sketch_tool (self) == LW_TOOL_MEASURE)
    lw_sketch_set_measured (sketch_of (self), self->sketch.from, self->sketch.to);
  else if (lw_board_view_sketch_tool (self) == LW_TOOL_SHAPE)
    pull_loop (self);
}

void
lw_board_view_sketch_end (LwBoardView *self)
{
  GError *error = NULL;
  LwTool tool = lw_board_view_sketch_tool (self);
  LwLoop *loop;

  if (tool == LW_TOOL_RECTANGLE || tool == LW_TOOL_CIRCLE || tool == LW_TOOL_SLOT) {
    loop = draft_loop (self, &error);
    self->drag.moved = FALSE;
    finish_shape (self, loop, error);
  }
  self->sketch.corner = self->sketch.edge = -1;
}

/* ---- polygons ---- */

void
lw_board_view_sketch_close (LwBoardView *self)
{
  LwLoop *loop;

  if (self->sketch.points == NULL)
    return;
  loop = polygon_so_far (self, FALSE);
  if (loop->corners->len < 3) {
    lw_loop_unref (loop);
    lw_desk_tell (self->desk, _("Three corners at least make a shape"), FALSE);
    return;
  }
  g_clear_pointer (&self->sketch.points, g_array_unref);
  finish_shape (self, loop, NULL);
}

static void
add_corner_here (LwBoardView *self, LwPoint at)
{
  if (self->sketch.points == NULL)
    self->sketch.points = g_array_new (FALSE, FALSE, sizeof (LwPoint));
  if (self->sketch.points->len > 0) {
    LwPoint last = g_array_index (self->sketch.points, LwPoint, self->sketch.points->len - 1);

    if (hypot (at.x_mm - last.x_mm, at.y_mm - last.y_mm) < 1e-6)
      return;
  }
  g_array_append_val (self->sketch.points, at);
}

/* A second click on an edge puts a corner there. */
static void
insert_at (LwBoardView *self, double px, double py)
{
  LwSketch *sketch = sketch_of (self);
  LwLoopPlace place = lw_sketch_place (sketch);
  const LwLoop *loop = lw_job_loop (lw_board_view_job (self), place);
  guint edge;
  double share, x, y;
  GError *error = NULL;
  LwLoop *next;

  if (loop == NULL || lw_sketch_edge (sketch) < 0)
    return;
  lw_viewport_to_board (&self->view, px, py, &x, &y);
  lw_loop_nearest (loop, x, y, &edge, &share, NULL);
  next = lw_loop_insert_corner (loop, edge, share, &error);
  if (lw_desk_edit (self->desk, next == NULL ? NULL : lw_edit_set_loop (lw_board_view_job (self), place, next, &error),
                    _("Insert corner"), NULL, error))
    lw_sketch_choose (sketch, place, (int) edge, -1);
}

void
lw_board_view_sketch_click (LwBoardView *self, double x, double y, int n_press)
{
  LwLoopPlace place;
  int corner, edge;

  track (self, x, y, FALSE);
  if (lw_board_view_sketch_tool (self) == LW_TOOL_POLYGON) {
    add_corner_here (self, self->sketch.to);
    if (n_press >= 2)
      lw_board_view_sketch_close (self);
  } else if (lw_board_view_sketch_tool (self) == LW_TOOL_SHAPE) {
    if (!loop_at (self, x, y, &place, &corner, &edge))
      lw_sketch_choose (sketch_of (self), lw_sketch_place (sketch_of (self)), -1, -1);
    else if (n_press == 2 && edge >= 0)
      insert_at (self, x, y);
    else
      lw_sketch_choose (sketch_of (self), place, corner, edge);
  }
}

void
lw_board_view_sketch_motion (LwBoardView *self, double x, double y)
{
  if (self->drag.kind == LW_DRAG_NONE)
    self->sketch.corner = self->sketch.edge = -1;
  track (self, x, y, FALSE);
}

gboolean
lw_board_view_sketch_cancel (LwBoardView *self)
{
  gboolean any = self->sketch.points != NULL;

  g_clear_pointer (&self->sketch.points, g_array_unref);
  self->sketch.corner = self->sketch.edge = -1;
  if (any)
    gtk_widget_queue_draw (GTK_WIDGET (self));
  return any;
}

const char *
lw_board_view_sketch_cursor (LwBoardView *self, double x, double y)
{
  LwLoopPlace place;
  int corner, edge;

  if (lw_board_view_sketch_tool (self) != LW_TOOL_SHAPE)
    return "crosshair";
  if (!loop_at (self, x, y, &place, &corner, &edge))
    return NULL;
  return corner >= 0 ? "move" : "pointer";
}

/* From the outer end of one body to that of the other. */
static LwSketchLine
line_of (const LwJob *job, guint part, const LwAlignment *found, gboolean upright)
{
  LwBox own = lw_job_part_box (job, part), other = lw_job_part_box (job, found->neighbour);
  LwSketchLine line = { upright, found->at_mm, upright ? MIN (own.y0_mm, other.y0_mm) : MIN (own.x0_mm, other.x0_mm),
                        upright ? MAX (own.y1_mm, other.y1_mm) : MAX (own.x1_mm, other.x1_mm), found->apart, 0, 0 };
  double own_low = upright ? own.y0_mm : own.x0_mm, own_high = upright ? own.y1_mm : own.x1_mm;
  double low = upright ? other.y0_mm : other.x0_mm, high = upright ? other.y1_mm : other.x1_mm;

  line.gap_from_mm = own_low > high ? high : own_high;
  line.gap_to_mm = own_low > high ? own_low : low;
  return line;
}

/* A part in the hand: the lines it lies on, where it is and how far it has come. The text is to be freed. */
static char *
fill_dragged (const LwBoardDrag *drag, LwSketchPicture *picture)
{
  const LwPart *before, *now;
  LwBox box;

  if (drag->kind != LW_DRAG_PART || !drag->edited || drag->index >= picture->job->parts->len)
    return NULL;
  before = g_ptr_array_index (drag->before->parts, drag->index);
  now = g_ptr_array_index (picture->job->parts, drag->index);
  if (drag->upright.found)
    picture->lines[picture->n_lines++] = line_of (picture->job, drag->index, &drag->upright, TRUE);
  if (drag->lying.found)
    picture->lines[picture->n_lines++] = line_of (picture->job, drag->index, &drag->lying, FALSE);
  box = lw_job_part_box (picture->job, drag->index);
  picture->label_at = (LwPoint){ 0.5 * (box.x0_mm + box.x1_mm), box.y0_mm };
  /* Translators: where a dragged part lies, and how far it was moved, in millimetres. */
  return g_strdup_printf (_("%.2f, %.2f mm   Δx %.2f mm   Δy %.2f mm"), now->x_mm, now->y_mm, now->x_mm - before->x_mm,
                          now->y_mm - before->y_mm);
}

void
lw_board_view_paint_sketch (LwBoardView *self, cairo_t *cr)
{
  LwSketch *sketch = sketch_of (self);
  LwTool tool = lw_board_view_sketch_tool (self);
  const LwBoardDrag *drag = &self->drag;
  g_autoptr (LwLoop) draft = draft_loop (self, NULL);
  g_autofree char *label = NULL;
  gboolean part = drag->kind == LW_DRAG_PART && drag->snapped;
  LwSketchPicture picture = {
    .letters = lw_text_scale (GTK_WIDGET (self)), .look = lw_widget_look (GTK_WIDGET (self)), .units = lw_shown_units (), .job = lw_board_view_job (self),
    .show_grips = tool != LW_TOOL_PLAN && tool != LW_TOOL_MEASURE, .place = lw_sketch_place (sketch),
    .corner = lw_sketch_corner (sketch), .edge = lw_sketch_edge (sketch),
    .guides_x = lw_sketch_guides (sketch, TRUE), .guides_y = lw_sketch_guides (sketch, FALSE),
    .grid_mm = lw_sketch_grid_mm (sketch), .draft = draft, .draft_open = tool == LW_TOOL_POLYGON,
    .mark = tool > LW_TOOL_SHAPE || (drag->kind == LW_DRAG_SKETCH && self->sketch.snapped) || part,
    .at = part ? drag->snapped_at : self->sketch.to,
    .band = drag->kind == LW_DRAG_BAND && drag->moved,
  };

  picture.measured = lw_sketch_measured (sketch, &picture.from, &picture.to);
  if (picture.band)
    picture.band_box = (LwBox){ MIN (drag->x0, drag->x0 + drag->dx), MIN (drag->y0, drag->y0 + drag->dy),
                                MAX (drag->x0, drag->x0 + drag->dx), MAX (drag->y0, drag->y0 + drag->dy) };
  label = fill_dragged (drag, &picture);
  picture.label = label;
  lw_draw_sketch (cr, &self->view, &picture);
}
