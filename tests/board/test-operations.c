/* What is written of a job's past, and the operations of a site: moments, the file, edits and their undo. */
#include <math.h>
#include <string.h>

#include "board/document.h"
#include "board/edits.h"
#include "board/job-file.h"
#include "board/moment.h"
#include "board/operations.h"
#include "job-fixture.h"

static LwJob *
fixture_job (void)
{
  g_autoptr (GError) error = NULL;
  LwJob *job = lw_job_from_data ("fixture", fixture, strlen (fixture), &error);

  g_assert_no_error (error);
  return job;
}

static LwPlan *
plan_at (const LwJob *job, guint index)
{
  g_assert_cmpuint (index, <, job->plans->len);
  return g_ptr_array_index (job->plans, index);
}

static void
take (LwJob **job, LwJob *after, GError *error)
{
  g_assert_no_error (error);
  g_assert_nonnull (after);
  lw_job_unref (*job);
  *job = after;
}

/* The operations of a part as words with a space between. */
static char *
words_of (const LwJob *job, const char *ref)
{
  g_autoptr (GArray) all = lw_job_operations (job, ref);
  GString *text = g_string_new (NULL);

  for (guint i = 0; i < all->len; i++)
    g_string_append_printf (text, "%s%s", i > 0 ? " " : "",
                            lw_operation_word (plan_at (job, g_array_index (all, guint, i))->operation));
  return g_string_free (text, FALSE);
}

static void
assert_words (const LwJob *job, const char *ref, const char *expected)
{
  g_autofree char *words = words_of (job, ref);

  g_assert_cmpstr (words, ==, expected);
}

/* The Gregorian calendar: 1970-01-01 is day 0, 2000-03-01 day 11017 (`date -u -d 2000-03-01 +%s` = 951868800); 2000 is a
 * leap year, 1900 and 2100 are none. */
static void
test_moments (void)
{
  static const char *const bad[] = { "", "2026", "2026-13-01", "2026-02-29", "2100-02-29", "2026-01-01T24:00",
                                     "2026-01-01T09:60", "2026-01-01T9:30", "2026-01-01T09:30Z", "1899-12-31", "26-01-01",
                                     "2026-01-01T09:30:00", "2026/01/01", NULL };
  gint64 minutes = -1;

  g_assert_true (lw_moment_parse ("1970-01-01", &minutes));
  g_assert_cmpint (minutes, ==, 0);
  g_assert_true (lw_moment_parse ("2000-03-01T00:00", &minutes));
  g_assert_cmpint (minutes, ==, 951868800 / 60);
  g_assert_true (lw_moment_parse ("2000-02-29 23:59", &minutes));
  g_assert_cmpint (minutes, ==, 951868800 / 60 - 1);
  g_autofree char *text = lw_moment_text (minutes);
  g_assert_cmpstr (text, ==, "2000-02-29T23:59");
  for (guint i = 0; bad[i] != NULL; i++)
    g_assert_false (lw_moment_parse (bad[i], NULL));
}

static void
test_round_trip (void)
{
  g_autoptr (LwJob) job = fixture_job (), again = NULL;
  g_autoptr (GError) error = NULL;
  gsize length;

  take (&job, lw_edit_text (job, "parts[1].past.level", "5a", &error), error);
  take (&job, lw_edit_number (job, "parts[1].past.exposure_h", 12.5, &error), error);
  take (&job, lw_edit_number (job, "parts[1].spare.cycles_used", 1, &error), error);
  take (&job, lw_edit_text (job, "board.past.baked", "yes", &error), error);
  take (&job, lw_edit_number (job, "board.past.bake_c", 105, &error), error);
  take (&job, lw_edit_number (job, "station.warm_up_min", 15, &error), error);
  take (&job, lw_edit_number (job, "schedule.cool_min", 45, &error), error);
  take (&job, lw_edit_text (job, "plans[0].alloy", "Sn63Pb37", &error), error);
  g_autofree char *text = lw_job_to_data (job, &length);
  again = lw_job_from_data ("again", text, length, &error);
  g_assert_no_error (error);
  const LwPart *u1 = g_ptr_array_index (again->parts, 0), *c1 = g_ptr_array_index (again->parts, 1);
  g_assert_cmpuint (u1->past.level, ==, LW_MSL_3);
  g_assert_cmpuint (u1->spare.kept, ==, LW_STORED_DRY_PACK);
  g_assert_cmpstr (u1->past.opened, ==, "2026-03-01T09:30");
  g_assert_cmpfloat (u1->cycles_allowed, ==, 3);
  g_assert_true (u1->kept_after);
  g_assert_cmpuint (c1->past.level, ==, LW_MSL_5A);
  g_assert_cmpfloat (c1->past.exposure_h, ==, 12.5);
  g_assert_cmpfloat (c1->spare.cycles_used, ==, 1);
  g_assert_true (isnan (c1->past.cycles_used));
  g_assert_cmpuint (again->board->past.baked, ==, LW_BAKED_YES);
  g_assert_cmpfloat (again->board->past.bake_c, ==, 105);
  g_assert_cmpfloat (again->station->warm_up_min, ==, 15);
  g_assert_cmpfloat (again->schedule.bake_c, ==, 90);
  g_assert_cmpfloat (again->schedule.cool_min, ==, 45);
  g_assert_cmpstr (plan_at (again, 0)->alloy, ==, "Sn63Pb37");
  for (guint i = 0; i < 3; i++) /* members of a newer program */
    g_assert_nonnull (strstr (text, (const char *[]){ "x_past", "x_was", "x_when" }[i]));
}

/* A document of before there were any of these says: nothing is known. */
static void
test_older (void)
{
  static const char old[] = "{\"leeward_format\": 1, \"board\": {\"thickness_mm\": 1.6, \"outline\": [{\"corners\": ["
                            "{\"x_mm\": 0, \"y_mm\": 0}, {\"x_mm\": 60, \"y_mm\": 0}, {\"x_mm\": 60, \"y_mm\": 40}]}]},"
                            "\"parts\": [{\"ref\": \"R1\", \"x_mm\": 40, \"y_mm\": 10}],"
                            "\"plans\": [{\"ref\": \"R1\", \"operation\": \"place\", \"stages\": [{\"duration_s\": 60,"
                            " \"preheat_c\": 100}]}]}";
  g_autoptr (GError) error = NULL;
  g_autoptr (LwJob) job = lw_job_from_data ("old", old, strlen (old), &error);

  g_assert_no_error (error);
  const LwPart *part = g_ptr_array_index (job->parts, 0);
  g_assert_cmpuint (part->past.level, ==, LW_MSL_UNKNOWN);
  g_assert_true (isnan (part->past.exposure_h) && isnan (part->cycles_allowed) && isnan (part->site_cycles_used));
  g_assert_cmpstr (job->schedule.start, ==, "");
  g_assert_true (lw_plan_heats (plan_at (job, 0))); /* placed and melted in one go, as it always meant */
}

static void
test_refused (void)
{
  g_autoptr (LwJob) job = fixture_job ();
  g_autoptr (GError) error = NULL;

  g_assert_null (lw_edit_text (job, "parts[0].past.opened", "yesterday", &error));
  g_assert_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_RANGE);
  g_assert_nonnull (strstr (error->message, "2026-03-01T09:30"));
  g_clear_error (&error);
  g_assert_null (lw_edit_number (job, "parts[0].past.room_rh_percent", 101, &error));
  g_assert_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_RANGE);
  g_clear_error (&error);
  g_assert_null (lw_edit_add_operation (job, "U1", LW_OP_REMOVE, &error));
  g_assert_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_REFERENCE);
  g_clear_error (&error);
  g_assert_null (lw_edit_add_operation (job, "U9", LW_OP_CLEAN, &error));
  g_assert_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_REFERENCE);
  g_clear_error (&error);
  g_assert_null (lw_edit_move_operation (job, 0, TRUE, &error)); /* the only one of its part */
  g_assert_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_REFERENCE);
  g_clear_error (&error);
  g_assert_null (lw_edit_remove_operation (job, 7, &error));
  g_assert_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_REFERENCE);
}

/* Whatever the order they are added in, they stand in that of the work, and the newest is active. */
static void
test_sequence (void)
{
  static const LwOperation order[] = { LW_OP_REFLOW, LW_OP_PRINT, LW_OP_CLEAN, LW_OP_PLACE };
  g_autoptr (LwJob) job = fixture_job ();
  g_autoptr (GError) error = NULL;

  for (guint i = 0; i < G_N_ELEMENTS (order); i++) {
    take (&job, lw_edit_add_operation (job, "U1", order[i], &error), error);
    g_assert_cmpint (plan_at (job, job->active_plan)->operation, ==, order[i]);
    g_assert_cmpstr (plan_at (job, job->active_plan)->ref, ==, "U1");
  }
  assert_words (job, "U1", "remove clean print place reflow");
  assert_words (job, "C1", "remove");
  const LwPlan *remove = plan_at (job, lw_job_find_operation (job, "U1", LW_OP_REMOVE));
  const LwPlan *reflow = plan_at (job, lw_job_find_operation (job, "U1", LW_OP_REFLOW));
  const LwPlan *place = plan_at (job, lw_job_find_operation (job, "U1", LW_OP_PLACE));
  g_assert_true (lw_plan_heats (reflow) && !lw_plan_heats (place));
  g_assert_cmpuint (reflow->stages->len, ==, 4);
  g_assert_cmpuint (place->stages->len, ==, 0);
  g_assert_cmpstr (reflow->nozzle, ==, remove->nozzle);
  g_assert_cmpuint (reflow->thermocouples->len, ==, remove->thermocouples->len);
  g_assert_cmpfloat (reflow->preheat_length_mm, ==, remove->preheat_length_mm);
}

static void
test_reorder (void)
{
  g_autoptr (LwJob) job = fixture_job ();
  g_autoptr (GError) error = NULL;

  take (&job, lw_edit_add_operation (job, "U1", LW_OP_CLEAN, &error), error);
  take (&job, lw_edit_add_operation (job, "U1", LW_OP_PRINT, &error), error);
  int print = lw_job_find_operation (job, "U1", LW_OP_PRINT);
  take (&job, lw_edit_move_operation (job, (guint) print, FALSE, &error), error);
  assert_words (job, "U1", "remove print clean");
  g_assert_cmpint (plan_at (job, job->active_plan)->operation, ==, LW_OP_PRINT); /* it stays the one in hand */
  take (&job, lw_edit_remove_operation (job, job->active_plan, &error), error);
  assert_words (job, "U1", "remove clean");
  g_assert_cmpuint (job->active_plan, <, job->plans->len);
}

/* A fault that a plan had before does not bind it to its place. */
static void
test_faulty (void)
{
  g_autoptr (LwJob) job = fixture_job ();
  g_autoptr (GError) error = NULL;

  take (&job, lw_edit_add_operation (job, "U1", LW_OP_CLEAN, &error), error);
  ((LwStage *) g_ptr_array_index (plan_at (job, 0)->stages, 1))->gas_c = 900; /* as no edit would let it */
  take (&job, lw_edit_move_operation (job, 0, TRUE, &error), error);
  assert_words (job, "U1", "clean remove");
}

/* All of a part's operations go with it, and its new name goes into all of them. */
static void
test_follow_part (void)
{
  g_autoptr (LwJob) job = fixture_job ();
  g_autoptr (GError) error = NULL;

  take (&job, lw_edit_add_operation (job, "U1", LW_OP_REFLOW, &error), error);
  take (&job, lw_edit_text (job, "parts[0].ref", "U7", &error), error);
  assert_words (job, "U7", "remove reflow");
  take (&job, without_part (job, 0, &error), error);
  g_assert_cmpuint (job->plans->len, ==, 1);
  g_assert_cmpstr (plan_at (job, 0)->ref, ==, "C1");
  g_assert_cmpuint (job->active_plan, ==, 0);
}

static void
test_undo (void)
{
  LwJob *job = fixture_job ();
  g_autofree char *before = lw_job_to_data (job, NULL);
  g_autoptr (LwDocument) document = lw_document_new (job, NULL);
  g_autoptr (GError) error = NULL;

  lw_document_edit (document, lw_edit_add_operation (lw_document_job (document), "U1", LW_OP_CLEAN, &error), "add", NULL);
  lw_document_edit (document, lw_edit_move_operation (lw_document_job (document), 0, TRUE, &error), "move", NULL);
  lw_document_edit (document, lw_edit_text (lw_document_job (document), "parts[0].past.level", "2a", &error), "level", NULL);
  g_assert_no_error (error);
  for (guint i = 0; i < 3; i++)
    g_assert_true (lw_document_undo (document));
  g_autofree char *after = lw_job_to_data (lw_document_job (document), NULL);
  g_assert_cmpstr (after, ==, before);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/board/operations/moments", test_moments);
  g_test_add_func ("/board/operations/round-trip", test_round_trip);
  g_test_add_func ("/board/operations/older", test_older);
  g_test_add_func ("/board/operations/refused", test_refused);
  g_test_add_func ("/board/operations/sequence", test_sequence);
  g_test_add_func ("/board/operations/reorder", test_reorder);
  g_test_add_func ("/board/operations/faulty", test_faulty);
  g_test_add_func ("/board/operations/follow-part", test_follow_part);
  g_test_add_func ("/board/operations/undo", test_undo);
  return g_test_run ();
}
