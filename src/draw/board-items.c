/* The parts of a board as they are drawn: where they lie in the picture, what was predicted and found for each. */
#include <math.h>
#include <string.h>

#include "draw/board-painter.h"

/* What is looked up for every part, gathered once. */
typedef struct {
  const LwPartTrace **traces; /* by part */
  gboolean *selected;         /* by part */
  GHashTable *grades;         /* ref -> worst grade + 1; keys are the findings' */
} Index;

static void
index_init (Index *self, const LwBoardPicture *picture)
{
  guint n = picture->job->parts->len;
  const LwPrediction *p = picture->prediction;
  const GPtrArray *findings = picture->findings;

  self->traces = g_new0 (const LwPartTrace *, MAX (n, 1));
  self->selected = g_new0 (gboolean, MAX (n, 1));
  self->grades = g_hash_table_new (g_str_hash, g_str_equal);
  for (guint i = p ? p->parts->len : 0; i-- > 0;) {
    const LwPartTrace *trace = g_ptr_array_index (p->parts, i);

    if (trace->part < n)
      self->traces[trace->part] = trace;
  }
  for (guint i = 0; i < picture->n_selected; i++)
    if (picture->selected[i] < n)
      self->selected[picture->selected[i]] = TRUE;
  for (guint i = 0; findings && i < findings->len; i++) {
    const LwFinding *finding = g_ptr_array_index (findings, i);
    guint worst = GPOINTER_TO_UINT (g_hash_table_lookup (self->grades, finding->ref)), grade = finding->grade + 1;

    if (worst == 0 || grade < worst)
      g_hash_table_insert (self->grades, finding->ref, GUINT_TO_POINTER (grade));
  }
}

static void
index_clear (Index *self)
{
  g_free (self->traces);
  g_free (self->selected);
  g_hash_table_unref (self->grades);
}

static LwBox
box_of (const LwPoint *points, guint n)
{
  LwBox box = { INFINITY, INFINITY, -INFINITY, -INFINITY };

  for (guint i = 0; i < n; i++)
    if (isfinite (points[i].x_mm) && isfinite (points[i].y_mm)) {
      box.x0_mm = MIN (box.x0_mm, points[i].x_mm);
      box.y0_mm = MIN (box.y0_mm, points[i].y_mm);
      box.x1_mm = MAX (box.x1_mm, points[i].x_mm);
      box.y1_mm = MAX (box.y1_mm, points[i].y_mm);
    }
  return box;
}

static void
flatten (const LwViewport *view, LwBoardItem *item)
{
  g_autoptr (LwLoop) loop = lw_part_outline (item->part, item->package);
  g_autoptr (GArray) mm = lw_loop_flatten (loop, CLAMP (0.15 / view->scale, 1e-4, 10.0));

  for (guint i = 0; i < mm->len; i++) {
    const LwPoint *from = &g_array_index (mm, LwPoint, i);
    LwPoint to;

    lw_viewport_to_picture (view, from->x_mm, from->y_mm, &to.x_mm, &to.y_mm);
    g_array_append_val (item->shape, to);
  }
}

/* A body of its own shape may leave the box that its length and width span: only plain ones are out of view with it. */
static void
place_item (LwBoardPainter *self, LwBoardItem *item)
{
  const LwViewport *view = self->view;
  const LwPoint *c = item->corners;
  gboolean plain = !item->package || (!item->package->round && !item->package->outline);
  LwPoint box[4];

  lw_part_body_corners (item->part, item->package, item->corners);
  item->small_side = view->scale
                     * MIN (hypot (c[1].x_mm - c[0].x_mm, c[1].y_mm - c[0].y_mm),
                            hypot (c[2].x_mm - c[1].x_mm, c[2].y_mm - c[1].y_mm));
  for (int k = 0; k < 4; k++)
    lw_viewport_to_picture (view, c[k].x_mm, c[k].y_mm, &box[k].x_mm, &box[k].y_mm);
  item->box = box_of (box, 4);
  if (plain && !lw_boxes_overlap (&item->box, &self->frame))
    return;
  item->shape = g_array_sized_new (FALSE, FALSE, sizeof (LwPoint), 4);
  if (plain) {
    g_array_append_vals (item->shape, box, 4);
  } else {
    flatten (view, item);
    item->box = box_of ((const LwPoint *) (void *) item->shape->data, item->shape->len);
  }
  item->seen = item->box.x1_mm >= item->box.x0_mm && lw_boxes_overlap (&item->box, &self->frame);
}

static int
by_area (gconstpointer a, gconstpointer b)
{
  const LwBoardItem *ia = a, *ib = b;
  double aa = ia->package ? ia->package->length_mm * ia->package->width_mm : 0.0;
  double ab = ib->package ? ib->package->length_mm * ib->package->width_mm : 0.0;

  if (aa != ab)
    return aa > ab ? -1 : 1;
  return ia->index < ib->index ? -1 : ia->index > ib->index;
}

static void
collect_item (LwBoardPainter *self, const Index *index, guint i)
{
  const LwJob *job = self->picture->job;
  LwBoardItem item = { .index = i, .part = g_ptr_array_index (job->parts, i) };
  guint grade;

  if (!item.part->placed || !isfinite (item.part->x_mm) || !isfinite (item.part->y_mm))
    return;
  item.package = lw_job_package_of (job, item.part);
  item.trace = index->traces[i];
  item.this_side = item.part->side == self->view->side;
  item.target = self->plan && strcmp (self->plan->ref, item.part->ref) == 0;
  item.selected = index->selected[i];
  grade = GPOINTER_TO_UINT (g_hash_table_lookup (index->grades, item.part->ref));
  item.graded = grade > 0;
  item.grade = item.graded ? (LwGrade) (grade - 1) : LW_GRADE_FINE;
  place_item (self, &item);
  g_array_append_val (self->items, item);
}

static void
item_clear (gpointer data)
{
  LwBoardItem *item = data;

  if (item->shape)
    g_array_unref (item->shape);
}

void
lw_board_collect_items (LwBoardPainter *self)
{
  Index index;

  self->items = g_array_sized_new (FALSE, FALSE, sizeof (LwBoardItem), self->picture->job->parts->len);
  g_array_set_clear_func (self->items, item_clear);
  index_init (&index, self->picture);
  for (guint i = 0; i < self->picture->job->parts->len; i++)
    collect_item (self, &index, i);
  index_clear (&index);
  g_array_sort (self->items, by_area);
  for (guint i = 0; i < self->items->len; i++)
    if (g_array_index (self->items, LwBoardItem, i).target)
      self->target = (int) i;
}
