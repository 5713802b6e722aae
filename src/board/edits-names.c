#include "board/edits-names.h"

#include <string.h>

#include <glib/gi18n.h>

#include "board/edit-finish.h"
#include "board/edits-group.h"

gsize
lw_ref_prefix (const char *ref, guint *number)
{
  gsize length = strlen (ref), digits = length;
  guint64 value;

  while (digits > 0 && g_ascii_isdigit (ref[digits - 1]))
    digits--;
  value = g_ascii_strtoull (ref + digits, NULL, 10);
  if (number != NULL)
    *number = value < 1000000000 ? (guint) value : 0;
  return digits;
}

struct _LwNames {
  GHashTable *taken; /* char * */
  GHashTable *next;  /* prefix -> number to try next */
};

LwNames *
lw_names_new (const LwJob *job)
{
  LwNames *self = g_new0 (LwNames, 1);

  self->taken = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  self->next = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  for (guint i = 0; i < job->parts->len; i++)
    g_hash_table_add (self->taken, g_strdup (((const LwPart *) g_ptr_array_index (job->parts, i))->ref));
  return self;
}

void
lw_names_free (LwNames *self)
{
  g_hash_table_unref (self->taken);
  g_hash_table_unref (self->next);
  g_free (self);
}

/* Numbers count on from the one that was asked for, and never back: adding many parts stays quick. */
char *
lw_names_take_free (LwNames *self, const char *ref)
{
  g_autofree char *name = g_strdup (ref[0] != '\0' ? ref : "P1");

  if (g_hash_table_contains (self->taken, name))
    {
      guint number, next;
      g_autofree char *prefix = g_strndup (name, lw_ref_prefix (name, &number));

      next = GPOINTER_TO_UINT (g_hash_table_lookup (self->next, prefix));
      for (number = MAX (number, next) + (next == 0); g_hash_table_contains (self->taken, name); number++)
        {
          g_free (name);
          name = g_strdup_printf ("%s%u", prefix, number);
        }
      g_hash_table_insert (self->next, g_steal_pointer (&prefix), GUINT_TO_POINTER (number));
    }
  g_hash_table_add (self->taken, g_strdup (name));
  return g_steal_pointer (&name);
}

char *
lw_job_free_ref (const LwJob *job, const char *ref)
{
  g_autoptr (LwNames) names = lw_names_new (job);

  return lw_names_take_free (names, ref);
}

/* ---- what hangs on a name ---- */

static void
drop_thermocouples (LwPlan *plan, const char *ref)
{
  for (guint i = plan->thermocouples->len; i-- > 0;)
    if (strcmp (((const LwThermocouple *) g_ptr_array_index (plan->thermocouples, i))->ref, ref) == 0)
      g_ptr_array_remove_index (plan->thermocouples, i);
}

static void
drop_plans (LwJob *job, const char *ref)
{
  for (int plan = lw_job_find_plan (job, ref); plan >= 0; plan = lw_job_find_plan (job, ref))
    {
      g_ptr_array_remove_index (job->plans, (guint) plan);
      if (job->active_plan > (guint) plan || job->active_plan == job->plans->len)
        job->active_plan = job->active_plan > 0 ? job->active_plan - 1 : 0;
    }
}

void
lw_names_take_out (LwJob *job, guint index)
{
  g_autofree char *ref = g_strdup (((const LwPart *) g_ptr_array_index (job->parts, index))->ref);

  g_ptr_array_remove_index (job->parts, index);
  drop_plans (job, ref);
  for (guint i = 0; i < job->plans->len; i++)
    drop_thermocouples (lw_job_edit_plan (job, i), ref);
}

static void
replace_by (char **text, GHashTable *new_by_old)
{
  const char *new = g_hash_table_lookup (new_by_old, *text);

  if (new == NULL)
    return;
  g_free (*text);
  *text = g_strdup (new);
}

static void
rename_in_plan (LwPlan *plan, GHashTable *new_by_old)
{
  replace_by (&plan->ref, new_by_old);
  for (guint i = 0; i < plan->thermocouples->len; i++)
    {
      LwThermocouple *old = g_ptr_array_index (plan->thermocouples, i), *new;

      if (!g_hash_table_contains (new_by_old, old->ref))
        continue;
      new = lw_thermocouple_copy (old);
      replace_by (&new->ref, new_by_old);
      plan->thermocouples->pdata[i] = new;
      lw_thermocouple_unref (old);
    }
}

static void
rename_in_revisions (LwJob *job, GHashTable *new_by_old)
{
  for (guint i = 0; i < job->revisions->len; i++)
    {
      LwRevision *revision = lw_job_edit_revision (job, i);
      LwPlan *old = revision->plan;

      revision->plan = lw_plan_copy (old);
      lw_plan_unref (old);
      rename_in_plan (revision->plan, new_by_old);
    }
}

void
lw_names_rename (LwJob *job, GHashTable *new_by_old)
{
  for (guint i = 0; i < job->parts->len; i++)
    if (g_hash_table_contains (new_by_old, ((const LwPart *) g_ptr_array_index (job->parts, i))->ref))
      replace_by (&lw_job_edit_part (job, i)->ref, new_by_old);
  for (guint i = 0; i < job->plans->len; i++)
    rename_in_plan (lw_job_edit_plan (job, i), new_by_old);
  for (guint i = 0; i < job->runs->len; i++)
    if (g_hash_table_contains (new_by_old, ((const LwRun *) g_ptr_array_index (job->runs, i))->ref))
      replace_by (&lw_job_edit_run (job, i)->ref, new_by_old);
  for (guint i = 0; i < job->fits->len; i++)
    if (g_hash_table_contains (new_by_old, ((const LwFit *) g_ptr_array_index (job->fits, i))->ref))
      replace_by (&lw_job_edit_fit (job, i)->ref, new_by_old);
  rename_in_revisions (job, new_by_old);
}

/* ---- renumbering ---- */

typedef struct {
  const LwPart *part;
  double across, down; /* reading order: lines first */
} Place;

/* Lines are a millimetre high: parts that stand a hair apart read as one line. */
static int
by_reading (gconstpointer a, gconstpointer b)
{
  const Place *x = a, *y = b;

  if (x->down != y->down)
    return x->down < y->down ? -1 : 1;
  if (x->across != y->across)
    return x->across < y->across ? -1 : 1;
  return g_strcmp0 (x->part->ref, y->part->ref);
}

static GArray *
places_of (const LwJob *job, const GArray *parts, gboolean by_columns)
{
  GArray *places = g_array_new (FALSE, FALSE, sizeof (Place));

  for (guint i = 0; i < parts->len; i++)
    {
      const LwPart *part = g_ptr_array_index (job->parts, g_array_index (parts, guint, i));
      LwPoint at = lw_part_body_center (part, lw_job_package_of (job, part));
      double x = (double) (gint64) (at.x_mm + (at.x_mm < 0 ? -0.5 : 0.5));
      double y = (double) (gint64) (at.y_mm + (at.y_mm < 0 ? -0.5 : 0.5));
      Place place = { part, by_columns ? -at.y_mm : at.x_mm, by_columns ? x : -y };

      g_array_append_val (places, place);
    }
  g_array_sort (places, by_reading);
  return places;
}

static GHashTable *
references_of_others (const LwJob *job, const GArray *parts)
{
  GHashTable *others = g_hash_table_new (g_str_hash, g_str_equal);

  for (guint i = 0; i < job->parts->len; i++)
    g_hash_table_add (others, ((const LwPart *) g_ptr_array_index (job->parts, i))->ref);
  for (guint i = 0; i < parts->len; i++)
    g_hash_table_remove (others,
                         ((const LwPart *) g_ptr_array_index (job->parts, g_array_index (parts, guint, i)))->ref);
  return others;
}

LwJob *
lw_edit_renumber_parts (const LwJob *job, const GArray *parts, guint first, gboolean by_columns, GError **error)
{
  for (guint i = 0; i < parts->len; i++)
    if (!lw_edit_has_part (job, g_array_index (parts, guint, i), FALSE, error))
      return NULL;
  g_autoptr (GArray) places = places_of (job, parts, by_columns);
  g_autoptr (GHashTable) others = references_of_others (job, parts);
  g_autoptr (GHashTable) next = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  g_autoptr (GHashTable) new_by_old = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);
  for (guint i = 0; i < places->len; i++)
    {
      const char *old = g_array_index (places, Place, i).part->ref;
      g_autofree char *prefix = g_strndup (old, lw_ref_prefix (old, NULL));
      guint number = GPOINTER_TO_UINT (g_hash_table_lookup (next, prefix));
      char *new = g_strdup_printf ("%s%u", prefix, number = MAX (number, first));

      while (g_hash_table_contains (others, new))
        {
          g_free (new);
          new = g_strdup_printf ("%s%u", prefix, ++number);
        }
      g_hash_table_insert (next, g_steal_pointer (&prefix), GUINT_TO_POINTER (number + 1));
      g_hash_table_insert (new_by_old, g_strdup (old), new);
    }
  LwJob *after = lw_job_copy (job);
  lw_names_rename (after, new_by_old);
  return lw_edit_finish (job, after, NULL, error);
}
