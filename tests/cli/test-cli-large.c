/* The board of 10,000 parts through the program: read, written as two other formats and read again, painted; and
 * computed and judged, here, since the program adds a doubt that takes most of a minute. Each within a gigabyte. */
#include <sys/resource.h>

#include "../plan/large-board.h"
#include "board/job-file.h"
#include "cli-run.h"
#include "plan/findings.h"
#include "plan/quick.h"

#define MOST_KB (1000 * 1000)

/* Coarse, so that the test is quick; all parts are there. */
#define CELL_MM 4.0
#define COARSE_MM 12.0

typedef struct {
  char *folder, *job;
} Fixture;

static char *
in_folder (const Fixture *f, const char *name)
{
  return g_build_filename (f->folder, name, NULL);
}

static void
set_up (Fixture *f, gconstpointer data)
{
  g_autoptr (LwJob) job = large_job ();
  g_autoptr (GError) error = NULL;

  f->folder = g_dir_make_tmp ("leeward-large-XXXXXX", &error);
  g_assert_no_error (error);
  f->job = in_folder (f, "large.leeward");
  g_autoptr (GFile) file = g_file_new_for_path (f->job);
  g_assert_true (lw_job_save (job, file, NULL, &error));
  g_assert_no_error (error);
}

static void
tear_down (Fixture *f, gconstpointer data)
{
  g_autoptr (GDir) dir = g_dir_open (f->folder, 0, NULL);

  for (const char *name = g_dir_read_name (dir); name != NULL; name = g_dir_read_name (dir)) {
    g_autofree char *path = in_folder (f, name);
    g_unlink (path);
  }
  g_rmdir (f->folder);
  g_free (f->folder);
  g_free (f->job);
}

static void
assert_memory (int who)
{
  struct rusage usage;

  g_assert_cmpint (getrusage (who, &usage), ==, 0);
  g_test_message ("at most %.0f MB", (double) usage.ru_maxrss / 1e3);
  g_assert_cmpint (usage.ru_maxrss, <, MOST_KB);
}

static guint
parts_in (const char *path)
{
  g_auto (Run) run = RUN ("inspect", path, "--json");

  assert_status (&run, 0);
  g_autoptr (JsonNode) root = run_json (&run);
  return json_array_get_length (json_object_get_array_member (json_node_get_object (root), "parts"));
}

static void
test_formats (Fixture *f, gconstpointer data)
{
  static const char *const names[] = { "large.emn", "large.csv" };

  g_assert_cmpuint (parts_in (f->job), ==, LARGE_PARTS);
  for (guint i = 0; i < G_N_ELEMENTS (names); i++) {
    g_autofree char *path = in_folder (f, names[i]);
    g_auto (Run) run = RUN ("convert", f->job, path);
    assert_status (&run, 0);
    g_assert_cmpuint (parts_in (path), ==, LARGE_PARTS);
  }
  assert_memory (RUSAGE_CHILDREN);
}

static void
test_picture (Fixture *f, gconstpointer data)
{
  g_autofree char *path = in_folder (f, "large.png");
  g_auto (Run) run = RUN ("picture", f->job, "--plain", "-o", path);
  g_autofree char *bytes = NULL;
  gsize n = 0;

  assert_status (&run, 0);
  g_assert_true (g_file_get_contents (path, &bytes, &n, NULL));
  g_assert_cmpuint (n, >, 10000);
  g_assert_cmpint (memcmp (bytes, "\x89PNG", 4), ==, 0);
  assert_memory (RUSAGE_CHILDREN);
}

/* Every part has an answer: warmer than the room, cooler than the gas. */
static void
test_judgement (Fixture *f, gconstpointer data)
{
  g_autoptr (LwJob) job = large_job ();
  g_autoptr (GError) error = NULL;
  LwQuickOptions how = { .cell_mm = CELL_MM, .coarse_mm = COARSE_MM };
  g_autoptr (LwQuick) quick = lw_quick_new (job, 0, &how, NULL, NULL, NULL, &error);
  g_assert_no_error (error);
  g_autoptr (LwQuickRun) run = lw_quick_run_new (quick);
  g_autoptr (LwPrediction) answer = lw_quick_answer (quick, run, job, 0, &error);
  g_assert_no_error (error);
  g_autoptr (GPtrArray) findings = lw_judge (job, 0, answer);

  g_assert_cmpuint (answer->parts->len, ==, LARGE_PARTS);
  for (guint i = 0; i < answer->parts->len; i++) {
    const LwPartTrace *trace = g_ptr_array_index (answer->parts, i);
    g_assert_cmpfloat (trace->body_peak_c, >, job->ambient_c - 0.1);
    g_assert_cmpfloat (trace->body_peak_c, <, 450);
  }
  g_assert_cmpstr (((LwPartTrace *) g_ptr_array_index (answer->parts, answer->target))->ref, ==, LARGE_TARGET);
  g_assert_cmpuint (findings->len, >, 0);
  assert_memory (RUSAGE_SELF);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add ("/cli/large/formats", Fixture, NULL, set_up, test_formats, tear_down);
  g_test_add ("/cli/large/picture", Fixture, NULL, set_up, test_picture, tear_down);
  g_test_add ("/cli/large/judgement", Fixture, NULL, set_up, test_judgement, tear_down);
  return g_test_run ();
}
