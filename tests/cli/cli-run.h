/* Runs leeward-cli (CLI_PATH) and keeps what it said. */
#ifndef CLI_RUN_H
#define CLI_RUN_H

#include <gio/gio.h>
#include <glib/gstdio.h>
#include <json-glib/json-glib.h>
#include <string.h>

typedef struct {
  int status;
  char *out, *err;
} Run;

static inline void
run_clear (Run *run)
{
  g_free (run->out);
  g_free (run->err);
}

G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Run, run_clear)

/* The arguments after the program, NULL-terminated. LAUNCHER may be NULL. */
static inline Run
run_argv (GSubprocessLauncher *launcher, const char *const *argv)
{
  g_autoptr (GSubprocessLauncher) own = g_subprocess_launcher_new (G_SUBPROCESS_FLAGS_NONE);
  g_autoptr (GPtrArray) all = g_ptr_array_new ();
  g_autoptr (GSubprocess) process = NULL;
  g_autoptr (GError) error = NULL;
  Run run = { 0 };

  if (launcher == NULL)
    launcher = own;
  g_subprocess_launcher_set_flags (launcher, G_SUBPROCESS_FLAGS_STDOUT_PIPE | G_SUBPROCESS_FLAGS_STDERR_PIPE);
  g_ptr_array_add (all, (gpointer) CLI_PATH);
  for (guint i = 0; argv[i] != NULL; i++)
    g_ptr_array_add (all, (gpointer) argv[i]);
  g_ptr_array_add (all, NULL);
  process = g_subprocess_launcher_spawnv (launcher, (const char *const *) all->pdata, &error);
  g_assert_no_error (error);
  g_subprocess_communicate_utf8 (process, NULL, NULL, &run.out, &run.err, &error);
  g_assert_no_error (error); /* what it prints is UTF-8 */
  g_assert_true (g_subprocess_get_if_exited (process));
  run.status = g_subprocess_get_exit_status (process);
  return run;
}

#define RUN(...) run_argv (NULL, (const char *const[]) { __VA_ARGS__, NULL })

static inline JsonNode *
run_json (const Run *run)
{
  g_autoptr (GError) error = NULL;
  JsonNode *root = json_from_string (run->out, &error);

  g_assert_no_error (error);
  g_assert_true (JSON_NODE_HOLDS_OBJECT (root));
  return root;
}

static inline void
assert_status (const Run *run, int status)
{
  if (run->status != status)
    g_error ("exit status %d, not %d: %s%s", run->status, status, run->out, run->err);
}

static inline void
assert_has (const char *text, const char *part)
{
  if (strstr (text, part) == NULL)
    g_error ("\"%s\" is not in: %s", part, text);
}

/* Refused: status 2, nothing on standard output, PART on standard error. */
static inline void
assert_refused (const Run *run, const char *part)
{
  assert_status (run, 2);
  g_assert_cmpstr (run->out, ==, "");
  assert_has (run->err, part);
}

/* The members every object of a list must have; a trailing '?' allows null. */
static inline void
assert_members (JsonObject *object, const char *const *names)
{
  for (guint i = 0; names[i] != NULL; i++)
    {
      gboolean nullable = g_str_has_suffix (names[i], "?");
      g_autofree char *name = g_strndup (names[i], strlen (names[i]) - nullable);

      if (!json_object_has_member (object, name) || (!nullable && json_object_get_null_member (object, name)))
        g_error ("member %s is missing", name);
    }
}

static inline char *
make_folder (void)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *outer = g_dir_make_tmp ("leeward-cli-XXXXXX", &error);
  char *folder;

  g_assert_no_error (error);
  folder = g_build_filename (outer, "über die Maße", NULL); /* blanks and more than ASCII */
  g_assert_cmpint (g_mkdir (folder, 0700), ==, 0);
  return folder;
}

/* Removes the folder and the one make_folder() made round it. */
static inline void
remove_folder (const char *folder)
{
  g_autofree char *outer = g_path_get_dirname (folder);
  g_autoptr (GDir) dir = g_dir_open (folder, 0, NULL);
  const char *name;

  while (dir != NULL && (name = g_dir_read_name (dir)) != NULL)
    {
      g_autofree char *path = g_build_filename (folder, name, NULL);

      g_remove (path);
    }
  g_rmdir (folder);
  g_rmdir (outer);
}

static inline char *
write_file (const char *folder, const char *name, const char *data, gssize length)
{
  char *path = g_build_filename (folder, name, NULL);
  g_autoptr (GError) error = NULL;

  g_file_set_contents (path, data, length, &error);
  g_assert_no_error (error);
  return path;
}

/* A 40 x 30 mm board with an area array U1 in the middle and a chip C1 beside it, both with known heights. */
#define SMALL_BOARD                                                                                                  \
  ".HEADER\nBOARD_FILE 3.0 \"tests\" 2026/01/02 1\n\"small\" MM\n.END_HEADER\n"                                        \
  ".BOARD_OUTLINE ECAD\n1.6\n0 0 0 0\n0 40 0 0\n0 40 30 0\n0 0 30 0\n0 0 0 0\n.END_BOARD_OUTLINE\n"                    \
  ".PLACEMENT\n\"BGA-64_9.0x9.0mm_Layout8x8_P1.0mm\" x U1\n20 15 0 0 TOP PLACED\n"                                     \
  "\"C_0805_2012Metric\" 100nF C1\n30 15 0 90 BOTTOM PLACED\n.END_PLACEMENT\n"
#define SMALL_LIBRARY                                                                                                \
  ".HEADER\nLIBRARY_FILE 3.0 \"tests\" 2026/01/02 1\n.END_HEADER\n"                                                    \
  ".ELECTRICAL\n\"BGA-64_9.0x9.0mm_Layout8x8_P1.0mm\" x MM 1.4\n0 -4.5 -4.5 0\n0 4.5 -4.5 0\n0 4.5 4.5 0\n"             \
  "0 -4.5 4.5 0\n0 -4.5 -4.5 0\n.END_ELECTRICAL\n"                                                                     \
  ".ELECTRICAL\n\"C_0805_2012Metric\" 100nF MM 1.25\n0 -1 -0.625 0\n0 1 -0.625 0\n0 1 0.625 0\n0 -1 0.625 0\n"          \
  "0 -1 -0.625 0\n.END_ELECTRICAL\n"

/* Writes both files; the board's path. */
static inline char *
write_small_board (const char *folder)
{
  g_free (write_file (folder, "klein é.emp", SMALL_LIBRARY, -1));
  return write_file (folder, "klein é.emn", SMALL_BOARD, -1);
}

/* A job with U1, an area array, alone on a bare board with one nozzle and a plan; STAGES and THERMOCOUPLES: members of the
 * plan's lists, as text. */
#define ONE_PART_JOB(STAGES, THERMOCOUPLES)                                                                            \
  "{\"leeward_format\": 1, \"board\": {\"thickness_mm\": 1.6, \"outline\": [{\"corners\": [{\"x_mm\": 0, \"y_mm\": 0},"     \
  "{\"x_mm\": 60, \"y_mm\": 0}, {\"x_mm\": 60, \"y_mm\": 40}, {\"x_mm\": 0, \"y_mm\": 40}]}]},"                         \
  "\"packages\": [{\"name\": \"A\", \"kind\": \"area-array\", \"length_mm\": 15, \"width_mm\": 15, \"height_mm\": 1.5,"   \
  "\"joints\": {\"pattern\": \"grid\", \"columns\": 10, \"rows\": 10, \"pitch_mm\": 1.27}}],"                            \
  "\"parts\": [{\"ref\": \"U1\", \"package\": \"A\", \"x_mm\": 30, \"y_mm\": 20}],"                                    \
  "\"station\": {\"nozzles\": [{\"name\": \"N18\", \"length_mm\": 18, \"width_mm\": 18}]},"                             \
  "\"plans\": [{\"ref\": \"U1\", \"nozzle\": \"N18\", \"preheat_area\": {\"x_mm\": 30, \"y_mm\": 20, \"length_mm\": 50," \
  "\"width_mm\": 40}, \"stages\": [" STAGES "], \"thermocouples\": [" THERMOCOUPLES "]}]}"

#endif
