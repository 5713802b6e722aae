#include "widgets/desk-group.h"

#include <string.h>

void
lw_desk_group_init (LwDeskGroup *self)
{
  self->refs = g_ptr_array_new_with_free_func (g_free);
  self->indices = g_array_new (FALSE, FALSE, sizeof (guint));
}

void
lw_desk_group_clear (LwDeskGroup *self)
{
  g_clear_pointer (&self->refs, g_ptr_array_unref);
  g_clear_pointer (&self->indices, g_array_unref);
}

static int
rising (gconstpointer a, gconstpointer b)
{
  guint x = *(const guint *) a, y = *(const guint *) b;

  return x < y ? -1 : x > y;
}

static gboolean
same (const GArray *a, const GArray *b)
{
  return a->len == b->len && (a->len == 0 || memcmp (a->data, b->data, a->len * sizeof (guint)) == 0);
}

/* Takes NEXT over, sorted and without repeats. */
static gboolean
adopt (LwDeskGroup *self, const LwJob *job, GArray *next)
{
  gboolean changed;

  g_array_sort (next, rising);
  for (guint i = next->len; i-- > 1;)
    if (g_array_index (next, guint, i) == g_array_index (next, guint, i - 1))
      g_array_remove_index (next, i);
  changed = !same (self->indices, next);
  g_array_unref (self->indices);
  self->indices = next;
  g_ptr_array_set_size (self->refs, 0);
  for (guint i = 0; i < next->len; i++) {
    const LwPart *part = g_ptr_array_index (job->parts, g_array_index (next, guint, i));

    g_ptr_array_add (self->refs, g_strdup (part->ref));
  }
  return changed;
}

gboolean
lw_desk_group_set (LwDeskGroup *self, const LwJob *job, const guint *parts, guint n)
{
  GArray *next = g_array_new (FALSE, FALSE, sizeof (guint));

  for (guint i = 0; job != NULL && i < n; i++)
    if (parts[i] < job->parts->len)
      g_array_append_val (next, parts[i]);
  return adopt (self, job, next);
}

gboolean
lw_desk_group_mend (LwDeskGroup *self, const LwJob *job)
{
  GArray *next;
  g_autoptr (GHashTable) wanted = NULL;

  if (self->refs->len == 0)
    return FALSE;
  next = g_array_new (FALSE, FALSE, sizeof (guint));
  wanted = g_hash_table_new (g_str_hash, g_str_equal);
  for (guint i = 0; i < self->refs->len; i++)
    g_hash_table_add (wanted, g_ptr_array_index (self->refs, i));
  for (guint i = 0; job != NULL && i < job->parts->len; i++)
    if (g_hash_table_contains (wanted, ((const LwPart *) g_ptr_array_index (job->parts, i))->ref))
      g_array_append_val (next, i);
  return adopt (self, job, next);
}

gboolean
lw_desk_group_has (const LwDeskGroup *self, int part)
{
  guint wanted = (guint) part;

  return part >= 0 && g_array_binary_search (self->indices, &wanted, rising, NULL); /* they are sorted */
}
