/* The bench sheet from the window: made only when its figures are there, written, printed to a file, and a print or a
 * file that fails is told and changes nothing. */
#include <string.h>

#include <glib/gstdio.h>

#include "app/window-print.h"
#include "board/operations.h"
#include "ui-find.h"
#include "ui-fixture.h"

static LwWindow *
answered_window (void)
{
  LwWindow *window = ui_window (ui_planned_job ());
  LwDesk *desk = lw_window_desk (window);
  LwPrediction *prediction = ui_prediction (lw_desk_job (desk), 150);
  GPtrArray *findings = ui_findings ();

  prediction->plan = (guint) lw_desk_plan (desk);
  g_assert_true (lw_desk_take_answer (desk, lw_document_revision (lw_desk_document (desk)), prediction, findings));
  lw_prediction_unref (prediction);
  g_ptr_array_unref (findings);
  return window;
}

static void
test_too_soon (void)
{
  LwWindow *window = ui_window (ui_planned_job ());
  g_autoptr (GError) error = NULL;

  g_assert_false (lw_window_write_sheet (window, LW_SHEET_FILE_PDF, "/nowhere/x.pdf", &error));
  g_assert_error (error, G_IO_ERROR, G_IO_ERROR_BUSY);
  gtk_widget_activate_action (GTK_WIDGET (window), "win.print", NULL);
  g_assert_nonnull (lw_window_last_problem (window));
  g_assert_nonnull (strstr (lw_window_last_problem (window), "computed"));
  ui_close_dialogs ();
  ui_close (window);
}

static void
test_files (void)
{
  LwWindow *window = answered_window ();
  g_autoptr (GError) error = NULL;
  g_autofree char *folder = g_dir_make_tmp ("leeward-print-XXXXXX", &error);
  g_autofree char *pdf = g_build_filename (folder, "a.pdf", NULL), *csv = g_build_filename (folder, "a.csv", NULL);
  g_autofree char *one = NULL, *two = NULL;

  g_assert_true (lw_window_write_sheet (window, LW_SHEET_FILE_PDF, pdf, &error));
  g_assert_true (lw_window_write_sheet (window, LW_SHEET_FILE_STAGES, csv, &error));
  g_assert_true (g_file_get_contents (pdf, &one, NULL, NULL));
  g_assert_true (g_file_get_contents (csv, &two, NULL, NULL));
  g_assert_true (g_str_has_prefix (one, "%PDF-"));
  g_assert_true (g_str_has_prefix (two, "stage,"));
  g_assert_false (lw_window_write_sheet (window, LW_SHEET_FILE_PDF, folder, &error)); /* a folder */
  g_assert_nonnull (error);
  g_remove (pdf);
  g_remove (csv);
  g_rmdir (folder);
  ui_close (window);
}

static gboolean
has_problem (gpointer window)
{
  return lw_window_last_problem (window) != NULL;
}

static gboolean
is_file (gpointer path)
{
  g_autofree char *data = NULL;
  gsize length = 0;

  return g_file_get_contents (path, &data, &length, NULL) && length > 6 && strstr (data + length - 7, "%%EOF") != NULL;
}

static void
test_print (void)
{
  LwWindow *window = answered_window ();
  LwDocument *document = lw_desk_document (lw_window_desk (window));
  guint64 revision = lw_document_revision (document);
  g_autoptr (GError) error = NULL;
  g_autofree char *folder = g_dir_make_tmp ("leeward-print-XXXXXX", &error);
  g_autofree char *pdf = g_build_filename (folder, "printed.pdf", NULL), *none = g_build_filename (folder, "no", "x.pdf", NULL);

  lw_window_print (window, GTK_PRINT_OPERATION_ACTION_EXPORT, pdf);
  g_assert_true (ui_wait (is_file, pdf, 10000));
  g_assert_null (lw_window_last_problem (window));
  lw_window_print (window, GTK_PRINT_OPERATION_ACTION_EXPORT, none);
  g_assert_true (ui_wait (has_problem, window, 10000));
  g_assert_cmpuint (lw_document_revision (document), ==, revision);
  ui_close_dialogs ();
  g_remove (pdf);
  g_rmdir (folder);
  ui_close (window);
}

/* Nothing is computed for work done by hand, so nothing is waited for; a table of temperatures there is none. */
static void
test_by_hand (void)
{
  g_autoptr (LwJob) job = ui_planned_job ();
  g_autoptr (GError) error = NULL;
  LwWindow *window = ui_window (lw_edit_add_operation (job, "U1", LW_OP_PRINT, &error));
  g_autofree char *folder = g_dir_make_tmp ("leeward-print-XXXXXX", NULL), *pdf = g_build_filename (folder, "a.pdf", NULL);

  g_assert_no_error (error);
  g_assert_true (lw_window_write_sheet (window, LW_SHEET_FILE_PDF, pdf, &error));
  g_assert_true (is_file (pdf));
  g_assert_false (lw_window_write_sheet (window, LW_SHEET_FILE_STAGES, pdf, &error));
  g_assert_error (error, G_IO_ERROR, G_IO_ERROR_NOT_SUPPORTED);
  g_remove (pdf);
  g_rmdir (folder);
  ui_close (window);
}

int
main (int argc, char **argv)
{
  ui_test_init (&argc, &argv);
  g_test_add_func ("/print/too-soon", test_too_soon);
  g_test_add_func ("/print/files", test_files);
  g_test_add_func ("/print/by-hand", test_by_hand);
  g_test_add_func ("/print/print", test_print);
  return g_test_run ();
}
