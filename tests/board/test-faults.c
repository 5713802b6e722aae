/* Every fault a document can have: refused with its line, its path and the reason; lw_job_check() on jobs
 * made in memory. */
#include <gio/gio.h>
#include <math.h>
#include <string.h>

#include "board/job-file.h"
#include "job-fixture.h"

/* The fixture with FIND replaced once; where it stands gives the line expected. */
static char *
changed (const char *find, const char *put, guint *line)
{
  const char *at = strstr (fixture, find);
  GString *text = g_string_new (fixture);

  g_assert_nonnull (at);
  *line = 1;
  for (const char *p = fixture; p < at; p++)
    *line += *p == '\n';
  g_string_erase (text, at - fixture, (gssize) strlen (find));
  g_string_insert (text, at - fixture, put);
  return g_string_free (text, FALSE);
}

typedef struct {
  const char *find, *put;
  int code;
  const char *reason; /* part of the message, from the path on */
} Fault;

static const Fault faults[] = {
  /* wrong type */
  { "\"thickness_mm\": 1.6", "\"thickness_mm\": \"1.6\"", LW_FILE_ERROR_VALUE, "board.thickness_mm: must be a number, is a text" },
  { "\"ambient_c\": 23.5", "\"ambient_c\": null", LW_FILE_ERROR_VALUE, "ambient_c: must be a number, is null" },
  { "\"alloy\": \"Sn63Pb37\"", "\"alloy\": 3", LW_FILE_ERROR_VALUE, "alloy: must be a text, is a number" },
  { "\"columns\": 4", "\"columns\": 4.5", LW_FILE_ERROR_VALUE, "packages[0].joints.columns: must be a whole number" },
  { "\"columns\": 4", "\"columns\": -4", LW_FILE_ERROR_VALUE, "packages[0].joints.columns: must not be below 0, is -4" },
  { "\"columns\": 4", "\"columns\": 400000", LW_FILE_ERROR_VALUE, "packages[0].joints.columns: must not be above 1000" },
  { "\"kind\": \"area-array\"", "\"kind\": \"bga\"", LW_FILE_ERROR_VALUE, "packages[0].kind: must be one of other" },
  { "\"side\": \"top\"", "\"side\": \"front\"", LW_FILE_ERROR_VALUE, "parts[0].side: must be one of top, bottom" },
  { "\"holder\": {\"x_holder\": 5}", "\"holder\": []", LW_FILE_ERROR_VALUE, "station.holder: must be an object, is an array" },
  { "\"stages\": []", "\"stages\": {}", LW_FILE_ERROR_VALUE, "plans[1].stages: must be an array, is an object" },
  { "\"given\": false", "\"given\": 0", LW_FILE_ERROR_VALUE, "station.prescribed_films.given: must be true or false, is a number" },
  { "{\"x_mm\": 100, \"y_mm\": 0}", "7", LW_FILE_ERROR_VALUE, "board.outline[0].corners[1]: must be an object, is a number" },
  /* missing */
  { "\"name\": \"A16\", ", "", LW_FILE_ERROR_VALUE, "packages[0].name: is missing" },
  { "\"ref\": \"U1\", \"package\"", "\"package\"", LW_FILE_ERROR_VALUE, "parts[0].ref: is missing" },
  { "\"ref\": \"U1\", \"package\"", "\"ref\": \"\", \"package\"", LW_FILE_ERROR_VALUE, "parts[0].ref: must not be empty" },
  { "\"x_mm\": 100, \"y_mm\": 60", "\"x_mm\": 100", LW_FILE_ERROR_VALUE, "board.outline[0].corners[2].y_mm: is missing" },
  /* range */
  { "\"thickness_mm\": 1.6", "\"thickness_mm\": 0", LW_FILE_ERROR_VALUE, "board.thickness_mm: must be above 0, is 0" },
  { "\"thickness_mm\": 1.6", "\"thickness_mm\": -1.6", LW_FILE_ERROR_VALUE, "board.thickness_mm: must be above 0, is -1.6" },
  { "\"height_mm\": 0.85", "\"height_mm\": -2", LW_FILE_ERROR_VALUE, "parts[1].height_mm: must be above 0, is -2" },
  { "\"length_mm\": 12", "\"length_mm\": 0", LW_FILE_ERROR_VALUE, "station.nozzles[0].length_mm: must be above 0, is 0" },
  { "\"length_mm\": 12, \"width_mm\": 12", "\"length_mm\": 12, \"width_mm\": -3", LW_FILE_ERROR_VALUE, "station.nozzles[0].width_mm: must be above 0" },
  { "\"cover\": 0.4", "\"cover\": 1.2", LW_FILE_ERROR_VALUE, "board.stack_up[0].cover: must not be above 1, is 1.2" },
  { "\"x_mm\": 60.1", "\"x_mm\": 1e9", LW_FILE_ERROR_VALUE, "parts[1].x_mm: must not be above 10000, is 1000000000" },
  { "\"x_mm\": 60.1", "\"x_mm\": -1e999", LW_FILE_ERROR_VALUE, "parts[1].x_mm: must not be below -10000, is -inf" },
  { "\"duration_s\": 120", "\"duration_s\": 0", LW_FILE_ERROR_VALUE, "plans[0].stages[0].duration_s: must be above 0, is 0" },
  { "\"nozzle_height_mm\": 3", "\"nozzle_height_mm\": 0", LW_FILE_ERROR_VALUE, "plans[0].nozzle_height_mm: must be above 0" },
  { "\"arc_deg\": 180", "\"arc_deg\": 360", LW_FILE_ERROR_VALUE, "board.outline[1].corners[0].arc_deg: must not be above 359.999" },
  { "\"joint_h_w_per_m2k\": 30000", "\"joint_h_w_per_m2k\": 0", LW_FILE_ERROR_VALUE, "parts[1].prescribed.joint_h_w_per_m2k: must be above 0" },
  /* contradictions */
  { "\"gas_c\": 300", "\"gas_c\": 500", LW_FILE_ERROR_CONFLICT, "plans[0].stages[1].gas_c: 500 °C is outside the station’s range of 50 to 450 °C" },
  { "\"gas_c\": null, \"preheat_c\": 150", "\"preheat_c\": 450", LW_FILE_ERROR_CONFLICT, "plans[0].stages[0].preheat_c: 450 °C is outside the station’s range of 40 to 400 °C" },
  { "\"flow_l_per_min\": 20", "\"flow_l_per_min\": 80", LW_FILE_ERROR_CONFLICT, "plans[0].stages[1].flow_l_per_min: 80 L/min is outside the station’s range" },
  { "\"gas_min_c\": 50", "\"gas_min_c\": 460", LW_FILE_ERROR_CONFLICT, "station.gas_max_c: is below gas_min_c" },
  { "\"ref\": \"C1\", \"package\"", "\"ref\": \"U1\", \"package\"", LW_FILE_ERROR_CONFLICT, "parts[1].ref: “U1” is given twice" },
  { "\"ref\": \"C1\", \"nozzle\"", "\"ref\": \"U1\", \"nozzle\"", LW_FILE_ERROR_CONFLICT, "plans[1].operation: U1 already has a plan for “Remove”" },
  { "2026-03-01T09:30", "2026-02-29T09:30", LW_FILE_ERROR_CONFLICT, "parts[0].past.opened: must be a moment" },
  { "\"2026-03-02\"", "\"tomorrow\"", LW_FILE_ERROR_CONFLICT, "schedule.start: must be a moment" },
  { "\"name\": \"TWO\"", "\"name\": \"A16\"", LW_FILE_ERROR_CONFLICT, "packages[1].name: “A16” is given twice" },
  { "\"x_mm\": 40, \"y_mm\": 30, \"rotation_deg\"", "\"x_mm\": 400, \"y_mm\": 30, \"rotation_deg\"", LW_FILE_ERROR_CONFLICT, "parts[0]: U1 lies outside the board" },
  { "\"x_mm\": 80, \"y_mm\": 50", "\"x_mm\": 280, \"y_mm\": 50", LW_FILE_ERROR_CONFLICT, "board.outline[1]: this cut-out crosses or touches the board’s edge" },
  { "{\"x_mm\": 100, \"y_mm\": 0}", "{\"x_mm\": 0, \"y_mm\": 70}", LW_FILE_ERROR_CONFLICT, "board.outline[0]: crosses or touches itself" },
  { "\"active_plan\": 1", "\"active_plan\": 2", LW_FILE_ERROR_CONFLICT, "active_plan: must name one of the 2 plans" },
  { "{\"t_s\": 60,", "{\"t_s\": 60}, {\"t_s\": 59,", LW_FILE_ERROR_CONFLICT, "plans[1].table[2].t_s: is before the time above it" },
  { "\"at_c\": 240", "\"at_c\": null", LW_FILE_ERROR_CONFLICT, "packages[0].limits[1].at_c: a time above needs" },
  { "\"joint_min_c\": 200", "\"joint_min_c\": 200, \"joint_max_c\": 190", LW_FILE_ERROR_CONFLICT, "plans[0].wanted.joint_max_c: is below" },
  { "\"drill_mm\": 0.3", "\"drill_mm\": 1.3", LW_FILE_ERROR_CONFLICT, "board.via_fields[0].drill_mm: holes are as wide" },
  { "\"pitch_mm\": 2", "\"pitch_mm\": 0", LW_FILE_ERROR_CONFLICT, "packages[0].joints.pitch_mm: must be above 0 for this pattern" },
  { "\"kind\": \"laminate\", \"thickness_mm\": 1.53", "\"kind\": \"laminate\"", LW_FILE_ERROR_CONFLICT, "board.stack_up[1].thickness_mm: is unknown" },
  { "\"columns\": 4, \"rows\": 4", "\"columns\": 400, \"rows\": 400", LW_FILE_ERROR_CONFLICT, "packages[0].joints: has more than 10000 joints" },
  /* format and syntax */
  { "\"leeward_format\": 1", "\"leeward_format\": 2", LW_FILE_ERROR_FORMAT, "leeward_format: is 2: written by a newer Leeward" },
  { "\"leeward_format\": 1", "\"leeward_format\": \"1\"", LW_FILE_ERROR_FORMAT, "leeward_format: must be the number 1" },
  { "\"leeward_format\": 1", "\"format\": 1", LW_FILE_ERROR_FORMAT, "is no Leeward document" },
  { "\"ambient_c\": 23.5", "\"ambient_c\": 23,5", LW_FILE_ERROR_SYNTAX, "a text in double quotes was expected" },
  { "\"ambient_c\": 23.5", "\"ambient_c\": 0x17", LW_FILE_ERROR_SYNTAX, "a comma or closing brace was expected" },
  { "\"ambient_c\": 23.5", "\"ambient_c\": NaN", LW_FILE_ERROR_SYNTAX, "a value was expected" },
  { "\"ambient_c\": 23.5", "\"ambient_c\": 023", LW_FILE_ERROR_SYNTAX, "malformed number" },
  { "\"ambient_c\": 23.5", "\"ambient_c\": 23.", LW_FILE_ERROR_SYNTAX, "malformed number" },
  { "\"ambient_c\": 23.5", "\"ambient_c\": 1234567890123456789", LW_FILE_ERROR_SYNTAX, "too many digits" },
  { "\"ambient_c\": 23.5", "\"ambient_c\": 23.5, \"ambient_c\": 24", LW_FILE_ERROR_SYNTAX, "a member is given twice" },
  { "\"ambient_c\": 23.5", "/* warm */ \"ambient_c\": 23.5", LW_FILE_ERROR_SYNTAX, "a text in double quotes was expected" },
  { "\"ambient_c\": 23.5", "'ambient_c': 23.5", LW_FILE_ERROR_SYNTAX, "a text in double quotes was expected" },
  { "\"alloy\": \"Sn63Pb37\"", "\"alloy\": \"Sn63\\u0000\"", LW_FILE_ERROR_SYNTAX, "NUL" },
  { "\"alloy\": \"Sn63Pb37\"", "\"alloy\": \"\\ud800\"", LW_FILE_ERROR_SYNTAX, "surrogate" },
  { "\"alloy\": \"Sn63Pb37\"", "\"alloy\": \"\\q\"", LW_FILE_ERROR_SYNTAX, "unknown escape" },
  { "\"alloy\": \"Sn63Pb37\"", "\"alloy\": \"Sn\t63\"", LW_FILE_ERROR_SYNTAX, "control character" },
  { "\"alloy\": \"Sn63Pb37\"", "\"alloy\": \"Sn\xff\"", LW_FILE_ERROR_SYNTAX, "not UTF-8" },
};

static void
test_each (gconstpointer data)
{
  const Fault *fault = data;
  g_autoptr (GError) error = NULL;
  guint line;
  g_autofree char *text = changed (fault->find, fault->put, &line);
  g_autofree char *prefix = g_strdup_printf ("bad.leeward:%u: ", line);
  g_autoptr (LwJob) job = lw_job_from_data ("bad.leeward", text, strlen (text), &error);

  g_assert_null (job);
  g_assert_error (error, LW_FILE_ERROR, fault->code);
  g_test_message ("%s", error->message);
  g_assert_nonnull (strstr (error->message, fault->reason));
  /* A fault of the document as a whole stands in its first line; of a loop or part, where that begins. */
  if (strstr (fault->reason, "no Leeward document") != NULL)
    g_assert_true (g_str_has_prefix (error->message, "bad.leeward:1: "));
  else
    g_assert_cmpint (strncmp (error->message, prefix, strlen (prefix)), ==, 0);
}

static void
refuse (const char *text, gsize length, int code, const char *message)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwJob) job = lw_job_from_data ("x", text, length, &error);

  g_assert_null (job);
  g_assert_error (error, LW_FILE_ERROR, code);
  g_assert_nonnull (strstr (error->message, message));
}

static void
test_bytes (void)
{
  g_autoptr (GString) deep = g_string_new ("{\"leeward_format\": 1, \"x\": ");
  static const char nul[] = "{\"leeward_format\":\0 1}";
  static const char utf16[] = "\xff\xfe{\0\"\0l\0";

  refuse ("", 0, LW_FILE_ERROR_SYNTAX, "is empty");
  refuse ("[]", 2, LW_FILE_ERROR_FORMAT, "must be a JSON object");
  refuse ("{}", 2, LW_FILE_ERROR_FORMAT, "no Leeward document");
  refuse ("{} {}", 5, LW_FILE_ERROR_SYNTAX, "follows the end");
  refuse (nul, sizeof nul - 1, LW_FILE_ERROR_SYNTAX, "NUL byte");
  refuse (utf16, sizeof utf16 - 1, LW_FILE_ERROR_SYNTAX, "not UTF-8");
  for (int i = 0; i < 200000; i++) /* would overflow the stack of a parser that recurses */
    g_string_append_c (deep, '[');
  refuse (deep->str, deep->len, LW_FILE_ERROR_SYNTAX, "nested too deeply");
  /* A mark in front is no fault. */
  g_autofree char *marked = g_strconcat ("\xef\xbb\xbf", fixture, NULL);
  g_autoptr (LwJob) job = lw_job_from_data ("x", marked, strlen (marked), NULL);
  g_assert_nonnull (job);
}

/* The size is refused before the text is looked at. */
static void
test_large (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwJob) job = lw_job_from_data ("big", fixture, (gsize) LW_JOB_MAX_BYTES + 1, &error);

  g_assert_null (job);
  g_assert_error (error, LW_FILE_ERROR, LW_FILE_ERROR_TOO_LARGE);
  g_assert_cmpstr (error->message, ==, "big: is larger than 64 MB");
}

/* So are arrays that no board needs. */
static void
test_many (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GString) text = g_string_new ("{\"leeward_format\": 1,\n\"plans\": [");

  for (guint i = 0; i < 1001; i++)
    g_string_append_printf (text, "%s{\"ref\": \"R%u\"}", i > 0 ? "," : "", i);
  g_string_append (text, "], \"board\": {\"thickness_mm\": 1, \"outline\": [{\"corners\": []}]}}");
  g_autoptr (LwJob) job = lw_job_from_data ("many", text->str, text->len, &error);
  g_assert_null (job);
  g_assert_error (error, LW_FILE_ERROR, LW_FILE_ERROR_TOO_LARGE);
  g_assert_cmpstr (error->message, ==, "many:2: plans: has 1001 elements; at most 1000 are read");
}

/* ---- jobs made in memory ---- */

static LwJob *
fixture_job (void)
{
  g_autoptr (GError) error = NULL;
  LwJob *job = lw_job_from_data ("fixture", fixture, strlen (fixture), &error);

  g_assert_no_error (error);
  return job;
}

static void
expect (const LwJob *job, gboolean fatal, const char *path)
{
  g_autoptr (GPtrArray) found = lw_job_check (job);

  for (guint i = 0; i < found->len; i++)
    {
      const LwFault *fault = g_ptr_array_index (found, i);

      if (fault->fatal == fatal && strcmp (fault->path, path) == 0)
        return;
      g_test_message ("%d %s: %s", fault->fatal, fault->path, fault->text);
    }
  g_error ("no %s fault at %s", fatal ? "fatal" : "lesser", path);
}

static void
test_fixture_is_fine (void)
{
  g_autoptr (LwJob) job = fixture_job ();
  g_autoptr (GPtrArray) found = lw_job_check (job);

  for (guint i = 0; i < found->len; i++)
    g_assert_false (((LwFault *) g_ptr_array_index (found, i))->fatal);
}

static void
test_memory (void)
{
  g_autoptr (LwJob) job = fixture_job ();

  lw_job_edit_part (job, 0)->height_mm = -1;
  expect (job, TRUE, "parts[0].height_mm");
  lw_job_edit_part (job, 0)->height_mm = NAN;
  lw_job_edit_part (job, 0)->x_mm = NAN;
  expect (job, TRUE, "parts[0].x_mm");
  lw_job_edit_part (job, 0)->x_mm = 98; /* half of it beyond the edge */
  expect (job, FALSE, "parts[0]");
  lw_job_edit_part (job, 0)->x_mm = 300;
  lw_job_edit_board (job)->outline_assumed = TRUE;
  expect (job, FALSE, "parts[0]");
  lw_job_edit_board (job)->outline_assumed = FALSE;
  expect (job, TRUE, "parts[0]");
  lw_job_edit_part (job, 0)->placed = FALSE;
  expect (job, FALSE, "plans[0].ref"); /* the target is not on the board */
}

static void
test_lesser (void)
{
  g_autoptr (LwJob) job = fixture_job ();
  LwPlan *plan = lw_job_edit_plan (job, 0);

  expect (job, FALSE, "plans[1].nozzle");
  LwPackage *package = lw_job_edit_package (job, 1); /* part libraries hold such outlines */
  package->outline = lw_loop_new ();
  lw_loop_add (package->outline, 0, 0, 0);
  lw_loop_add (package->outline, 1, 1, 0);
  lw_loop_add (package->outline, 1, 0, 0);
  lw_loop_add (package->outline, 0, 1, 0);
  expect (job, FALSE, "packages[1].outline");
  g_free (plan->nozzle);
  plan->nozzle = g_strdup ("gone");
  expect (job, FALSE, "plans[0].nozzle");
  g_free (plan->ref);
  plan->ref = g_strdup ("U99");
  expect (job, FALSE, "plans[0].ref");
  plan->preheat_length_mm = 900;
  expect (job, FALSE, "plans[0].preheat_area");
  lw_job_edit_board (job)->thickness_mm = 2.4;
  expect (job, FALSE, "board.stack_up");
  LwPart *part = lw_job_edit_part (job, 1);
  g_free (part->package);
  part->package = g_strdup ("no such package");
  expect (job, FALSE, "parts[1].package");
}

/* With a nozzle film prescribed the flow decides nothing; a table is what was delivered. */
static void
test_prescribed (void)
{
  g_autoptr (LwJob) job = fixture_job ();
  LwPlan *plan = lw_job_edit_plan (job, 0);
  LwStage *stage = lw_stage_copy (g_ptr_array_index (plan->stages, 1));

  stage->flow_l_per_min = 0;
  lw_stage_unref (g_ptr_array_index (plan->stages, 1));
  plan->stages->pdata[1] = stage;
  expect (job, TRUE, "plans[0].stages[1].flow_l_per_min");
  lw_job_edit_station (job)->films.given = TRUE;
  g_autoptr (GPtrArray) found = lw_job_check (job);
  for (guint i = 0; i < found->len; i++)
    g_assert_false (((LwFault *) g_ptr_array_index (found, i))->fatal);
  LwKnot *knot = &g_array_index (lw_job_edit_plan (job, 1)->table, LwKnot, 1);
  knot->gas_c = 900; /* beyond the station's 450 */
  g_autoptr (GPtrArray) again = lw_job_check (job);
  for (guint i = 0; i < again->len; i++)
    g_assert_false (((LwFault *) g_ptr_array_index (again, i))->fatal);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  for (guint i = 0; i < G_N_ELEMENTS (faults); i++)
    {
      g_autofree char *path = g_strdup_printf ("/board/faults/each/%02u", i);
      g_test_add_data_func (path, &faults[i], test_each);
    }
  g_test_add_func ("/board/faults/bytes", test_bytes);
  g_test_add_func ("/board/faults/large", test_large);
  g_test_add_func ("/board/faults/many", test_many);
  g_test_add_func ("/board/faults/fixture-is-fine", test_fixture_is_fine);
  g_test_add_func ("/board/faults/memory", test_memory);
  g_test_add_func ("/board/faults/lesser", test_lesser);
  g_test_add_func ("/board/faults/prescribed", test_prescribed);
  return g_test_run ();
}
