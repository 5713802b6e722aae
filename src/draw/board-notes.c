/* Words beside the plan's objects, placed once marks and flags lie, so that nothing crosses them. */
#include <math.h>

#include "draw/board-painter.h"

#define NEAR 3.0    /* gap between an object and its words, picture units */
#define CLEAR 3.0   /* kept clear at the words' ends */
#define STEPS 8     /* places tried along each edge, */
#define OVERHANG 16.0 /* and one that sticks out at its right end */
#define TOUCHING 25.0 /* what it costs to touch a body, in units of distance, */
#define CROSSING 90.0 /* and to lie wholly on one */
#define OVER_EDGE 120.0 /* half on the board, half off it */

struct _LwBoardNote {
  char *text;
  LwColor color;
  LwBox about;       /* the object */
  gboolean below;    /* rather than above */
  gboolean far;      /* may stand off, with a leader */
};

static void
note_clear (gpointer data)
{
  LwBoardNote *note = data;

  g_free (note->text);
}

GArray *
lw_board_notes_new (void)
{
  GArray *notes = g_array_new (FALSE, FALSE, sizeof (LwBoardNote));

  g_array_set_clear_func (notes, note_clear);
  return notes;
}

void
lw_board_note_path (LwBoardPainter *self, const char *text, LwColor color, LwNoteHabit habit)
{
  LwBox *about;
  LwBoardNote note = { .text = g_strdup (text), .color = color, .below = habit == LW_NOTE_BELOW,
                       .far = habit == LW_NOTE_LEADER };

  about = &note.about;
  cairo_path_extents (self->cr, &about->x0_mm, &about->y0_mm, &about->x1_mm, &about->y1_mm);
  cairo_new_path (self->cr);
  g_array_append_val (self->notes, note);
}

static gboolean
is_free (const LwBoardPainter *self, const LwBox *box)
{
  if (box->x0_mm < 2.0 || box->y0_mm < 2.0 || box->x1_mm > self->view->width - 2.0
      || box->y1_mm > self->view->height - 2.0)
    return FALSE;
  for (guint i = 0; i < self->taken->len; i++) {
    if (lw_boxes_overlap (box, &g_array_index (self->taken, LwBox, i)))
      return FALSE;
  }
  return TRUE;
}

static double
share_on_bodies (const LwBoardPainter *self, const LwBox *box)
{
  double area = 0.0;

  for (guint i = 0; i < self->items->len; i++) {
    const LwBoardItem *item = &g_array_index (self->items, LwBoardItem, i);

    if (item->seen && item->this_side)
      area += lw_boxes_shared_area (box, &item->box);
  }
  return area / MAX ((box->x1_mm - box->x0_mm) * (box->y1_mm - box->y0_mm), 1e-9);
}

static gboolean
lies_over_edge (const LwBoardPainter *self, const LwBox *box)
{
  const GPtrArray *loops = self->picture->job->board->outline;
  LwBox edge;

  if (loops->len == 0)
    return FALSE;
  edge = lw_board_loop_box (self, g_ptr_array_index (loops, 0));
  return lw_boxes_overlap (box, &edge)
         && (box->x0_mm < edge.x0_mm || box->y0_mm < edge.y0_mm || box->x1_mm > edge.x1_mm || box->y1_mm > edge.y1_mm);
}

typedef struct {
  LwBox box;
  double cost;
} Place;

static void
try_place (const LwBoardPainter *self, double x, double y, double w, double h, double cost, Place *best)
{
  LwBox box = { x, y, x + w, y + h }, around = { x - CLEAR, y, x + w + CLEAR, y + h };
  double share;

  if (!(cost < best->cost) || !is_free (self, &around))
    return;
  share = share_on_bodies (self, &around);
  cost += share > 0.0 ? TOUCHING + CROSSING * share : 0.0;
  cost += lies_over_edge (self, &around) ? OVER_EDGE : 0.0;
  if (cost < best->cost)
    *best = (Place){ box, cost };
}

/* Along the upper and the lower edge, left end first. */
static void
try_over_and_under (const LwBoardPainter *self, const LwBoardNote *note, double w, double h, double gap,
                    Place *best)
{
  const LwBox *b = &note->about;
  double first = MAX (b->x0_mm, 4.0), last = MIN (b->x1_mm, self->view->width - 4.0) - w;
  double room = MAX (last - first, 0.0);

  for (int k = 0; k <= STEPS; k++) {
    double x = first + room * k / STEPS, late = 0.5 * k;

    try_place (self, x, b->y0_mm - gap - h, w, h, gap + late + (note->below ? 5.0 : 0.0), best);
    try_place (self, x, b->y1_mm + gap, w, h, gap + late + (note->below ? 0.0 : 5.0), best);
  }
  last = b->x1_mm + OVERHANG - w;
  try_place (self, last, b->y0_mm - gap - h, w, h, gap + STEPS + (note->below ? 5.0 : 0.0), best);
  try_place (self, last, b->y1_mm + gap, w, h, gap + STEPS + (note->below ? 0.0 : 5.0), best);
}

static void
try_beside (const LwBoardPainter *self, const LwBoardNote *note, double w, double h, double gap,
            Place *best)
{
  const LwBox *b = &note->about;
  double first = b->y0_mm - gap - h, room = b->y1_mm - b->y0_mm + 2.0 * gap + h;

  for (int k = 0; k <= STEPS; k++) {
    double y = first + room * k / STEPS;

    try_place (self, b->x1_mm + gap, y, w, h, gap + 8.0, best);
    try_place (self, b->x0_mm - gap - w, y, w, h, gap + 8.0, best);
  }
}

static void
paint_leader (LwBoardPainter *self, const LwBoardNote *note, const LwBox *box)
{
  const LwBox *b = &note->about;
  double x = 0.5 * (box->x0_mm + box->x1_mm), y = 0.5 * (box->y0_mm + box->y1_mm);
  double to_x = CLAMP (x, b->x0_mm, b->x1_mm), to_y = CLAMP (y, b->y0_mm, b->y1_mm);
  double from_x = CLAMP (to_x, box->x0_mm, box->x1_mm), from_y = CLAMP (to_y, box->y0_mm, box->y1_mm);
  LwColor ground = lw_board_ground_at (self, 0.5 * (from_x + to_x), 0.5 * (from_y + to_y));

  if (hypot (to_x - from_x, to_y - from_y) < 2.0 * NEAR)
    return;
  cairo_move_to (self->cr, from_x, from_y);
  cairo_line_to (self->cr, to_x, to_y);
  lw_board_stroke_haloed (self, lw_board_ink_on (self, ground, note->color), 1.0, NULL, 0);
  cairo_new_path (self->cr);
}

static void
place_note (LwBoardPainter *self, const LwBoardNote *note)
{
  static const double gaps[] = { NEAR, 12.0, 20.0, 30.0, 42.0, 56.0, 72.0, 90.0 };
  Place best = { .cost = INFINITY };
  double w, h, x, y;

  lw_letter_measure (&self->type, note->text, &w, &h);
  if (note->about.x1_mm < w || note->about.x0_mm > self->view->width - w)
    return;
  for (guint k = 0; k < (note->far ? G_N_ELEMENTS (gaps) : 1); k++) {
    try_over_and_under (self, note, w, h, gaps[k], &best);
    if (note->far)
      try_beside (self, note, w, h, gaps[k], &best);
  }
  /* words half on the board, half off it stand out from neither: rather none, where the picture says as much */
  if (!isfinite (best.cost) || (note->far && best.cost >= OVER_EDGE && lies_over_edge (self, &best.box)))
    return;
  g_array_append_val (self->taken, best.box);
  paint_leader (self, note, &best.box);
  x = best.box.x0_mm + 0.5 * w;
  y = best.box.y0_mm + 0.5 * h;
  lw_letter_face (&self->type, 10.0, TRUE);
  lw_board_write (self, note->text, x, y, 0.0, lw_board_ground_at (self, x, y), note->color);
}

void
lw_board_paint_notes (LwBoardPainter *self)
{
  lw_letter_face (&self->type, 10.0, TRUE);
  for (guint i = 0; i < self->notes->len; i++)
    place_note (self, &g_array_index (self->notes, LwBoardNote, i));
}
