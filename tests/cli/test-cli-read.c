/* leeward-cli: the command line, inspect and convert, and files that must be refused. */
#include <sys/stat.h>

#include "cli-run.h"

/* ---- command line ---- */

static void
test_usage (void)
{
  static const char *const verbs[] = { "inspect", "convert", "predict", "judge", "picture" };
  g_auto (Run) help = RUN ("--help");
  g_auto (Run) version = RUN ("--version");

  assert_status (&help, 0);
  assert_status (&version, 0);
  g_assert_true (g_str_has_prefix (version.out, "leeward-cli "));
  for (guint i = 0; i < G_N_ELEMENTS (verbs); i++)
    {
      g_auto (Run) run = RUN (verbs[i], "--help");

      assert_has (help.out, verbs[i]);
      assert_status (&run, 0);
      assert_has (run.out, "--json");
      g_assert_cmpstr (run.err, ==, "");
    }
}

static void
test_bad_command_lines (void)
{
  static const struct {
    const char *argv[8], *says;
  } cases[] = {
    { { "ponder", "x" }, "unknown verb" },
    { { "weld", "x", "y" }, "unknown verb" },
    { { "" }, "unknown verb" },
    { { "inspect" }, "expects" },
    { { "inspect", "a", "b" }, "a: " },
    { { "inspect", "--nonsense", "a" }, "--nonsense" },
    { { "convert", "a" }, "expects" },
    { { "predict", "a", "--cell", "x" }, "--cell" },
    { { "predict", "a", "--cell", "-1" }, "--cell" },
    { { "predict", "a", "--cell", "nan" }, "--cell" },
    { { "predict", "a", "--step", "1e9" }, "--step" },
    { { "picture", "a" }, "-o" },
    { { "picture", "a", "-o", "x.jpg" }, ".png" },
    { { "picture", "a", "-o", "x.png", "--side", "left" }, "--side" },
    { { "picture", "a", "-o", "x.png", "--width", "99999999" }, "--width" },
    { { "picture", "a", "-o", "x.png", "--at", "-3" }, "--at" },
    { { "inspect", "/no/such/file.emn" }, "file.emn" },
    { { "inspect", "/dev" }, "no board" },
    { { "inspect", "/dev/zero" }, "regular" },
  };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_auto (Run) run = run_argv (NULL, cases[i].argv);

      assert_refused (&run, cases[i].says);
    }
}

static void
test_nothing (void)
{
  g_auto (Run) run = run_argv (NULL, (const char *const[]) { NULL });

  assert_status (&run, 2);
  assert_has (run.err, "verb");
}

/* ---- inspect and convert ---- */

static void
test_inspect_contract (void)
{
  static const char *const top[] = { "outline", "thickness_mm", "parts", "warnings", NULL };
  static const char *const outline[] = { "min_x_mm", "min_y_mm", "width_mm", "height_mm", "area_mm2", NULL };
  static const char *const part[] = { "ref", "package", "x_mm", "y_mm", "rotation_deg", "side", "height_mm?", NULL };
  g_autofree char *folder = make_folder (), *board = write_small_board (folder);
  g_auto (Run) run = RUN ("inspect", "--json", board);
  g_autoptr (JsonNode) root = run_json (&run);
  JsonObject *object = json_node_get_object (root), *box, *c1;
  JsonArray *parts;

  assert_status (&run, 0);
  assert_members (object, top);
  box = json_object_get_object_member (object, "outline");
  assert_members (box, outline);
  g_assert_cmpfloat (json_object_get_double_member (box, "width_mm"), ==, 40);
  g_assert_cmpfloat (json_object_get_double_member (box, "area_mm2"), ==, 1200);
  parts = json_object_get_array_member (object, "parts");
  g_assert_cmpuint (json_array_get_length (parts), ==, 2);
  c1 = json_array_get_object_element (parts, 1);
  assert_members (c1, part);
  g_assert_cmpstr (json_object_get_string_member (c1, "side"), ==, "bottom");
  g_assert_cmpfloat (json_object_get_double_member (c1, "rotation_deg"), ==, 90);
  g_assert_cmpfloat (json_object_get_double_member (c1, "height_mm"), ==, 1.25);
  remove_folder (folder);
}

/* Without its library a board has no heights, and says so with a file and a line. */
static void
test_library_option (void)
{
  g_autofree char *folder = make_folder ();
  g_autofree char *board = write_file (folder, "alone.emn", SMALL_BOARD, -1);
  g_autofree char *library = write_file (folder, "other name.emp", SMALL_LIBRARY, -1);
  g_auto (Run) alone = RUN ("inspect", board);
  g_auto (Run) both = RUN ("inspect", "--parts", "--library", library, board);
  g_auto (Run) wrong = RUN ("inspect", "--library", board, board);

  assert_status (&alone, 0);
  assert_has (alone.out, "0 known, 2 not known");
  assert_has (alone.err, "alone.emn: warning: ");
  assert_status (&both, 0);
  assert_has (both.out, "2 known, 0 not known");
  assert_has (both.out, "U1");
  assert_refused (&wrong, "alone.emn:2: ");
  remove_folder (folder);
}

/* A project file of another program may have a library's name. */
static void
test_false_partner (void)
{
  g_autofree char *folder = make_folder ();
  g_autofree char *board = write_file (folder, "b.emn", SMALL_BOARD, -1);
  g_autofree char *project = write_file (folder, "b.pro", "{ \"project\": 1 }", -1);
  g_auto (Run) run = RUN ("inspect", board);
  g_auto (Run) wanted = RUN ("inspect", "--library", project, board);

  assert_status (&run, 0);
  assert_has (run.err, "no library file");
  assert_refused (&wanted, "b.pro:1: ");
  remove_folder (folder);
}

static void
test_full_disk (void)
{
  g_autofree char *folder = make_folder (), *board = write_small_board (folder);
  g_autofree char *command = g_strdup_printf ("'%s' inspect --json '%s' > /dev/full", CLI_PATH, board);
  g_autofree char *err = NULL;
  const char *argv[] = { "/bin/sh", "-c", command, NULL };
  int status;

  g_assert_true (g_spawn_sync (NULL, (char **) argv, NULL, 0, NULL, NULL, NULL, &err, &status, NULL));
  g_assert_false (g_spawn_check_wait_status (status, NULL));
  assert_has (err, "standard output");
  remove_folder (folder);
}

static void
assert_same_member (JsonNode *a, JsonNode *b, const char *name)
{
  g_assert_true (json_node_equal (json_object_get_member (json_node_get_object (a), name),
                                  json_object_get_member (json_node_get_object (b), name)));
}

static void
test_convert_keeps_all (void)
{
  static const char *const samples[] = { "idf_samples/idf_example.emn", "ecc83_v2/ecc83v2-idf20.emn",
                                         "tinytapeout_demo/tinytapeout.emn", "parallella_gen1/parallella_gen1.emn" };
  g_autofree char *folder = make_folder (), *out = g_build_filename (folder, "büro job.leeward", NULL);

  for (guint i = 0; i < G_N_ELEMENTS (samples); i++)
    {
      g_autofree char *in = g_build_filename (DATA_DIR, samples[i], NULL);
      g_auto (Run) convert = RUN ("convert", "--force", in, out);
      g_auto (Run) from = RUN ("inspect", "--json", in);
      g_auto (Run) to = RUN ("inspect", "--json", out);
      g_autoptr (JsonNode) a = run_json (&from), b = run_json (&to);

      assert_status (&convert, 0);
      assert_same_member (a, b, "outline");
      assert_same_member (a, b, "parts");
      assert_same_member (a, b, "thickness_mm");
    }
  remove_folder (folder);
}

/* A board goes out as an IDF pair and as a table, by the name alone, and comes in again the same. */
static void
test_convert_out (void)
{
  g_autofree char *folder = make_folder (), *pair = g_build_filename (folder, "out.emn", NULL);
  g_autofree char *table = g_build_filename (folder, "out.csv", NULL);
  g_autofree char *in = g_build_filename (DATA_DIR, "idf_samples/idf_example.emn", NULL);
  g_auto (Run) first = RUN ("convert", in, pair), second = RUN ("convert", in, table);
  g_auto (Run) from = RUN ("inspect", "--json", in), to = RUN ("inspect", "--json", pair);
  g_auto (Run) list = RUN ("inspect", table);
  g_autoptr (JsonNode) a = run_json (&from), b = run_json (&to);

  assert_status (&first, 0);
  assert_status (&second, 0);
  assert_has (first.err, "left out: ");
  assert_same_member (a, b, "outline");
  assert_same_member (a, b, "thickness_mm");
  assert_same_member (a, b, "parts");
  assert_has (list.out, "11: 8 on top, 3 on the bottom, 0 not placed");
  remove_folder (folder);
}

/* What is there stays, the library beside a board too, until it is told to go. */
static void
test_convert_over (void)
{
  g_autofree char *folder = make_folder (), *board = write_small_board (folder);
  g_autofree char *old = write_file (folder, "old.leeward", "mine", -1), *emp = write_file (folder, "b.emp", "mine", -1);
  g_autofree char *emn = g_build_filename (folder, "b.emn", NULL), *text = NULL;
  g_auto (Run) named = RUN ("convert", board, old), beside = RUN ("convert", board, emn);
  g_auto (Run) forced = RUN ("convert", "--force", board, emn);

  assert_refused (&named, "old.leeward: is there already");
  assert_refused (&beside, "b.emp beside it is there already");
  assert_status (&forced, 0);
  g_assert_true (g_file_get_contents (old, &text, NULL, NULL));
  g_assert_cmpstr (text, ==, "mine");
  g_clear_pointer (&text, g_free);
  g_assert_true (g_file_get_contents (emp, &text, NULL, NULL));
  g_assert_cmpstr (text, !=, "mine");
  remove_folder (folder);
}

/* A set with its copper cut off: the same on the command line, whichever format the damage is in. */
static void
test_salvage_set (void)
{
  static const char *const names[] = { "ecc83v2-Dessus.gbr", "ecc83v2-Edge_Cuts.gbr", "ecc83v2-pnp_top.gbr" };
  g_autofree char *folder = make_folder ();

  for (guint i = 0; i < G_N_ELEMENTS (names); i++)
    {
      g_autofree char *from = g_build_filename (DATA_DIR, "ecc83_v2", "gerber", names[i], NULL), *text = NULL, *path = NULL;
      gsize size;

      g_assert_true (g_file_get_contents (from, &text, &size, NULL));
      path = write_file (folder, names[i], text, (gssize) (i == 0 ? size / 2 : size));
    }
  g_auto (Run) plain = RUN ("inspect", folder);
  g_auto (Run) saved = RUN ("inspect", "--salvage", folder);

  assert_refused (&plain, "ecc83v2-Dessus.gbr:");
  assert_status (&saved, 0);
  assert_has (saved.out, "Parts      11: 11 on top");
  g_assert_true (g_str_has_prefix (saved.err, "ecc83v2-Dessus.gbr:"));
  assert_has (saved.err, "this copper layer is left out");
  remove_folder (folder);
}

static void
test_convert_refuses (void)
{
  g_autofree char *folder = make_folder (), *board = write_small_board (folder);
  g_autofree char *nowhere = g_build_filename (folder, "no", "such", "place.leeward", NULL);
  g_auto (Run) itself = RUN ("convert", board, board);
  g_auto (Run) missing = RUN ("convert", board, nowhere);
  g_autofree char *text = NULL;

  assert_refused (&itself, "over itself");
  assert_refused (&missing, "place.leeward");
  g_assert_true (g_file_get_contents (board, &text, NULL, NULL));
  g_assert_cmpstr (text, ==, SMALL_BOARD);
  remove_folder (folder);
}

/* ---- hostile files ---- */

static void
test_hostile_files (void)
{
  static const struct {
    const char *name, *data, *says;
    gssize length;
  } cases[] = {
    { "empty.emn", "", "empty.emn: ", 0 },
    { "words.emn", "this is no board\n", "words.emn:1: ", -1 },
    { "xml.xml", "<?xml version=\"1.0\"?><IPC-2581/>", "xml.xml: ", -1 },
    { "gerber.gbr", "%FSLAX46Y46*%\n", "gerber.gbr: ", -1 },
    { "cut.emn", ".HEADER\nBOARD_FILE 3.0", "cut.emn:2: ", -1 },
    { "nul.emn", ".HEADER\nBOARD_FILE 3.0 x y 1\n\0\n", "nul.emn:3: ", 31 },
    { "nan.emn", ".HEADER\nBOARD_FILE 3.0 x y 1\nb MM\n.END_HEADER\n.BOARD_OUTLINE\nnan\n.END_BOARD_OUTLINE\n", "nan.emn:6: ",
      -1 },
    { "huge.emn", ".HEADER\nBOARD_FILE 3.0 x y 1\nb MM\n.END_HEADER\n.BOARD_OUTLINE\n1\n0 1e200 0 0\n", "huge.emn:7: ", -1 },
    { "brace.leeward", "{", "brace.leeward:1: ", -1 },
    { "newer.leeward", "{ \"leeward_format\": 999 }", "newer.leeward:1: ", -1 },
    { "list.leeward", "[[[[[[[[[[", "list.leeward", -1 },
    { "binary.emn", "\x7f" "ELF\x02\x01\x01", "binary.emn:1: ", -1 },
  };
  g_autofree char *folder = make_folder ();

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *path = write_file (folder, cases[i].name, cases[i].data, cases[i].length);
      g_auto (Run) inspect = RUN ("inspect", path);
      g_auto (Run) predict = RUN ("predict", "--json", path);

      assert_refused (&inspect, cases[i].says);
      assert_refused (&predict, cases[i].says);
    }
  remove_folder (folder);
}

/* Cut off behind the first part: refused, unless what is whole is asked for; then the damage is the first word. */
static void
test_salvage (void)
{
  g_autofree char *folder = make_folder ();
  const char *second = strstr (SMALL_BOARD, "\"C_0805");
  g_autofree char *board = write_file (folder, "cut.emn", SMALL_BOARD, (gssize) (second - SMALL_BOARD));
  g_autofree char *out = g_build_filename (folder, "out.leeward", NULL);
  g_auto (Run) plain = RUN ("inspect", board);
  g_auto (Run) saved = RUN ("inspect", "--salvage", board);
  g_auto (Run) json = RUN ("inspect", "--salvage", "--json", board);
  g_auto (Run) refused = RUN ("convert", board, out);
  g_auto (Run) converted = RUN ("convert", "--salvage", board, out);
  g_auto (Run) again = RUN ("inspect", out);
  g_autoptr (JsonNode) root = run_json (&json);
  JsonArray *warnings = json_object_get_array_member (json_node_get_object (root), "warnings");

  assert_refused (&plain, "cut.emn:15: ");
  assert_status (&saved, 0);
  assert_has (saved.out, "Parts      1: 1 on top");
  g_assert_true (g_str_has_prefix (saved.err, "cut.emn:15: warning: damaged, "));
  g_assert_cmpint (json_object_get_int_member (json_array_get_object_element (warnings, 0), "line"), ==, 15);
  assert_refused (&refused, "cut.emn:15: ");
  assert_status (&converted, 0);
  assert_has (converted.err, "damaged, ");
  assert_status (&again, 0);
  assert_has (again.out, "Parts      1: 1 on top");
  remove_folder (folder);
}

/* A file of absurd size is refused, not read: a hole of a terabyte costs no disk. */
static void
test_absurd_size (void)
{
  g_autofree char *folder = make_folder ();
  g_autofree char *path = write_file (folder, "big.emn", ".HEADER\n", -1);
  gint64 start = g_get_monotonic_time ();

  if (truncate (path, G_GINT64_CONSTANT (1) << 40) == 0)
    {
      g_auto (Run) run = RUN ("inspect", path);

      assert_refused (&run, "larger than");
    }
  else
    {
      g_assert_cmpint (truncate (path, 128 * 1024 * 1024), ==, 0);
      g_auto (Run) run = RUN ("inspect", path);

      assert_refused (&run, "larger than");
    }
  g_assert_cmpint (g_get_monotonic_time () - start, <, 20 * G_USEC_PER_SEC);
  remove_folder (folder);
}

static void
test_fifo (void)
{
  g_autofree char *folder = make_folder (), *path = g_build_filename (folder, "pipe.emn", NULL);

  g_assert_cmpint (mkfifo (path, 0600), ==, 0);
  g_auto (Run) run = RUN ("inspect", path);
  assert_refused (&run, "regular");
  remove_folder (folder);
}

/* ---- locale ---- */

/* A comma locale of our own: the machine need not have one. localedef ends with 1 because it defines nothing but numbers. */
static GSubprocessLauncher *
comma_launcher (const char *folder)
{
  GSubprocessLauncher *launcher = g_subprocess_launcher_new (G_SUBPROCESS_FLAGS_NONE);
  g_autofree char *source = g_test_build_filename (G_TEST_DIST, "board", "comma-locale.src", NULL);
  g_autofree char *out = g_build_filename (folder, "comma.utf8", NULL);
  const char *command[] = { "localedef", "--quiet", "-c", "-i", source, "-f", "UTF-8", out, NULL };
  g_autoptr (GError) error = NULL;

  g_spawn_sync (NULL, (char **) command, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL, NULL, NULL, NULL, &error);
  g_assert_no_error (error);
  g_subprocess_launcher_unsetenv (launcher, "LC_ALL");
  g_subprocess_launcher_setenv (launcher, "LOCPATH", folder, TRUE);
  g_subprocess_launcher_setenv (launcher, "LANG", "C.UTF-8", TRUE);
  g_subprocess_launcher_setenv (launcher, "LC_NUMERIC", "comma.utf8", TRUE);
  return launcher;
}

static void
test_comma_locale (void)
{
  g_autofree char *folder = make_folder (), *board = write_small_board (folder);
  g_autoptr (GSubprocessLauncher) launcher = comma_launcher (folder);
  g_auto (Run) plain = RUN ("inspect", "--json", board);
  g_auto (Run) comma = run_argv (launcher, (const char *const[]) { "inspect", "--json", board, NULL });
  g_auto (Run) text = run_argv (launcher, (const char *const[]) { "inspect", board, NULL });

  assert_has (text.out, "40,000 x 30,000"); /* the locale is really in force */
  assert_status (&comma, 0);
  g_assert_cmpstr (comma.out, ==, plain.out);
  g_autofree char *sub = g_build_filename (folder, "comma.utf8", NULL);
  g_autoptr (GDir) dir = g_dir_open (sub, 0, NULL);
  const char *name;
  while (dir != NULL && (name = g_dir_read_name (dir)) != NULL)
    {
      g_autofree char *path = g_build_filename (sub, name, NULL);

      g_remove (path);
    }
  remove_folder (folder);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/cli/usage", test_usage);
  g_test_add_func ("/cli/bad-command-lines", test_bad_command_lines);
  g_test_add_func ("/cli/nothing", test_nothing);
  g_test_add_func ("/cli/inspect/contract", test_inspect_contract);
  g_test_add_func ("/cli/inspect/library", test_library_option);
  g_test_add_func ("/cli/inspect/false-partner", test_false_partner);
  g_test_add_func ("/cli/inspect/full-disk", test_full_disk);
  g_test_add_func ("/cli/convert/keeps-all", test_convert_keeps_all);
  g_test_add_func ("/cli/convert/out", test_convert_out);
  g_test_add_func ("/cli/convert/over", test_convert_over);
  g_test_add_func ("/cli/salvage-set", test_salvage_set);
  g_test_add_func ("/cli/convert/refuses", test_convert_refuses);
  g_test_add_func ("/cli/hostile/files", test_hostile_files);
  g_test_add_func ("/cli/salvage", test_salvage);
  g_test_add_func ("/cli/hostile/absurd-size", test_absurd_size);
  g_test_add_func ("/cli/hostile/fifo", test_fifo);
  g_test_add_func ("/cli/comma-locale", test_comma_locale);
  return g_test_run ();
}
