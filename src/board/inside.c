/* Edges are sorted into level strips, so that a point is compared only with edges of its own strip. */
#include "board/inside.h"

#include <math.h>

enum { STRIPS_MAX = 256 };

typedef struct {
  LwPoint a, b;
} Edge;

struct _LwInside {
  GArray *edges;
  GArray **strips; /* of guint: indices into edges */
  guint n_strips;
  double y0, y1;
};

static void
append_edges (GArray *edges, const LwLoop *loop)
{
  g_autoptr (GArray) points = lw_loop_flatten (loop, 0.005);

  for (guint i = 0; i < points->len; i++)
    {
      Edge edge = { g_array_index (points, LwPoint, i), g_array_index (points, LwPoint, (i + 1) % points->len) };

      g_array_append_val (edges, edge);
    }
}

static guint
strip_of (const LwInside *self, double y)
{
  double strip = (y - self->y0) / (self->y1 - self->y0) * self->n_strips;

  return (guint) CLAMP (strip, 0.0, self->n_strips - 1.0);
}

static void
fill_strips (LwInside *self)
{
  if (self->n_strips == 0)
    return;
  for (guint i = 0; i < self->n_strips; i++)
    self->strips[i] = g_array_new (FALSE, FALSE, sizeof (guint));
  for (guint i = 0; i < self->edges->len; i++)
    {
      const Edge *edge = &g_array_index (self->edges, Edge, i);
      guint last = strip_of (self, MAX (edge->a.y_mm, edge->b.y_mm));

      for (guint s = strip_of (self, MIN (edge->a.y_mm, edge->b.y_mm)); s <= last; s++)
        g_array_append_val (self->strips[s], i);
    }
}

LwInside *
lw_inside_new (const GPtrArray *loops)
{
  LwInside *self = g_new0 (LwInside, 1);

  self->edges = g_array_new (FALSE, FALSE, sizeof (Edge));
  for (guint i = 0; i < loops->len; i++)
    append_edges (self->edges, g_ptr_array_index (loops, i));
  self->y0 = INFINITY;
  self->y1 = -INFINITY;
  for (guint i = 0; i < self->edges->len; i++)
    {
      self->y0 = MIN (self->y0, g_array_index (self->edges, Edge, i).a.y_mm);
      self->y1 = MAX (self->y1, g_array_index (self->edges, Edge, i).a.y_mm);
    }
  self->n_strips = self->y1 > self->y0 ? CLAMP (self->edges->len / 4, 1, STRIPS_MAX) : 0;
  self->strips = g_new0 (GArray *, self->n_strips + 1);
  fill_strips (self);
  return self;
}

void
lw_inside_free (LwInside *self)
{
  if (self == NULL)
    return;
  for (guint i = 0; i < self->n_strips; i++)
    g_array_unref (self->strips[i]);
  g_free (self->strips);
  g_array_unref (self->edges);
  g_free (self);
}

gboolean
lw_inside_holds (const LwInside *self, double x_mm, double y_mm)
{
  gboolean inside = FALSE;

  if (self->n_strips == 0 || !(y_mm >= self->y0 && y_mm <= self->y1))
    return FALSE;
  const GArray *strip = self->strips[strip_of (self, y_mm)];
  for (guint i = 0; i < strip->len; i++)
    {
      const Edge *e = &g_array_index (self->edges, Edge, g_array_index (strip, guint, i));

      if ((e->a.y_mm > y_mm) != (e->b.y_mm > y_mm)
          && x_mm < e->a.x_mm + (y_mm - e->a.y_mm) / (e->b.y_mm - e->a.y_mm) * (e->b.x_mm - e->a.x_mm))
        inside = !inside;
    }
  return inside;
}
