/* Several files of one board taken together: the samples' counts are those of their README files. */
#include <locale.h>
#include <archive.h>
#include <archive_entry.h>
#include <glib/gstdio.h>
#include <math.h>
#include <string.h>

#include "board/copper-map.h"
#include "board/job-file.h"
#include "exchange/import.h"

static LwImport *
open_all (GError **error, const char *first, ...) G_GNUC_NULL_TERMINATED;

static LwImport *
open_all (GError **error, const char *first, ...)
{
  g_autoptr (GPtrArray) files = g_ptr_array_new_with_free_func (g_object_unref);
  va_list args;

  va_start (args, first);
  for (const char *name = first; name != NULL; name = va_arg (args, const char *))
    {
      g_autofree char *path = g_path_is_absolute (name) ? g_strdup (name) : g_build_filename (DATA_DIR, name, NULL);

      g_ptr_array_add (files, g_file_new_for_path (path));
    }
  va_end (args);
  return lw_import_many ((GFile **) files->pdata, files->len, NULL, NULL, NULL, error);
}

static guint
count_warnings (const LwImport *import, const char *text)
{
  guint n = 0;

  for (guint i = 0; i < import->warnings->len; i++)
    n += strstr (((LwImportWarning *) import->warnings->pdata[i])->text, text) != NULL;
  return n;
}

static const char *
taken_from (const LwImport *import, const char *file)
{
  const char *taken = NULL;

  for (guint i = 0; i < import->sources->len; i++)
    {
      const LwImportSource *source = import->sources->pdata[i];

      if (g_str_equal (source->file, file))
        taken = source->taken;
    }
  return taken;
}

static const LwPart *
part_of (const LwImport *import, const char *ref)
{
  int i = lw_job_find_part (import->job, ref);

  g_assert_cmpint (i, >=, 0);
  return import->job->parts->pdata[i];
}

static void
assert_sound (const LwImport *import)
{
  g_autoptr (GPtrArray) faults = lw_job_check (import->job);

  for (guint i = 0; i < faults->len; i++)
    if (((LwFault *) faults->pdata[i])->fatal)
      g_error ("%s: %s", ((LwFault *) faults->pdata[i])->path, ((LwFault *) faults->pdata[i])->text);
}

/* Outline and copper from the plots, heights and bodies from IDF; parts of both agree. */
static void
test_one_board (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwImport) import = open_all (&error, "coldfire_kit", NULL);
  LwBox box;
  guint heights = 0;

  g_assert_no_error (error);
  assert_sound (import);
  box = lw_loop_box (import->job->board->outline->pdata[0]);
  g_assert_cmpfloat (fabs (box.x1_mm - box.x0_mm - 157.48), <, 0.01);
  g_assert_cmpfloat (fabs (box.y1_mm - box.y0_mm - 91.44), <, 0.01);
  g_assert_cmpuint (import->job->parts->len, ==, 160);
  g_assert_cmpuint (import->job->board->copper_map->covers->len, ==, 4);
  for (guint i = 0; i < 160; i++)
    {
      const LwPart *part = import->job->parts->pdata[i];
      gboolean known;

      lw_part_height_mm (part, lw_job_package_of (import->job, part), &known);
      heights += known;
    }
  g_assert_cmpuint (heights, ==, 149);
  g_assert_nonnull (strstr (taken_from (import, "coldfire.emn"), "heights of 149 parts"));
  g_assert_cmpuint (count_warnings (import, "is turned by"), ==, 0);
  g_assert_cmpuint (count_warnings (import, "lies at"), ==, 0);
}

/* The IDF counts from the middle of the board, the plots from the page: one is shifted, and it is told. */
static void
test_other_origin (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwImport) import = open_all (&error, "interf_u/gerber", "interf_u/interf_u.emn", "interf_u/interf_u.emp", NULL);

  g_assert_no_error (error);
  assert_sound (import);
  g_assert_cmpuint (count_warnings (import, "another origin"), ==, 1);
  g_assert_cmpuint (count_warnings (import, "lies at"), ==, 0);
  g_assert_cmpuint (import->job->parts->len, ==, 24);
}

/* The order of the files makes no difference. */
static void
test_any_order (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwImport) one = open_all (&error, "interf_u/interf_u.emn", "interf_u/gerber", "interf_u/interf_u.emp", NULL);
  g_autoptr (LwImport) two = open_all (&error, "interf_u/interf_u.emp", "interf_u/interf_u.emn", "interf_u/gerber", NULL);

  g_assert_no_error (error);
  g_assert_cmpuint (one->job->parts->len, ==, two->job->parts->len);
  for (guint i = 0; i < one->job->parts->len; i++)
    {
      const LwPart *a = one->job->parts->pdata[i], *b = part_of (two, a->ref);

      g_assert_cmpfloat (a->x_mm, ==, b->x_mm);
      g_assert_cmpstr (a->package, ==, b->package);
    }
}

/* The profile stands in for a broken outline; what the job file rounds is no conflict. */
static void
test_broken_outline (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwImport) import = open_all (&error, "tinytapeout_demo", NULL);

  g_assert_no_error (error);
  assert_sound (import);
  g_assert_false (import->job->board->outline_assumed);
  g_assert_cmpuint (import->job->parts->len, ==, 136);
  g_assert_null (import->job->board->copper_map);
  g_assert_cmpuint (import->unknowns->len, >, 0);
  g_assert_cmpint (((LwImportUnknown *) import->unknowns->pdata[0])->kind, ==, LW_UNKNOWN_COPPER);
}

/* ---- conflicts ---- */

static char *
changed_copy (const char *folder, const char *name, const char *old, const char *new)
{
  g_autofree char *from = g_build_filename (DATA_DIR, name, NULL), *text = NULL, *base = g_path_get_basename (name);
  g_autoptr (GString) changed = NULL;
  char *to = g_build_filename (folder, base, NULL);

  g_assert_true (g_file_get_contents (from, &text, NULL, NULL));
  changed = g_string_new (text);
  g_assert_cmpuint (g_string_replace (changed, old, new, 1), ==, 1);
  g_assert_true (g_file_set_contents (to, changed->str, (gssize) changed->len, NULL));
  return to;
}

static void
remove_all (const char *folder)
{
  g_autoptr (GDir) dir = g_dir_open (folder, 0, NULL);
  const char *name;

  while ((name = g_dir_read_name (dir)) != NULL)
    {
      g_autofree char *path = g_build_filename (folder, name, NULL);

      g_remove (path);
    }
  g_rmdir (folder);
}

/* A thickness and a part's side changed in the IDF: both values of each are told, the stated order holds. */
static void
test_conflicts (void)
{
  g_autofree char *folder = g_dir_make_tmp ("leeward-test-XXXXXX", NULL);
  g_autofree char *library = g_build_filename (DATA_DIR, "coldfire_kit/coldfire.emp", NULL);
  g_autoptr (GError) error = NULL;
  g_autofree char *board = changed_copy (folder, "coldfire_kit/coldfire.emn", "1.600", "1.900");
  g_autoptr (LwImport) import = NULL;

  setlocale (LC_NUMERIC, "C"); /* as the words below have their figures */
  import = open_all (&error, "coldfire_kit/gerber", board, library, NULL);
  setlocale (LC_NUMERIC, "");
  g_assert_no_error (error);
  g_assert_cmpfloat (import->job->board->thickness_mm, ==, 1.6);
  g_assert_cmpuint (count_warnings (import, "1.900 mm, differs from that of plots, 1.600 mm"), ==, 1);
  remove_all (folder);
}

static void
test_moved_part (void)
{
  g_autofree char *folder = g_dir_make_tmp ("leeward-test-XXXXXX", NULL);
  g_autoptr (GError) error = NULL;
  g_autofree char *top = changed_copy (folder, "coldfire_kit/gerber/coldfire-pnp_top.gbr", "X172339000Y-100330000D03",
                                       "X173339000Y-100330000D03");
  g_autoptr (LwImport) import = NULL;

  setlocale (LC_NUMERIC, "C"); /* as the words below have their figures */
  import = open_all (&error, top, "coldfire_kit/coldfire.emn", "coldfire_kit/coldfire.emp", NULL);
  setlocale (LC_NUMERIC, "");
  g_assert_no_error (error);
  g_assert_cmpuint (count_warnings (import, "ABRT_SW101 lies at 172.339, -100.330 mm here, at 173.339, -100.330"), ==, 1);
  g_assert_cmpfloat (part_of (import, "ABRT_SW101")->x_mm, ==, 173.339);
  remove_all (folder);
}

/* Names such as R1 stand on every board. */
static void
test_two_boards (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwImport) import = open_all (&error, "ecc83_v2/gerber", "interf_u/interf_u.emn", NULL);

  g_assert_no_error (error);
  g_assert_cmpuint (count_warnings (import, "another board"), ==, 1);
  g_assert_cmpuint (import->job->parts->len, ==, 11);
}

/* Two tables with ten names in common, the second a metre away: N of them moved alike, the others anyhow. */
static LwImport *
two_tables (guint n_alike, const char *folder)
{
  g_autoptr (GString) a = g_string_new ("Ref,X (mm),Y (mm),Rotation,Side\n"), b = g_string_new (a->str);
  g_autofree char *first = g_build_filename (folder, "a.csv", NULL), *second = g_build_filename (folder, "b.csv", NULL);
  g_autoptr (GError) error = NULL;
  LwImport *import;

  for (guint i = 0; i < 10; i++)
    {
      int x = 7 * (int) i, y = 5 * (int) (i * i % 7), off = i < n_alike ? 0 : i % 2 ? 3 * (int) i : -3 * (int) i;

      g_string_append_printf (a, "R%u,%d,%d,0,top\n", i, x, y);
      g_string_append_printf (b, "R%u,%d,%d,0,top\n", i, 1000 + x + off, y);
    }
  g_assert_true (g_file_set_contents (first, a->str, -1, NULL) && g_file_set_contents (second, b->str, -1, NULL));
  import = open_all (&error, first, second, NULL);
  g_assert_no_error (error);
  remove_all (folder);
  return import;
}

/* A few parts that happen to lie alike do not make one board of two: half of the common ones must. */
static void
test_half_agree (void)
{
  g_autofree char *folder = g_dir_make_tmp ("leeward-test-XXXXXX", NULL), *again = g_dir_make_tmp ("leeward-test-XXXXXX", NULL);
  g_autoptr (LwImport) few = two_tables (4, folder), most = two_tables (6, again);

  g_assert_cmpuint (count_warnings (few, "another board"), ==, 1);
  g_assert_cmpuint (count_warnings (most, "another board"), ==, 0);
  g_assert_cmpuint (count_warnings (most, "by 6 parts that both have"), ==, 1);
}

/* ---- archives ---- */

typedef struct {
  const char *inside, *from; /* FROM: a file of the samples, or NULL: nonsense */
} Entry;

static char *
make_archive (const char *folder, gboolean zip, const Entry *entries, guint n)
{
  char *path = g_build_filename (folder, zip ? "board.zip" : "board.tar.gz", NULL);
  struct archive *archive = archive_write_new ();

  if (zip)
    archive_write_set_format_zip (archive);
  else
    {
      archive_write_set_format_pax_restricted (archive);
      archive_write_add_filter_gzip (archive);
    }
  g_assert_cmpint (archive_write_open_filename (archive, path), ==, ARCHIVE_OK);
  for (guint i = 0; i < n; i++)
    {
      g_autofree char *from = entries[i].from != NULL ? g_build_filename (DATA_DIR, entries[i].from, NULL) : NULL;
      g_autofree char *data = g_strdup ("nonsense");
      gsize size = strlen (data);
      struct archive_entry *entry = archive_entry_new ();

      if (from != NULL)
        {
          g_clear_pointer (&data, g_free);
          g_assert_true (g_file_get_contents (from, &data, &size, NULL));
        }
      archive_entry_set_pathname (entry, entries[i].inside);
      archive_entry_set_size (entry, (la_int64_t) size);
      archive_entry_set_filetype (entry, AE_IFREG);
      archive_entry_set_perm (entry, 0644);
      archive_write_header (archive, entry);
      archive_write_data (archive, data, size);
      archive_entry_free (entry);
    }
  archive_write_free (archive);
  return path;
}

static const Entry board_entries[] = {
  { "out/gerber/ecc83v2-Edge_Cuts.gbr", "ecc83_v2/gerber/ecc83v2-Edge_Cuts.gbr" },
  { "out/gerber/ecc83v2-Dessus.gbr", "ecc83_v2/gerber/ecc83v2-Dessus.gbr" },
  { "out/gerber/ecc83v2-pnp_top.gbr", "ecc83_v2/gerber/ecc83v2-pnp_top.gbr" },
  { "out/gerber/ecc83v2-job.gbrjob", "ecc83_v2/gerber/ecc83v2-job.gbrjob" },
  { "out/idf/ecc83v2.emn", "ecc83_v2/ecc83v2.emn" },
  { "out/idf/ecc83v2.emp", "ecc83_v2/ecc83v2.emp" },
  { "readme.txt", NULL },
};

static void
check_archive (gboolean zip)
{
  g_autofree char *folder = g_dir_make_tmp ("leeward-test-XXXXXX", NULL);
  g_autofree char *path = make_archive (folder, zip, board_entries, G_N_ELEMENTS (board_entries));
  g_autoptr (GError) error = NULL;
  g_autoptr (LwImport) import = open_all (&error, path, NULL);

  g_assert_no_error (error);
  assert_sound (import);
  g_assert_cmpuint (import->job->parts->len, ==, 15); /* 11 for placement, 15 in the IDF */
  g_assert_cmpuint (import->job->board->copper_map->covers->len, ==, 1);
  g_assert_cmpuint (count_warnings (import, "4 parts stand in this file alone"), ==, 1);
  remove_all (folder);
}

static void
test_zip (void)
{
  check_archive (TRUE);
}

static void
test_tar (void)
{
  check_archive (FALSE);
}

/* A lone file that is packed, by itself or in its folder; 56 and 3 parts by dm0002_ipc2581/README.md. */
static void
test_packed (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwImport) file = open_all (&error, "dm0002_ipc2581/dm0002-revC-mm.xml.gz", NULL);
  g_autoptr (LwImport) folder = open_all (NULL, "dm0002_ipc2581", NULL);

  g_assert_no_error (error);
  g_assert_cmpuint (file->job->parts->len, ==, 59);
  g_assert_cmpstr (((LwImportSource *) file->sources->pdata[0])->file, ==, "dm0002-revC-mm.xml");
  g_assert_nonnull (folder);
  g_assert_cmpuint (folder->job->parts->len, ==, 59);
}

/* Paths that lead out of the archive lead nowhere. */
static void
test_escape (void)
{
  static const Entry entries[] = { { "../../../../tmp/leeward-escaped.emn", "ecc83_v2/ecc83v2.emn" },
                                   { "/tmp/leeward-escaped.emp", "ecc83_v2/ecc83v2.emp" } };
  g_autofree char *folder = g_dir_make_tmp ("leeward-test-XXXXXX", NULL);
  g_autofree char *path = make_archive (folder, TRUE, entries, G_N_ELEMENTS (entries));
  g_autoptr (GError) error = NULL;
  g_autoptr (LwImport) import = open_all (&error, path, NULL);

  g_assert_no_error (error);
  g_assert_cmpuint (import->job->parts->len, ==, 15);
  g_assert_false (g_file_test ("/tmp/leeward-escaped.emn", G_FILE_TEST_EXISTS));
  g_assert_false (g_file_test ("/tmp/leeward-escaped.emp", G_FILE_TEST_EXISTS));
  remove_all (folder);
}

/* Cut off in the middle: an error or a board with the damage told, never a quiet loss. */
static void
test_cut_archive (void)
{
  g_autofree char *folder = g_dir_make_tmp ("leeward-test-XXXXXX", NULL);
  g_autofree char *path = make_archive (folder, FALSE, board_entries, G_N_ELEMENTS (board_entries)), *data = NULL;
  gsize size;

  g_assert_true (g_file_get_contents (path, &data, &size, NULL));
  for (gsize part = 1; part < 8; part++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (LwImport) import = NULL;

      g_assert_true (g_file_set_contents (path, data, (gssize) (size * part / 8), NULL));
      import = open_all (&error, path, NULL);
      g_assert_true ((import != NULL) != (error != NULL));
      if (import != NULL)
        g_assert_cmpuint (count_warnings (import, "damaged"), ==, 1);
    }
  remove_all (folder);
}

static void
test_nothing_there (void)
{
  g_autofree char *folder = g_dir_make_tmp ("leeward-test-XXXXXX", NULL);
  g_autoptr (GError) error = NULL, missing = NULL;

  g_assert_null (open_all (&error, folder, NULL));
  g_assert_error (error, LW_IMPORT_ERROR, LW_IMPORT_ERROR_UNSUPPORTED);
  g_assert_null (open_all (&missing, "no/such/file", NULL));
  g_assert_nonnull (missing);
  g_rmdir (folder);
}

static void
test_cancelled (void)
{
  g_autofree char *path = g_build_filename (DATA_DIR, "coldfire_kit", NULL);
  g_autoptr (GFile) file = g_file_new_for_path (path);
  g_autoptr (GCancellable) cancellable = g_cancellable_new ();
  g_autoptr (GError) error = NULL;

  g_cancellable_cancel (cancellable);
  g_assert_null (lw_import_many (&file, 1, NULL, NULL, cancellable, &error));
  g_assert_error (error, G_IO_ERROR, G_IO_ERROR_CANCELLED);
}

/* A job file brings its set along; a copper map survives saving and loading. */
static void
test_job_file_and_save (void)
{
  g_autofree char *folder = g_dir_make_tmp ("leeward-test-XXXXXX", NULL), *saved = NULL;
  g_autoptr (GError) error = NULL;
  g_autoptr (LwImport) import = open_all (&error, "ecc83_v2/gerber/ecc83v2-job.gbrjob", NULL);
  g_autoptr (GFile) file = NULL;
  g_autoptr (LwJob) again = NULL;
  GStatBuf info;

  g_assert_no_error (error);
  g_assert_cmpuint (import->job->board->copper_map->covers->len, ==, 2);
  saved = g_build_filename (folder, "a.leeward", NULL);
  file = g_file_new_for_path (saved);
  g_assert_true (lw_job_save (import->job, file, NULL, &error));
  again = lw_job_load (file, NULL, &error);
  g_assert_no_error (error);
  for (guint i = 0; i < 2; i++)
    {
      g_autofree guint8 *a = lw_copper_map_cells (import->job->board->copper_map, i);
      g_autofree guint8 *b = lw_copper_map_cells (again->board->copper_map, i);

      g_assert_cmpmem (a, import->job->board->copper_map->columns * import->job->board->copper_map->rows, b,
                       again->board->copper_map->columns * again->board->copper_map->rows);
    }
  g_assert_cmpint (g_stat (saved, &info), ==, 0);
  g_test_message ("the document has %ld bytes", (long) info.st_size);
  g_assert_cmpint (info.st_size, <, 60000);
  remove_all (folder);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/many/one-board", test_one_board);
  g_test_add_func ("/many/other-origin", test_other_origin);
  g_test_add_func ("/many/any-order", test_any_order);
  g_test_add_func ("/many/broken-outline", test_broken_outline);
  g_test_add_func ("/many/conflicts", test_conflicts);
  g_test_add_func ("/many/moved-part", test_moved_part);
  g_test_add_func ("/many/two-boards", test_two_boards);
  g_test_add_func ("/many/half-agree", test_half_agree);
  g_test_add_func ("/many/zip", test_zip);
  g_test_add_func ("/many/tar", test_tar);
  g_test_add_func ("/many/packed", test_packed);
  g_test_add_func ("/many/escape", test_escape);
  g_test_add_func ("/many/cut-archive", test_cut_archive);
  g_test_add_func ("/many/nothing-there", test_nothing_there);
  g_test_add_func ("/many/cancelled", test_cancelled);
  g_test_add_func ("/many/job-file-and-save", test_job_file_and_save);
  return g_test_run ();
}
