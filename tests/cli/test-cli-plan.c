/* leeward-cli: predict, judge and picture on a small board with a coarse mesh. */
#include <math.h>

#include "board/edits.h"
#include "board/job-file.h"
#include "cli-run.h"
#include "exchange/import.h"

/* Each test case works on its own converted job with a plan for U1. */
typedef struct {
  char *folder, *board;
} Bench;

static void
set_up (Bench *bench, gconstpointer data)
{
  bench->folder = make_folder ();
  bench->board = write_small_board (bench->folder);
}

static void
tear_down (Bench *bench, gconstpointer data)
{
  remove_folder (bench->folder);
  g_free (bench->folder);
  g_free (bench->board);
}

static void
test_no_plan (Bench *bench, gconstpointer data)
{
  static const char *const verbs[] = { "predict", "judge" };

  for (guint i = 0; i < G_N_ELEMENTS (verbs); i++)
    {
      g_auto (Run) none = RUN (verbs[i], bench->board);
      g_auto (Run) plan = RUN (verbs[i], bench->board, "--plan", "U1");
      g_auto (Run) part = RUN (verbs[i], bench->board, "--part", "U99");
      g_auto (Run) both = RUN (verbs[i], bench->board, "--part", "U1", "--plan", "U1");

      assert_refused (&none, "no plan");
      assert_refused (&plan, "no plan");
      assert_refused (&part, "no part");
      assert_refused (&both, "together");
    }
}

static JsonArray *
series (JsonObject *object, const char *name, guint n)
{
  JsonArray *array = json_object_get_array_member (object, name);

  g_assert_nonnull (array);
  g_assert_cmpuint (json_array_get_length (array), ==, n);
  return array;
}

static double
largest (JsonArray *array)
{
  double best = -INFINITY;

  for (guint i = 0; i < json_array_get_length (array); i++)
    best = fmax (best, json_array_get_double_element (array, i));
  return best;
}

static void
check_parts (JsonObject *root, guint n)
{
  static const char *const part[] = { "ref", "side", "joint_peak_c", "body_peak_c", "ramp_max_c_per_s",
                                      NULL };
  JsonArray *parts = json_object_get_array_member (root, "parts");

  g_assert_cmpuint (json_array_get_length (parts), ==, 2);
  for (guint i = 0; i < 2; i++)
    {
      JsonObject *object = json_array_get_object_element (parts, i);

      assert_members (object, part);
      /* A peak is the largest value of its own curve. */
      g_assert_cmpfloat_with_epsilon (largest (series (object, "joint_c", n)),
                                      json_object_get_double_member (object, "joint_peak_c"), 0.01);
      g_assert_cmpfloat_with_epsilon (largest (series (object, "body_c", n)),
                                      json_object_get_double_member (object, "body_peak_c"), 0.01);
    }
}

static void
test_predict_contract (Bench *bench, gconstpointer data)
{
  g_auto (Run) run = RUN ("predict", bench->board, "--part", "U1", "--cell", "2", "--json");
  g_autoptr (JsonNode) node = run_json (&run);
  JsonObject *root = json_node_get_object (node), *target;
  JsonArray *time = json_object_get_array_member (root, "time_s"), *low, *mean, *high;
  guint n = json_array_get_length (time);

  assert_status (&run, 0);
  g_assert_cmpuint (n, >, 10);
  target = json_object_get_object_member (root, "target");
  g_assert_cmpstr (json_object_get_string_member (target, "ref"), ==, "U1");
  low = series (target, "joint_min_c", n);
  mean = series (target, "joint_mean_c", n);
  high = series (target, "joint_max_c", n);
  series (target, "body_c", n);
  for (guint i = 0; i < n; i++)
    {
      if (i > 0)
        g_assert_cmpfloat (json_array_get_double_element (time, i), >,
                           json_array_get_double_element (time, i - 1));
      g_assert_cmpfloat (json_array_get_double_element (low, i), <=,
                         json_array_get_double_element (mean, i) + 1e-3);
      g_assert_cmpfloat (json_array_get_double_element (mean, i), <=,
                         json_array_get_double_element (high, i) + 1e-3);
    }
  g_assert_cmpfloat (largest (high), >, 100);
  check_parts (root, n);
  g_assert_cmpfloat (
    json_object_get_double_member (json_object_get_object_member (root, "board"), "peak_c"), >, 100);
}

static JsonObject *
solution_of (JsonNode *root)
{
  return json_object_get_object_member (json_node_get_object (root), "solution");
}

/* The reduced model answers, --full has the full solution do it, --uniform on a mesh of 1 mm: 40 x 30 cells on three
 * layers or more. Each says which it was, and the first two agree as they must everywhere, within 0.5 K. */
static void
test_predict_full (Bench *bench, gconstpointer data)
{
  g_auto (Run) reduced = RUN ("predict", bench->board, "--part", "U1", "--json");
  g_auto (Run) full = RUN ("predict", bench->board, "--part", "U1", "--full", "--json");
  g_auto (Run) uniform = RUN ("predict", bench->board, "--part", "U1", "--uniform", "--step", "1", "--json");
  g_auto (Run) text = RUN ("predict", bench->board, "--part", "U1");
  g_autoptr (JsonNode) a = run_json (&reduced), b = run_json (&full), c = run_json (&uniform);
  JsonObject *board_a = json_object_get_object_member (json_node_get_object (a), "board");
  JsonObject *board_b = json_object_get_object_member (json_node_get_object (b), "board");

  assert_status (&uniform, 0);
  g_assert_false (json_object_get_boolean_member (solution_of (a), "full"));
  g_assert_true (json_object_get_boolean_member (solution_of (b), "full"));
  g_assert_true (json_object_get_boolean_member (solution_of (c), "full"));
  g_assert_nonnull (strstr (text.out, "reduced model"));
  g_assert_cmpfloat (fabs (json_object_get_double_member (board_a, "peak_c") - json_object_get_double_member (board_b, "peak_c")),
                     <, 0.5);
  g_assert_cmpint (json_object_get_int_member (solution_of (c), "nodes"), >=, 3 * 40 * 30);
  g_assert_cmpint (json_object_get_int_member (solution_of (c), "nodes"), !=,
                   json_object_get_int_member (solution_of (b), "nodes"));
}

static void
test_predict_table (Bench *bench, gconstpointer data)
{
  g_autofree char *csv = g_build_filename (bench->folder, "out ö.csv", NULL), *text = NULL;
  g_autofree char *nowhere = g_build_filename (bench->folder, "no", "out.csv", NULL);
  g_auto (Run) run = RUN ("predict", bench->board, "--part", "U1", "--cell", "3", "--csv", csv);
  g_auto (Run) refused = RUN ("predict", bench->board, "--part", "U1", "--cell", "3", "--csv", nowhere);
  g_auto (GStrv) lines = NULL;

  assert_status (&run, 0);
  assert_has (run.out, "U1");
  assert_refused (&refused, "out.csv");
  g_assert_true (g_file_get_contents (csv, &text, NULL, NULL));
  lines = g_strsplit (text, "\n", -1);
  g_assert_true (g_str_has_prefix (lines[0], "time_s,gas_set_c,gas_c,"));
  assert_has (lines[0], "U1 joint_min_c");
  assert_has (lines[0], "C1 body_c");
  for (guint i = 0; lines[i + 1] != NULL; i++)
    {
      g_auto (GStrv) names = g_strsplit (lines[0], ",", -1), fields = g_strsplit (lines[i], ",", -1);

      g_assert_cmpuint (g_strv_length (fields), ==, g_strv_length (names));
    }
}

/* A chance comes with its band, within which the figure lies, and with what it depends on: shares of one. */
static void
check_chance (JsonObject *finding, guint *n_sure)
{
  JsonArray *depends = json_object_get_array_member (finding, "depends");
  double sum = 0, value;

  if (json_object_get_null_member (finding, "chance"))
    return;
  (*n_sure)++;
  value = json_object_get_double_member (finding, "value");
  g_assert_cmpfloat (json_object_get_double_member (finding, "chance"), >=, 0);
  g_assert_cmpfloat (json_object_get_double_member (finding, "chance"), <=, 1);
  g_assert_cmpfloat (json_object_get_double_member (finding, "low"), <=, value);
  g_assert_cmpfloat (json_object_get_double_member (finding, "high"), >=, value);
  for (guint i = 0; i < json_array_get_length (depends); i++)
    sum += json_object_get_double_member (json_array_get_object_element (depends, i), "share");
  g_assert_true (json_array_get_length (depends) == 0 || fabs (sum - 1) < 0.02);
}

/* What stops a job is never less likely than what is to be watched. */
static void
test_judge_thresholds (Bench *bench, gconstpointer data)
{
  g_auto (Run) turned = RUN ("judge", bench->board, "--part", "U1", "--watch-at", "60", "--stop-at", "50");
  g_auto (Run) nought = RUN ("judge", bench->board, "--part", "U1", "--watch-at", "0");

  assert_refused (&turned, "--watch-at");
  assert_refused (&nought, "--watch-at");
}

static void
test_judge (Bench *bench, gconstpointer data)
{
  static const char *const members[] = { "grade", "kind",   "ref",  "value?", "limit?", "unit",
                                         "headroom?", "doubt?", "low?", "high?", "chance?", "depends", "source",
                                         "text", NULL };
  g_auto (Run) run = RUN ("judge", bench->board, "--part", "U1", "--cell", "2", "--json");
  g_auto (Run) text = RUN ("judge", bench->board, "--part", "U1", "--cell", "2", "--all");
  g_autoptr (JsonNode) root = run_json (&run);
  JsonArray *findings = json_object_get_array_member (json_node_get_object (root), "findings");
  guint n_stop = 0, n_sure = 0;

  g_assert_cmpuint (json_array_get_length (findings), >, 0);
  for (guint i = 0; i < json_array_get_length (findings); i++)
    {
      JsonObject *finding = json_array_get_object_element (findings, i);

      assert_members (finding, members);
      n_stop += g_str_equal (json_object_get_string_member (finding, "grade"), "stop");
      check_chance (finding, &n_sure);
    }
  g_assert_cmpuint (n_sure, >, 3); /* peaks and ramps of the small board's parts */
  assert_status (&run, n_stop > 0 ? 1 : 0);
  assert_status (&text, run.status);
}

/* The small board with a plan for U1 whose gas never gets hot: its joints cannot melt. */
static char *
write_cold_job (const char *folder)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwImport) import = lw_import_idf ("b.emn", SMALL_BOARD, strlen (SMALL_BOARD), "b.emp",
                                               SMALL_LIBRARY, strlen (SMALL_LIBRARY), &error);
  g_autoptr (LwJob) job = lw_edit_choose_target (import->job, "U1", &error);
  g_autoptr (GFile) file = NULL;
  char *path = g_build_filename (folder, "cold.leeward", NULL);

  g_assert_no_error (error);
  for (guint i = 0; i < ((LwPlan *) job->plans->pdata[0])->stages->len; i++)
    {
      g_autofree char *gas = g_strdup_printf ("plans[0].stages[%u].gas_c", i);
      g_autofree char *preheat = g_strdup_printf ("plans[0].stages[%u].preheat_c", i);
      LwJob *off = lw_edit_number (job, gas, NAN, &error);

      g_assert_no_error (error);
      lw_job_unref (job);
      job = lw_edit_number (off, preheat, NAN, &error);
      g_assert_no_error (error);
      lw_job_unref (off);
    }
  file = g_file_new_for_path (path);
  g_assert_true (lw_job_save (job, file, NULL, &error));
  return path;
}

static void
test_judge_stop (Bench *bench, gconstpointer data)
{
  g_autofree char *job = write_cold_job (bench->folder);
  g_auto (Run) run = RUN ("judge", job, "--cell", "3");
  g_auto (Run) named = RUN ("judge", job, "--plan", "U1", "--cell", "3", "--json");
  g_auto (Run) predict = RUN ("predict", job, "--cell", "3");

  assert_status (&run, 1);
  assert_has (run.out, "STOP");
  assert_status (&named, 1);
  assert_status (&predict, 0);
}

static void
assert_file_starts (const char *path, const char *start, gsize length)
{
  g_autofree char *data = NULL;
  gsize size;

  g_assert_true (g_file_get_contents (path, &data, &size, NULL));
  g_assert_cmpuint (size, >, 1000);
  g_assert_cmpmem (data, length, start, length);
}

static void
test_pictures (Bench *bench, gconstpointer data)
{
  g_autofree char *png = g_build_filename (bench->folder, "karte ß.png", NULL);
  g_autofree char *svg = g_build_filename (bench->folder, "karte.svg", NULL);
  g_autofree char *profile = g_build_filename (bench->folder, "profil.png", NULL);
  g_auto (Run) plain = RUN ("picture", bench->board, "-o", png);
  g_auto (Run) bottom = RUN ("picture", bench->board, "-o", svg, "--side", "bottom", "--part", "U1",
                             "--cell", "3", "--at", "100", "--dark");
  g_auto (Run) curve = RUN ("picture", bench->board, "-o", profile, "--profile", "--part", "U1",
                            "--cell", "3", "--width", "800", "--height", "400");
  g_auto (Run) none = RUN ("picture", bench->board, "-o", profile, "--profile");
  g_auto (Run) nowhere = RUN ("picture", bench->board, "-o", "/no/such/place/x.png");

  assert_status (&plain, 0);
  assert_status (&bottom, 0);
  assert_status (&curve, 0);
  assert_file_starts (png, "\x89PNG", 4);
  assert_file_starts (svg, "<?xml", 5);
  assert_file_starts (profile, "\x89PNG", 4);
  assert_refused (&none, "no plan");
  assert_refused (&nowhere, "/no/such/place/x.png");
}

/* A table that names no packages gets an answer all the same, and each stand-in is told. */
static void
test_bare_table (void)
{
  g_autofree char *table = g_build_filename (DATA_DIR, "centroid_variants", "a_mid_xy_suffix_mm.csv", NULL);
  g_auto (Run) run = RUN ("judge", table, "--part", "C1", "--cell", "4");

  g_assert_cmpint (run.status, !=, 2); /* not refused: what it is judged is another matter */
  assert_has (run.err, "the package “R0603 (assumed)” of 4 parts is not known");
  assert_has (run.err, "IEEE 315");
  assert_has (run.out, "packages of 11 parts are not known");
}

/* ---- readiness and operations ---- */

static JsonObject *
finding_of (JsonObject *root, const char *kind, const char *ref)
{
  JsonArray *findings = json_object_get_array_member (root, "findings");

  for (guint i = 0; i < json_array_get_length (findings); i++)
    {
      JsonObject *finding = json_array_get_object_element (findings, i);

      if (strcmp (json_object_get_string_member (finding, "kind"), kind) == 0
          && strcmp (json_object_get_string_member (finding, "ref"), ref) == 0)
        return finding;
    }
  return NULL;
}

/* The board's own part as a level 3 part that lay open for a year and is to be looked into: baked before it comes off
 * (J-STD-033, rework), which stops the job and ends with 1. */
static void
test_readiness (Bench *bench, gconstpointer data)
{
  static const char *const members[] = { "grade", "kind", "ref", "value", "limit", "unit", "headroom", "doubt", "source", "text", NULL };
  g_autofree char *path = g_strdup_printf ("%s/ready.leeward", bench->folder), *text = NULL;
  g_auto (Run) convert = RUN ("convert", bench->board, path);
  g_autoptr (GError) error = NULL;

  assert_status (&convert, 0);
  g_assert_true (g_file_get_contents (path, &text, NULL, &error));
  g_auto (GStrv) halves = g_strsplit (text, "\"ref\": \"U1\",", 2);
  g_assert_cmpuint (g_strv_length (halves), ==, 2);
  g_autofree char *told = g_strconcat (halves[0], "\"ref\": \"U1\", \"kept_after\": true, \"past\": {\"level\": \"3\", ",
                                       "\"exposure_h\": 8760},", halves[1], NULL);
  g_assert_true (g_file_set_contents (path, told, -1, &error));
  g_auto (Run) run = RUN ("judge", path, "--part", "U1", "--cell", "2", "--json");
  g_autoptr (JsonNode) node = run_json (&run);
  JsonObject *root = json_node_get_object (node), *bake = finding_of (root, "readiness-bake", "U1");
  assert_status (&run, 1);
  g_assert_cmpstr (json_object_get_string_member (root, "grade"), ==, "stop");
  g_assert_nonnull (bake);
  assert_members (bake, members);
  g_assert_cmpstr (json_object_get_string_member (bake, "grade"), ==, "stop");
  g_assert_cmpfloat (json_object_get_double_member (bake, "limit"), ==, 200);
  g_assert_cmpfloat_with_epsilon (json_object_get_double_member (bake, "headroom"),
                                  200 - json_object_get_double_member (bake, "value"), 1e-3);
  g_assert_cmpstr (json_object_get_string_member (bake, "unit"), ==, "°C");
  g_assert_nonnull (strstr (json_object_get_string_member (bake, "source"), "J-STD-033"));
  g_unlink (path);
}

/* A part's operations by name; what brings no heat is judged and not predicted. */
static void
test_operation (Bench *bench, gconstpointer data)
{
  g_auto (Run) print = RUN ("judge", bench->board, "--part", "U1", "--operation", "print", "--json");
  g_auto (Run) predicted = RUN ("predict", bench->board, "--part", "U1", "--operation", "print");
  g_auto (Run) reflow = RUN ("judge", bench->board, "--part", "U1", "--operation", "reflow", "--cell", "2", "--json");
  g_auto (Run) none = RUN ("judge", bench->board, "--plan", "U1", "--operation", "clean");
  g_auto (Run) word = RUN ("judge", bench->board, "--part", "U1", "--operation", "weld");
  g_autoptr (JsonNode) a = run_json (&print), b = run_json (&reflow);
  JsonArray *findings = json_object_get_array_member (json_node_get_object (a), "findings");

  assert_status (&print, 0);
  g_assert_cmpstr (json_object_get_string_member (json_node_get_object (a), "operation"), ==, "print");
  for (guint i = 0; i < json_array_get_length (findings); i++)
    g_assert_true (g_str_has_prefix (json_object_get_string_member (json_array_get_object_element (findings, i), "kind"), "readiness-"));
  assert_refused (&predicted, "brings no heat");
  g_assert_cmpint (reflow.status, <=, 1);
  g_assert_nonnull (finding_of (json_node_get_object (b), "attach-to-peak", "U1"));
  assert_refused (&none, "no plan to clean");
  assert_refused (&word, "--operation");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
#define ADD(path, test) g_test_add (path, Bench, NULL, set_up, test, tear_down)
  ADD ("/cli/no-plan", test_no_plan);
  ADD ("/cli/predict/contract", test_predict_contract);
  ADD ("/cli/predict/full", test_predict_full);
  ADD ("/cli/predict/table", test_predict_table);
  ADD ("/cli/judge/contract", test_judge);
  ADD ("/cli/judge/stop", test_judge_stop);
  ADD ("/cli/judge/thresholds", test_judge_thresholds);
  ADD ("/cli/judge/readiness", test_readiness);
  ADD ("/cli/operation", test_operation);
  ADD ("/cli/picture", test_pictures);
  g_test_add_func ("/cli/bare-table", test_bare_table);
  return g_test_run ();
}
