#include "board/part-names.h"

#include <string.h>

/* Fewer parts are found as fast by looking through them. */
#define FEW 200

/* Numbers of parts by the hash of their names, open addressing; no name is held, so that none can go stale. */
typedef struct {
  guint n_parts; /* when it was made */
  guint mask;
  guint32 slot[]; /* number + 1, 0 = empty */
} Table;

static const char *
ref_of (const LwJob *job, guint part)
{
  return ((const LwPart *) g_ptr_array_index (job->parts, part))->ref;
}

static int
look_through (const LwJob *job, const char *ref)
{
  for (guint i = 0; i < job->parts->len; i++)
    if (strcmp (ref_of (job, i), ref) == 0)
      return (int) i;
  return -1;
}

static Table *
table_new (const LwJob *job)
{
  guint n = job->parts->len, room = 2;
  Table *table;

  while (room < 2 * n)
    room *= 2;
  table = g_malloc0 (sizeof *table + room * sizeof *table->slot);
  table->n_parts = n;
  table->mask = room - 1;
  for (guint i = 0; i < n; i++) { /* in order: the first of a name is met first */
    guint at = g_str_hash (ref_of (job, i)) & table->mask;

    while (table->slot[at] != 0)
      at = (at + 1) & table->mask;
    table->slot[at] = i + 1;
  }
  return table;
}

/* A job that is still being put together may have got more parts since. */
static Table *
table_of (LwJob *job)
{
  Table *table = g_atomic_pointer_get (&job->part_names);

  if (table != NULL && table->n_parts == job->parts->len)
    return table;
  lw_part_names_drop (job);
  table = table_new (job);
  if (g_atomic_pointer_compare_and_exchange (&job->part_names, NULL, table))
    return table;
  g_free (table); /* another thread was first */
  return g_atomic_pointer_get (&job->part_names);
}

int
lw_part_names_find (LwJob *job, const char *ref)
{
  const Table *table;

  if (job->parts->len < FEW)
    return look_through (job, ref);
  table = table_of (job);
  for (guint at = g_str_hash (ref) & table->mask; table->slot[at] != 0; at = (at + 1) & table->mask)
    if (strcmp (ref_of (job, table->slot[at] - 1), ref) == 0)
      return (int) table->slot[at] - 1;
  return look_through (job, ref); /* a job being written to may have renamed it since */
}

void
lw_part_names_drop (LwJob *job)
{
  g_free (g_atomic_pointer_exchange (&job->part_names, NULL));
}
