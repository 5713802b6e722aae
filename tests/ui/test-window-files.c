/* The window and its files: open, bad file, save, changed by others, recovery, pictures. */
#include <string.h>
#include <unistd.h>

#include <glib/gstdio.h>

#include "app/recovery.h"
#include "app/reopen.h"
#include "app/settings.h"
#include "board/edits.h"
#include "board/job-file.h"
#include "ui-find.h"
#include "ui-fixture.h"

static gboolean
is_read (gpointer window)
{
  return !lw_window_reading (window);
}

static LwWindow *
open_in (LwWindow *window, GFile *file)
{
  lw_window_open (window, file, NULL);
  g_assert_true (ui_wait (is_read, window, 5000));
  return window;
}

static LwDocument *
document_of (LwWindow *window)
{
  return lw_desk_document (lw_window_desk (window));
}

static void
move_part (LwWindow *window)
{
  LwDesk *desk = lw_window_desk (window);

  lw_desk_edit (desk, lw_edit_move_part (lw_desk_job (desk), 1, 30, 20, NULL), "Move", NULL, NULL);
}

static void
test_open_edit_undo_save (void)
{
  g_autoptr (GFile) file = ui_job_file ("job.leeward");
  LwWindow *window = open_in (ui_window (NULL), file);
  g_autofree char *before = ui_read (file), *after = NULL, *again = NULL;

  g_assert_nonnull (document_of (window));
  g_assert_cmpstr (gtk_stack_get_visible_child_name (window->content), ==, "job");
  g_assert_cmpstr (gtk_label_get_text (window->title), ==, "job.leeward");
  move_part (window);
  gtk_widget_activate_action (GTK_WIDGET (window), "win.save", NULL);
  g_assert_false (lw_document_modified (document_of (window)));
  after = ui_read (file);
  g_assert_cmpstr (before, !=, after);
  gtk_widget_activate_action (GTK_WIDGET (window), "win.undo", NULL);
  g_assert_true (lw_document_modified (document_of (window)));
  gtk_widget_activate_action (GTK_WIDGET (window), "win.save", NULL);
  again = ui_read (file);
  g_assert_cmpstr (before, ==, again); /* to the byte */
  ui_close (window);
}

static guint
count_open (GFile *file)
{
  guint n = 0;

  for (GList *l = gtk_application_get_windows (ui_application ()); l != NULL; l = l->next)
    if (LW_IS_WINDOW (l->data) && document_of (l->data) != NULL && lw_document_file (document_of (l->data)) != NULL)
      n += g_file_equal (lw_document_file (document_of (l->data)), file);
  return n;
}

static gboolean
both_open (gpointer files)
{
  return count_open (((GFile **) files)[0]) == 1 && count_open (((GFile **) files)[1]) == 1;
}

static void
close_all (void)
{
  g_autoptr (GList) windows = g_list_copy (gtk_application_get_windows (ui_application ()));

  for (GList *l = windows; l != NULL; l = l->next)
    if (LW_IS_WINDOW (l->data))
      ui_close (l->data);
}

/* Two jobs are open when the program is left: both are there again, but one that has gone meanwhile is not. */
static void
test_reopen (void)
{
  g_autoptr (GFile) one = ui_job_file ("one.leeward"), two = ui_job_file ("two.leeward");
  GFile *files[] = { one, two };
  LwWindow *again;

  open_in (ui_window (NULL), one);
  open_in (ui_window (NULL), two);
  lw_reopen_leave (ui_application ());
  close_all ();
  again = ui_window (NULL);
  lw_reopen (again);
  g_assert_true (ui_wait (both_open, files, 10000));
  lw_reopen_leave (ui_application ());
  close_all ();
  g_assert_true (g_file_delete (two, NULL, NULL));
  again = ui_window (NULL);
  lw_reopen (again);
  g_assert_true (ui_wait (is_read, again, 5000));
  g_assert_cmpuint (count_open (one), ==, 1);
  g_assert_cmpuint (count_open (two), ==, 0);
  g_assert_null (lw_window_last_problem (again));
  close_all ();
}

/* What a file manager hands over. */
static void
drop_files (LwWindow *window, GFile *const *files, guint n)
{
  g_autoptr (GListModel) controllers = gtk_widget_observe_controllers (GTK_WIDGET (window));
  g_auto (GValue) value = G_VALUE_INIT;
  GSList *list = NULL;
  gboolean taken = FALSE;

  for (guint i = n; i-- > 0;)
    list = g_slist_prepend (list, g_object_ref (files[i]));
  g_value_init (&value, GDK_TYPE_FILE_LIST);
  g_value_take_boxed (&value, list);
  for (guint i = 0; i < g_list_model_get_n_items (controllers); i++) {
    g_autoptr (GObject) controller = g_list_model_get_item (controllers, i);

    if (GTK_IS_DROP_TARGET (controller))
      g_signal_emit_by_name (controller, "drop", &value, 10.0, 10.0, &taken);
  }
  g_assert_true (taken);
}

static GFile *
bad_file (const char *text)
{
  g_autofree char *path = NULL;
  g_autoptr (GError) error = NULL;
  int fd = g_file_open_tmp ("leeward-bad-XXXXXX.leeward", &path, &error);

  g_assert_no_error (error);
  g_assert_cmpint (write (fd, text, strlen (text)), ==, strlen (text));
  close (fd);
  return g_file_new_for_path (path);
}

static guint
count_windows (void)
{
  return g_list_length (gtk_application_get_windows (ui_application ()));
}

static void
test_bad_file_leaves_the_document (void)
{
  g_autoptr (GFile) bad = bad_file ("{ \"leeward_format\": 1,\n \"title\": \"cut o");
  LwWindow *window = ui_window (ui_planned_job ());
  LwDocument *document = document_of (window);
  guint windows = count_windows ();

  move_part (window);
  open_in (window, bad);
  g_assert_true (document_of (window) == document);
  g_assert_true (lw_document_modified (document));
  g_assert_nonnull (lw_window_last_problem (window));
  g_assert_nonnull (strstr (lw_window_last_problem (window), ".leeward:2")); /* file and line */
  g_assert_cmpuint (count_windows (), ==, windows); /* no empty second one */
  ui_close_dialogs ();
  ui_close (window);
}

static void
test_missing_file_is_told (void)
{
  g_autoptr (GFile) missing = g_file_new_for_path ("/nonexistent/job.leeward");
  LwWindow *window = open_in (ui_window (NULL), missing);

  g_assert_null (document_of (window));
  g_assert_nonnull (lw_window_last_problem (window));
  ui_close_dialogs ();
  ui_close (window);
}

static void
test_unwritable_save_is_told (void)
{
  g_autoptr (GFile) file = ui_job_file ("job.leeward");
  g_autoptr (GFile) nowhere = g_file_new_for_path ("/nonexistent/folder/job.leeward");
  LwWindow *window = open_in (ui_window (NULL), file);

  move_part (window);
  lw_document_mark_saved (document_of (window), nowhere);
  lw_desk_edit (lw_window_desk (window),
                lw_edit_move_part (lw_desk_job (lw_window_desk (window)), 1, 31, 20, NULL), "Move", NULL, NULL);
  gtk_widget_activate_action (GTK_WIDGET (window), "win.save", NULL);
  g_assert_nonnull (lw_window_last_problem (window));
  g_assert_true (lw_document_modified (document_of (window)));
  ui_close_dialogs ();
  ui_close (window);
}

static void
test_second_document_gets_a_window (void)
{
  g_autoptr (GFile) file = ui_job_file ("second.leeward");
  LwWindow *window = ui_window (ui_planned_job ()), *other;
  LwDocument *document = document_of (window);
  GtkWindow *active;

  open_in (window, file);
  g_assert_true (document_of (window) == document);
  active = gtk_application_get_windows (ui_application ())->data;
  g_assert_true (LW_IS_WINDOW (active));
  other = LW_WINDOW (active);
  g_assert_true (other != window);
  g_assert_true (g_file_equal (lw_document_file (document_of (other)), file));
  other->closing = TRUE;
  gtk_window_close (active);
  ui_close (window);
}

static gboolean
bar_is_shown (gpointer bar)
{
  return gtk_info_bar_get_revealed (bar);
}

static void
test_change_by_others_is_noticed (void)
{
  g_autoptr (GFile) file = ui_job_file ("job.leeward");
  LwWindow *window = open_in (ui_window (NULL), file);
  g_autofree char *text = ui_read (file), *path = g_file_get_path (file), *spaced = NULL;

  move_part (window);
  gtk_widget_activate_action (GTK_WIDGET (window), "win.save", NULL);
  ui_spin (1200);
  g_assert_false (gtk_info_bar_get_revealed (window->disk_bar)); /* our own writing is none */
  spaced = g_strconcat (text, "\n", NULL);
  g_assert_true (g_file_set_contents (path, spaced, -1, NULL));
  g_assert_true (ui_wait (bar_is_shown, window->disk_bar, 5000));
  gtk_widget_activate_action (GTK_WIDGET (window), "win.reload", NULL);
  g_assert_cmpfloat (((LwPart *) g_ptr_array_index (lw_desk_job (lw_window_desk (window))->parts, 1))->x_mm, ==, 27);
  g_assert_false (lw_document_modified (document_of (window)));
  g_assert_false (gtk_info_bar_get_revealed (window->disk_bar));
  ui_close (window);
}

static void
test_recovery (void)
{
  g_autoptr (LwDocument) document = lw_document_new (ui_planned_job (), NULL);
  g_autoptr (LwRecovery) recovery = lw_recovery_new (document, 60);
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) left = NULL;
  LwWindow *window = ui_window (NULL);

  lw_document_edit (document, lw_edit_move_part (lw_document_job (document), 1, 31, 20, NULL), "Move", NULL);
  g_assert_true (lw_recovery_write (recovery, &error));
  g_assert_no_error (error);
  left = lw_recovery_leftovers ();
  g_assert_cmpuint (left->len, ==, 0); /* its program is still there */
  g_clear_object (&recovery);          /* as if it had died */
  g_ptr_array_unref (left);
  left = lw_recovery_leftovers ();
  g_assert_cmpuint (left->len, ==, 1);
  lw_window_offer_recovery (window, g_ptr_array_steal_index (left, 0));
  g_assert_true (gtk_info_bar_get_revealed (window->recovery_bar));
  gtk_widget_activate_action (GTK_WIDGET (window), "win.recover", NULL);
  g_assert_cmpfloat (((LwPart *) g_ptr_array_index (lw_desk_job (lw_window_desk (window))->parts, 1))->x_mm, ==, 31);
  g_assert_true (lw_document_modified (document_of (window)));
  ui_close (window);
}

static void
test_clean_document_leaves_nothing (void)
{
  g_autoptr (GFile) file = ui_job_file ("job.leeward");
  g_autoptr (GError) error = NULL;
  g_autoptr (LwJob) job = lw_job_load (file, NULL, &error);
  g_autoptr (LwDocument) document = lw_document_new (g_steal_pointer (&job), file);
  g_autoptr (LwRecovery) recovery = lw_recovery_new (document, 60);
  g_autoptr (GPtrArray) left = NULL;

  lw_document_edit (document, lw_edit_move_part (lw_document_job (document), 1, 31, 20, NULL), "Move", NULL);
  g_assert_true (lw_recovery_write (recovery, &error));
  g_assert_true (lw_document_save (document, file, NULL, &error));
  g_clear_object (&recovery);
  left = lw_recovery_leftovers ();
  g_assert_cmpuint (left->len, ==, 0);
}

static void
check_picture (LwWindow *window, LwPicture picture, const char *name, const char *magic)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *dir = g_dir_make_tmp ("leeward-pic-XXXXXX", &error);
  g_autofree char *path = g_build_filename (dir, name, NULL), *text = NULL;
  g_autoptr (GFile) file = g_file_new_for_path (path);

  g_assert_true (lw_window_export (window, picture, file, &error));
  g_assert_no_error (error);
  text = ui_read (file);
  g_assert_nonnull (strstr (text, magic));
}

static void
test_pictures (void)
{
  LwWindow *window = ui_window (ui_planned_job ());

  check_picture (window, LW_PICTURE_BOARD, "board.png", "PNG");
  check_picture (window, LW_PICTURE_BOARD, "board.svg", "<svg");
  check_picture (window, LW_PICTURE_PROFILE, "profile.png", "PNG");
  check_picture (window, LW_PICTURE_PROFILE, "profile.svg", "<svg");
  ui_close (window);
}

static void
check_written (LwWindow *window, LwExportKind kind, const char *path)
{
  const LwJob *job = lw_desk_job (lw_window_desk (window));
  g_autoptr (GFile) file = g_file_new_for_path (path);
  g_autoptr (LwImport) back = NULL;
  g_autoptr (GError) error = NULL;
  g_autofree char *told = NULL;
  GtkWidget *dialog;

  lw_window_write_board (window, kind, file);
  g_assert_null (lw_window_last_problem (window));
  dialog = ui_top_of_type (GTK_TYPE_MESSAGE_DIALOG); /* the plan, at the least, has no place there */
  g_assert_nonnull (dialog);
  g_object_get (dialog, "secondary-text", &told, NULL);
  g_assert_nonnull (strstr (told, "plan"));
  gtk_dialog_response (GTK_DIALOG (dialog), GTK_RESPONSE_CLOSE);
  back = lw_import (file, NULL, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (back->job->parts->len, ==, job->parts->len);
  for (guint i = 0; i < job->parts->len; i++) {
    const LwPart *part = g_ptr_array_index (job->parts, i);
    int at = lw_job_find_part (back->job, part->ref);

    g_assert_cmpint (at, >=, 0);
    g_assert_cmpfloat_with_epsilon (((LwPart *) g_ptr_array_index (back->job->parts, at))->x_mm, part->x_mm, 0.001);
  }
}

/* The library beside the board was named by nobody: it is asked for, and kept when the answer is no. */
static void
check_asked (LwWindow *window, const char *emn, const char *emp)
{
  g_autoptr (GFile) file = g_file_new_for_path (emn);
  g_autofree char *kept = NULL, *replaced = NULL;

  g_assert_true (g_file_set_contents (emp, "mine", -1, NULL));
  lw_window_write_board (window, LW_EXPORT_IDF, file);
  gtk_dialog_response (GTK_DIALOG (ui_top_of_type (GTK_TYPE_MESSAGE_DIALOG)), GTK_RESPONSE_CANCEL);
  g_assert_true (g_file_get_contents (emp, &kept, NULL, NULL));
  g_assert_cmpstr (kept, ==, "mine");
  lw_window_write_board (window, LW_EXPORT_IDF, file);
  gtk_dialog_response (GTK_DIALOG (ui_top_of_type (GTK_TYPE_MESSAGE_DIALOG)), GTK_RESPONSE_ACCEPT);
  g_assert_true (g_file_get_contents (emp, &replaced, NULL, NULL));
  g_assert_cmpstr (replaced, !=, "mine");
  ui_spin (20);
  gtk_dialog_response (GTK_DIALOG (ui_top_of_type (GTK_TYPE_MESSAGE_DIALOG)), GTK_RESPONSE_CLOSE); /* what was left out */
}

/* Written, told, and read back; the action goes with the document, and a wrong name replaces nothing. */
static void
test_board_out (void)
{
  g_autofree char *dir = g_dir_make_tmp ("leeward-out-XXXXXX", NULL), *emn = g_build_filename (dir, "a.emn", NULL);
  g_autofree char *csv = g_build_filename (dir, "a.csv", NULL), *emp = g_build_filename (dir, "a.emp", NULL);
  g_autofree char *wrong = g_build_filename (dir, "a.txt", NULL);
  g_autoptr (GFile) other = g_file_new_for_path (wrong);
  LwWindow *window = ui_window (ui_planned_job ()), *empty = ui_window (NULL);

  check_written (window, LW_EXPORT_IDF, emn);
  g_assert_true (g_file_test (emp, G_FILE_TEST_EXISTS));
  check_written (window, LW_EXPORT_CENTROID, csv);
  check_asked (window, emn, emp);
  lw_window_write_board (window, LW_EXPORT_IDF, other);
  g_assert_nonnull (strstr (lw_window_last_problem (window), ".emn"));
  g_assert_false (g_file_test (wrong, G_FILE_TEST_EXISTS));
  g_assert_true (g_action_group_get_action_enabled (G_ACTION_GROUP (window), "export-idf"));
  g_assert_false (g_action_group_get_action_enabled (G_ACTION_GROUP (empty), "export-idf"));
  g_assert_false (g_action_group_get_action_enabled (G_ACTION_GROUP (empty), "export-placement"));
  gtk_dialog_response (GTK_DIALOG (ui_top_of_type (GTK_TYPE_MESSAGE_DIALOG)), GTK_RESPONSE_CLOSE);
  ui_close (window);
  ui_close (empty);
}

static void
test_demo (void)
{
  LwWindow *window = ui_window (NULL);

  lw_window_open_demo (window);
  g_assert_nonnull (document_of (window));
  g_assert_null (lw_document_file (document_of (window))); /* an untitled copy */
  g_assert_cmpuint (lw_desk_job (lw_window_desk (window))->parts->len, >=, 60);
  g_assert_cmpint (lw_desk_plan (lw_window_desk (window)), >=, 0);
  ui_close (window);
}

static gboolean
has_problem (gpointer window)
{
  return lw_window_last_problem (window) != NULL;
}

/* A job dragged in is opened; two at once are open both; one that is broken is told, and what is open stays. */
static void
test_dragged_in (void)
{
  g_autoptr (GFile) one = ui_job_file ("dragged-one.leeward"), two = ui_job_file ("dragged-two.leeward");
  g_autoptr (GFile) bad = bad_file ("{ \"leeward_format\": 1, ");
  GFile *files[] = { one, two };
  LwWindow *window = ui_window (NULL);

  drop_files (window, files, 1);
  g_assert_true (ui_wait (is_read, window, 5000));
  g_assert_cmpuint (count_open (one), ==, 1);
  drop_files (window, &bad, 1);
  g_assert_true (ui_wait (has_problem, window, 5000));
  g_assert_cmpuint (count_open (one), ==, 1);
  close_all ();
  window = ui_window (NULL);
  drop_files (window, files, 2);
  g_assert_true (ui_wait (both_open, files, 10000));
  close_all ();
  g_assert_true (g_file_delete (bad, NULL, NULL));
}

static guint
count_copies (void)
{
  g_autofree char *path = g_build_filename (g_get_user_data_dir (), "leeward", "recovery", NULL);
  g_autoptr (GDir) dir = g_dir_open (path, 0, NULL);
  const char *name;
  guint n = 0;

  while (dir != NULL && (name = g_dir_read_name (dir)) != NULL)
    n += g_str_has_suffix (name, ".leeward");
  return n;
}

static gboolean
has_copy (gpointer before)
{
  return count_copies () > *(guint *) before;
}

/* Each change waits as long as the preferences say now, not as they said when the job was opened. */
static void
test_recovery_pause (void)
{
  g_autoptr (GFile) file = ui_job_file ("pause.leeward");
  LwWindow *window = ui_window (NULL);
  guint before = count_copies ();

  lw_settings_set_int ("autosave-seconds", 300);
  open_in (window, file);
  lw_settings_set_int ("autosave-seconds", 1);
  move_part (window);
  g_assert_true (ui_wait (has_copy, &before, 8000));
  lw_settings_set_int ("autosave-seconds", 5);
  close_all ();
}

int
main (int argc, char **argv)
{
  ui_test_init (&argc, &argv);
  g_test_add_func ("/files/reopen", test_reopen);
  g_test_add_func ("/files/open-edit-undo-save", test_open_edit_undo_save);
  g_test_add_func ("/files/bad-file-leaves-the-document", test_bad_file_leaves_the_document);
  g_test_add_func ("/files/missing-file-is-told", test_missing_file_is_told);
  g_test_add_func ("/files/unwritable-save-is-told", test_unwritable_save_is_told);
  g_test_add_func ("/files/second-document-gets-a-window", test_second_document_gets_a_window);
  g_test_add_func ("/files/change-by-others-is-noticed", test_change_by_others_is_noticed);
  g_test_add_func ("/files/recovery", test_recovery);
  g_test_add_func ("/files/recovery-pause", test_recovery_pause);
  g_test_add_func ("/files/dragged-in", test_dragged_in);
  g_test_add_func ("/files/clean-document-leaves-nothing", test_clean_document_leaves_nothing);
  g_test_add_func ("/files/pictures", test_pictures);
  g_test_add_func ("/files/board-out", test_board_out);
  g_test_add_func ("/files/demo", test_demo);
  return g_test_run ();
}
