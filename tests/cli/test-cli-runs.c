/* leeward-cli compare and history as an operator uses them: a logger's table laid over a plan, kept, looked at
 * again. The log's curve is made of straight lines, whose figures anyone can draw on paper. */
#include "cli-run.h"

typedef struct {
  char *folder, *job, *log, *kept;
} Bench;

/* One part on a bare board, a thermocouple on its joints and one beside it. */
static const char job_text[]
    = ONE_PART_JOB ("{\"name\": \"Soak\", \"duration_s\": 150, \"preheat_c\": 200}, {\"name\": \"Melt\", \"duration_s\": 80, \"gas_c\": 330,"
                    "\"flow_l_per_min\": 30, \"preheat_c\": 200}, {\"name\": \"Cool\", \"duration_s\": 40}",
                    "{\"name\": \"corner ball\", \"ref\": \"U1\", \"x_mm\": 25, \"y_mm\": 15, \"side\": \"bottom\"},"
                    "{\"name\": \"beside the site\", \"x_mm\": 45, \"y_mm\": 20}");

/* 25 C for 10 s, then up by 1 C/s to 230 C at 215 s, 5 s there, down by 2 C/s; a line a second, decimal commas. */
static char *
log_text (const char *heading)
{
  GString *text = g_string_new (heading);

  for (int t = 0; t <= 300; t++) {
    double c = t < 10 ? 25 : t < 215 ? 25 + (t - 10) : t < 220 ? 230 : 230 - 2.0 * (t - 220);
    g_autofree char *line = g_strdup_printf ("%d;%.1f;%.1f\n", t, c, 0.8 * c);

    g_string_append (text, g_strdelimit (line, ".", ','));
  }
  return g_string_free (text, FALSE);
}

static void
set_up (Bench *bench, gconstpointer data)
{
  g_autofree char *text = log_text ("Time (s);corner ball (°C);beside the site (°C)\n");

  bench->folder = make_folder ();
  bench->job = write_file (bench->folder, "job.leeward", job_text, -1);
  bench->log = write_file (bench->folder, "Monday.csv", text, -1);
  bench->kept = g_build_filename (bench->folder, "kept.leeward", NULL);
}

static void
tear_down (Bench *bench, gconstpointer data)
{
  remove_folder (bench->folder);
  g_free (bench->folder);
  g_free (bench->job);
  g_free (bench->log);
  g_free (bench->kept);
}

static JsonObject *
element (JsonObject *object, const char *array, guint index)
{
  JsonArray *elements = json_object_get_array_member (object, array);

  g_assert_cmpuint (index, <, json_array_get_length (elements));
  return json_array_get_object_element (elements, index);
}

static double
figure (JsonObject *column, const char *of, const char *name)
{
  return json_object_get_double_member (json_object_get_object_member (column, of), name);
}

/* Above a level L for (230 - L) s on the way up, 5 s at the top, half of the first on the way down. */
static void
test_compare (Bench *bench, gconstpointer data)
{
  static const char *const members[] = { "column", "thermocouple", "plan", "run", "moments", "difference_mean_k", "difference_rms_k",
                                         "difference_most_k", "difference_most_s", NULL };
  g_auto (Run) run = RUN ("compare", bench->job, bench->log, "--json");
  g_autoptr (JsonNode) root = NULL;

  assert_status (&run, 0);
  root = run_json (&run);
  JsonObject *object = json_node_get_object (root), *ball = element (object, "columns", 0);
  double liquidus = json_object_get_double_member (object, "liquidus_c");

  assert_members (ball, members);
  g_assert_cmpstr (json_object_get_string_member (ball, "thermocouple"), ==, "corner ball");
  g_assert_cmpstr (json_object_get_string_member (element (object, "columns", 1), "thermocouple"), ==, "beside the site");
  g_assert_cmpstr (json_object_get_string_member (object, "aligned_by"), ==, "ramp");
  g_assert_cmpfloat_with_epsilon (figure (ball, "run", "peak_c"), 230, 1e-9);
  g_assert_cmpfloat_with_epsilon (figure (ball, "run", "ramp_up_c_per_s"), 1, 1e-3);
  g_assert_cmpfloat_with_epsilon (figure (ball, "run", "ramp_down_c_per_s"), 2, 1e-3);
  g_assert_cmpfloat_with_epsilon (figure (ball, "run", "soak_s"), 50, 0.01);
  g_assert_cmpfloat_with_epsilon (figure (ball, "run", "above_liquidus_s"), (230 - liquidus) * 1.5 + 5, 0.01);
  /* what the plan predicts there itself */
  g_assert_cmpfloat (figure (ball, "plan", "peak_c"), >, 120);
  g_assert_cmpfloat (figure (ball, "plan", "peak_c"), <, 300);
}

static void
test_kept (Bench *bench, gconstpointer data)
{
  g_auto (Run) keep = RUN ("compare", bench->job, bench->log, "-o", bench->kept, "--shift", "-12.5");
  g_auto (Run) again = RUN ("compare", bench->kept, "--run", "Monday", "--json");
  g_auto (Run) list = RUN ("history", bench->kept, "--json");
  g_auto (Run) same = RUN ("history", bench->kept, "--changes", "1");
  g_auto (Run) none = RUN ("history", bench->kept, "--changes", "7");
  g_autofree char *restored = g_build_filename (bench->folder, "again.leeward", NULL);
  g_auto (Run) restore = RUN ("history", bench->kept, "--restore", "1", "-o", restored);
  g_autoptr (JsonNode) a = NULL, b = NULL;

  assert_status (&keep, 0);
  assert_status (&again, 0);
  a = run_json (&again);
  g_assert_cmpfloat (json_object_get_double_member (json_node_get_object (a), "shift_s"), ==, -12.5);
  g_assert_cmpstr (json_object_get_string_member (json_node_get_object (a), "aligned_by"), ==, "hand");
  b = run_json (&list);
  g_assert_cmpstr (json_object_get_string_member (element (json_node_get_object (b), "runs", 0), "name"), ==, "Monday");
  g_assert_cmpint (json_object_get_int_member (element (json_node_get_object (b), "revisions", 0), "number"), ==, 1);
  assert_has (same.out, "Nothing has changed");
  assert_refused (&none, "keeps no revision 7");
  assert_status (&restore, 0);
  g_assert_true (g_file_test (restored, G_FILE_TEST_EXISTS));
}

static void
test_map (Bench *bench, gconstpointer data)
{
  g_autofree char *text = log_text ("Time (s);left;right\n"), *path = write_file (bench->folder, "own names.csv", text, -1);
  g_auto (Run) mapped = RUN ("compare", bench->job, path, "--json", "--map", "right=corner ball");
  g_auto (Run) unknown = RUN ("compare", bench->job, path, "--map", "middle=corner ball");
  g_auto (Run) nobody = RUN ("compare", bench->job, path, "--map", "left=somewhere");
  g_autoptr (JsonNode) root = NULL;

  assert_status (&mapped, 0);
  assert_has (mapped.err, "no unit is stated");
  root = run_json (&mapped);
  g_assert_true (json_object_get_null_member (element (json_node_get_object (root), "columns", 0), "thermocouple"));
  g_assert_cmpstr (json_object_get_string_member (element (json_node_get_object (root), "columns", 1), "thermocouple"), ==, "corner ball");
  assert_refused (&unknown, "no column");
  assert_refused (&nobody, "--map");
}

static void
test_refused (Bench *bench, gconstpointer data)
{
  g_autofree char *untimed = write_file (bench->folder, "untimed.csv", "T1;T2\n25;26\n31;29\n28;33\n", -1);
  g_autofree char *prose = write_file (bench->folder, "prose.csv", "Dear all,\nplease find nothing here.\n", -1);
  g_auto (Run) no_times = RUN ("compare", bench->job, untimed);
  g_auto (Run) timed = RUN ("compare", bench->job, untimed, "--interval", "0.5", "--unit", "c");
  g_auto (Run) no_log = RUN ("compare", bench->job, prose);
  g_auto (Run) absent = RUN ("compare", bench->job, "/nowhere/at all.csv");
  g_auto (Run) one = RUN ("compare", bench->job);
  g_auto (Run) no_run = RUN ("compare", bench->job, "--run", "Tuesday");
  g_auto (Run) unit = RUN ("compare", bench->job, bench->log, "--unit", "r");

  assert_refused (&no_times, "untimed.csv:1: there is no column of times");
  assert_status (&timed, 0);
  assert_refused (&no_log, "no line of it holds readings");
  assert_refused (&absent, "at all.csv");
  assert_refused (&one, "expects JOB LOG");
  assert_refused (&no_run, "keeps no run");
  assert_refused (&unit, "--unit");
}

/* A fit that cannot be made says why, and writes nothing. */
static void
test_fit_refused (Bench *bench, gconstpointer data)
{
  g_autofree char *out = g_build_filename (bench->folder, "fitted.leeward", NULL);
  g_autofree char *few = write_file (bench->folder, "few.csv", "Time (s);corner ball (°C)\n0;25\n1;25\n2;26\n", -1);
  g_autofree char *words = write_file (bench->folder, "words.csv", "nothing here\nis a number\n", -1);
  const struct {
    const char *log, *part;
  } cases[] = { { NULL, "no recorded run" }, { few, "no thermocouple has readings" }, { words, "words.csv" } };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++) {
    g_auto (Run) run = RUN ("fit", bench->job, "-o", out, cases[i].log);
    g_assert_cmpint (run.status, ==, 2);
    g_assert_nonnull (strstr (run.err, cases[i].part));
    g_assert_false (g_file_test (out, G_FILE_TEST_EXISTS));
  }
  g_auto (Run) nowhere = RUN ("fit", bench->job, bench->log);
  g_assert_cmpint (nowhere.status, ==, 2);
  g_assert_nonnull (strstr (nowhere.err, "-o OUT"));
  g_auto (Run) unnamed = RUN ("fit", bench->job, "-o", out, "--run=Tuesday");
  g_assert_cmpint (unnamed.status, ==, 2);
  g_assert_nonnull (strstr (unnamed.err, "no recorded run"));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add ("/cli/runs/compare", Bench, NULL, set_up, test_compare, tear_down);
  g_test_add ("/cli/runs/kept", Bench, NULL, set_up, test_kept, tear_down);
  g_test_add ("/cli/runs/map", Bench, NULL, set_up, test_map, tear_down);
  g_test_add ("/cli/runs/refused", Bench, NULL, set_up, test_refused, tear_down);
  g_test_add ("/cli/runs/fit-refused", Bench, NULL, set_up, test_fit_refused, tear_down);
  return g_test_run ();
}
