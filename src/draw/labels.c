/* Greedy placement in order of priority, after Christensen, Marks & Shieber's account of point-feature
 * labelling (ACM Trans. Graphics 14, 1995): each label takes the best free of a few places or none. */
#include "draw/labels.h"

#include <math.h>

#include "draw/label-grid.h"

#define SIZE_MIN 8.5
#define SIZE_MAX 17.0
#define SIZE_BESIDE 9.0
#define GAP 2.5
#define MAX_COVER 0.25 /* share of a label beside a body that may lie on other bodies */
#define OVER_EDGE 0.2  /* what it counts to lie across the board's edge or beyond it */

gboolean
lw_boxes_overlap (const LwBox *a, const LwBox *b)
{
  return a->x0_mm < b->x1_mm && b->x0_mm < a->x1_mm && a->y0_mm < b->y1_mm && b->y0_mm < a->y1_mm;
}

double
lw_boxes_shared_area (const LwBox *a, const LwBox *b)
{
  double w = MIN (a->x1_mm, b->x1_mm) - MAX (a->x0_mm, b->x0_mm);
  double h = MIN (a->y1_mm, b->y1_mm) - MAX (a->y0_mm, b->y0_mm);

  return w > 0.0 && h > 0.0 ? w * h : 0.0;
}

/* What names go round: bodies (softly), and what is taken, which grows. */
typedef struct {
  LwBox frame;
  GArray *taken;
  LwLabelGrid bodies, places; /* PLACES: of TAKEN */
} Room;

static gboolean
is_free (const Room *room, const LwBox *box)
{
  const LwBox *frame = &room->frame;

  return box->x0_mm >= frame->x0_mm && box->x1_mm <= frame->x1_mm && box->y0_mm >= frame->y0_mm
         && box->y1_mm <= frame->y1_mm && !lw_label_grid_hit (&room->places, box);
}

static LwBox
box_about (double x, double y, double w, double h)
{
  return (LwBox){ x - 0.5 * w, y - 0.5 * h, x + 0.5 * w, y + 0.5 * h };
}

/* Largest letter size at which the text fits into a room, 0 when that is too small. */
static double
fitting_size (const LwLabel *label, double room_x, double room_y)
{
  double size = 10.0 * MIN (0.88 * room_x / label->width, 0.92 * room_y / (0.8 * label->height));

  return size >= SIZE_MIN ? MIN (size, SIZE_MAX) : 0.0;
}

static gboolean
take (LwLabel *label, LwBox box, double size, Room *room)
{
  if (!is_free (room, &box))
    return FALSE;
  label->placed = TRUE;
  label->x = 0.5 * (box.x0_mm + box.x1_mm);
  label->y = 0.5 * (box.y0_mm + box.y1_mm);
  label->size = size;
  label->taken = box;
  g_array_append_val (room->taken, box);
  lw_label_grid_add (&room->places, &box);
  return TRUE;
}

/* The part of a large body that is in view carries the name. */
static gboolean
place_inside (LwLabel *label, Room *room)
{
  const LwBox *frame = &room->frame;
  LwBox seen = { MAX (label->body.x0_mm, frame->x0_mm), MAX (label->body.y0_mm, frame->y0_mm),
                 MIN (label->body.x1_mm, frame->x1_mm), MIN (label->body.y1_mm, frame->y1_mm) };
  double room_x = seen.x1_mm - seen.x0_mm, room_y = seen.y1_mm - seen.y0_mm;
  double x = 0.5 * (seen.x0_mm + seen.x1_mm), y = 0.5 * (seen.y0_mm + seen.y1_mm);
  double flat = fitting_size (label, room_x, room_y), upright = fitting_size (label, room_y, room_x);

  label->upright = flat == 0.0 && upright > 0.0;
  if (label->upright)
    label->inside = take (label, box_about (x, y, 0.1 * upright * label->height, 0.1 * upright * label->width),
                          upright, room);
  else if (flat > 0.0)
    label->inside = take (label, box_about (x, y, 0.1 * flat * label->width, 0.1 * flat * label->height), flat, room);
  if (!label->inside)
    label->upright = FALSE;
  return label->inside;
}

static double
covered (const Room *room, const LwBox *box)
{
  return lw_label_grid_shared (&room->bodies, box)
         / MAX ((box->x1_mm - box->x0_mm) * (box->y1_mm - box->y0_mm), 1e-9);
}

static gboolean
lies_in (const LwBox *inner, const LwBox *outer)
{
  return inner->x0_mm >= outer->x0_mm && inner->x1_mm <= outer->x1_mm && inner->y0_mm >= outer->y0_mm
         && inner->y1_mm <= outer->y1_mm;
}

static gboolean
leaves_board (const LwLabel *label, const LwBox *box)
{
  return label->edge && lies_in (&label->body, label->edge) && !lies_in (box, label->edge);
}

static void
place_beside (LwLabel *label, Room *room)
{
  double w = 0.1 * SIZE_BESIDE * label->width, h = 0.1 * SIZE_BESIDE * label->height;
  const LwBox *b = &label->body;
  double x = 0.5 * (b->x0_mm + b->x1_mm), y = 0.5 * (b->y0_mm + b->y1_mm);
  double right = b->x1_mm + GAP + 0.5 * w, left = b->x0_mm - GAP - 0.5 * w;
  double above = b->y0_mm - 0.5 * h, below = b->y1_mm + 0.5 * h;
  LwPoint places[] = { { x, above }, { x, below }, { right, y }, { left, y },
                       { right, above }, { right, below }, { left, above }, { left, below } };
  double least = label->wanted ? INFINITY : MAX_COVER;
  LwBox best = { 0 };
  gboolean found = FALSE;

  for (guint k = 0; k < G_N_ELEMENTS (places); k++) {
    LwBox box = box_about (places[k].x_mm, places[k].y_mm, w, h);
    double cover;

    if (!is_free (room, &box))
      continue;
    cover = covered (room, &box) + (leaves_board (label, &box) ? OVER_EDGE : 0.0);
    if (cover < least) {
      least = cover;
      best = box;
      found = TRUE;
      if (cover == 0.0)
        break;
    }
  }
  if (found)
    take (label, best, SIZE_BESIDE, room);
}

static double
body_area (const LwLabel *label)
{
  return (label->body.x1_mm - label->body.x0_mm) * (label->body.y1_mm - label->body.y0_mm);
}

static int
by_priority (gconstpointer a, gconstpointer b, gpointer user)
{
  const LwLabel *labels = user, *la = &labels[*(const guint *) a], *lb = &labels[*(const guint *) b];

  if (la->priority != lb->priority)
    return la->priority > lb->priority ? -1 : 1;
  if (body_area (la) != body_area (lb))
    return body_area (la) > body_area (lb) ? -1 : 1;
  return *(const guint *) a < *(const guint *) b ? -1 : 1;
}

void
lw_labels_place (LwLabel *labels, guint n, const LwBox *bodies, guint n_bodies, GArray *taken, LwBox frame)
{
  g_autofree guint *order = g_new (guint, MAX (n, 1));
  Room room = { .frame = frame, .taken = taken };

  lw_label_grid_init (&room.bodies, frame);
  lw_label_grid_init (&room.places, frame);
  for (guint i = 0; i < n_bodies; i++)
    lw_label_grid_add (&room.bodies, &bodies[i]);
  for (guint i = 0; i < taken->len; i++)
    lw_label_grid_add (&room.places, &g_array_index (taken, LwBox, i));
  for (guint i = 0; i < n; i++)
    order[i] = i;
  g_qsort_with_data (order, (int) n, sizeof *order, by_priority, labels);
  for (guint i = 0; i < n; i++) {
    LwLabel *label = &labels[order[i]];

    label->placed = label->inside = label->upright = FALSE;
    if (!(label->width > 0.0) || !(label->height > 0.0) || !lw_boxes_overlap (&label->body, &frame))
      continue;
    if (!place_inside (label, &room) && !label->inside_only)
      place_beside (label, &room);
  }
  lw_label_grid_clear (&room.bodies);
  lw_label_grid_clear (&room.places);
}
