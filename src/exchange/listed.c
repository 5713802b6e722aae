#include "exchange/listed.h"

#include <glib/gi18n.h>
#include <math.h>

#include "board/usual-station.h"

/* Points nearer than this are the same: a tenth of the coarsest last digit seen (0.1 thou). */
#define SAME_MM 0.0003

/* ---- loops ---- */

LwListedLoop *
lw_listed_loop_new (guint label, guint line)
{
  LwListedLoop *self = g_new0 (LwListedLoop, 1);

  self->label = label;
  self->line = line;
  self->loop = lw_loop_new ();
  self->lines = g_array_new (FALSE, FALSE, sizeof (guint));
  return self;
}

void
lw_listed_loop_free (LwListedLoop *self)
{
  lw_loop_unref (self->loop);
  g_array_unref (self->lines);
  g_free (self);
}

GPtrArray *
lw_listed_loops_new (void)
{
  return g_ptr_array_new_with_free_func ((GDestroyNotify) lw_listed_loop_free);
}

/* A figure of eight may have no area and is yet something: it has to be refused as crossing itself. */
gboolean
lw_listed_loop_encloses (const LwListedLoop *self)
{
  const LwLoop *loop = self->loop;
  LwBox box = lw_loop_box (loop);

  if (loop->corners->len < 2)
    return FALSE;
  if (fabs (lw_loop_area (loop)) > 1e-9)
    return TRUE;
  return loop->corners->len >= 4 && box.x1_mm - box.x0_mm > SAME_MM && box.y1_mm - box.y0_mm > SAME_MM;
}

/* The edge to a corner keeps its arc, run through the other way. */
static LwLoop *
reversed (const LwLoop *loop)
{
  LwLoop *back = lw_loop_new ();
  guint n = loop->corners->len;

  for (guint i = 0; i < n; i++)
    {
      const LwVertex *at = &g_array_index (loop->corners, LwVertex, n - 1 - i);
      const LwVertex *edge = &g_array_index (loop->corners, LwVertex, (n - i) % n);

      lw_loop_add (back, at->x_mm, at->y_mm, edge->arc_deg != 0 ? -edge->arc_deg : 0);
    }
  return back;
}

LwLoop *
lw_listed_loop_wound (const LwListedLoop *self, gboolean counter_clockwise)
{
  if ((lw_loop_area (self->loop) > 0) == counter_clockwise)
    return lw_loop_copy (self->loop);
  return reversed (self->loop);
}

/* ---- parts and bodies ---- */

LwListedPart *
lw_listed_part_new (const char *geometry, const char *number, const char *ref, guint line)
{
  LwListedPart *self = g_new0 (LwListedPart, 1);

  self->geometry = g_strdup (geometry);
  self->number = g_strdup (number);
  self->ref = g_strdup (ref);
  self->height_mm = NAN;
  self->line = line;
  return self;
}

void
lw_listed_part_free (LwListedPart *self)
{
  g_free (self->geometry);
  g_free (self->number);
  g_free (self->ref);
  g_free (self);
}

void
lw_listed_board_init (LwListedBoard *self)
{
  *self = (LwListedBoard) { .name = g_strdup ("") };
  self->outline = lw_listed_loops_new ();
  self->parts = g_ptr_array_new_with_free_func ((GDestroyNotify) lw_listed_part_free);
}

void
lw_listed_board_clear (LwListedBoard *self)
{
  g_free (self->name);
  g_ptr_array_unref (self->outline);
  g_ptr_array_unref (self->parts);
}

static void
property_clear (gpointer data)
{
  LwListedProperty *property = data;

  g_free (property->name);
  g_free (property->value);
}

LwListedBody *
lw_listed_body_new (const char *geometry, const char *number, double height_mm, guint line)
{
  LwListedBody *self = g_new0 (LwListedBody, 1);

  self->geometry = g_strdup (geometry);
  self->number = g_strdup (number);
  self->height_mm = height_mm;
  self->kind = LW_KIND_OTHER;
  self->line = line;
  self->pins = g_array_new (FALSE, FALSE, sizeof (LwListedPin));
  self->properties = g_array_new (FALSE, FALSE, sizeof (LwListedProperty));
  g_array_set_clear_func (self->properties, property_clear);
  return self;
}

void
lw_listed_body_free (LwListedBody *self)
{
  g_free (self->geometry);
  g_free (self->number);
  g_clear_pointer (&self->loops, g_ptr_array_unref);
  g_array_unref (self->pins);
  g_array_unref (self->properties);
  g_free (self);
}

/* ---- the library ---- */

void
lw_listed_library_init (LwListedLibrary *self, const char *name)
{
  self->name = g_strdup (name);
  self->entries = g_ptr_array_new_with_free_func ((GDestroyNotify) lw_listed_body_free);
  self->by_key = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  self->by_geometry = g_hash_table_new (g_str_hash, g_str_equal);
}

void
lw_listed_library_clear (LwListedLibrary *self)
{
  g_free (self->name);
  g_hash_table_unref (self->by_key);
  g_hash_table_unref (self->by_geometry);
  g_ptr_array_unref (self->entries);
}

/* No name holds a line end, so it can part the two. */
static char *
key_of (const char *geometry, const char *number)
{
  return g_strconcat (geometry, "\n", number, NULL);
}

void
lw_listed_library_index (LwListedLibrary *self, GPtrArray *notes)
{
  for (guint i = 0; i < self->entries->len; i++)
    {
      LwListedBody *entry = self->entries->pdata[i];
      char *key = key_of (entry->geometry, entry->number);

      if (!g_hash_table_contains (self->by_geometry, entry->geometry))
        g_hash_table_insert (self->by_geometry, entry->geometry, entry);
      if (!g_hash_table_contains (self->by_key, key))
        g_hash_table_insert (self->by_key, key, entry);
      else
        {
          lw_notes_add (notes, self->name, entry->line, _("a second entry for %.60s, %.60s is ignored"),
                        entry->geometry, entry->number);
          g_free (key);
        }
    }
}

const LwListedBody *
lw_listed_library_find (const LwListedLibrary *self, const char *geometry, const char *number)
{
  g_autofree char *key = key_of (geometry, number);
  const LwListedBody *entry = g_hash_table_lookup (self->by_key, key);

  return entry != NULL ? entry : g_hash_table_lookup (self->by_geometry, geometry);
}

/* ---- to a job ---- */

gboolean
lw_listed_to_job (LwJob *job, const LwListedBoard *board, const LwListedLibrary *library,
                  const char *file, GPtrArray *notes, GError **error)
{
  g_autoptr (GArray) lines = g_array_new (FALSE, FALSE, sizeof (guint));

  lw_listed_add_parts (job, board, library, file, notes);
  if (!lw_listed_set_board (job, board, lines, file, notes, error))
    return FALSE;
  lw_job_take_usual_station (job);
  return lw_listed_settle (job, board, lines, file, notes, error);
}
