/* Damaged files: what stands whole in them is given, and the first warning names file, line and reason. The
 * texts are written for these tests after the IDF 3.0 document (31 October 1996); counts are those of the
 * lines above each fault. */
#include <glib/gstdio.h>

#include "idf-text.h"

#define PART(ref, x) "\"g\" \"n\" " ref "\n" x " 10 0 0 TOP PLACED\n"

static LwImport *
salvage (const char *board, const char *library, GError **error)
{
  return lw_import_idf_salvage ("b.emn", board, strlen (board), "b.emp", library,
                                library != NULL ? strlen (library) : 0, error);
}

static void
assert_damage (const LwImport *import, guint at, const char *file, guint line, const char *reason)
{
  const LwImportWarning *warning = import->warnings->pdata[at];

  g_assert_true (warning->damage);
  g_assert_cmpstr (warning->file, ==, file);
  g_assert_cmpuint (warning->line, ==, line);
  g_assert_true (g_str_has_prefix (warning->text, "damaged, and only what is whole is read: "));
  g_assert_nonnull (strstr (warning->text, reason));
}

/* A file that is whole reads the same either way. */
static void
test_whole (void)
{
  const char *board = HEAD3 ("MM") EDGE PLACE (PART ("U1", "10") PART ("U2", "20"));
  g_autoptr (LwImport) plain = read_good (board, LIBRARY (ENTRY ("g", "n")));
  g_autoptr (LwImport) saved = salvage (board, LIBRARY (ENTRY ("g", "n")), NULL);

  g_assert_cmpuint (saved->job->parts->len, ==, 2);
  g_assert_cmpuint (saved->warnings->len, ==, plain->warnings->len);
  for (guint i = 0; i < saved->warnings->len; i++)
    g_assert_false (((LwImportWarning *) saved->warnings->pdata[i])->damage);
}

/* Line 18 has a word for a number: the two parts above stay, the half one goes, the section behind is read. */
static void
test_in_the_middle (void)
{
  const char *board = HEAD3 ("MM") EDGE PLACE (PART ("U1", "10") PART ("U2", "20") PART ("U3", "ten") PART ("U4", "30"))
    ".NOTES\n1 1 2 10 \"behind\"\n.END_NOTES\n";
  g_autoptr (GError) error = NULL;
  g_autoptr (LwImport) none = read_pair (board, NULL, &error);
  g_autoptr (LwImport) import = salvage (board, NULL, NULL);

  g_assert_null (none);
  g_assert_true (g_str_has_prefix (error->message, "b.emn:19: "));
  g_assert_cmpuint (import->job->parts->len, ==, 2);
  g_assert_cmpstr (part_at (import, 1)->ref, ==, "U2");
  g_assert_cmpstr (import->job->notes, ==, "behind");
  g_assert_false (import->job->board->outline_assumed);
  assert_damage (import, 0, "b.emn", 19, "“ten” is not a number");
}

/* Cut off inside the placement, on the line after the names. */
static void
test_cut_off (void)
{
  g_autoptr (LwImport) import = salvage (HEAD3 ("MM") EDGE ".PLACEMENT\n" PART ("U1", "10") "g n U2\n", NULL, NULL);

  g_assert_cmpuint (import->job->parts->len, ==, 1);
  assert_damage (import, 0, "b.emn", 16, "end of file inside section .PLACEMENT");
}

/* A section that is not closed costs what it lacks, not the one behind it; the closed edge stays. */
static void
test_not_closed (void)
{
  g_autoptr (LwImport) import = salvage (
    HEAD3 ("MM") ".BOARD_OUTLINE ECAD\n1.6\n0 0 0 0\n0 50 0 0\n0 50 40 0\n0 0 40 0\n0 0 0 0\n1 5 5 0\n1 9 5 0\n"
    PLACE (PART ("U1", "10")), NULL, NULL);

  g_assert_cmpuint (import->job->parts->len, ==, 1);
  g_assert_cmpuint (import->job->board->outline->len, ==, 1);
  g_assert_false (import->job->board->outline_assumed);
  assert_damage (import, 0, "b.emn", 14, ".END_BOARD_OUTLINE expected");
}

/* Two faults: both are told, in their order, before any other warning. */
static void
test_two_faults (void)
{
  g_autoptr (LwImport) import = salvage (
    HEAD3 ("MM") EDGE ".DRILLED_HOLES\n1 2 x PTH BOARD MTG\n.END_DRILLED_HOLES\nstray\n" PLACE (PART ("U1", "10")), NULL,
    NULL);

  g_assert_cmpuint (import->job->parts->len, ==, 1);
  assert_damage (import, 0, "b.emn", 14, "“x” is not a number");
  assert_damage (import, 1, "b.emn", 16, "“stray” stands outside");
  g_assert_false (((LwImportWarning *) import->warnings->pdata[2])->damage);
}

/* Of a library the whole entries count; one of which nothing can be read costs the bodies alone. */
static void
test_library (void)
{
  const char *board = HEAD3 ("MM") EDGE PLACE (PART ("U1", "10") "\"h\" \"n\" U2\n20 10 0 0 TOP PLACED\n");
  g_autoptr (LwImport) half
    = salvage (board, LIBRARY (ENTRY ("g", "n") ".ELECTRICAL\nh n MM 2\n0 0 0 0\n0 4 z 0\n"), NULL);
  g_autoptr (LwImport) nothing = salvage (board, "no library at all\n", NULL);
  gboolean known;

  g_assert_cmpuint (half->job->parts->len, ==, 2);
  assert_damage (half, 0, "b.emp", 15, "“z” is not a number");
  g_assert_cmpfloat (lw_part_height_mm (part_at (half, 0), lw_job_package_of (half->job, part_at (half, 0)), &known), ==, 1.5);
  g_assert_true (known);
  lw_part_height_mm (part_at (half, 1), lw_job_package_of (half->job, part_at (half, 1)), &known);
  g_assert_false (known);
  g_assert_cmpuint (nothing->job->parts->len, ==, 2);
  assert_damage (nothing, 0, "b.emp", 1, ".HEADER");
}

/* When there is nothing, the fault itself is the answer. */
static void
test_nothing (void)
{
  static const char *const boards[] = { "", ".HEADER\nBOARD_FILE 3.0 x y 1\n",
                                        HEAD3 ("MM") ".BOARD_OUTLINE ECAD\n1.6\n0 0 0 0\n0 9 0\n" };
  static const char *const says[] = { "b.emn:1: ", "b.emn:2: ", "b.emn:8: field 4" };

  for (guint i = 0; i < G_N_ELEMENTS (boards); i++) {
    g_autoptr (GError) error = NULL;

    g_assert_null (salvage (boards[i], NULL, &error));
    g_assert_true (error->domain == LW_IMPORT_ERROR);
    if (!g_str_has_prefix (error->message, says[i]))
      g_error ("%s", error->message);
  }
}

/* Cut anywhere it gives a board or an error, and never more parts than are there. */
static void
test_every_cut (void)
{
  const char *board = HEAD3 ("MM") EDGE PLACE (PART ("U1", "10") PART ("U2", "20"));
  gsize length = strlen (board);
  guint last = 0;

  for (gsize n = 0; n <= length; n++) {
    g_autoptr (GError) error = NULL;
    g_autoptr (LwImport) import = lw_import_idf_salvage ("b.emn", board, n, NULL, NULL, 0, &error);

    g_assert_true ((import == NULL) == (error != NULL));
    g_assert_cmpuint (import != NULL ? import->job->parts->len : 0, >=, last);
    last = import != NULL ? import->job->parts->len : last;
  }
  g_assert_cmpuint (last, ==, 2);
}

/* ---- through the door ---- */

static GFile *
cut_copy (const char *folder, const char *from, const char *name, gsize length)
{
  g_autofree char *source = g_build_filename (DATA_DIR, from, NULL), *path = g_build_filename (folder, name, NULL);
  g_autofree char *text = NULL;
  g_autoptr (GError) error = NULL;

  g_file_get_contents (source, &text, NULL, &error);
  g_assert_no_error (error);
  g_file_set_contents (path, text, (gssize) length, &error);
  g_assert_no_error (error);
  return g_file_new_for_path (path);
}

/* A sample's board with its last 400 bytes lost, and another format cut in the same way, alone and together. */
static void
test_files (void)
{
  g_autofree char *folder = g_dir_make_tmp ("leeward-salvage-XXXXXX", NULL);
  g_autoptr (GFile) idf = cut_copy (folder, "ecc83_v2/ecc83v2.emn", "cut.emn", 3100);
  g_autoptr (GFile) xml = cut_copy (folder, "ecc83_v2/ecc83v2-revC-mm-heights.xml", "cut.xml", 290000);
  g_autoptr (GFile) table = cut_copy (folder, "ecc83_v2/README.md", "no-board.txt", 300);
  g_autoptr (GFile) dir = g_file_new_for_path (folder);
  GFile *both[] = { idf, xml };
  g_autoptr (GError) error = NULL;
  g_autoptr (LwImport) refused = lw_import (idf, NULL, NULL, NULL);
  g_autoptr (LwImport) one = lw_import_salvage (idf, NULL, NULL, NULL, NULL, NULL);
  g_autoptr (LwImport) two = lw_import_salvage (xml, NULL, NULL, NULL, NULL, NULL);
  g_autoptr (LwImport) merged = lw_import_salvage_many (both, 2, NULL, NULL, NULL, NULL);
  g_autoptr (LwImport) all = lw_import_salvage_many (&dir, 1, NULL, NULL, NULL, NULL);

  g_assert_null (refused);
  g_assert_cmpuint (one->job->parts->len, >, 0);
  g_assert_cmpuint (one->job->parts->len, <, 15);
  g_assert_nonnull (one->unknowns);
  g_assert_cmpstr (((LwImportWarning *) one->warnings->pdata[0])->file, ==, "cut.emn");
  g_assert_cmpuint (two->job->parts->len, ==, 15);
  g_assert_true (((LwImportWarning *) two->warnings->pdata[0])->damage);
  g_assert_cmpuint (((LwImportWarning *) two->warnings->pdata[0])->line, >, 1);
  g_assert_true (((LwImportWarning *) merged->warnings->pdata[0])->damage);
  g_assert_true (((LwImportWarning *) merged->warnings->pdata[1])->damage);
  g_assert_cmpuint (merged->job->parts->len, ==, 15);
  g_assert_cmpuint (all->sources->len, ==, 3);
  g_assert_null (lw_import_salvage (table, NULL, NULL, NULL, NULL, &error));
  g_assert_error (error, LW_IMPORT_ERROR, LW_IMPORT_ERROR_UNSUPPORTED);
  g_file_delete (idf, NULL, NULL);
  g_file_delete (xml, NULL, NULL);
  g_file_delete (table, NULL, NULL);
  g_rmdir (folder);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/salvage/whole", test_whole);
  g_test_add_func ("/salvage/in-the-middle", test_in_the_middle);
  g_test_add_func ("/salvage/cut-off", test_cut_off);
  g_test_add_func ("/salvage/not-closed", test_not_closed);
  g_test_add_func ("/salvage/two-faults", test_two_faults);
  g_test_add_func ("/salvage/library", test_library);
  g_test_add_func ("/salvage/nothing", test_nothing);
  g_test_add_func ("/salvage/every-cut", test_every_cut);
  g_test_add_func ("/salvage/files", test_files);
  return g_test_run ();
}
