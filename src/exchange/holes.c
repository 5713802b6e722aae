#include "exchange/holes.h"

#include <math.h>

#define VIA_MAX_MM 0.8    /* larger plated holes hold pins or screws; common practice, no source */
#define VIA_REACH 3.0     /* diameters: what stands nearer works together */
#define MIN_HOLES 4
#define MAX_FIELDS 5000

/* ---- cut-outs ---- */

static LwLoop *
slot_loop (const LwHole *hole)
{
  double r = hole->diameter_mm / 2, length = hypot (hole->b.x_mm - hole->a.x_mm, hole->b.y_mm - hole->a.y_mm);
  double nx = -(hole->b.y_mm - hole->a.y_mm) / length * r, ny = (hole->b.x_mm - hole->a.x_mm) / length * r;
  LwLoop *loop = lw_loop_new ();

  lw_loop_add (loop, hole->a.x_mm - nx, hole->a.y_mm - ny, 180);
  lw_loop_add (loop, hole->b.x_mm - nx, hole->b.y_mm - ny, 0);
  lw_loop_add (loop, hole->b.x_mm + nx, hole->b.y_mm + ny, 180);
  lw_loop_add (loop, hole->a.x_mm + nx, hole->a.y_mm + ny, 0);
  return loop;
}

static gboolean
is_slot (const LwHole *hole)
{
  return hypot (hole->b.x_mm - hole->a.x_mm, hole->b.y_mm - hole->a.y_mm) > 1e-6;
}

guint
lw_holes_cut_outs (const GArray *holes, GPtrArray *loops)
{
  guint n = 0;

  for (guint i = 0; i < holes->len; i++)
    {
      const LwHole *hole = &g_array_index (holes, LwHole, i);
      LwListedLoop *loop;

      if (hole->plating != LW_HOLE_UNPLATED || hole->diameter_mm < LW_HOLE_CUT_OUT_MM)
        continue;
      loop = lw_listed_loop_new (loops->len, hole->line);
      lw_loop_unref (loop->loop);
      loop->circle = !is_slot (hole);
      loop->radius_mm = hole->diameter_mm / 2;
      loop->loop = is_slot (hole) ? slot_loop (hole)
                                  : lw_loop_new_circle (hole->a.x_mm, hole->a.y_mm, hole->diameter_mm / 2);
      g_ptr_array_add (loops, loop);
      n++;
    }
  return n;
}

/* ---- via fields ---- */

typedef struct {
  GArray *vias; /* LwHole */
  guint *root;  /* of each via's group */
  GHashTable *cells; /* place on a grid of REACH -> GArray of guint */
  double reach;
} Groups;

static guint
root_of (const Groups *self, guint i)
{
  while (self->root[i] != i)
    {
      self->root[i] = self->root[self->root[i]];
      i = self->root[i];
    }
  return i;
}

static gint64
cell_key (const Groups *self, LwPoint p, int dx, int dy)
{
  gint64 x = (gint64) floor (p.x_mm / self->reach) + dx, y = (gint64) floor (p.y_mm / self->reach) + dy;

  return (gint64) ((guint64) x << 32) ^ (y & 0xffffffff);
}

static void
join_neighbours (Groups *self, guint i)
{
  const LwHole *hole = &g_array_index (self->vias, LwHole, i);
  gint64 *own;
  GArray *list;

  for (int k = 0; k < 9; k++)
    {
      gint64 key = cell_key (self, hole->a, k % 3 - 1, k / 3 - 1);

      list = g_hash_table_lookup (self->cells, &key);
      for (guint j = 0; list != NULL && j < list->len; j++)
        {
          guint other = g_array_index (list, guint, j);
          const LwHole *o = &g_array_index (self->vias, LwHole, other);

          if (hypot (o->a.x_mm - hole->a.x_mm, o->a.y_mm - hole->a.y_mm)
              <= VIA_REACH * fmax (o->diameter_mm, hole->diameter_mm))
            self->root[root_of (self, other)] = root_of (self, i);
        }
    }
  own = g_new (gint64, 1);
  *own = cell_key (self, hole->a, 0, 0);
  list = g_hash_table_lookup (self->cells, own);
  if (list == NULL)
    {
      list = g_array_new (FALSE, FALSE, sizeof (guint));
      g_hash_table_insert (self->cells, own, list);
    }
  else
    g_free (own);
  if (list->len < 64) /* holes drilled many times in one place */
    g_array_append_val (list, i);
}

/* What a group comes to: its box, the mean drill by area, and the number of holes. */
typedef struct {
  LwBox box;
  double area;
  guint n;
} Sum;

static void
add_to (Sum *sum, const LwHole *hole)
{
  if (sum->n == 0)
    sum->box = (LwBox) { hole->a.x_mm, hole->a.y_mm, hole->a.x_mm, hole->a.y_mm };
  lw_box_extend (&sum->box, hole->a.x_mm, hole->a.y_mm);
  sum->area += hole->diameter_mm * hole->diameter_mm;
  sum->n++;
}

/* The box grows by half a pitch all round, and the pitch follows from it: p^2 n = (w + p)(h + p). */
static LwViaField *
field_of (const Sum *sum)
{
  double w = sum->box.x1_mm - sum->box.x0_mm, h = sum->box.y1_mm - sum->box.y0_mm, n = sum->n;
  double pitch = ((w + h) + sqrt ((w + h) * (w + h) + 4 * (n - 1) * w * h)) / (2 * (n - 1));
  double drill = sqrt (sum->area / n);
  LwViaField *field;

  if (!(pitch > drill * 1.05))
    return NULL;
  field = lw_via_field_new ();
  field->pitch_mm = pitch;
  field->drill_mm = drill;
  lw_loop_unref (field->loop);
  field->loop = lw_loop_new_rectangle (sum->box.x0_mm - pitch / 2, sum->box.y0_mm - pitch / 2,
                                       sum->box.x1_mm + pitch / 2, sum->box.y1_mm + pitch / 2);
  return field;
}

static GArray *
collect_vias (const GArray *holes)
{
  GArray *vias = g_array_new (FALSE, FALSE, sizeof (LwHole));

  for (guint i = 0; i < holes->len; i++)
    {
      const LwHole *hole = &g_array_index (holes, LwHole, i);

      if (hole->plating != LW_HOLE_UNPLATED && !is_slot (hole) && (hole->via || hole->diameter_mm <= VIA_MAX_MM)
          && hole->diameter_mm >= 0.05)
        g_array_append_val (vias, *hole);
    }
  return vias;
}

static double
largest (const GArray *vias)
{
  double most = 0.1;

  for (guint i = 0; i < vias->len; i++)
    most = fmax (most, g_array_index (vias, LwHole, i).diameter_mm);
  return most;
}

guint
lw_holes_via_fields (const GArray *holes, LwBoard *board, guint *n_holes)
{
  g_autoptr (GArray) vias = collect_vias (holes);
  Groups groups = { vias, g_new (guint, vias->len + 1),
                    g_hash_table_new_full (g_int64_hash, g_int64_equal, g_free, (GDestroyNotify) g_array_unref),
                    VIA_REACH * largest (vias) };
  g_autofree Sum *sums = g_new0 (Sum, vias->len + 1);
  guint n = 0;

  for (guint i = 0; i < vias->len; i++)
    {
      groups.root[i] = i;
      join_neighbours (&groups, i);
    }
  for (guint i = 0; i < vias->len; i++)
    add_to (&sums[root_of (&groups, i)], &g_array_index (vias, LwHole, i));
  *n_holes = 0;
  for (guint i = 0; i < vias->len && n < MAX_FIELDS; i++)
    {
      LwViaField *field = sums[i].n >= MIN_HOLES ? field_of (&sums[i]) : NULL;

      if (field == NULL)
        continue;
      g_ptr_array_add (board->via_fields, field);
      *n_holes += sums[i].n;
      n++;
    }
  g_free (groups.root);
  g_hash_table_unref (groups.cells);
  return n;
}
