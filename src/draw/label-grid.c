#include "draw/label-grid.h"

#include <math.h>

#include "draw/labels.h"

#define SQUARE 24.0
#define MOST 400 /* squares along an axis */

typedef struct {
  LwBox box;
  int next; /* in the same square, -1 = none */
} Entry;

/* V in whole squares, FROM to TO; what is no number is in the first. */
static int
whole (double v, int from, int to)
{
  return v > from ? (v < to ? (int) v : to) : from;
}

static int
squares (double length)
{
  return whole (ceil (length / SQUARE), 1, MOST);
}

void
lw_label_grid_init (LwLabelGrid *self, LwBox frame)
{
  self->frame = frame;
  self->nx = squares (frame.x1_mm - frame.x0_mm);
  self->ny = squares (frame.y1_mm - frame.y0_mm);
  self->first = g_new (int, self->nx * self->ny);
  for (int i = 0; i < self->nx * self->ny; i++)
    self->first[i] = -1;
  self->entries = g_array_new (FALSE, FALSE, sizeof (Entry));
}

void
lw_label_grid_clear (LwLabelGrid *self)
{
  g_clear_pointer (&self->first, g_free);
  g_clear_pointer (&self->entries, g_array_unref);
}

static int
column_of (const LwLabelGrid *self, double x)
{
  return whole ((x - self->frame.x0_mm) / SQUARE, 0, self->nx - 1);
}

static int
row_of (const LwLabelGrid *self, double y)
{
  return whole ((y - self->frame.y0_mm) / SQUARE, 0, self->ny - 1);
}

void
lw_label_grid_add (LwLabelGrid *self, const LwBox *box)
{
  int x0 = column_of (self, box->x0_mm), x1 = column_of (self, box->x1_mm), y1 = row_of (self, box->y1_mm);

  for (int y = row_of (self, box->y0_mm); y <= y1; y++)
    for (int x = x0; x <= x1; x++) {
      Entry entry = { *box, self->first[y * self->nx + x] };

      self->first[y * self->nx + x] = (int) self->entries->len;
      g_array_append_val (self->entries, entry);
    }
}

gboolean
lw_label_grid_hit (const LwLabelGrid *self, const LwBox *box)
{
  int x0 = column_of (self, box->x0_mm), x1 = column_of (self, box->x1_mm), y1 = row_of (self, box->y1_mm);

  for (int y = row_of (self, box->y0_mm); y <= y1; y++)
    for (int x = x0; x <= x1; x++)
      for (int i = self->first[y * self->nx + x]; i >= 0; i = g_array_index (self->entries, Entry, i).next)
        if (lw_boxes_overlap (box, &g_array_index (self->entries, Entry, i).box))
          return TRUE;
  return FALSE;
}

/* A pair that meets in several squares counts in the one where what it shares begins. */
double
lw_label_grid_shared (const LwLabelGrid *self, const LwBox *box)
{
  int x0 = column_of (self, box->x0_mm), x1 = column_of (self, box->x1_mm), y1 = row_of (self, box->y1_mm);
  double area = 0.0;

  for (int y = row_of (self, box->y0_mm); y <= y1; y++)
    for (int x = x0; x <= x1; x++)
      for (int i = self->first[y * self->nx + x]; i >= 0; i = g_array_index (self->entries, Entry, i).next) {
        const LwBox *other = &g_array_index (self->entries, Entry, i).box;

        if (column_of (self, MAX (box->x0_mm, other->x0_mm)) == x && row_of (self, MAX (box->y0_mm, other->y0_mm)) == y)
          area += lw_boxes_shared_area (box, other);
      }
  return area;
}
