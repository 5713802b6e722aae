#include "exchange/profile.h"

#include <glib/gi18n.h>
#include <math.h>

#define JOIN_MM 0.01 /* ends this near are one; exporters round to 0.001 mm or 0.1 thou */
#define GAP_MM 0.5   /* an opening that is closed with a warning */

typedef struct {
  const GArray *strokes;
  gboolean *used;
  GHashTable *ends; /* place on a grid of JOIN_MM -> GArray of guint: 2 x stroke + which end */
} Chain;

static const LwStroke *
stroke_at (const Chain *self, guint i)
{
  return &g_array_index (self->strokes, LwStroke, i);
}

static double
apart (LwPoint a, LwPoint b)
{
  return hypot (a.x_mm - b.x_mm, a.y_mm - b.y_mm);
}

static LwPoint
end_of (const Chain *self, guint end)
{
  const LwStroke *stroke = stroke_at (self, end / 2);

  return end % 2 == 0 ? stroke->from : stroke->to;
}

static gint64 *
place_key (LwPoint p, int dx, int dy)
{
  gint64 *key = g_new (gint64, 1);
  gint64 x = (gint64) floor (p.x_mm / JOIN_MM) + dx, y = (gint64) floor (p.y_mm / JOIN_MM) + dy;

  *key = (gint64) ((guint64) x * 0x100000000u) ^ (y & 0xffffffff);
  return key;
}

static void
add_end (Chain *self, guint end)
{
  gint64 *key = place_key (end_of (self, end), 0, 0);
  GArray *list = g_hash_table_lookup (self->ends, key);

  if (list == NULL)
    {
      list = g_array_new (FALSE, FALSE, sizeof (guint));
      g_hash_table_insert (self->ends, key, list);
    }
  else
    g_free (key);
  g_array_append_val (list, end);
}

/* The nearest end of an unused stroke at P, or G_MAXUINT. */
static guint
find_end (const Chain *self, LwPoint p)
{
  double best = JOIN_MM;
  guint found = G_MAXUINT;

  for (int k = 0; k < 9; k++)
    {
      g_autofree gint64 *key = place_key (p, k % 3 - 1, k / 3 - 1);
      const GArray *list = g_hash_table_lookup (self->ends, key);

      for (guint i = 0; list != NULL && i < list->len; i++)
        {
          guint end = g_array_index (list, guint, i);
          double d = apart (p, end_of (self, end));

          if (self->used[end / 2] || d > best || (d == best && found != G_MAXUINT))
            continue;
          best = d;
          found = end;
        }
    }
  return found;
}

/* A line drawn twice would lead nowhere the second time. */
static gboolean
is_drawn_again (const Chain *self, guint i)
{
  const LwStroke *a = stroke_at (self, i);
  g_autofree gint64 *key = place_key (a->from, 0, 0);
  const GArray *list = g_hash_table_lookup (self->ends, key);

  for (guint k = 0; list != NULL && k < list->len; k++)
    {
      guint end = g_array_index (list, guint, k), other = end / 2;
      const LwStroke *b = stroke_at (self, other);
      gboolean same_way = end % 2 == 0;
      double sweep = same_way ? b->sweep_deg : -b->sweep_deg;

      if (other < i && !self->used[other] && apart (a->from, end_of (self, end)) < JOIN_MM
          && apart (a->to, end_of (self, end ^ 1)) < JOIN_MM && fabs (a->sweep_deg - sweep) < 0.1)
        return TRUE;
    }
  return FALSE;
}

static gboolean
is_circle (const LwStroke *stroke)
{
  return fabs (stroke->sweep_deg) >= 359.99;
}

static void
prepare (Chain *self)
{
  for (guint i = 0; i < self->strokes->len; i++)
    {
      const LwStroke *s = stroke_at (self, i);

      self->used[i] = is_circle (s) || apart (s->from, s->to) < 1e-6;
      if (self->used[i])
        continue;
      self->used[i] = is_drawn_again (self, i);
      if (self->used[i])
        continue;
      add_end (self, 2 * i);
      add_end (self, 2 * i + 1);
    }
}

/* ---- loops ---- */

static void
add_circle (const LwStroke *stroke, GPtrArray *loops)
{
  LwListedLoop *loop = lw_listed_loop_new (loops->len, stroke->line);

  lw_loop_unref (loop->loop);
  loop->circle = TRUE;
  loop->radius_mm = apart (stroke->from, stroke->center);
  loop->loop = lw_loop_new_circle (stroke->center.x_mm, stroke->center.y_mm, loop->radius_mm);
  g_ptr_array_add (loops, loop);
}

static void
add_corner (LwListedLoop *loop, LwPoint p, double arc_deg, guint line)
{
  lw_loop_add (loop->loop, p.x_mm, p.y_mm, arc_deg);
  g_array_append_val (loop->lines, line);
}

/* Follows the strokes from the start of stroke FIRST as far as they lead; *START and *END are where. */
static LwListedLoop *
follow (Chain *self, guint first, guint label, LwPoint *start, LwPoint *end)
{
  LwListedLoop *loop = lw_listed_loop_new (label, stroke_at (self, first)->line);
  guint at = 2 * first;

  *start = end_of (self, at);
  while (at != G_MAXUINT)
    {
      const LwStroke *s = stroke_at (self, at / 2);

      self->used[at / 2] = TRUE;
      *end = end_of (self, at ^ 1);
      add_corner (loop, *end, at % 2 == 0 ? s->sweep_deg : -s->sweep_deg, s->line);
      if (apart (*start, *end) <= JOIN_MM)
        break;
      at = find_end (self, *end);
    }
  return loop;
}

/* The last corner stands for the start as well; an opening adds the start as a corner of its own. */
static gboolean
close_loop (LwListedLoop *loop, LwPoint start, LwPoint end, const char *file, GPtrArray *notes)
{
  double gap = apart (start, end);

  if (gap <= JOIN_MM)
    return lw_listed_loop_encloses (loop);
  if (gap > GAP_MM)
    {
      lw_notes_add (notes, file, loop->line,
                    _("a line of the profile does not close (%.3f mm are open at %.3f, %.3f): left out"), gap,
                    end.x_mm, end.y_mm);
      return FALSE;
    }
  lw_notes_add (notes, file, loop->line, _("a gap of %.3f mm in the profile at %.3f, %.3f is closed"), gap,
                end.x_mm, end.y_mm);
  add_corner (loop, start, 0, loop->line);
  return lw_listed_loop_encloses (loop);
}

void
lw_profile_loops (const GArray *strokes, const char *file, GPtrArray *loops, GPtrArray *notes)
{
  Chain chain = { strokes, g_new0 (gboolean, strokes->len + 1),
                  g_hash_table_new_full (g_int64_hash, g_int64_equal, g_free, (GDestroyNotify) g_array_unref) };

  prepare (&chain);
  for (guint i = 0; i < strokes->len; i++)
    {
      LwPoint start, end;
      LwListedLoop *loop;

      if (is_circle (stroke_at (&chain, i)) && apart (stroke_at (&chain, i)->from, stroke_at (&chain, i)->center) > 0)
        add_circle (stroke_at (&chain, i), loops);
      if (chain.used[i])
        continue;
      loop = follow (&chain, i, loops->len, &start, &end);
      if (close_loop (loop, start, end, file, notes))
        g_ptr_array_add (loops, loop);
      else
        lw_listed_loop_free (loop);
    }
  g_free (chain.used);
  g_hash_table_unref (chain.ends);
}
