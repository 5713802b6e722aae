/* Boards into the window: a table whose columns are set by hand, several files, what was read. */
#include <archive.h>
#include <archive_entry.h>
#include <glib/gstdio.h>
#include <string.h>
#include "board/assume.h"
#include "app/table-window.h"
#include "exchange/centroid.h"
#include "ui-find.h"
#include "ui-fixture.h"

static gboolean
is_read (gpointer window)
{
  return !lw_window_reading (window);
}

static GFile *
sample (const char *path)
{
  g_autofree char *name = g_test_build_filename (G_TEST_DIST, "data", path, NULL);

  return g_file_new_for_path (name);
}

static const LwPart *
part_of (LwWindow *window, const char *ref)
{
  const LwJob *job = lw_desk_job (lw_window_desk (window));
  int at = lw_job_find_part (job, ref);

  g_assert_cmpint (at, >=, 0);
  return g_ptr_array_index (job->parts, at);
}

/* The file's own line "C1,133.1000mm,-102.9000mm,Top,90" (tests/data/centroid_variants). */
static void
test_table (void)
{
  g_autoptr (GFile) file = sample ("centroid_variants/a_mid_xy_suffix_mm.csv");
  LwWindow *window = ui_window (NULL);
  GtkWidget *table, *grid, *x, *use;

  lw_window_open (window, file, NULL);
  g_assert_true (ui_wait (is_read, window, 5000));
  g_assert_cmpuint (lw_desk_job (lw_window_desk (window))->parts->len, ==, 11);
  g_assert_cmpfloat (part_of (window, "C1")->x_mm, ==, 133.1);
  table = ui_top_of_type (LW_TYPE_TABLE_WINDOW);
  g_assert_nonnull (table);
  grid = ui_of_class (table, "table-preview");
  x = ui_child_of_type (grid, GTK_TYPE_DROP_DOWN, 1);
  g_assert_cmpuint (gtk_drop_down_get_selected (GTK_DROP_DOWN (x)), ==, 1 + LW_CENTROID_X);

  /* x and y the other way round: the second column takes y from the third, which loses it */
  gtk_drop_down_set_selected (GTK_DROP_DOWN (x), 1 + LW_CENTROID_Y);
  g_assert_cmpuint (gtk_drop_down_get_selected (GTK_DROP_DOWN (ui_child_of_type (grid, GTK_TYPE_DROP_DOWN, 2))), ==, 0);
  gtk_drop_down_set_selected (GTK_DROP_DOWN (ui_child_of_type (grid, GTK_TYPE_DROP_DOWN, 2)), 1 + LW_CENTROID_X);
  use = ui_of_class (table, "suggested-action");
  g_assert_nonnull (use);
  g_assert_true (gtk_widget_get_sensitive (use));
  g_signal_emit_by_name (use, "clicked");
  ui_spin (100);
  g_assert_null (ui_top_of_type (LW_TYPE_TABLE_WINDOW));
  g_assert_cmpfloat (part_of (window, "C1")->x_mm, ==, -102.9);
  g_assert_cmpfloat (part_of (window, "C1")->y_mm, ==, 133.1);
  ui_close (window);
}

static gboolean
has_run (gpointer data)
{
  return ui_runs->len > 0;
}

/* A bare table leads to a first answer: the columns are taken as they are, a part is chosen, and its package and all
 * others nobody named are assumed in the same step; undone, nothing of it is left. */
static void
test_bare_table (void)
{
  g_autoptr (GFile) file = sample ("centroid_variants/a_mid_xy_suffix_mm.csv");
  LwWindow *window = ui_window (NULL);
  GtkWidget *table;

  lw_window_open (window, file, NULL);
  g_assert_true (ui_wait (is_read, window, 5000));
  table = ui_top_of_type (LW_TYPE_TABLE_WINDOW);
  gtk_window_close (GTK_WINDOW (table));
  ui_spin (50);
  g_assert_true (lw_part_lacks_package (lw_desk_job (lw_window_desk (window)), part_of (window, "U1")));
  gtk_widget_activate_action (GTK_WIDGET (window), "win.rework-part", "s", "U1");
  g_assert_cmpuint (lw_desk_job (lw_window_desk (window))->plans->len, ==, 1);
  g_assert_cmpuint (lw_job_count_assumed (lw_desk_job (lw_window_desk (window))), ==, 11);
  g_assert_true (ui_wait (has_run, window, 5000)); /* an answer is on its way */
  g_assert_true (lw_document_undo (lw_desk_document (lw_window_desk (window))));
  g_assert_cmpuint (lw_job_count_assumed (lw_desk_job (lw_window_desk (window))), ==, 0);
  g_assert_cmpuint (lw_desk_job (lw_window_desk (window))->packages->len, ==, 0);
  ui_close (window);
}

/* Without a column for y no part can be read: the button says so by being dead, the line says why. */
static void
test_table_refused (void)
{
  g_autoptr (GFile) file = sample ("centroid_variants/a_mid_xy_suffix_mm.csv");
  LwWindow *window = ui_window (NULL);
  GtkWidget *table, *use;

  lw_window_open (window, file, NULL);
  g_assert_true (ui_wait (is_read, window, 5000));
  table = ui_top_of_type (LW_TYPE_TABLE_WINDOW);
  gtk_drop_down_set_selected (
      GTK_DROP_DOWN (ui_child_of_type (ui_of_class (table, "table-preview"), GTK_TYPE_DROP_DOWN, 2)), 0);
  use = ui_of_class (table, "suggested-action");
  g_assert_false (gtk_widget_get_sensitive (use));
  gtk_window_close (GTK_WINDOW (table));
  g_assert_cmpuint (lw_desk_job (lw_window_desk (window))->parts->len, ==, 11); /* untouched */
  ui_close (window);
}

/* The files of a set each have their line in what was read. */
static gboolean
has_source (LwWindow *window, const char *file)
{
  const GPtrArray *sources = lw_session_sources (lw_window_session (window));

  for (guint i = 0; i < sources->len; i++)
    if (g_str_equal (((const LwImportSource *) g_ptr_array_index (sources, i))->file, file))
      return TRUE;
  return FALSE;
}

/* A pair given as two files is one board, and what was read can be looked at. */
static void
test_several (void)
{
  g_autoptr (GFile) board = sample ("ecc83_v2/ecc83v2.emn"), library = sample ("ecc83_v2/ecc83v2.emp");
  GFile *files[] = { board, library };
  LwWindow *window = ui_window (NULL);

  lw_window_open_many (window, files, 2);
  g_assert_true (lw_window_reading (window));
  g_assert_true (ui_wait (is_read, window, 8000));
  g_assert_cmpstr (lw_window_last_problem (window), ==, NULL);
  g_assert_cmpuint (lw_desk_job (lw_window_desk (window))->parts->len, ==, 15);
  g_assert_cmpuint (lw_session_sources (lw_window_session (window))->len, ==, 2);
  g_assert_true (has_source (window, "ecc83v2.emn") && has_source (window, "ecc83v2.emp"));
  gtk_widget_activate_action (GTK_WIDGET (window), "win.remarks", NULL);
  ui_spin (100);
  ui_close (window);
}

static void
open_set (LwWindow *window, GFile *const *files, guint n)
{
  lw_window_open_many (window, files, n);
  g_assert_true (ui_wait (is_read, window, 20000));
  g_assert_cmpstr (lw_window_last_problem (window), ==, NULL);
}

/* 160 parts by the native design's own count (coldfire_kit/README.md); the files are those a listing shows. */
static void
test_folder (void)
{
  g_autoptr (GFile) folder = sample ("coldfire_kit");
  LwWindow *window = ui_window (NULL);
  static const char *const files[] = { "coldfire.emn", "coldfire.emp", "coldfire.ipc", "coldfire-pos.csv", "README.md" };

  open_set (window, &folder, 1);
  for (guint i = 0; i < G_N_ELEMENTS (files); i++)
    g_assert_true (has_source (window, files[i]));
  g_assert_cmpuint (lw_session_sources (lw_window_session (window))->len, >, G_N_ELEMENTS (files)); /* plots, drills */
  g_assert_cmpuint (lw_desk_job (lw_window_desk (window))->parts->len, ==, 160);
  ui_close (window);
}

static void
pack (struct archive *out, const char *from, const char *name)
{
  g_autoptr (GFile) file = sample (from);
  struct archive_entry *entry = archive_entry_new ();
  g_autofree char *text = ui_read (file);

  archive_entry_set_pathname (entry, name);
  archive_entry_set_size (entry, (gint64) strlen (text));
  archive_entry_set_filetype (entry, AE_IFREG);
  archive_entry_set_perm (entry, 0644);
  g_assert_cmpint (archive_write_header (out, entry), ==, ARCHIVE_OK);
  g_assert_cmpint (archive_write_data (out, text, strlen (text)), ==, (gssize) strlen (text));
  archive_entry_free (entry);
}

static void
test_archive (void)
{
  g_autofree char *dir = g_dir_make_tmp ("leeward-pack-XXXXXX", NULL), *path = g_build_filename (dir, "board.zip", NULL);
  g_autoptr (GFile) file = g_file_new_for_path (path);
  struct archive *out = archive_write_new ();
  LwWindow *window = ui_window (NULL);

  archive_write_set_format_zip (out);
  g_assert_cmpint (archive_write_open_filename (out, path), ==, ARCHIVE_OK);
  pack (out, "ecc83_v2/ecc83v2.emn", "out/mine.emn");
  pack (out, "ecc83_v2/ecc83v2.emp", "out/mine.emp");
  g_assert_cmpint (archive_write_free (out), ==, ARCHIVE_OK);
  open_set (window, &file, 1);
  g_assert_cmpuint (lw_session_sources (lw_window_session (window))->len, ==, 2);
  g_assert_true (has_source (window, "mine.emn") && has_source (window, "mine.emp"));
  g_assert_cmpuint (lw_desk_job (lw_window_desk (window))->parts->len, ==, 15);
  ui_close (window);
  g_file_delete (file, NULL, NULL);
  g_rmdir (dir);
}

/* ---- damaged files ---- */

/* A board of the samples without its last lines, somewhere of its own. */
static GFile *
cut_board (gssize length)
{
  g_autoptr (GFile) whole = sample ("ecc83_v2/ecc83v2.emn");
  g_autofree char *dir = g_dir_make_tmp ("leeward-cut-XXXXXX", NULL), *path = g_build_filename (dir, "cut.emn", NULL);
  g_autofree char *text = ui_read (whole);

  g_assert_true (g_file_set_contents (path, text, length, NULL));
  return g_file_new_for_path (path);
}

static void
answer (GtkWidget *dialog, int response)
{
  gtk_dialog_response (GTK_DIALOG (dialog), response);
  ui_spin (50);
}

static GtkWidget *
unread_dialog (LwWindow *window, GFile *file)
{
  GtkWidget *dialog;

  lw_window_open (window, file, NULL);
  g_assert_true (ui_wait (is_read, window, 5000));
  dialog = ui_top_of_type (GTK_TYPE_MESSAGE_DIALOG);
  g_assert_nonnull (dialog);
  return dialog;
}

/* The message names file and line; the second button opens what is whole, as a document without a file. */
static void
test_damaged (void)
{
  g_autoptr (GFile) file = cut_board (3100);
  LwWindow *window = ui_window (NULL);
  GtkWidget *dialog = unread_dialog (window, file);
  const LwImportWarning *first;

  g_assert_true (g_str_has_prefix (lw_window_last_problem (window), "cut.emn:"));
  g_assert_null (lw_desk_document (lw_window_desk (window)));
  g_assert_nonnull (gtk_dialog_get_widget_for_response (GTK_DIALOG (dialog), GTK_RESPONSE_ACCEPT));
  answer (dialog, GTK_RESPONSE_ACCEPT);
  g_assert_nonnull (lw_desk_document (lw_window_desk (window)));
  g_assert_cmpuint (lw_desk_job (lw_window_desk (window))->parts->len, >, 0);
  g_assert_cmpuint (lw_desk_job (lw_window_desk (window))->parts->len, <, 15);
  first = g_ptr_array_index (lw_session_warnings (lw_window_session (window)), 0);
  g_assert_true (first->damage);
  g_assert_null (lw_document_file (lw_desk_document (lw_window_desk (window))));
  dialog = ui_top_of_type (GTK_TYPE_MESSAGE_DIALOG); /* the library's, which is not beside it */
  if (dialog != NULL)
    answer (dialog, GTK_RESPONSE_CANCEL);
  ui_close (window);
}

/* Declined, all stays as it was; and where nothing could be read nothing is offered. */
static void
test_damaged_declined (void)
{
  g_autoptr (GFile) file = cut_board (3100), bare = cut_board (40);
  LwWindow *window = ui_window (NULL);
  GtkWidget *dialog = unread_dialog (window, file);

  answer (dialog, GTK_RESPONSE_CLOSE);
  g_assert_null (lw_desk_document (lw_window_desk (window)));
  dialog = unread_dialog (window, bare);
  g_assert_null (gtk_dialog_get_widget_for_response (GTK_DIALOG (dialog), GTK_RESPONSE_ACCEPT));
  answer (dialog, GTK_RESPONSE_CLOSE);
  g_assert_null (ui_top_of_type (GTK_TYPE_MESSAGE_DIALOG));
  ui_close (window);
}

static void
test_stopped (void)
{
  g_autoptr (GFile) file = sample ("centroid_variants/a_mid_xy_suffix_mm.csv");
  LwWindow *window = ui_window (NULL);

  lw_window_open (window, file, NULL);
  gtk_widget_activate_action (GTK_WIDGET (window), "win.stop-reading", NULL);
  g_assert_false (lw_window_reading (window));
  ui_spin (300);
  g_assert_null (lw_desk_document (lw_window_desk (window)));
  g_assert_null (lw_window_last_problem (window));
  ui_close (window);
}

int
main (int argc, char **argv)
{
  ui_test_init (&argc, &argv);
  g_test_add_func ("/window-boards/table", test_table);
  g_test_add_func ("/window-boards/bare-table", test_bare_table);
  g_test_add_func ("/window-boards/table-refused", test_table_refused);
  g_test_add_func ("/window-boards/several", test_several);
  g_test_add_func ("/window-boards/folder", test_folder);
  g_test_add_func ("/window-boards/archive", test_archive);
  g_test_add_func ("/window-boards/damaged", test_damaged);
  g_test_add_func ("/window-boards/damaged-declined", test_damaged_declined);
  g_test_add_func ("/window-boards/stopped", test_stopped);
  return g_test_run ();
}
