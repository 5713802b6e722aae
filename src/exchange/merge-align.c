/* Which pieces belong together, and how far apart their origins are. */
#include <glib/gi18n.h>
#include <math.h>

#include "exchange/merge-private.h"
#include "exchange/notes.h"

#define MIN_COMMON 3
#define SAME_BOX_MM 0.1
#define SAME_SHIFT_MM 0.2
#define SMALL_SHIFT_MM 0.005

static int
compare_doubles (const void *a, const void *b)
{
  const double *p = a, *q = b;

  return *p < *q ? -1 : *p > *q;
}

static double
median (GArray *values)
{
  g_array_sort (values, compare_doubles);
  return g_array_index (values, double, values->len / 2);
}

/* How many of the differences are the middle one. */
static guint
count_near (const GArray *x, const GArray *y, double dx, double dy)
{
  guint n = 0;

  for (guint i = 0; i < x->len; i++)
    n += hypot (g_array_index (x, double, i) - dx, g_array_index (y, double, i) - dy) <= SAME_SHIFT_MM;
  return n;
}

/* By parts that both have: the middle of their differences, which a few moved parts do not sway. Names as
 * common as R1 stand on any board, so half of them must agree. Returns how many do, 0 when too few. */
static guint
shift_by_parts (const LwMergeView *own, const LwMergeView *to, double *dx, double *dy)
{
  g_autoptr (GArray) x = g_array_new (FALSE, FALSE, sizeof (double)), y = g_array_new (FALSE, FALSE, sizeof (double));
  g_autoptr (GArray) sorted_x = NULL, sorted_y = NULL;
  GHashTableIter iter;
  gpointer ref, value;
  guint near;

  g_hash_table_iter_init (&iter, own->refs);
  while (g_hash_table_iter_next (&iter, &ref, &value))
    {
      const LwPart *a = value, *b = g_hash_table_lookup (to->refs, ref);
      double across, up;

      if (b == NULL || !a->placed || !b->placed)
        continue;
      across = b->x_mm + to->dx_mm - a->x_mm;
      up = b->y_mm + to->dy_mm - a->y_mm;
      g_array_append_val (x, across);
      g_array_append_val (y, up);
    }
  if (x->len < MIN_COMMON)
    return 0;
  sorted_x = g_array_copy (x);
  sorted_y = g_array_copy (y);
  *dx = median (sorted_x);
  *dy = median (sorted_y);
  near = count_near (x, y, *dx, *dy);
  return near >= MIN_COMMON && 2 * near >= x->len ? near : 0;
}

static gboolean
has_outline (const LwMergeView *view)
{
  return view->job->board->outline->len > 0 && !view->job->board->outline_assumed;
}

static gboolean
shift_by_outline (const LwMergeView *own, const LwMergeView *to, double *dx, double *dy)
{
  LwBox a, b;

  if (!has_outline (own) || !has_outline (to))
    return FALSE;
  a = lw_loop_box (own->job->board->outline->pdata[0]);
  b = lw_loop_box (to->job->board->outline->pdata[0]);
  if (fabs (a.x1_mm - a.x0_mm - b.x1_mm + b.x0_mm) > SAME_BOX_MM
      || fabs (a.y1_mm - a.y0_mm - b.y1_mm + b.y0_mm) > SAME_BOX_MM)
    return FALSE;
  *dx = b.x0_mm + to->dx_mm - a.x0_mm;
  *dy = b.y0_mm + to->dy_mm - a.y0_mm;
  return TRUE;
}

/* Whether nearly all of OWN's parts lie in TO's outline, be it a substitute, as they are. */
static gboolean
lies_on (const LwMergeView *own, const LwMergeView *to)
{
  LwBox box = to->job->board->outline->len > 0 ? lw_loop_box (to->job->board->outline->pdata[0]) : (LwBox) { 0 };
  guint n = 0, inside = 0;

  for (guint i = 0; i < own->job->parts->len; i++)
    {
      const LwPart *part = own->job->parts->pdata[i];
      double x = part->x_mm - to->dx_mm, y = part->y_mm - to->dy_mm;

      n += part->placed;
      inside += part->placed && x >= box.x0_mm && x <= box.x1_mm && y >= box.y0_mm && y <= box.y1_mm;
    }
  return n > 0 && inside * 10 >= n * 9;
}

static void
tell_shift (LwMerge *self, LwMergeView *own, const LwMergeView *to, guint common)
{
  if (fabs (own->dx_mm) < SMALL_SHIFT_MM && fabs (own->dy_mm) < SMALL_SHIFT_MM)
    {
      own->dx_mm = own->dy_mm = 0;
      return;
    }
  lw_notes_add_text (self->notes, own->piece->name,
                     common >= MIN_COMMON
                       ? g_strdup_printf (_("has another origin than %s: shifted by %.3f, %.3f mm, by %u parts that both have"),
                                          to->piece->name, own->dx_mm, own->dy_mm, common)
                       : g_strdup_printf (_("has another origin than %s: shifted by %.3f, %.3f mm, by the outlines"),
                                          to->piece->name, own->dx_mm, own->dy_mm));
}

/* Onto the first of the pieces before it that it has something in common with. */
static gboolean
align_one (LwMerge *self, guint i)
{
  LwMergeView *own = &g_array_index (self->views, LwMergeView, i);
  const LwMergeView *best = NULL;
  guint most = MIN_COMMON - 1;

  for (guint k = 0; k < i; k++)
    {
      const LwMergeView *to = &g_array_index (self->views, LwMergeView, k);
      double dx = 0, dy = 0;
      guint common = shift_by_parts (own, to, &dx, &dy);

      if (common <= most)
        continue;
      most = common;
      best = to;
      own->dx_mm = dx;
      own->dy_mm = dy;
    }
  for (guint k = 0; best == NULL && k < i; k++)
    if (shift_by_outline (own, &g_array_index (self->views, LwMergeView, k), &own->dx_mm, &own->dy_mm))
      best = &g_array_index (self->views, LwMergeView, k);
  if (best != NULL)
    tell_shift (self, own, best, most);
  for (guint k = 0; best == NULL && k < i; k++)
    if (lies_on (own, &g_array_index (self->views, LwMergeView, k)) || lies_on (&g_array_index (self->views, LwMergeView, k), own))
      best = own;
  return best != NULL;
}

void
lw_merge_align (LwMerge *self)
{
  for (guint i = 1; i < self->views->len;)
    {
      LwMergeView *own = &g_array_index (self->views, LwMergeView, i);

      if (align_one (self, i))
        {
          i++;
          continue;
        }
      lw_notes_add_text (self->notes, own->piece->name,
                         g_strdup_printf (_("shares neither parts nor outline with %s: taken for another board and left out"),
                                          g_array_index (self->views, LwMergeView, 0).piece->name));
      g_array_remove_index (self->views, i);
    }
}
