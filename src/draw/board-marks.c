/* Grades, the target's brackets, selection and hover, and the names. */
#include <math.h>

#include "draw/board-painter.h"

static void
each_shape (LwBoardPainter *self, const LwBoardItem *item)
{
  cairo_new_path (self->cr);
  lw_board_shape_path (self->cr, item->shape, MIN (0.09 * item->small_side, 4.0));
}

/* One mark on the board: a part's own, or that of several tiny neighbours of one grade. */
typedef struct {
  LwPoint first, at; /* where the first part's mark would be; mean over all */
  double size;
  LwGrade grade;
  gboolean this_side, tiny;
  guint count;
} Mark;

#define MARK_SIZE 13.0
#define TINY_SIZE 10.0
#define ASIDE 1.75     /* a mark steps aside for a worse one by so many of its sizes at most */
#define ASIDE_MOST 300 /* where there are more marks than this they are a pattern, and each stays where it belongs */
#define TOGETHER 30.0 /* tiny parts nearer than this share a mark, picture units */

/* What is fine goes unmarked until it is picked: on a good board nearly all of it is. */
static gboolean
is_marked (const LwBoardPainter *self, const LwBoardItem *item)
{
  return item->seen && item->graded && (item->grade != LW_GRADE_FINE || item->selected)
         && (item->this_side || self->picture->show_other_side);
}

static Mark
mark_of (const LwBoardItem *item)
{
  Mark mark = { .first = { item->box.x1_mm, item->box.y0_mm }, .grade = item->grade, .count = 1 };

  mark.at = mark.first;
  mark.this_side = item->this_side;
  mark.tiny = item->small_side < TINY_SIZE;
  mark.size = item->grade == LW_GRADE_FINE ? 9.0 : mark.tiny ? TINY_SIZE : MARK_SIZE;
  if (!item->this_side)
    mark.size *= 0.8;
  return mark;
}

static gboolean
join (GArray *marks, const Mark *mark)
{
  for (guint i = 0; mark->tiny && i < marks->len; i++) {
    Mark *other = &g_array_index (marks, Mark, i);

    if (!other->tiny || other->grade != mark->grade || other->this_side != mark->this_side
        || hypot (other->first.x_mm - mark->at.x_mm, other->first.y_mm - mark->at.y_mm) > TOGETHER)
      continue;
    other->count++;
    other->at.x_mm += (mark->at.x_mm - other->at.x_mm) / other->count;
    other->at.y_mm += (mark->at.y_mm - other->at.y_mm) / other->count;
    return TRUE;
  }
  return FALSE;
}

static void
outline_item (LwBoardPainter *self, const LwBoardItem *item)
{
  if (item->grade == LW_GRADE_FINE || !item->this_side)
    return;
  each_shape (self, item);
  /* with a halo: amber would be lost on a hot board that is drawn bright, red on one that is drawn dark */
  lw_board_stroke_haloed (self, lw_grade_color (item->grade, self->picture->look), item->small_side < TINY_SIZE ? 1.2 : 1.6,
                          NULL, 0);
}

static void
paint_mark (LwBoardPainter *self, const Mark *mark)
{
  double x = mark->at.x_mm, y = mark->at.y_mm, half = 0.6 * mark->size, w, h;
  LwBox box = { x - half, y - half, x + half, y + half };

  if (mark->count > 1) {
    g_autofree char *text = g_strdup_printf ("%u", mark->count);

    lw_letter_face (&self->type, 9.0, TRUE);
    lw_letter_measure (&self->type, text, &w, &h);
    lw_board_write (self, text, x + half + 1.5 + 0.5 * w, y, 0.0, lw_board_ground_at (self, x, y),
                    self->ink->ink);
    box.x1_mm += w + 2.5;
  }
  lw_draw_grade_mark (self->cr, x, y, mark->size, mark->grade, self->picture->look);
  g_array_append_val (self->taken, box);
}

/* With its count, about. */
static LwBox
mark_box (const Mark *mark, double dx, double dy)
{
  double x = mark->at.x_mm + dx, y = mark->at.y_mm + dy, half = 0.6 * mark->size;
  double words = mark->count > 9 ? 16.0 : mark->count > 1 ? 9.5 : 0.0;

  return (LwBox){ x - half, y - half, x + half + words, y + half };
}

static gboolean
lies_on_another (const GArray *marks, guint from, const LwBox *box)
{
  for (guint i = from; i < marks->len; i++) {
    LwBox other = mark_box (&g_array_index (marks, Mark, i), 0.0, 0.0);

    if (lw_boxes_overlap (box, &other))
      return TRUE;
  }
  return FALSE;
}

/* To the nearest place free of the marks behind it in the list, if there is one close by. */
static void
step_aside (GArray *marks, guint i)
{
  Mark *mark = &g_array_index (marks, Mark, i);
  LwBox box = mark_box (mark, 0.0, 0.0);

  if (!lies_on_another (marks, i + 1, &box))
    return;
  for (double far = 0.25 * mark->size; far <= ASIDE * mark->size; far += 0.25 * mark->size) {
    for (guint k = 0; k < 8; k++) {
      double dx = far * cos (0.25 * G_PI * k), dy = far * sin (0.25 * G_PI * k);

      box = mark_box (mark, dx, dy);
      if (lies_on_another (marks, i + 1, &box))
        continue;
      mark->at.x_mm += dx;
      mark->at.y_mm += dy;
      return;
    }
  }
}

/* Worst last, so that they lie on top. */
void
lw_board_paint_marks (LwBoardPainter *self)
{
  g_autoptr (GArray) marks = g_array_new (FALSE, FALSE, sizeof (Mark));

  for (int grade = LW_GRADE_FINE; grade >= LW_GRADE_STOP; grade--) {
    for (guint i = 0; i < self->items->len; i++) {
      const LwBoardItem *item = &g_array_index (self->items, LwBoardItem, i);
      Mark mark = mark_of (item);

      if ((int) item->grade != grade || !is_marked (self, item))
        continue;
      outline_item (self, item);
      if (!join (marks, &mark))
        g_array_append_val (marks, mark);
    }
  }
  for (guint i = marks->len; marks->len <= ASIDE_MOST && i-- > 0;)
    step_aside (marks, i);
  for (guint i = 0; i < marks->len; i++)
    paint_mark (self, &g_array_index (marks, Mark, i));
}

static void
bracket (cairo_t *cr, double x, double y, double dx, double dy)
{
  cairo_move_to (cr, x + dx, y);
  cairo_line_to (cr, x, y);
  cairo_line_to (cr, x, y + dy);
}

void
lw_board_paint_target (LwBoardPainter *self)
{
  cairo_t *cr = self->cr;
  const LwBoardItem *item;
  double arm, gap = 4.0;
  LwColor ink;
  LwBox b;

  if (self->target < 0)
    return;
  item = &g_array_index (self->items, LwBoardItem, self->target);
  if (!item->seen)
    return;
  b = (LwBox){ item->box.x0_mm - gap, item->box.y0_mm - gap, item->box.x1_mm + gap, item->box.y1_mm + gap };
  arm = CLAMP (0.22 * MIN (b.x1_mm - b.x0_mm, b.y1_mm - b.y0_mm), 5.0, 16.0);
  cairo_new_path (cr);
  bracket (cr, b.x0_mm, b.y0_mm, arm, arm);
  bracket (cr, b.x1_mm, b.y0_mm, -arm, arm);
  bracket (cr, b.x1_mm, b.y1_mm, -arm, -arm);
  bracket (cr, b.x0_mm, b.y1_mm, arm, -arm);
  cairo_set_line_cap (cr, CAIRO_LINE_CAP_ROUND);
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  ink = lw_board_ink_on (self, lw_board_ground_at (self, b.x0_mm, b.y0_mm), self->ink->nozzle);
  lw_color_set (cr, (LwColor){ 1.0 - ink.r, 1.0 - ink.g, 1.0 - ink.b, 0.35 });
  cairo_set_line_width (cr, 4.2);
  cairo_stroke_preserve (cr);
  lw_color_set (cr, ink);
  cairo_set_line_width (cr, 2.4);
  cairo_stroke (cr);
  cairo_set_line_cap (cr, CAIRO_LINE_CAP_BUTT);
}

void
lw_board_paint_selection (LwBoardPainter *self)
{
  cairo_t *cr = self->cr;

  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  for (guint i = 0; i < self->items->len; i++) {
    const LwBoardItem *item = &g_array_index (self->items, LwBoardItem, i);
    gboolean hovered = (int) item->index == self->picture->hovered;

    if (!item->seen || !(item->selected || hovered))
      continue;
    each_shape (self, item);
    if (item->selected) {
      lw_color_set (cr, self->ink->halo);
      cairo_set_line_width (cr, 6.0);
      cairo_stroke_preserve (cr);
    }
    lw_color_set (cr, self->ink->accent);
    cairo_set_line_width (cr, item->selected ? 3.0 : 2.0);
    cairo_stroke (cr);
  }
}

static int
priority_of (const LwBoardItem *item)
{
  if (item->target)
    return 4;
  if (item->selected)
    return 3;
  return item->graded && item->grade == LW_GRADE_STOP ? 2 : item->graded && item->grade == LW_GRADE_WATCH ? 1 : 0;
}

static LwLabel
label_of (const LwBoardItem *item)
{
  LwLabel label = { .body = item->box, .priority = priority_of (item) };

  /* Tiny parts to watch share a mark; their names would hide what they stand beside. */
  label.wanted = label.priority > 1 || (label.priority == 1 && item->small_side >= TINY_SIZE);
  label.inside_only = !label.wanted && item->small_side < 5.0;
  return label;
}

static void
write_name (LwBoardPainter *self, const LwBoardItem *item, const LwLabel *label)
{
  lw_letter_face (&self->type, label->size, priority_of (item) > 0);
  lw_board_write (self, item->part->ref, label->x, label->y, label->upright ? -0.5 * G_PI : 0.0,
                  label->inside ? lw_board_body_color (self, item)
                                : lw_board_ground_at (self, label->x, label->y),
                  self->ink->ink);
}

LwBox
lw_board_loop_box (const LwBoardPainter *self, const LwLoop *loop)
{
  LwBox mm = lw_loop_box (loop);
  double x0, y0, x1, y1;

  lw_viewport_to_picture (self->view, mm.x0_mm, mm.y1_mm, &x0, &y0);
  lw_viewport_to_picture (self->view, mm.x1_mm, mm.y0_mm, &x1, &y1);
  return (LwBox){ MIN (x0, x1), y0, MAX (x0, x1), y1 };
}

/* A name over a hole or a slot could not be read: they count as bodies. What is hidden by a body hinders no name on it. */
static guint
add_holes (const LwBoardPainter *self, LwBox *bodies, guint n)
{
  const GPtrArray *loops = self->picture->job->board->outline;

  for (guint i = 1; i < loops->len; i++)
    bodies[n++] = lw_board_loop_box (self, g_ptr_array_index (loops, i));
  return n;
}

/* Into a body this narrow no letter goes, and a small one has its name inside or nowhere: of a board of thousands few names
 * have to be set to see how long they are. */
static gboolean
may_be_named (const LwBoardItem *item, const LwLabel *label)
{
  const double narrow = 5.0;

  return !label->inside_only
         || MIN (item->box.x1_mm - item->box.x0_mm, item->box.y1_mm - item->box.y0_mm) >= narrow;
}

void
lw_board_paint_names (LwBoardPainter *self)
{
  guint n = 0, n_bodies = 0;
  const GPtrArray *loops = self->picture->job->board->outline;
  g_autofree LwLabel *labels = g_new (LwLabel, MAX (self->items->len, 1));
  g_autofree LwBox *bodies = g_new (LwBox, MAX (self->items->len + loops->len, 1));
  g_autofree guint *item_of = g_new (guint, MAX (self->items->len, 1));
  LwBox edge = loops->len > 0 ? lw_board_loop_box (self, g_ptr_array_index (loops, 0)) : self->frame;
  const LwBox view = { 0.0, 0.0, self->view->width, self->view->height }; /* what is in the margin has no name yet */

  lw_letter_face (&self->type, 10.0, TRUE);
  for (guint i = 0; i < self->items->len; i++) {
    const LwBoardItem *item = &g_array_index (self->items, LwBoardItem, i);

    if (!item->seen || !item->this_side || !lw_boxes_overlap (&item->box, &view))
      continue;
    bodies[n_bodies++] = item->box;
    labels[n] = label_of (item);
    if (!may_be_named (item, &labels[n]))
      continue;
    lw_letter_measure (&self->type, item->part->ref, &labels[n].width, &labels[n].height);
    labels[n].edge = &edge;
    item_of[n++] = i;
  }
  lw_labels_place (labels, n, bodies, add_holes (self, bodies, n_bodies), self->taken, view);
  for (guint i = 0; i < n; i++) {
    if (labels[i].placed)
      write_name (self, &g_array_index (self->items, LwBoardItem, item_of[i]), &labels[i]);
  }
}
