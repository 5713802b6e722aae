/* Do outlines cross? Edges are cut into straight pieces, the pieces sorted along a space-filling curve
 * and bounded by a tree of boxes over that order; only pieces whose boxes meet are compared. For
 * ordinary outlines the work grows as n log n. */
#include "board/geometry.h"

#include <math.h>
#include <stdlib.h>

static const double CUT_MM = 0.001;  /* arcs are followed this closely */
static const double TOUCH_MM = 1e-7; /* nearer than this is touching: well below any file's digits */

typedef struct {
  LwPoint a, b;
  guint loop, edge;  /* edge: number of its end corner */
  guint order, last; /* place in its loop, and the last place of that loop */
  guint32 key;
} Piece;

typedef struct {
  const Piece *pieces;
  LwBox *boxes; /* heap order over [0, n) halved again and again */
  gboolean between; /* only pieces of different loops count */
  const Piece *hit_a, *hit_b;
} Search;

enum { LEAF = 8 };

/* Distance of p from the line a-b, signed, left positive. */
static double
offset_from (LwPoint a, LwPoint b, LwPoint p)
{
  double dx = b.x_mm - a.x_mm, dy = b.y_mm - a.y_mm;

  return (dx * (p.y_mm - a.y_mm) - dy * (p.x_mm - a.x_mm)) / hypot (dx, dy);
}

static int
sign_of (double offset)
{
  return offset > TOUCH_MM ? 1 : offset < -TOUCH_MM ? -1 : 0;
}

static double
along (LwPoint a, LwPoint b, LwPoint p)
{
  double dx = b.x_mm - a.x_mm, dy = b.y_mm - a.y_mm;

  return (dx * (p.x_mm - a.x_mm) + dy * (p.y_mm - a.y_mm)) / hypot (dx, dy);
}

static gboolean
point_on (LwPoint a, LwPoint b, LwPoint p)
{
  double s = along (a, b, p);

  return sign_of (offset_from (a, b, p)) == 0 && s >= -TOUCH_MM
         && s <= hypot (b.x_mm - a.x_mm, b.y_mm - a.y_mm) + TOUCH_MM;
}

static gboolean
pieces_meet (const Piece *p, const Piece *q)
{
  int qa = sign_of (offset_from (p->a, p->b, q->a)), qb = sign_of (offset_from (p->a, p->b, q->b));
  int pa = sign_of (offset_from (q->a, q->b, p->a)), pb = sign_of (offset_from (q->a, q->b, p->b));

  if (qa * qb < 0 && pa * pb < 0)
    return TRUE;
  return (qa == 0 && point_on (p->a, p->b, q->a)) || (qb == 0 && point_on (p->a, p->b, q->b))
         || (pa == 0 && point_on (q->a, q->b, p->a)) || (pb == 0 && point_on (q->a, q->b, p->b));
}

/* Pieces with a common corner: first ends where second starts. They offend only by folding back. */
static gboolean
folds_back (const Piece *first, const Piece *second)
{
  return sign_of (offset_from (first->a, first->b, second->b)) == 0
         && along (first->a, first->b, second->b) < hypot (first->b.x_mm - first->a.x_mm,
                                                           first->b.y_mm - first->a.y_mm) - TOUCH_MM;
}

static gboolean
follows (const Piece *p, const Piece *q)
{
  return q->order == p->order + 1 || (p->order == p->last && q->order == 0);
}

static gboolean
pieces_offend (const Search *s, const Piece *p, const Piece *q)
{
  if (p->loop != q->loop)
    return pieces_meet (p, q);
  if (s->between)
    return FALSE;
  if (p->last == 1) /* two pieces: there and back */
    return folds_back (p, q);
  if (follows (p, q))
    return folds_back (p, q);
  if (follows (q, p))
    return folds_back (q, p);
  return pieces_meet (p, q);
}

static LwBox
piece_box (const Piece *p)
{
  LwBox box = { p->a.x_mm, p->a.y_mm, p->a.x_mm, p->a.y_mm };

  lw_box_extend (&box, p->b.x_mm, p->b.y_mm);
  return box;
}

static gboolean
boxes_meet (const LwBox *a, const LwBox *b)
{
  return a->x0_mm <= b->x1_mm + TOUCH_MM && b->x0_mm <= a->x1_mm + TOUCH_MM
         && a->y0_mm <= b->y1_mm + TOUCH_MM && b->y0_mm <= a->y1_mm + TOUCH_MM;
}

static void
bound (Search *s, guint node, guint from, guint to)
{
  s->boxes[node] = piece_box (&s->pieces[from]);
  if (to - from <= LEAF)
    {
      for (guint i = from; i < to; i++)
        {
          lw_box_extend (&s->boxes[node], s->pieces[i].a.x_mm, s->pieces[i].a.y_mm);
          lw_box_extend (&s->boxes[node], s->pieces[i].b.x_mm, s->pieces[i].b.y_mm);
        }
      return;
    }
  guint middle = from + (to - from) / 2;
  bound (s, 2 * node, from, middle);
  bound (s, 2 * node + 1, middle, to);
  for (guint child = 2 * node; child <= 2 * node + 1; child++)
    {
      lw_box_extend (&s->boxes[node], s->boxes[child].x0_mm, s->boxes[child].y0_mm);
      lw_box_extend (&s->boxes[node], s->boxes[child].x1_mm, s->boxes[child].y1_mm);
    }
}

static gboolean
compare_pieces (Search *s, const Piece *p, const Piece *q)
{
  LwBox a = piece_box (p), b = piece_box (q);

  if (!boxes_meet (&a, &b) || !pieces_offend (s, p, q))
    return FALSE;
  s->hit_a = p;
  s->hit_b = q;
  return TRUE;
}

/* Compares what lies in two different nodes. */
static gboolean
search_pair (Search *s, guint m, guint m0, guint m1, guint n, guint n0, guint n1)
{
  if (!boxes_meet (&s->boxes[m], &s->boxes[n]))
    return FALSE;
  if (m1 - m0 > LEAF)
    {
      guint middle = m0 + (m1 - m0) / 2;
      return search_pair (s, n, n0, n1, 2 * m, m0, middle)
             || search_pair (s, n, n0, n1, 2 * m + 1, middle, m1);
    }
  if (n1 - n0 > LEAF)
    return search_pair (s, n, n0, n1, m, m0, m1);
  for (guint i = m0; i < m1; i++)
    for (guint j = n0; j < n1; j++)
      if (compare_pieces (s, &s->pieces[i], &s->pieces[j]))
        return TRUE;
  return FALSE;
}

static gboolean
search_node (Search *s, guint node, guint from, guint to)
{
  if (to - from <= LEAF)
    {
      for (guint i = from; i < to; i++)
        for (guint j = i + 1; j < to; j++)
          if (compare_pieces (s, &s->pieces[i], &s->pieces[j]))
            return TRUE;
      return FALSE;
    }
  guint middle = from + (to - from) / 2;
  return search_node (s, 2 * node, from, middle) || search_node (s, 2 * node + 1, middle, to)
         || search_pair (s, 2 * node, from, middle, 2 * node + 1, middle, to);
}

static void
append_pieces (GArray *pieces, const LwLoop *loop, guint number)
{
  g_autoptr (GArray) edges = g_array_new (FALSE, FALSE, sizeof (guint));
  g_autoptr (GArray) points = lw_loop_flatten_edges (loop, CUT_MM, edges);
  guint first = pieces->len;

  for (guint i = 0; i < points->len; i++)
    {
      LwPoint a = g_array_index (points, LwPoint, i);
      LwPoint b = g_array_index (points, LwPoint, (i + 1) % points->len);
      Piece piece = { a, b, number, g_array_index (edges, guint, i), pieces->len - first, 0, 0 };

      if (hypot (b.x_mm - a.x_mm, b.y_mm - a.y_mm) > TOUCH_MM) /* a repeated corner is no edge */
        g_array_append_val (pieces, piece);
    }
  for (guint i = first; i < pieces->len; i++)
    g_array_index (pieces, Piece, i).last = pieces->len - first - 1;
}

/* Spreads 16 bits to every second place. */
static guint32
spread_bits (guint32 v)
{
  v = (v | (v << 8)) & 0x00ff00ffu;
  v = (v | (v << 4)) & 0x0f0f0f0fu;
  v = (v | (v << 2)) & 0x33333333u;
  return (v | (v << 1)) & 0x55555555u;
}

static int
by_key (gconstpointer a, gconstpointer b)
{
  const Piece *p = a, *q = b;

  return p->key < q->key ? -1 : p->key > q->key;
}

/* Morton order of the pieces' middles. */
static void
sort_pieces (GArray *pieces)
{
  Piece *p = (Piece *) (void *) pieces->data;
  LwBox all = piece_box (&p[0]);

  for (guint i = 1; i < pieces->len; i++)
    {
      lw_box_extend (&all, p[i].a.x_mm, p[i].a.y_mm);
      lw_box_extend (&all, p[i].b.x_mm, p[i].b.y_mm);
    }
  double size = MAX (MAX (all.x1_mm - all.x0_mm, all.y1_mm - all.y0_mm), 1e-9);
  for (guint i = 0; i < pieces->len; i++)
    {
      double x = ((p[i].a.x_mm + p[i].b.x_mm) / 2.0 - all.x0_mm) / size;
      double y = ((p[i].a.y_mm + p[i].b.y_mm) / 2.0 - all.y0_mm) / size;

      p[i].key = spread_bits ((guint32) (x * 65535.0)) | spread_bits ((guint32) (y * 65535.0)) << 1;
    }
  qsort (p, pieces->len, sizeof (Piece), by_key);
}

static gboolean
search (GArray *pieces, gboolean between, Piece *a, Piece *b)
{
  if (pieces->len < 2)
    return FALSE;
  sort_pieces (pieces);
  Search s = { (const Piece *) (void *) pieces->data, g_new (LwBox, 2 * (gsize) pieces->len + 2), between };
  bound (&s, 1, 0, pieces->len);
  gboolean found = search_node (&s, 1, 0, pieces->len);
  if (found)
    {
      *a = *s.hit_a;
      *b = *s.hit_b;
    }
  g_free (s.boxes);
  return found;
}

gboolean
lw_loop_crosses_itself (const LwLoop *loop, guint *edge_a, guint *edge_b)
{
  g_autoptr (GArray) pieces = g_array_new (FALSE, FALSE, sizeof (Piece));
  Piece a, b;

  append_pieces (pieces, loop, 0);
  if (!search (pieces, FALSE, &a, &b))
    return FALSE;
  if (edge_a != NULL)
    *edge_a = MIN (a.edge, b.edge);
  if (edge_b != NULL)
    *edge_b = MAX (a.edge, b.edge);
  return TRUE;
}

gboolean
lw_loops_cross (const GPtrArray *loops, guint *loop_a, guint *loop_b)
{
  g_autoptr (GArray) pieces = g_array_new (FALSE, FALSE, sizeof (Piece));
  Piece a, b;

  for (guint i = 0; i < loops->len; i++)
    append_pieces (pieces, g_ptr_array_index (loops, i), i);
  if (!search (pieces, TRUE, &a, &b))
    return FALSE;
  if (loop_a != NULL)
    *loop_a = MIN (a.loop, b.loop);
  if (loop_b != NULL)
    *loop_b = MAX (a.loop, b.loop);
  return TRUE;
}
