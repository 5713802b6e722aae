/* The drag of the board view: pan, move a part, pull a grip. */
#include "widgets/board-view-private.h"

#include <math.h>

#include <glib/gi18n.h>

#include "board/edits-group.h"
#include "board/edits.h"

#define THRESHOLD 4.0        /* picture units before a press becomes a drag */
#define SNAP_PART_MM 0.1
#define REACH_PART 6.0        /* picture units within which a part's middle goes onto what is near */
#define REACH_LINE 3.0        /* and within which it comes into line with a neighbour */
#define SNAP_NOZZLE_MM 0.1
#define SNAP_PREHEAT_MM 1.0
#define PREHEAT_MIN_MM 5.0

static void
clear (LwBoardDrag *drag)
{
  g_clear_pointer (&drag->before, lw_job_unref);
  g_clear_pointer (&drag->key, g_free);
  g_clear_pointer (&drag->refusal, g_free);
  g_clear_pointer (&drag->group, g_array_unref);
  *drag = (LwBoardDrag){ .kind = LW_DRAG_NONE };
}

static const LwPart *
part_of (const LwBoardDrag *drag)
{
  return g_ptr_array_index (drag->before->parts, drag->index);
}

void
lw_board_view_drag_begin (LwBoardView *self, double x, double y, gboolean pan_only)
{
  LwJob *job = lw_board_view_job (self);
  LwBoardDrag *drag = &self->drag;
  int part;

  clear (drag);
  if (!job)
    return;
  drag->kind = LW_DRAG_PAN;
  drag->x0 = x;
  drag->y0 = y;
  drag->before = lw_job_ref (job);
  drag->key = g_strdup_printf ("board-drag-%u", self->drags++);
  if (pan_only || self->space_held)
    return;
  if (lw_board_view_sketching (self)) {
    drag->kind = LW_DRAG_SKETCH;
    lw_board_view_sketch_begin (self, x, y);
    return;
  }
  drag->grip = lw_board_view_grip_at (self, x, y, &drag->index);
  part = lw_board_hit_part (job, &self->view, x, y);
  if (drag->grip == LW_GRIP_SHIELD && part >= 0)
    drag->grip = LW_GRIP_NONE; /* what a shield covers stays within reach */
  if (drag->grip != LW_GRIP_NONE) {
    drag->kind = LW_DRAG_GRIP;
  } else if (part >= 0 && !((const LwPart *) g_ptr_array_index (job->parts, part))->locked) {
    drag->kind = LW_DRAG_PART;
    drag->index = (guint) part;
  } else if (part < 0 && (self->press_state & GDK_SHIFT_MASK) != 0) {
    drag->kind = LW_DRAG_BAND;
  }
}

/* ---- edits ---- */

typedef struct {
  const char *member;
  double value;
} Change;

/* Several numbers of a plan at once; NULL with ERROR when one is refused. */
static LwJob *
change_numbers (const LwJob *job, const char *owner, const Change *changes, guint n, GError **error)
{
  g_autoptr (LwJob) now = lw_job_ref ((LwJob *) job);

  for (guint i = 0; i < n; i++) {
    g_autofree char *path = g_strconcat (owner, ".", changes[i].member, NULL);
    LwJob *next = lw_edit_number (now, path, changes[i].value, error);

    if (!next)
      return NULL;
    lw_job_unref (now);
    now = next;
  }
  return g_steal_pointer (&now);
}

static LwJob *
pull_nozzle (const LwJob *job, const char *owner, const LwPlan *plan, double dx, double dy, double step,
             GError **error)
{
  const Change changes[] = { { "nozzle_dx_mm", lw_snap (plan->nozzle_dx_mm + dx, step) },
                             { "nozzle_dy_mm", lw_snap (plan->nozzle_dy_mm + dy, step) } };

  return change_numbers (job, owner, changes, 2, error);
}

static void
pull_edge (LwGrip grip, double dx, double dy, double step, LwBox *box)
{
  switch (grip) {
  case LW_GRIP_PREHEAT_LEFT:
    box->x0_mm = MIN (lw_snap (box->x0_mm + dx, step), box->x1_mm - PREHEAT_MIN_MM);
    break;
  case LW_GRIP_PREHEAT_RIGHT:
    box->x1_mm = MAX (lw_snap (box->x1_mm + dx, step), box->x0_mm + PREHEAT_MIN_MM);
    break;
  case LW_GRIP_PREHEAT_LOW:
    box->y0_mm = MIN (lw_snap (box->y0_mm + dy, step), box->y1_mm - PREHEAT_MIN_MM);
    break;
  case LW_GRIP_PREHEAT_HIGH:
    box->y1_mm = MAX (lw_snap (box->y1_mm + dy, step), box->y0_mm + PREHEAT_MIN_MM);
    break;
  default:
    dx = lw_snap (0.5 * (box->x0_mm + box->x1_mm) + dx, step) - 0.5 * (box->x0_mm + box->x1_mm);
    dy = lw_snap (0.5 * (box->y0_mm + box->y1_mm) + dy, step) - 0.5 * (box->y0_mm + box->y1_mm);
    *box = (LwBox){ box->x0_mm + dx, box->y0_mm + dy, box->x1_mm + dx, box->y1_mm + dy };
  }
}

static LwJob *
pull_preheat (const LwJob *job, const char *owner, const LwPlan *plan, LwGrip grip, double dx, double dy,
              double step, GError **error)
{
  LwBox box = { plan->preheat_x_mm - 0.5 * plan->preheat_length_mm, plan->preheat_y_mm - 0.5 * plan->preheat_width_mm,
                plan->preheat_x_mm + 0.5 * plan->preheat_length_mm,
                plan->preheat_y_mm + 0.5 * plan->preheat_width_mm };

  pull_edge (grip, dx, dy, step, &box);
  {
    const Change changes[] = { { "preheat_area.x_mm", 0.5 * (box.x0_mm + box.x1_mm) },
                               { "preheat_area.y_mm", 0.5 * (box.y0_mm + box.y1_mm) },
                               { "preheat_area.length_mm", box.x1_mm - box.x0_mm },
                               { "preheat_area.width_mm", box.y1_mm - box.y0_mm } };

    return change_numbers (job, owner, changes, G_N_ELEMENTS (changes), error);
  }
}

static LwJob *
pull_thermocouple (const LwJob *job, const char *owner, const LwPlan *plan, guint index, double dx, double dy,
                   double step, GError **error)
{
  const LwThermocouple *tc = g_ptr_array_index (plan->thermocouples, index);
  g_autofree char *member = g_strdup_printf ("%s.thermocouples[%u]", owner, index);
  const Change changes[] = { { "x_mm", lw_snap (tc->x_mm + dx, step) }, { "y_mm", lw_snap (tc->y_mm + dy, step) } };

  return change_numbers (job, member, changes, 2, error);
}

/* A shield's outline has no number of its own to edit: the whole loop moves. */
static LwJob *
pull_shield (const LwJob *job, guint plan_index, guint index, double dx, double dy, double step)
{
  LwJob *after = lw_job_copy (job);
  LwPlan *plan = lw_job_edit_plan (after, plan_index);
  LwShield *old = g_ptr_array_index (plan->shields, index), *shield = lw_shield_copy (old);
  LwLoop *loop = lw_loop_copy (old->loop);

  dx = lw_snap (dx, step);
  dy = lw_snap (dy, step);
  for (guint i = 0; i < loop->corners->len; i++) {
    g_array_index (loop->corners, LwVertex, i).x_mm += dx;
    g_array_index (loop->corners, LwVertex, i).y_mm += dy;
  }
  lw_loop_unref (shield->loop);
  shield->loop = loop;
  plan->shields->pdata[index] = shield;
  lw_shield_unref (old);
  return after;
}

static LwJob *
pull_grip (LwBoardView *self, double dx, double dy, gboolean free, const char **label, GError **error)
{
  const LwBoardDrag *drag = &self->drag;
  int index = lw_desk_plan (self->desk);
  const LwPlan *plan = g_ptr_array_index (drag->before->plans, index);
  g_autofree char *owner = g_strdup_printf ("plans[%d]", index);

  switch (drag->grip) {
  case LW_GRIP_NOZZLE:
    *label = _ ("Move nozzle");
    return pull_nozzle (drag->before, owner, plan, dx, dy, free ? 0.0 : SNAP_NOZZLE_MM, error);
  case LW_GRIP_SHIELD:
    *label = _ ("Move shield");
    return pull_shield (drag->before, (guint) index, drag->index, dx, dy, free ? 0.0 : SNAP_PART_MM);
  case LW_GRIP_THERMOCOUPLE:
    *label = _ ("Move thermocouple");
    return pull_thermocouple (drag->before, owner, plan, drag->index, dx, dy, free ? 0.0 : SNAP_PART_MM, error);
  default:
    *label = drag->grip == LW_GRIP_PREHEAT_MOVE ? _ ("Move preheat area") : _ ("Size preheat area");
    return pull_preheat (drag->before, owner, plan, drag->grip, dx, dy, free ? 0.0 : SNAP_PREHEAT_MM, error);
  }
}

/* In line with a neighbour where one is near, else its own point onto the fine grid: each way by itself. */
static LwPoint
in_line (LwBoardView *self, double dx, double dy, double reach, double step)
{
  LwBoardDrag *drag = &self->drag;
  const LwPart *part = part_of (drag);
  double x = part->x_mm + dx, y = part->y_mm + dy;
  LwPoint snapped = { lw_snap (x, step), lw_snap (y, step) };

  lw_job_align_part (drag->before, drag->index, drag->group, (LwPoint){ dx, dy }, reach, &drag->upright, &drag->lying);
  if (drag->upright.found)
    snapped.x_mm = x + drag->upright.shift_mm;
  if (drag->lying.found)
    snapped.y_mm = y + drag->lying.shift_mm;
  return snapped;
}

/* Where the dragged part goes: its middle onto a corner, an edge, a guide or another part's middle close by, else
 * its own point onto the fine grid. */
static LwPoint
place_part (LwBoardView *self, double dx, double dy, gboolean free)
{
  LwBoardDrag *drag = &self->drag;
  const LwPart *part = part_of (drag);
  LwPoint center = lw_part_body_center (part, lw_job_package_of (drag->before, part)), at;
  LwSketch *sketch = lw_desk_sketch (self->desk);
  LwSnapRule rule = { .reach_mm = free ? 0.0 : REACH_PART / self->view.scale,
                      .guides_x = lw_sketch_guides (sketch, TRUE),
                      .guides_y = lw_sketch_guides (sketch, FALSE),
                      .skip_parts = drag->group };
  double step = free ? 0.0 : SNAP_PART_MM, ox = part->x_mm - center.x_mm, oy = part->y_mm - center.y_mm;
  LwSnapKind kind;

  at = lw_job_snap (drag->before, &rule, center.x_mm + dx, center.y_mm + dy, &kind);
  drag->snapped = kind > LW_SNAP_GRID;
  drag->snapped_at = at;
  drag->upright = drag->lying = (LwAlignment){ 0 };
  if (drag->snapped)
    return (LwPoint){ at.x_mm + ox, at.y_mm + oy };
  return in_line (self, dx, dy, free ? 0.0 : REACH_LINE / self->view.scale, step);
}

static LwJob *
move_part (LwBoardView *self, double dx, double dy, gboolean free, const char **label, GError **error)
{
  const LwBoardDrag *drag = &self->drag;
  const LwPart *part = part_of (drag);
  LwPoint to = place_part (self, dx, dy, free);

  if (drag->group != NULL && drag->group->len > 1) {
    *label = _ ("Move parts");
    return lw_edit_move_parts (drag->before, drag->group, to.x_mm - part->x_mm, to.y_mm - part->y_mm, error);
  }
  *label = _ ("Move part");
  return lw_edit_move_part (drag->before, drag->index, to.x_mm, to.y_mm, error);
}

static void
apply (LwBoardView *self, double dx_mm, double dy_mm, gboolean free)
{
  LwBoardDrag *drag = &self->drag;
  g_autoptr (GError) error = NULL;
  const char *label = NULL;
  LwJob *job = drag->kind == LW_DRAG_PART ? move_part (self, dx_mm, dy_mm, free, &label, &error)
                                          : pull_grip (self, dx_mm, dy_mm, free, &label, &error);

  g_clear_pointer (&drag->refusal, g_free);
  if (!job) {
    drag->refusal = g_strdup (error ? error->message : "");
    return;
  }
  drag->edited = TRUE;
  lw_desk_set_dragging (self->desk, TRUE);
  lw_board_view_hurry (self);
  lw_desk_edit (self->desk, job, label, drag->key, NULL);
}

/* What is about to be dragged becomes the selection. */
static void
select_dragged (LwBoardView *self)
{
  LwBoardDrag *drag = &self->drag;

  if (drag->kind == LW_DRAG_PART && !lw_desk_has_selected (self->desk, (int) drag->index))
    lw_desk_select_part (self->desk, (int) drag->index);
  else if (drag->kind == LW_DRAG_PART)
    lw_desk_select_parts (self->desk, lw_desk_selected_parts (self->desk), (int) drag->index);
  else if (drag->grip == LW_GRIP_NOZZLE)
    lw_desk_select (self->desk, LW_THING_NOZZLE, -1);
  else if (drag->grip == LW_GRIP_SHIELD)
    lw_desk_select (self->desk, LW_THING_SHIELD, (int) drag->index);
  else if (drag->grip == LW_GRIP_THERMOCOUPLE)
    lw_desk_select (self->desk, LW_THING_THERMOCOUPLE, (int) drag->index);
  else
    lw_desk_select (self->desk, LW_THING_PREHEAT, -1);
  if (drag->kind == LW_DRAG_PART)
    drag->group = g_array_copy ((GArray *) lw_desk_selected_parts (self->desk));
}

/* Drags that change no job by themselves; FALSE when this one does. */
static gboolean
update_other (LwBoardView *self, double dx, double dy, gboolean free)
{
  LwBoardDrag *drag = &self->drag;

  if (drag->kind == LW_DRAG_PAN) {
    lw_board_view_pan (self, dx - drag->panned_x, dy - drag->panned_y);
    drag->panned_x = dx;
    drag->panned_y = dy;
  } else if (drag->kind == LW_DRAG_BAND) {
    lw_board_view_redraw (self, LW_BOARD_LAYER_OVER);
  } else if (drag->kind == LW_DRAG_SKETCH) {
    lw_board_view_sketch_update (self, drag->x0 + dx, drag->y0 + dy, free);
  } else {
    return FALSE;
  }
  drag->moved = TRUE;
  return TRUE;
}

void
lw_board_view_drag_update (LwBoardView *self, double dx, double dy, gboolean free)
{
  LwBoardDrag *drag = &self->drag;
  double x0, y0, x1, y1;

  if (drag->kind == LW_DRAG_NONE)
    return;
  if (!drag->moved && hypot (dx, dy) < THRESHOLD)
    return;
  drag->dx = dx;
  drag->dy = dy;
  if (update_other (self, dx, dy, free))
    return;
  if (!drag->moved)
    select_dragged (self);
  drag->moved = TRUE;
  lw_viewport_to_board (&self->view, drag->x0, drag->y0, &x0, &y0);
  lw_viewport_to_board (&self->view, drag->x0 + dx, drag->y0 + dy, &x1, &y1);
  apply (self, x1 - x0, y1 - y0, free);
}

void
lw_board_view_drag_end (LwBoardView *self)
{
  LwBoardDrag *drag = &self->drag;
  gboolean edited = drag->edited, part = drag->kind == LW_DRAG_PART;
  g_autofree char *refusal = g_steal_pointer (&drag->refusal);
  g_autofree char *ref = edited && part ? g_strdup (part_of (drag)->ref) : NULL;
  guint n = drag->group != NULL ? drag->group->len : 0;

  if (self->desk && drag->kind == LW_DRAG_BAND && drag->moved)
    lw_board_view_band_end (self);
  if (self->desk && drag->kind == LW_DRAG_SKETCH && drag->moved)
    lw_board_view_sketch_end (self);
  clear (drag);
  if (!self->desk)
    return;
  if (edited)
    lw_document_seal (lw_desk_document (self->desk));
  lw_desk_set_dragging (self->desk, FALSE);
  if (refusal && refusal[0]) {
    lw_desk_tell (self->desk, refusal, FALSE);
  } else if (ref) {
    g_autofree char *text = n > 1 ? g_strdup_printf (ngettext ("%u part moved", "%u parts moved", n), n)
                                  : g_strdup_printf (_ ("%s moved"), ref);

    lw_desk_tell (self->desk, text, TRUE);
  }
  if (edited)
    lw_board_view_redraw (self, LW_BOARD_LAYER_ALL);
}

void
lw_board_view_drag_cancel (LwBoardView *self)
{
  gboolean edited = self->drag.edited;
  g_autofree char *key = g_steal_pointer (&self->drag.key);

  lw_board_view_sketch_cancel (self);
  clear (&self->drag);
  if (!edited || !self->desk)
    return;
  if (lw_desk_document (self->desk))
    lw_document_abandon (lw_desk_document (self->desk), key);
  lw_desk_set_dragging (self->desk, FALSE);
}

/* ---- clicks ---- */

static void
choose_target (LwBoardView *self, int part)
{
  LwJob *job = lw_board_view_job (self);
  const char *ref = ((const LwPart *) g_ptr_array_index (job->parts, part))->ref;

  lw_desk_choose_target (self->desk, ref, _ ("Choose part to rework"));
}

static gboolean
select_grip (LwBoardView *self, double x, double y)
{
  guint index;

  switch (lw_board_view_grip_at (self, x, y, &index)) {
  case LW_GRIP_NONE:
    return FALSE;
  case LW_GRIP_NOZZLE:
    lw_desk_select (self->desk, LW_THING_NOZZLE, -1);
    return TRUE;
  case LW_GRIP_SHIELD:
    lw_desk_select (self->desk, LW_THING_SHIELD, (int) index);
    return TRUE;
  case LW_GRIP_THERMOCOUPLE:
    lw_desk_select (self->desk, LW_THING_THERMOCOUPLE, (int) index);
    return TRUE;
  default:
    lw_desk_select (self->desk, LW_THING_PREHEAT, -1);
    return TRUE;
  }
}

/* A click selects; a second one on a part makes it the part to rework, on bare board fits the view. */
void
lw_board_view_click (LwBoardView *self, double x, double y, int n_press)
{
  LwJob *job = lw_board_view_job (self);
  int part = job ? lw_board_hit_part (job, &self->view, x, y) : -1;

  if (!job)
    return;
  if (lw_board_view_sketching (self)) {
    lw_board_view_sketch_click (self, x, y, n_press);
    return;
  }
  if (n_press == 2 && part >= 0)
    choose_target (self, part);
  else if (n_press == 2)
    lw_board_view_fit (self);
  else if (part >= 0)
    lw_board_view_click_part (self, part);
  else if (!select_grip (self, x, y))
    lw_desk_select (self->desk, LW_THING_BOARD, -1);
}
