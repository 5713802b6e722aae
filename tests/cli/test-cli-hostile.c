/* leeward-cli handled roughly: files that are none, places that cannot be written, streams that are closed, numbers that
 * are none. Each time it says why, with status 2, and leaves nothing half done. */
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <sys/prctl.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "cli-run.h"

#define CAP_DAC_OVERRIDE 1 /* linux/capability.h: what lets root read and write everywhere */
#define CAP_DAC_READ_SEARCH 2

typedef struct {
  char *folder, *job, *log;
} Bench;

/* One part on a bare board with a plan. */
static const char job_text[]
    = ONE_PART_JOB ("{\"name\": \"Soak\", \"duration_s\": 60, \"preheat_c\": 200}",
                    "{\"name\": \"tc\", \"ref\": \"U1\", \"x_mm\": 25, \"y_mm\": 15, \"side\": \"bottom\"}");

static void
set_up (Bench *b, gconstpointer data)
{
  b->folder = make_folder ();
  b->job = write_file (b->folder, "job.leeward", job_text, -1);
  b->log = write_file (b->folder, "log.csv", "Time (s);tc (°C)\n0;25\n10;30\n20;40\n30;52\n40;60\n", -1);
}

static void
tear_down (Bench *b, gconstpointer data)
{
  g_autofree char *outer = g_path_get_dirname (b->folder);

  remove_folder (b->folder);
  g_assert_false (g_file_test (outer, G_FILE_TEST_EXISTS)); /* nothing hidden was left in it */
  g_free (b->folder);
  g_free (b->job);
  g_free (b->log);
}

/* Root reads and writes what it may not: in the child it is as bound as anybody. */
static void
bind_root (gpointer data)
{
  if (getuid () == 0 && (prctl (PR_CAPBSET_DROP, CAP_DAC_OVERRIDE, 0, 0, 0) != 0
                         || prctl (PR_CAPBSET_DROP, CAP_DAC_READ_SEARCH, 0, 0, 0) != 0))
    _exit (99);
}

/* In ARGV "JOB" and "LOG" are the bench's files, "HERE/x" is x in its folder. */
static Run
run_here (Bench *b, GSubprocessLauncher *launcher, const char *const *argv)
{
  g_autoptr (GPtrArray) all = g_ptr_array_new_with_free_func (g_free);

  for (guint i = 0; argv[i] != NULL; i++)
    g_ptr_array_add (all, strcmp (argv[i], "JOB") == 0                 ? g_strdup (b->job)
                          : strcmp (argv[i], "LOG") == 0               ? g_strdup (b->log)
                          : g_str_has_prefix (argv[i], "HERE/")        ? g_build_filename (b->folder, argv[i] + 5, NULL)
                                                                       : g_strdup (argv[i]));
  g_ptr_array_add (all, NULL);
  return run_argv (launcher, (const char *const *) all->pdata);
}

static guint
count_files (const char *folder)
{
  g_autoptr (GDir) dir = g_dir_open (folder, 0, NULL);
  guint n = 0;

  while (g_dir_read_name (dir) != NULL)
    n++;
  return n;
}

/* ---- what is read ---- */

/* Every verb, with the place of the file that is wrong, and where it would write. */
static const char *const readers[][6] = {
  { "inspect", "IT" },
  { "convert", "IT", "HERE/out.leeward" },
  { "predict", "IT" },
  { "judge", "IT" },
  { "seek", "IT", "-o", "HERE/out.leeward" },
  { "fit", "IT", "-o", "HERE/out.leeward" },
  { "fit", "JOB", "IT", "-o", "HERE/out.leeward" },
  { "picture", "IT", "-o", "HERE/out.png" },
  { "show", "IT", "-o", "HERE/out.webp" },
  { "sheet", "IT", "-o", "HERE/out.pdf" },
  { "compare", "IT", "LOG" },
  { "compare", "JOB", "IT", "-o", "HERE/out.leeward" },
  { "history", "IT" },
  { "inspect", "HERE/klein é.emn", "--library", "IT" },
};

static void
try_reader (Bench *b, const char *const *reader, const char *it, const char *says)
{
  const char *argv[8] = { NULL };
  g_autoptr (GSubprocessLauncher) launcher = g_subprocess_launcher_new (G_SUBPROCESS_FLAGS_NONE);
  guint n = count_files (b->folder);

  for (guint i = 0; reader[i] != NULL; i++)
    argv[i] = strcmp (reader[i], "IT") == 0 ? it : reader[i];
  g_subprocess_launcher_set_child_setup (launcher, bind_root, NULL, NULL);
  g_auto (Run) run = run_here (b, launcher, argv);
  g_test_message ("%s %s: %s", argv[0], it, run.err);
  assert_refused (&run, says);
  g_assert_cmpuint (count_files (b->folder), ==, n);
}

static void
test_inputs (Bench *b, gconstpointer data)
{
  static const char *const wrong[][2] = { { "HERE/missing", "missing: " }, { "HERE/empty.leeward", "empty.leeward:" },
                                          { "HERE/folder", "folder: " },   { "/dev/zero", "zero: " },
                                          { "HERE/secret", "secret: " },   { "HERE/pipe", "pipe: " } };
  g_autofree char *secret = write_file (b->folder, "secret", job_text, -1);
  g_autofree char *folder = g_build_filename (b->folder, "folder", NULL), *pipe = g_build_filename (b->folder, "pipe", NULL);

  g_free (write_file (b->folder, "empty.leeward", "", 0));
  g_free (write_small_board (b->folder));
  g_assert_cmpint (g_chmod (secret, 0), ==, 0);
  g_assert_cmpint (g_mkdir (folder, 0700), ==, 0);
  g_assert_cmpint (mkfifo (pipe, 0600), ==, 0);
  /* All verbs read their job by the same function: each meets half of what can be wrong, and each log all of it. */
  for (guint i = 0; i < G_N_ELEMENTS (readers); i++)
    for (guint k = strcmp (readers[i][1], "JOB") == 0 ? 0 : i % 2; k < G_N_ELEMENTS (wrong);
         k += strcmp (readers[i][1], "JOB") == 0 ? 1 : 2)
      try_reader (b, readers[i], wrong[k][0], wrong[k][1]);
}

/* ---- what is written ---- */

static const char *const writers[][7] = {
  { "convert", "JOB", "HERE/OUT", "--force" },
  { "convert", "JOB", "HERE/OUT.emn", "--force" },
  { "convert", "JOB", "HERE/OUT.csv", "--force" },
  { "predict", "JOB", "--csv", "HERE/OUT" },
  { "seek", "JOB", "-o", "HERE/OUT" },
  { "fit", "JOB", "LOG", "-o", "HERE/OUT" },
  { "fit", "JOB", "LOG", "-o", "HERE/new", "--sheet=HERE/OUT.pdf" },
  { "picture", "JOB", "-o", "HERE/OUT.png" },
  { "show", "JOB", "-o", "HERE/OUT.webp" },
  { "sheet", "JOB", "-o", "HERE/OUT.pdf" },
  { "sheet", "JOB", "-o", "HERE/new.pdf", "--stages", "HERE/OUT" },
  { "sheet", "JOB", "-o", "HERE/new.pdf", "--field", "HERE/OUT" },
  { "compare", "JOB", "LOG", "-o", "HERE/OUT" },
  { "history", "JOB", "--restore", "1", "-o", "HERE/OUT" },
};

/* OUT and the name's ending that WRITER wants become what MAKE makes; SAYS is why it cannot be written. */
static void
try_writer (Bench *b, const char *const *writer, const char *name, const char *says)
{
  g_autoptr (GPtrArray) argv = g_ptr_array_new_with_free_func (g_free);
  g_autoptr (GSubprocessLauncher) launcher = g_subprocess_launcher_new (G_SUBPROCESS_FLAGS_NONE);
  guint n = count_files (b->folder);

  for (guint i = 0; writer[i] != NULL; i++) {
    g_autoptr (GString) word = g_string_new (writer[i]);

    g_string_replace (word, "OUT", name, 1);
    if (g_str_has_prefix (word->str, "--sheet="))
      g_string_replace (word, "HERE", b->folder, 1);
    g_ptr_array_add (argv, g_strdup (word->str));
  }
  g_ptr_array_add (argv, NULL);
  g_subprocess_launcher_set_child_setup (launcher, bind_root, NULL, NULL);
  g_auto (Run) run = run_here (b, launcher, (const char *const *) argv->pdata);
  g_test_message ("%s %s: %s", writer[0], name, run.err);
  assert_refused (&run, says);
  assert_has (run.err, name);
  g_assert_cmpuint (count_files (b->folder), ==, n);
}

static void
link_all (Bench *b, const char *name, const char *target)
{
  static const char *const endings[] = { "", ".emn", ".csv", ".pdf", ".png", ".webp" };

  for (guint i = 0; i < G_N_ELEMENTS (endings); i++) {
    g_autofree char *full = g_strconcat (b->folder, "/", name, endings[i], NULL);

    g_assert_cmpint (symlink (target, full), ==, 0);
  }
}

/* Links to a full device, to a folder, and into folders that are not there or may not be written. */
static void
test_outputs (Bench *b, gconstpointer data)
{
  static const char *const wrong[][2] = { { "full", "not a regular file" },
                                          { "folder", "Is a directory" },
                                          { "nowhere", "No such file or directory" },
                                          { "locked", "Permission denied" },
                                          { "only", "Permission denied" } };
  g_autofree char *locked = g_build_filename (b->folder, "shut", NULL);
  g_autofree char *only = write_file (b->folder, "read-only", "mine", -1), *text = NULL;
  struct stat status;

  g_assert_cmpint (g_mkdir (locked, 0500), ==, 0);
  g_assert_cmpint (g_chmod (only, 0400), ==, 0);
  link_all (b, "full", "/dev/full");
  link_all (b, "folder", ".");
  link_all (b, "nowhere", "nothing/there");
  link_all (b, "locked", "shut/new");
  link_all (b, "only", "read-only");
  /* All verbs write by the same function: each meets the device, and one more of what can be wrong. */
  for (guint i = 0; i < G_N_ELEMENTS (writers); i++) {
    guint other = 1 + i % (G_N_ELEMENTS (wrong) - 1);

    try_writer (b, writers[i], wrong[0][0], wrong[0][1]);
    try_writer (b, writers[i], wrong[other][0], wrong[other][1]);
  }
  g_assert_cmpint (g_stat ("/dev/full", &status), ==, 0);
  g_assert_true (S_ISCHR (status.st_mode));
  g_assert_true (g_file_get_contents (only, &text, NULL, NULL));
  g_assert_cmpstr (text, ==, "mine");
}

/* Pictures in a folder: the name of a file is none. */
static void
test_no_folder (Bench *b, gconstpointer data)
{
  static const char *const argv[] = { "show", "JOB", "-o", "LOG", NULL };
  g_auto (Run) run = run_here (b, NULL, argv);

  assert_refused (&run, "log.csv: Not a directory");
}

/* ---- streams ---- */

static int
run_shell (Bench *b, const char *line, char **err)
{
  g_autofree char *command = g_strdup_printf ("cd '%s'; %s", b->folder, line);
  const char *argv[] = { "/bin/sh", "-c", command, "sh", CLI_PATH, NULL };
  g_autoptr (GError) error = NULL;
  int status;

  g_assert_true (g_spawn_sync (NULL, (char **) argv, NULL, 0, NULL, NULL, NULL, err, &status, &error));
  g_assert_no_error (error);
  g_assert_true (WIFEXITED (status));
  return WEXITSTATUS (status);
}

/* A closed stream is not handed to the next file that is opened: what is written is whole, and the loss is told. */
static void
test_closed_streams (Bench *b, gconstpointer data)
{
  static const char *const lines[] = { "\"$1\" convert job.leeward out.leeward >&-", "\"$1\" convert job.leeward out.leeward <&- >&-",
                                       "\"$1\" convert job.leeward out.leeward >/dev/full" };
  g_autofree char *out = g_build_filename (b->folder, "out.leeward", NULL), *quiet = NULL;
  g_auto (Run) plain = RUN ("convert", b->job, out);
  g_autofree char *expected = NULL;

  assert_status (&plain, 0);
  g_assert_true (g_file_get_contents (out, &expected, NULL, NULL));
  for (guint i = 0; i < G_N_ELEMENTS (lines); i++) {
    g_autofree char *err = NULL, *text = NULL;

    g_assert_cmpint (g_unlink (out), ==, 0);
    g_assert_cmpint (run_shell (b, lines[i], &err), ==, 2);
    assert_has (err, "standard output");
    g_assert_true (g_file_get_contents (out, &text, NULL, NULL));
    g_assert_cmpstr (text, ==, expected);
  }
  /* Nowhere to say it: the status alone. */
  g_assert_cmpint (run_shell (b, "\"$1\" inspect --json missing >&- 2>&-", &quiet), ==, 2);
  g_assert_cmpstr (quiet, ==, "");
}

static void
test_help_on_full_disk (Bench *b, gconstpointer data)
{
  static const char *const lines[] = { "\"$1\" --help >/dev/full", "\"$1\" --version >/dev/full", "\"$1\" seek --help >/dev/full" };

  for (guint i = 0; i < G_N_ELEMENTS (lines); i++) {
    g_autofree char *err = NULL;

    g_assert_cmpint (run_shell (b, lines[i], &err), ==, 2);
    assert_has (err, "standard output");
  }
}

/* Whoever reads our words may stop before the end; what was to be kept is kept. */
static void
test_broken_pipe (Bench *b, gconstpointer data)
{
  g_autofree char *err = NULL, *kept = g_build_filename (b->folder, "kept.leeward", NULL);

  run_shell (b, "\"$1\" compare job.leeward log.csv -o kept.leeward | :", &err);
  g_auto (Run) history = RUN ("history", kept);
  assert_status (&history, 0);
  assert_has (history.out, "U1");
  assert_has (history.out, "log");
}

/* ---- numbers ---- */

static void
test_numbers (Bench *b, gconstpointer data)
{
  static const char *const options[][5] = {
    { "predict", "JOB", "--cell" },       { "predict", "JOB", "--step" },        { "judge", "JOB", "--stop-at" },
    { "judge", "JOB", "--watch-at" },     { "seek", "JOB", "--output=x", "--seed" },   { "seek", "JOB", "--output=x", "--effort" },
    { "picture", "JOB", "--output=x.png", "--at" }, { "picture", "JOB", "--output=x.png", "--width" }, { "picture", "JOB", "--output=x.png", "--height" },
    { "show", "JOB", "--output=x.webp", "--every" }, { "show", "JOB", "--output=x.webp", "--rate" },   { "show", "JOB", "--output=x.webp", "--width" },
    { "sheet", "JOB", "--output=x.pdf", "--pages" }, { "compare", "JOB", "LOG", "--cold" },     { "compare", "JOB", "LOG", "--interval" },
    { "compare", "JOB", "LOG", "--shift" },   { "history", "JOB", "--restore" },
  };
  static const char *const numbers[] = { "nan", "-inf", "1e999", "-99999999999999999999", "1,5", "" };

  for (guint i = 0; i < G_N_ELEMENTS (options); i++)
    for (guint k = i % 2; k < G_N_ELEMENTS (numbers); k += 2) {
      const char *argv[7] = { NULL }, *option = NULL;
      g_autofree char *last = NULL;
      guint n = 0;

      for (; options[i][n] != NULL; n++)
        argv[n] = option = options[i][n];
      argv[n - 1] = last = g_strdup_printf ("%s=%s", option, numbers[k]);
      g_auto (Run) run = run_here (b, NULL, argv);
      g_test_message ("%s %s: %s", argv[0], last, run.err);
      assert_refused (&run, option);
    }
}

/* ---- command lines ---- */

/* The last of an option counts; the name before it is not touched. */
static void
test_repeated (Bench *b, gconstpointer data)
{
  static const char *const argv[] = { "picture", "JOB", "--plain", "-o", "HERE/a.png", "--plain", "-o", "HERE/b.png", "--width", "70",
                                      "--width", "80", NULL };
  g_autofree char *a = g_build_filename (b->folder, "a.png", NULL), *last = g_build_filename (b->folder, "b.png", NULL);
  g_auto (Run) run = run_here (b, NULL, argv);

  assert_status (&run, 0);
  g_assert_false (g_file_test (a, G_FILE_TEST_EXISTS));
  g_assert_true (g_file_test (last, G_FILE_TEST_IS_REGULAR));
}

/* A variable that was never set. */
static void
test_no_name (Bench *b, gconstpointer data)
{
  static const char *const lines[][6] = { { "inspect", "" },          { "convert", "JOB", "" },      { "predict", "JOB", "--csv=" },
                                          { "seek", "JOB", "-o", "" }, { "show", "JOB", "-o", "" },   { "compare", "JOB", "" },
                                          { "inspect", "JOB", "-l", "" } };

  for (guint i = 0; i < G_N_ELEMENTS (lines); i++) {
    g_auto (Run) run = run_here (b, NULL, lines[i]);

    assert_refused (&run, "has no name");
  }
}

static void
test_revisions (Bench *b, gconstpointer data)
{
  static const char *const words[] = { "", ",", ",1", "1,2,3", "1x", "-1", "99999999999999999999999", "1" };

  for (guint i = 0; i < G_N_ELEMENTS (words); i++) {
    const char *argv[] = { "history", "JOB", "--changes", words[i], NULL };
    g_auto (Run) run = run_here (b, NULL, argv);

    assert_refused (&run, i < G_N_ELEMENTS (words) - 1 ? "--changes" : "keeps no revision 1");
  }
}

#define ADD(name, function) g_test_add ("/cli/hostile/" name, Bench, NULL, set_up, function, tear_down)

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  ADD ("inputs", test_inputs);
  ADD ("outputs", test_outputs);
  ADD ("no-folder", test_no_folder);
  ADD ("closed-streams", test_closed_streams);
  ADD ("help-on-full-disk", test_help_on_full_disk);
  ADD ("broken-pipe", test_broken_pipe);
  ADD ("numbers", test_numbers);
  ADD ("repeated", test_repeated);
  ADD ("no-name", test_no_name);
  ADD ("revisions", test_revisions);
  return g_test_run ();
}
