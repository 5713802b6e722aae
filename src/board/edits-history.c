#include "board/edits-history.h"

#include <string.h>

#include <glib/gi18n.h>

#include "board/edit-finish.h"
#include "board/job-hash.h"

typedef int (*Find) (const LwJob *job, const char *name);

/* *NAME, or *NAME with the next free number. */
static void
make_free (const LwJob *job, char **name, const char *standard, Find find)
{
  g_autofree char *wanted = g_strdup ((*name)[0] != '\0' ? *name : standard);
  gboolean counted = (*name)[0] == '\0';

  g_free (*name);
  *name = counted ? g_strdup_printf ("%s %u", wanted, 1u) : g_strdup (wanted);
  for (guint number = 2; find (job, *name) >= 0; number++)
    {
      g_free (*name);
      *name = g_strdup_printf ("%s %u", wanted, number);
    }
}

static gboolean
has (guint index, const GPtrArray *array, const char *text, GError **error)
{
  if (index < array->len)
    return TRUE;
  g_set_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_REFERENCE, text, index);
  return FALSE;
}

char *
lw_history_now (void)
{
  g_autoptr (GDateTime) now = g_date_time_new_now_utc ();

  return g_date_time_format (now, "%Y-%m-%dT%H:%M:%SZ");
}

static gboolean
same_elements (const GPtrArray *a, const GPtrArray *b)
{
  return a->len == b->len && (a->len == 0 || memcmp (a->pdata, b->pdata, a->len * sizeof (gpointer)) == 0);
}

const LwFit *
lw_job_fit_in_use (const LwJob *job)
{
  for (guint i = job->fits->len; i-- > 0;)
    if (((const LwFit *) g_ptr_array_index (job->fits, i))->kept)
      return g_ptr_array_index (job->fits, i);
  return NULL;
}

gboolean
lw_job_same_work (const LwJob *a, const LwJob *b)
{
  return a->board == b->board && a->station == b->station && a->ambient_c == b->ambient_c && a->active_plan == b->active_plan
         && strcmp (a->alloy, b->alloy) == 0 && same_elements (a->parts, b->parts) && same_elements (a->packages, b->packages)
         && same_elements (a->plans, b->plans) && lw_job_fit_in_use (a) == lw_job_fit_in_use (b);
}

/* ---- revisions ---- */

static const LwRevision *
revision_at (const LwJob *job, guint index)
{
  return g_ptr_array_index (job->revisions, index);
}

/* Compared as they are today: an older program may have hashed fewer members. */
static gboolean
same_plan (const LwPlan *a, const LwPlan *b)
{
  if (a == b)
    return TRUE;
  g_autofree char *hash_a = lw_plan_hash (a);
  g_autofree char *hash_b = lw_plan_hash (b);

  return strcmp (hash_a, hash_b) == 0;
}

int
lw_job_revision_of (const LwJob *job, guint plan)
{
  const LwPlan *now = plan < job->plans->len ? g_ptr_array_index (job->plans, plan) : NULL;

  for (guint i = now != NULL ? job->revisions->len : 0; i-- > 0;)
    if (strcmp (revision_at (job, i)->plan->ref, now->ref) == 0 && same_plan (revision_at (job, i)->plan, now))
      return (int) i;
  return -1;
}

guint
lw_job_revision_number (const LwJob *job, guint revision)
{
  guint number = 1;

  for (guint i = 0; i < revision && i < job->revisions->len; i++)
    number += strcmp (revision_at (job, i)->plan->ref, revision_at (job, revision)->plan->ref) == 0;
  return number;
}

static void
append_revision (LwJob *job, guint plan, const char *note)
{
  LwRevision *revision = lw_revision_new ();
  LwPlan *now = g_ptr_array_index (job->plans, plan);

  lw_plan_unref (revision->plan);
  revision->plan = lw_plan_ref (now);
  g_free (revision->hash);
  revision->hash = lw_plan_hash (now);
  g_free (revision->date);
  revision->date = lw_history_now ();
  g_free (revision->author);
  revision->author = g_strdup (job->author);
  g_free (revision->note);
  revision->note = g_strdup (note);
  g_ptr_array_add (job->revisions, revision);
}

static void
keep_if_new (LwJob *job, guint plan, const char *note)
{
  if (lw_job_revision_of (job, plan) < 0)
    append_revision (job, plan, note);
}

static int
newest_of (const LwJob *job, const char *ref)
{
  for (guint i = job->revisions->len; i-- > 0;)
    if (strcmp (revision_at (job, i)->plan->ref, ref) == 0)
      return (int) i;
  return -1;
}

LwJob *
lw_edit_keep_revision (const LwJob *job, guint plan, const char *note, GError **error)
{
  if (!lw_edit_has_plan (job, plan, error))
    return NULL;
  const LwPlan *now = g_ptr_array_index (job->plans, plan);
  int newest = newest_of (job, now->ref);
  if (newest >= 0 && same_plan (revision_at (job, (guint) newest)->plan, now))
    {
      g_set_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_RANGE, _("nothing has changed since revision %u"),
                   lw_job_revision_number (job, (guint) newest));
      return NULL;
    }
  LwJob *after = lw_job_copy (job);
  append_revision (after, plan, note);
  return lw_edit_finish (job, after, NULL, error);
}

LwJob *
lw_edit_restore_revision (const LwJob *job, guint revision, GError **error)
{
  if (!has (revision, job->revisions, _("there is no revision %u"), error))
    return NULL;
  LwPlan *old = revision_at (job, revision)->plan;
  int plan = lw_job_find_plan (job, old->ref);
  LwJob *after = lw_job_copy (job);
  if (plan < 0)
    {
      plan = (int) after->plans->len;
      g_ptr_array_add (after->plans, lw_plan_ref (old));
    }
  else
    {
      keep_if_new (after, (guint) plan, _("Before an earlier revision was restored"));
      lw_plan_unref (g_ptr_array_index (after->plans, plan));
      after->plans->pdata[plan] = lw_plan_ref (old);
    }
  after->active_plan = (guint) plan;
  return lw_edit_finish (job, after, NULL, error);
}

LwJob *
lw_edit_remove_revision (const LwJob *job, guint revision, GError **error)
{
  if (!has (revision, job->revisions, _("there is no revision %u"), error))
    return NULL;
  LwJob *after = lw_job_copy (job);
  g_ptr_array_remove_index (after->revisions, revision);
  return lw_edit_finish (job, after, NULL, error);
}

/* ---- runs ---- */

LwJob *
lw_edit_add_run (const LwJob *job, LwRun *run, GError **error)
{
  LwJob *after = lw_job_copy (job);
  int plan = lw_job_find_plan (job, run->ref);

  make_free (job, &run->name, _("Run"), lw_job_find_run);
  if (plan >= 0)
    {
      /* Translators: why a revision of the plan was kept; the name of a recorded run. */
      g_autofree char *note = g_strdup_printf (_("As run: %s"), run->name);

      keep_if_new (after, (guint) plan, note);
      g_free (run->plan_hash);
      run->plan_hash = lw_plan_hash (g_ptr_array_index (job->plans, plan));
    }
  g_ptr_array_add (after->runs, run);
  return lw_edit_finish (job, after, NULL, error);
}

LwJob *
lw_edit_remove_run (const LwJob *job, guint run, GError **error)
{
  if (!has (run, job->runs, _("there is no run %u"), error))
    return NULL;
  LwJob *after = lw_job_copy (job);
  g_ptr_array_remove_index (after->runs, run);
  return lw_edit_finish (job, after, NULL, error);
}

static void
set_couple (LwRun *run, guint index, const char *thermocouple)
{
  LwRunColumn *old = g_ptr_array_index (run->columns, index), *new = lw_run_column_copy (old);

  g_free (new->thermocouple);
  new->thermocouple = g_strdup (thermocouple);
  run->columns->pdata[index] = new;
  lw_run_column_unref (old);
}

LwJob *
lw_edit_map_run (const LwJob *job, guint run, guint column, const char *thermocouple, GError **error)
{
  if (!has (run, job->runs, _("there is no run %u"), error)
      || !has (column, ((const LwRun *) g_ptr_array_index (job->runs, run))->columns, _("the run has no column %u"), error))
    return NULL;
  LwJob *after = lw_job_copy (job);
  LwRun *mapped = lw_job_edit_run (after, run);
  g_autofree char *had = g_strdup (((const LwRunColumn *) g_ptr_array_index (mapped->columns, column))->thermocouple);
  for (guint i = 0; i < mapped->columns->len; i++)
    if (thermocouple[0] != '\0'
        && strcmp (((const LwRunColumn *) g_ptr_array_index (mapped->columns, i))->thermocouple, thermocouple) == 0)
      set_couple (mapped, i, had);
  set_couple (mapped, column, thermocouple);
  return lw_edit_finish (job, after, NULL, error);
}

/* ---- fits ---- */

LwJob *
lw_edit_add_fit (const LwJob *job, LwFit *fit, GError **error)
{
  LwJob *after = lw_job_copy (job);

  make_free (job, &fit->name, _("Fit"), lw_job_find_fit);
  g_ptr_array_add (after->fits, fit);
  return lw_edit_finish (job, after, NULL, error);
}

LwJob *
lw_edit_remove_fit (const LwJob *job, guint fit, GError **error)
{
  if (!has (fit, job->fits, _("there is no fit %u"), error))
    return NULL;
  LwJob *after = lw_job_copy (job);
  g_ptr_array_remove_index (after->fits, fit);
  return lw_edit_finish (job, after, NULL, error);
}
