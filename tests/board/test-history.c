/* What a job keeps of its past: recorded runs, fits, revisions of its plans. Expected values are what was put in. */
#include <math.h>
#include <string.h>

#include "board/document.h"
#include "board/edits-group.h"
#include "board/edits-history.h"
#include "board/edits.h"
#include "board/job-file.h"
#include "board/job-hash.h"
#include "board/plan-changes.h"
#include "job-fixture.h"

static LwJob *
load (const char *text)
{
  g_autoptr (GError) error = NULL;
  LwJob *job = lw_job_from_data ("t", text, strlen (text), &error);

  g_assert_no_error (error);
  return job;
}

static LwJob *
good (LwJob *job, GError *error)
{
  g_assert_no_error (error);
  g_assert_nonnull (job);
  return job;
}

static void
text_to (char **text, const char *value)
{
  g_free (*text);
  *text = g_strdup (value);
}

static LwRun *
new_run (const char *ref, guint n_columns, guint n)
{
  LwRun *run = lw_run_new ();

  text_to (&run->ref, ref);
  for (guint i = 0; i < n; i++)
    {
      double t = 0.5 * i;
      g_array_append_val (run->t_s, t);
    }
  for (guint k = 0; k < n_columns; k++)
    {
      LwRunColumn *column = lw_run_column_new ();

      column->name = (g_free (column->name), g_strdup_printf ("Ch %u", k + 1));
      for (guint i = 0; i < n; i++)
        {
          double c = i % 7 == 3 ? NAN : 25.0 + 0.01 * i;
          g_array_append_val (column->c, c);
        }
      g_ptr_array_add (run->columns, column);
    }
  return run;
}

static const LwRun *
run_at (const LwJob *job, guint i)
{
  g_assert_cmpuint (i, <, job->runs->len);
  return job->runs->pdata[i];
}

static const char *
couple_of (const LwJob *job, guint run, guint column)
{
  return ((const LwRunColumn *) run_at (job, run)->columns->pdata[column])->thermocouple;
}

static void
test_read (void)
{
  g_autoptr (LwJob) job = load (fixture);
  const LwRun *run = run_at (job, 0);
  const LwRunColumn *column = run->columns->pdata[0];
  const LwFit *fit = job->fits->pdata[0];
  const LwFitFigure *figure = fit->figures->pdata[0];
  const LwRevision *revision = job->revisions->pdata[0];

  g_assert_cmpstr (run->operator_name, ==, "H. B.");
  g_assert_cmpfloat (run->shift_s, ==, -3.5);
  g_assert_cmpuint (run->t_s->len, ==, 3);
  g_assert_cmpfloat (g_array_index (run->t_s, double, 1), ==, 0.5);
  g_assert_cmpfloat (g_array_index (column->c, double, 0), ==, 25.01);
  g_assert_true (isnan (g_array_index (column->c, double, 1)));
  g_assert_cmpstr (g_array_index (fit->runs, LwFitRun, 0).run, ==, "first");
  g_assert_true (isnan (figure->sigma));
  g_assert_cmpfloat (figure->value, ==, 1.2);
  g_assert_cmpuint (fit->ties->len, ==, 1);
  g_assert_cmpfloat (g_array_index (fit->ties, double, 0), ==, -0.125);
  g_assert_cmpstr (fit->nozzle, ==, "N12");
  g_assert_true (fit->kept);
  g_assert_cmpuint (revision->plan->stages->len, ==, 1);
}

static void
test_add_run (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwJob) job = load (fixture);
  g_autofree char *hash = lw_plan_hash (job->plans->pdata[0]);
  g_autoptr (LwJob) one = good (lw_edit_add_run (job, new_run ("U1", 2, 100), &error), error);
  g_autoptr (LwJob) two = good (lw_edit_add_run (one, new_run ("U1", 2, 100), &error), error);

  g_assert_cmpuint (job->runs->len, ==, 1);
  g_assert_cmpstr (run_at (two, 1)->plan_hash, ==, hash);
  g_assert_cmpstr (run_at (two, 1)->name, !=, run_at (two, 2)->name);
  /* The fixture's revision is another plan than today's: that was kept, once. */
  g_assert_cmpuint (one->revisions->len, ==, 2);
  g_assert_cmpuint (two->revisions->len, ==, 2);
  g_assert_cmpint (lw_job_revision_of (two, 0), ==, 1);
  g_assert_cmpuint (lw_job_revision_number (two, 1), ==, 2);
}

/* 20,000 moments of five columns fill about 700 kB and come back to the bit. */
static void
test_round_trip (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwJob) job = load (fixture);
  g_autoptr (LwJob) after = good (lw_edit_add_run (job, new_run ("U1", 5, LW_RUN_MOMENTS_MAX), &error), error);
  gsize length, again_length;
  g_autofree char *text = lw_job_to_data (after, &length);
  g_autoptr (LwJob) back = load (text);
  g_autofree char *again = lw_job_to_data (back, &again_length);

  g_assert_cmpmem (text, length, again, again_length);
  g_assert_cmpuint (length, <, 6 * 12 * LW_RUN_MOMENTS_MAX);
  for (const char *line = text; line != NULL; line = strchr (line + 1, '\n'))
    g_assert_cmpuint (strcspn (line + 1, "\n"), <=, 140);
  g_assert_true (isnan (g_array_index (((LwRunColumn *) run_at (back, 1)->columns->pdata[4])->c, double, 3)));
}

static void
test_refused (void)
{
  g_autoptr (LwJob) job = load (fixture);
  struct {
    LwRun *run;
    const char *reason;
  } cases[4] = { { new_run ("U1", 1, 1), "two moments" },
                 { new_run ("U1", 1, LW_RUN_MOMENTS_MAX + 1), "at most 20000" },
                 { new_run ("U1", 60, LW_RUN_MOMENTS_MAX), "at most 1000000" },
                 { new_run ("U1", 1, 10), "not after the time before" } };

  g_array_index (cases[3].run->t_s, double, 5) = g_array_index (cases[3].run->t_s, double, 4);
  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;

      g_assert_null (lw_edit_add_run (job, cases[i].run, &error));
      g_assert_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_RANGE);
      g_assert_nonnull (strstr (error->message, cases[i].reason));
    }
}

static void
test_map (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwJob) job = load (fixture);
  g_autoptr (LwJob) added = good (lw_edit_add_run (job, new_run ("U1", 2, 10), &error), error);
  g_autoptr (LwJob) first = good (lw_edit_map_run (added, 1, 0, "T1", &error), error);
  g_autoptr (LwJob) swapped = good (lw_edit_map_run (first, 1, 1, "T1", &error), error);
  g_autoptr (LwJob) renamed = good (lw_edit_text (swapped, "plans[0].thermocouples[0].name", "Corner", &error), error);

  g_assert_cmpstr (couple_of (first, 1, 0), ==, "T1");
  g_assert_cmpstr (couple_of (swapped, 1, 0), ==, "");
  g_assert_cmpstr (couple_of (swapped, 1, 1), ==, "T1");
  g_assert_cmpstr (couple_of (renamed, 1, 1), ==, "Corner");
  g_assert_cmpstr (couple_of (swapped, 1, 1), ==, "T1"); /* the old job is what it was */
  g_assert_null (lw_edit_map_run (job, 0, 9, "T1", &error));
  g_assert_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_REFERENCE);
}

/* Names are followed: of a run by fits, of a part by runs, fits and revisions. */
static void
test_names (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwJob) job = load (fixture);
  g_autoptr (LwJob) run = good (lw_edit_text (job, "runs[0].name", "Monday", &error), error);
  g_autoptr (LwJob) part = good (lw_edit_text (run, "parts[0].ref", "U7", &error), error);
  const LwFit *fit = part->fits->pdata[0];
  const LwRevision *revision = part->revisions->pdata[0];

  g_assert_cmpstr (g_array_index (fit->runs, LwFitRun, 0).run, ==, "Monday");
  g_assert_cmpstr (fit->ref, ==, "U7");
  g_assert_cmpstr (run_at (part, 0)->ref, ==, "U7");
  g_assert_cmpstr (revision->plan->ref, ==, "U7");
  g_assert_cmpstr (revision->hash, ==, "ab");
}

static void
test_restore (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwDocument) document = lw_document_new (load (fixture), NULL);
  g_autofree char *before = lw_plan_hash (lw_document_job (document)->plans->pdata[0]);

  lw_document_edit (document, good (lw_edit_keep_revision (lw_document_job (document), 0, "n", &error), error), "Keep", NULL);
  g_assert_null (lw_edit_keep_revision (lw_document_job (document), 0, "again", &error));
  g_assert_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_RANGE);
  g_clear_error (&error);
  lw_document_edit (document, good (lw_edit_number (lw_document_job (document), "plans[0].nozzle_height_mm", 5, &error), error),
                    "Raise", NULL);
  lw_document_edit (document, good (lw_edit_restore_revision (lw_document_job (document), 1, &error), error), "Restore", NULL);
  g_autofree char *after = lw_plan_hash (lw_document_job (document)->plans->pdata[0]);
  g_assert_cmpstr (after, ==, before);
  /* What stood there before was kept. */
  g_assert_cmpuint (lw_document_job (document)->revisions->len, ==, 3);
  g_assert_cmpfloat (((LwRevision *) lw_document_job (document)->revisions->pdata[2])->plan->nozzle_height_mm, ==, 5);
  g_assert_true (lw_document_undo (document));
  g_assert_cmpfloat (lw_job_number (lw_document_job (document), "plans[0].nozzle_height_mm"), ==, 5);
  g_assert_cmpuint (lw_document_job (document)->revisions->len, ==, 2);
}

/* A part that was taken off the list keeps its past; its plan can be had again. */
static void
test_plan_gone (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwJob) job = load (fixture);
  g_autoptr (LwJob) kept = good (lw_edit_keep_revision (job, 1, "", &error), error);
  g_autoptr (LwJob) gone = lw_job_copy (kept);

  g_ptr_array_remove_index (gone->plans, 1);
  gone->active_plan = 0;
  g_autoptr (LwJob) back = good (lw_edit_restore_revision (gone, 1, &error), error);
  g_assert_cmpuint (back->plans->len, ==, 2);
  g_assert_cmpstr (((LwPlan *) back->plans->pdata[1])->ref, ==, "C1");
  g_assert_null (lw_edit_restore_revision (gone, 9, &error));
  g_assert_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_REFERENCE);
}

static gboolean
tells (const GPtrArray *changes, const char *what, const char *before, const char *after)
{
  for (guint i = 0; i < changes->len; i++)
    {
      const LwPlanChange *change = changes->pdata[i];

      if (strcmp (change->what, what) == 0 && strcmp (change->before, before) == 0 && strcmp (change->after, after) == 0)
        return TRUE;
    }
  return FALSE;
}

static void
test_changes (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwJob) job = load (fixture);
  g_autoptr (LwJob) a = good (lw_edit_number (job, "plans[0].stages[1].gas_c", 310, &error), error);
  g_autoptr (LwJob) b = good (lw_edit_number (a, "plans[0].preheat_area.length_mm", 70, &error), error);
  g_autoptr (LwJob) c = good (lw_edit_text (b, "plans[0].operation", "place", &error), error);
  g_autoptr (LwJob) d = good (lw_edit_number (c, "plans[0].stages[0].preheat_c", NAN, &error), error);
  g_autoptr (LwJob) e = good (lw_edit_add_thermocouple (d, 0, "", 1, 1, LW_SIDE_TOP, &error), error);
  g_autoptr (LwJob) f = good (lw_edit_remove_shield (e, 0, 0, &error), error);
  g_autoptr (GPtrArray) none = lw_plan_changes (job->plans->pdata[0], job->plans->pdata[0]);
  g_autoptr (GPtrArray) all = lw_plan_changes (job->plans->pdata[0], f->plans->pdata[0]);
  g_autoptr (GPtrArray) table = lw_plan_changes (job->plans->pdata[0], job->plans->pdata[1]);

  g_assert_cmpuint (none->len, ==, 0);
  g_assert_true (tells (all, "stage 2 (heat), gas, °C", "300", "310"));
  g_assert_true (tells (all, "stage 1 (warm), preheater, °C", "150", "–"));
  g_assert_true (tells (all, "preheat area, length, mm", "80", "70"));
  g_assert_true (tells (all, "operation", "Remove", "Place"));
  g_assert_true (tells (all, "shield 1 (S1)", "there", "–"));
  g_assert_cmpuint (all->len, ==, 6);
  g_assert_true (tells (table, "row 2", "–", "new"));
}

/* Another thing is asked of a prediction only when board, parts or plans are others. */
static void
test_same_work (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwJob) job = load (fixture);
  g_autoptr (LwJob) shifted = good (lw_edit_number (job, "runs[0].shift_s", 4, &error), error);
  g_autoptr (LwJob) named = good (lw_edit_text (job, "title", "x", &error), error);
  g_autoptr (LwJob) hotter = good (lw_edit_number (job, "plans[0].stages[1].gas_c", 310, &error), error);
  g_autoptr (LwJob) colder = good (lw_edit_number (job, "ambient_c", 20, &error), error);
  LwFit *fit = lw_fit_new ();
  fit->kept = TRUE;
  fit->ref = (g_free (fit->ref), g_strdup ("U1"));
  g_autoptr (LwJob) fitted = good (lw_edit_add_fit (job, fit, &error), error);

  g_assert_true (lw_job_same_work (job, shifted));
  g_assert_false (lw_job_same_work (job, fitted)); /* plans are computed with what was kept */
  g_assert_true (lw_job_same_work (job, named));
  g_assert_false (lw_job_same_work (job, hotter));
  g_assert_false (lw_job_same_work (job, colder));
}

/* The past changes nothing of what is to be done: the hash on the sheet stays. */
static void
test_hash (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwJob) job = load (fixture);
  g_autoptr (LwJob) without = good (lw_edit_remove_run (job, 0, &error), error);
  g_autoptr (LwJob) fitless = good (lw_edit_remove_fit (without, 0, &error), error);
  g_autoptr (LwJob) bare = good (lw_edit_remove_revision (fitless, 0, &error), error);
  g_autoptr (LwJob) fitted = good (lw_edit_add_fit (bare, ({
                                     LwFit *fit = lw_fit_new ();
                                     text_to (&fit->ref, "U1");
                                     fit;
                                   }), &error), error);
  g_autofree char *a = lw_job_hash (job), *b = lw_job_hash (bare);

  g_assert_cmpstr (a, ==, b);
  g_assert_cmpuint (bare->runs->len + bare->fits->len + bare->revisions->len, ==, 0);
  g_assert_cmpstr (((LwFit *) fitted->fits->pdata[0])->name, ==, "Fit 1");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/board/history/read", test_read);
  g_test_add_func ("/board/history/add-run", test_add_run);
  g_test_add_func ("/board/history/round-trip", test_round_trip);
  g_test_add_func ("/board/history/refused", test_refused);
  g_test_add_func ("/board/history/map", test_map);
  g_test_add_func ("/board/history/names", test_names);
  g_test_add_func ("/board/history/restore", test_restore);
  g_test_add_func ("/board/history/plan-gone", test_plan_gone);
  g_test_add_func ("/board/history/changes", test_changes);
  g_test_add_func ("/board/history/same-work", test_same_work);
  g_test_add_func ("/board/history/hash", test_hash);
  return g_test_run ();
}
