/* Contradictions of recorded runs, fits and revisions. */
#include <string.h>

#include <glib/gi18n.h>

#include "board/job-check.h"

/* What the file calls "up to N numbers" is bounded by each run; this bounds them together. */
static void
check_size (LwCheck *check)
{
  guint64 values = 0;

  for (guint i = 0; i < check->job->runs->len; i++)
    {
      const LwRun *run = g_ptr_array_index (check->job->runs, i);

      values += (guint64) run->t_s->len * (run->columns->len + 1);
    }
  if (values > LW_RUN_VALUES_MAX)
    lw_check_stop (check, g_strdup ("runs"), _("hold %llu numbers; at most %d are kept in one document"),
                   (unsigned long long) values, LW_RUN_VALUES_MAX);
}

static void
check_times (LwCheck *check, const LwRun *run, guint index)
{
  if (run->t_s->len < 2)
    lw_check_stop (check, LW_PATH ("runs[%u].t_s", index), _("must hold two moments at least"));
  for (guint i = 1; i < run->t_s->len; i++)
    if (!(g_array_index (run->t_s, double, i) > g_array_index (run->t_s, double, i - 1)))
      {
        lw_check_stop (check, LW_PATH ("runs[%u].t_s[%u]", index, i), _("is not after the time before it"));
        return;
      }
}

static gboolean
names_couple (const LwPlan *plan, const char *name)
{
  for (guint i = 0; plan != NULL && i < plan->thermocouples->len; i++)
    if (strcmp (((const LwThermocouple *) g_ptr_array_index (plan->thermocouples, i))->name, name) == 0)
      return TRUE;
  return FALSE;
}

static void
check_columns (LwCheck *check, const LwRun *run, guint index)
{
  g_autoptr (GHashTable) mapped = g_hash_table_new (g_str_hash, g_str_equal);
  int plan = lw_job_find_plan (check->job, run->ref);

  for (guint i = 0; i < run->columns->len; i++)
    {
      const LwRunColumn *column = g_ptr_array_index (run->columns, i);

      if (column->c->len != run->t_s->len)
        lw_check_stop (check, LW_PATH ("runs[%u].columns[%u].c", index, i), _("holds %u numbers for %u moments"),
                       column->c->len, run->t_s->len);
      if (column->thermocouple[0] == '\0')
        continue;
      if (!g_hash_table_add (mapped, column->thermocouple))
        lw_check_stop (check, LW_PATH ("runs[%u].columns[%u].thermocouple", index, i), _("“%s” is given twice"),
                       column->thermocouple);
      else if (plan >= 0 && !names_couple (g_ptr_array_index (check->job->plans, plan), column->thermocouple))
        lw_check_note (check, LW_PATH ("runs[%u].columns[%u].thermocouple", index, i),
                       _("the plan has no thermocouple “%s”"), column->thermocouple);
    }
}

static void
check_ref (LwCheck *check, char *path, const char *ref)
{
  if (g_hash_table_contains (check->parts, ref))
    g_free (path);
  else
    lw_check_note (check, path, _("no part is named %s"), ref);
}

static void
check_fit (LwCheck *check, const LwFit *fit, guint index)
{
  if (lw_job_find_fit (check->job, fit->name) != (int) index)
    lw_check_stop (check, LW_PATH ("fits[%u].name", index), _("“%s” is given twice"), fit->name);
  check_ref (check, LW_PATH ("fits[%u].ref", index), fit->ref);
  if (fit->ties->len > 0 && fit->ties->len != fit->figures->len * (fit->figures->len - 1) / 2)
    lw_check_note (check, LW_PATH ("fits[%u].ties", index), _("%u numbers do not fit %u figures; they count as unknown"),
                   fit->ties->len, fit->figures->len);
  for (guint i = 0; i < fit->runs->len; i++)
    if (lw_job_find_run (check->job, g_array_index (fit->runs, LwFitRun, i).run) < 0)
      lw_check_note (check, LW_PATH ("fits[%u].runs[%u].run", index, i), _("no run is named “%s”"),
                     g_array_index (fit->runs, LwFitRun, i).run);
}

void
lw_check_history (LwCheck *check)
{
  const LwJob *job = check->job;

  check_size (check);
  for (guint i = 0; i < job->runs->len; i++)
    {
      const LwRun *run = g_ptr_array_index (job->runs, i);

      if (lw_job_find_run (job, run->name) != (int) i)
        lw_check_stop (check, LW_PATH ("runs[%u].name", i), _("“%s” is given twice"), run->name);
      check_ref (check, LW_PATH ("runs[%u].ref", i), run->ref);
      check_times (check, run, i);
      check_columns (check, run, i);
    }
  for (guint i = 0; i < job->fits->len; i++)
    check_fit (check, g_ptr_array_index (job->fits, i), i);
}
