/* A job that cannot be saved where it lies is saved elsewhere: the dialog that tells of it leads there, by keyboard, also on the
 * way of closing the window, which a failed save must not do. */
#include <unistd.h>

#include <glib/gstdio.h>

#include "board/edits.h"
#include "board/job-file.h"
#include "hands.h"
#include "ui-find.h"

enum { RESPONSE_SAVE = 1 }; /* of the question before closing */

/* The file's folder may be read, not written; OTHER is a name in another. */
typedef struct {
  GFile *file, *other;
  char *folder, *other_path;
  LwWindow *window;
} Stand;

static LwDocument *
document_of (LwWindow *window)
{
  return lw_desk_document (lw_window_desk (window));
}

static gboolean
is_read (gpointer window)
{
  return document_of (window) != NULL && !lw_window_reading (window);
}

static double
place_in (GFile *file)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwJob) job = lw_job_load (file, NULL, &error);

  g_assert_no_error (error); /* whole */
  return ((LwPart *) g_ptr_array_index (job->parts, 1))->x_mm;
}

static void
stand_open (Stand *stand)
{
  g_autoptr (GFile) folder = NULL, elsewhere = ui_job_file ("there.leeward"), other_folder = g_file_get_parent (elsewhere);
  LwDesk *desk;

  stand->file = ui_job_file ("job.leeward");
  folder = g_file_get_parent (stand->file);
  stand->folder = g_file_get_path (folder);
  stand->other = g_file_get_child (other_folder, "other.leeward");
  stand->other_path = g_file_get_path (stand->other);
  stand->window = ui_window (NULL);
  lw_window_open (stand->window, stand->file, NULL);
  g_assert_true (ui_wait (is_read, stand->window, 5000));
  desk = lw_window_desk (stand->window);
  lw_desk_edit (desk, lw_edit_move_part (lw_desk_job (desk), 1, 31, 20, NULL), "Move", NULL, NULL);
  ui_spin (300);
  g_assert_cmpint (g_chmod (stand->folder, 0555), ==, 0);
}

static void
stand_clear (Stand *stand)
{
  g_assert_cmpint (g_chmod (stand->folder, 0755), ==, 0);
  g_clear_object (&stand->file);
  g_clear_object (&stand->other);
  g_free (stand->folder);
  g_free (stand->other_path);
}

/* Root may write everywhere, so it becomes nobody for the moment. */
static void
save_as_nobody (void (*save) (LwWindow *window), LwWindow *window)
{
  if (geteuid () == 0)
    g_assert_cmpint (seteuid (65534), ==, 0);
  save (window);
  if (getuid () == 0)
    g_assert_cmpint (seteuid (0), ==, 0);
}

static void
save (LwWindow *window)
{
  gtk_widget_activate_action (GTK_WIDGET (window), "win.save", NULL);
}

static void
answer_with_save (LwWindow *window)
{
  gtk_dialog_response (ui_top_of_type (GTK_TYPE_MESSAGE_DIALOG), RESPONSE_SAVE);
}

static void
assert_nothing_saved (Stand *stand)
{
  GtkWidget *told = wait_for ("GtkMessageDialog");

  g_assert_nonnull (ui_button (told, "_Close"));
  g_assert_nonnull (ui_button (told, "Save _As…"));
  g_assert_true (lw_document_modified (document_of (stand->window)));
  g_assert_cmpfloat (place_in (stand->file), ==, 27);
  g_assert_false (g_file_query_exists (stand->other, NULL));
}

/* What a person does: Save As, another name, Enter. */
static void
go_elsewhere (Stand *stand)
{
  key ("alt+a");
  wait_for ("GtkFileChooserDialog");
  g_assert_false (is_up ((gpointer) "GtkMessageDialog"));
  key ("ctrl+a");
  type (stand->other_path);
  key ("Return");
}

static gboolean
is_saved_there (gpointer other)
{
  return g_file_query_exists (other, NULL);
}

static void
test_another_name (void)
{
  Stand stand;

  stand_open (&stand);
  save_as_nobody (save, stand.window);
  assert_nothing_saved (&stand);
  go_elsewhere (&stand);
  g_assert_true (ui_wait (is_saved_there, stand.other, 10000));
  ui_spin (100);
  g_assert_cmpfloat (place_in (stand.other), ==, 31);
  g_assert_cmpfloat (place_in (stand.file), ==, 27);
  g_assert_false (lw_document_modified (document_of (stand.window)));
  g_assert_true (g_file_equal (lw_document_file (document_of (stand.window)), stand.other));
  g_assert_cmpstr (gtk_label_get_text (stand.window->title), ==, "other.leeward");
  g_assert_null (lw_window_last_problem (stand.window));
  ui_close (stand.window);
  stand_clear (&stand);
}

/* Up to the dialog that tells of the failure. */
static void
close_and_fail (Stand *stand)
{
  key ("ctrl+w");
  wait_for ("GtkMessageDialog");
  save_as_nobody (answer_with_save, stand->window);
  ui_spin (300);
  assert_nothing_saved (stand);
  g_assert_true (gtk_widget_get_visible (GTK_WIDGET (stand->window)));
}

static gboolean
is_closed (gpointer window)
{
  return g_list_find (gtk_application_get_windows (ui_application ()), window) == NULL;
}

static void
test_closing (void)
{
  Stand stand;

  stand_open (&stand);
  close_and_fail (&stand);
  go_elsewhere (&stand);
  g_assert_true (ui_wait (is_closed, stand.window, 10000)); /* as was asked for in the first place */
  g_assert_cmpfloat (place_in (stand.other), ==, 31);
  g_assert_cmpfloat (place_in (stand.file), ==, 27);
  ui_drop_runs ();
  stand_clear (&stand);
}

/* Once it was given up, a save that works later is no more than a save. */
static void
test_closing_given_up (void)
{
  Stand stand;

  stand_open (&stand);
  close_and_fail (&stand);
  key ("alt+c");
  g_assert_true (ui_wait (is_not_up, (gpointer) "GtkMessageDialog", 5000));
  g_assert_false (is_closed (stand.window));
  g_assert_cmpint (g_chmod (stand.folder, 0755), ==, 0);
  save (stand.window);
  ui_spin (200);
  g_assert_false (is_closed (stand.window));
  g_assert_false (lw_document_modified (document_of (stand.window)));
  g_assert_cmpfloat (place_in (stand.file), ==, 31);
  ui_close (stand.window);
  stand_clear (&stand);
}

int
main (int argc, char **argv)
{
  GPid wm;

  ui_test_init (&argc, &argv);
  wm = hands_start_still ();
  g_test_add_func ("/save-elsewhere/another-name", test_another_name);
  g_test_add_func ("/save-elsewhere/closing", test_closing);
  g_test_add_func ("/save-elsewhere/closing-given-up", test_closing_given_up);
  return hands_run (wm);
}
