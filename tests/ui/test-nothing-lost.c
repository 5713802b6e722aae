/* Nothing is lost: a full disk, a folder that may not be written, a place that vanishes, another's changes, and the
 * program itself killed without warning. */
#include <signal.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <glib/gstdio.h>

#include "app/recovery.h"
#include "board/edits.h"
#include "board/job-file.h"
#include "ui-find.h"
#include "ui-fixture.h"

static const char *program; /* the executable under test */

static LwDocument *
document_of (LwWindow *window)
{
  return lw_desk_document (lw_window_desk (window));
}

static gboolean
is_read (gpointer window)
{
  return !lw_window_reading (window);
}

static LwWindow *
open_job (GFile *file)
{
  LwWindow *window = ui_window (NULL);

  lw_window_open (window, file, NULL);
  g_assert_true (ui_wait (is_read, window, 5000));
  g_assert_nonnull (document_of (window));
  return window;
}

static void
move_part (LwWindow *window, double x_mm)
{
  LwDesk *desk = lw_window_desk (window);

  lw_desk_edit (desk, lw_edit_move_part (lw_desk_job (desk), 1, x_mm, 20, NULL), "Move", NULL, NULL);
}

static double
place_in (GFile *file)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwJob) job = lw_job_load (file, NULL, &error);

  g_assert_no_error (error); /* whole at every moment */
  return ((LwPart *) g_ptr_array_index (job->parts, 1))->x_mm;
}

static void
save (LwWindow *window)
{
  gtk_widget_activate_action (GTK_WIDGET (window), "win.save", NULL);
}

/* The save fails, is told, and leaves both the old file and the changes; afterwards it works. */
static void
fails_and_is_told (LwWindow *window, GFile *file, double before)
{
  save (window);
  g_assert_nonnull (lw_window_last_problem (window));
  g_assert_nonnull (ui_top_of_type (GTK_TYPE_MESSAGE_DIALOG));
  gtk_window_destroy (GTK_WINDOW (ui_top_of_type (GTK_TYPE_MESSAGE_DIALOG)));
  g_assert_true (lw_document_modified (document_of (window)));
  if (file != NULL)
    g_assert_cmpfloat (place_in (file), ==, before);
}

static void
works_again (LwWindow *window, GFile *file, double x_mm)
{
  save (window);
  g_assert_null (ui_top_of_type (GTK_TYPE_MESSAGE_DIALOG));
  g_assert_false (lw_document_modified (document_of (window)));
  g_assert_cmpfloat (place_in (file), ==, x_mm);
  ui_close (window);
}

/* A limit on the size of files acts as a full disk does: the write breaks off midway. */
static void
test_full_disk (void)
{
  g_autoptr (GFile) file = ui_job_file ("job.leeward");
  LwWindow *window = open_job (file);
  struct rlimit usual, full;

  move_part (window, 31);
  g_assert_cmpint (getrlimit (RLIMIT_FSIZE, &usual), ==, 0);
  full = usual;
  full.rlim_cur = 600;
  signal (SIGXFSZ, SIG_IGN);
  g_assert_cmpint (setrlimit (RLIMIT_FSIZE, &full), ==, 0);
  g_assert_false (lw_session_keep (lw_window_session (window), NULL)); /* nor the copy */
  fails_and_is_told (window, file, 27);
  g_assert_cmpint (setrlimit (RLIMIT_FSIZE, &usual), ==, 0);
  g_assert_true (lw_session_keep (lw_window_session (window), NULL));
  works_again (window, file, 31);
}

/* Root may write everywhere, so it becomes nobody for the moment. */
static void
test_read_only_folder (void)
{
  g_autoptr (GFile) file = ui_job_file ("job.leeward"), folder = g_file_get_parent (file);
  g_autofree char *path = g_file_get_path (folder);
  LwWindow *window = open_job (file);

  move_part (window, 31);
  g_assert_cmpint (g_chmod (path, 0555), ==, 0);
  if (geteuid () == 0)
    g_assert_cmpint (seteuid (65534), ==, 0);
  save (window);
  if (getuid () == 0)
    g_assert_cmpint (seteuid (0), ==, 0);
  g_assert_cmpint (g_chmod (path, 0755), ==, 0);
  g_assert_nonnull (strstr (lw_window_last_problem (window), "job.leeward"));
  gtk_window_destroy (GTK_WINDOW (ui_top_of_type (GTK_TYPE_MESSAGE_DIALOG)));
  g_assert_true (lw_document_modified (document_of (window)));
  g_assert_cmpfloat (place_in (file), ==, 27);
  works_again (window, file, 31);
}

/* As a network place that is gone and comes back. */
static void
test_vanished_place (void)
{
  g_autoptr (GFile) file = ui_job_file ("job.leeward"), folder = g_file_get_parent (file);
  g_autofree char *path = g_file_get_path (folder), *away = g_strconcat (path, ".away", NULL);
  LwWindow *window = open_job (file);

  move_part (window, 31);
  g_assert_cmpint (g_rename (path, away), ==, 0);
  fails_and_is_told (window, NULL, 0);
  g_assert_true (g_file_set_contents (path, "not a folder", -1, NULL)); /* something else in its place */
  fails_and_is_told (window, NULL, 0);
  g_assert_true (lw_session_keep (lw_window_session (window), NULL)); /* safe meanwhile */
  g_assert_cmpint (g_unlink (path), ==, 0);
  g_assert_cmpint (g_rename (away, path), ==, 0);
  works_again (window, file, 31);
}

static void
write_by_others (GFile *file, double x_mm)
{
  g_autoptr (LwJob) job = lw_job_load (file, NULL, NULL), moved = lw_edit_move_part (job, 1, x_mm, 20, NULL);

  g_assert_true (lw_job_save (moved, file, NULL, NULL));
}

static gboolean
bar_is_shown (gpointer bar)
{
  return gtk_info_bar_get_revealed (bar);
}

/* What another wrote is replaced only when somebody says so. */
static void
test_changed_elsewhere (void)
{
  g_autoptr (GFile) file = ui_job_file ("job.leeward");
  LwWindow *window = open_job (file);

  move_part (window, 31);
  write_by_others (file, 12);
  save (window); /* at once, before any word of the change */
  g_assert_nonnull (ui_top_of_type (GTK_TYPE_MESSAGE_DIALOG));
  gtk_dialog_response (ui_top_of_type (GTK_TYPE_MESSAGE_DIALOG), GTK_RESPONSE_CANCEL);
  g_assert_cmpfloat (place_in (file), ==, 12);
  g_assert_true (lw_document_modified (document_of (window)));
  save (window);
  gtk_dialog_response (ui_top_of_type (GTK_TYPE_MESSAGE_DIALOG), 1); /* replace */
  g_assert_cmpfloat (place_in (file), ==, 31);
  write_by_others (file, 13);
  g_assert_true (ui_wait (bar_is_shown, window->disk_bar, 5000));
  move_part (window, 32);
  gtk_widget_activate_action (GTK_WIDGET (window), "win.reload", NULL);
  g_assert_cmpfloat (((LwPart *) g_ptr_array_index (lw_desk_job (lw_window_desk (window))->parts, 1))->x_mm, ==, 13);
  gtk_widget_activate_action (GTK_WIDGET (window), "win.undo", NULL); /* our own is not gone */
  g_assert_cmpfloat (((LwPart *) g_ptr_array_index (lw_desk_job (lw_window_desk (window))->parts, 1))->x_mm, ==, 32);
  works_again (window, file, 32);
}

/* The same file a second time is the same window. */
static void
test_two_windows (void)
{
  g_autoptr (GFile) file = ui_job_file ("job.leeward");
  LwWindow *window = open_job (file), *other = ui_window (NULL);
  guint n = g_list_length (gtk_application_get_windows (ui_application ()));

  move_part (window, 31);
  lw_window_open (other, file, NULL);
  g_assert_true (ui_wait (is_read, other, 5000));
  g_assert_null (document_of (other));
  g_assert_cmpuint (g_list_length (gtk_application_get_windows (ui_application ())), ==, n);
  ui_close (other);
  works_again (window, file, 31);
}

/* ---- recovery copies ---- */

static char *
copies_folder (void)
{
  return g_build_filename (g_get_user_data_dir (), "leeward", "recovery", NULL);
}

/* Copies that hold U1's plan and C1 at X_MM. */
static guint
count_copies (double x_mm)
{
  g_autofree char *path = copies_folder ();
  g_autoptr (GDir) folder = g_dir_open (path, 0, NULL);
  const char *name;
  guint n = 0;

  while (folder != NULL && (name = g_dir_read_name (folder)) != NULL)
    if (name[0] != '.' && g_str_has_suffix (name, ".leeward")) {
      g_autofree char *copy = g_build_filename (path, name, NULL);
      g_autoptr (GFile) file = g_file_new_for_path (copy);

      n += place_in (file) == x_mm;
    }
  return n;
}

/* Recovering leaves no moment without a copy on the disk. */
static void
test_recovered_is_kept (void)
{
  g_autoptr (LwDocument) document = lw_document_new (ui_planned_job (), NULL);
  g_autoptr (LwRecovery) recovery = lw_recovery_new (document, 60);
  g_autoptr (GPtrArray) left = NULL;
  LwWindow *window = ui_window (NULL);

  lw_document_edit (document, lw_edit_move_part (lw_document_job (document), 1, 33, 20, NULL), "Move", NULL);
  g_assert_true (lw_recovery_write (recovery, NULL));
  g_clear_object (&recovery); /* as if its program had died */
  left = lw_recovery_leftovers ();
  g_assert_cmpuint (left->len, ==, 1);
  lw_window_offer_recovery (window, g_ptr_array_steal_index (left, 0));
  g_assert_cmpuint (count_copies (33), ==, 1);
  gtk_widget_activate_action (GTK_WIDGET (window), "win.recover", NULL);
  g_assert_cmpuint (count_copies (33), ==, 1); /* another one by now */
  ui_close (window);
  g_assert_cmpuint (count_copies (33), ==, 0); /* given up by hand */
}

/* ---- the program itself ---- */

static GPid
start (const char *path)
{
  const char *argv[] = { program, path, NULL };
  g_autoptr (GError) error = NULL;
  GPid pid = 0;

  g_spawn_async (NULL, (char **) argv, NULL, G_SPAWN_DO_NOT_REAP_CHILD, NULL, NULL, &pid, &error);
  g_assert_no_error (error);
  return pid;
}

static void
stop_dead (GPid pid)
{
  int status;

  g_assert_cmpint (kill (pid, SIGKILL), ==, 0);
  g_assert_cmpint (waitpid (pid, &status, 0), ==, pid);
  g_assert_true (WIFSIGNALED (status)); /* it had not ended by itself */
}

static gboolean
xdotool (const char *first, const char *second, const char *third)
{
  const char *argv[] = { g_getenv ("LW_XDOTOOL"), first, second, third, NULL };
  int status = 0;

  return g_spawn_sync (NULL, (char **) argv, NULL, G_SPAWN_STDOUT_TO_DEV_NULL | G_SPAWN_STDERR_TO_DEV_NULL, NULL, NULL,
                       NULL, NULL, &status, NULL)
         && g_spawn_check_wait_status (status, NULL);
}

static gboolean
window_is_there (gpointer name)
{
  return xdotool ("search", "--name", name);
}

static gboolean
copy_is_there (gpointer data)
{
  g_autofree char *path = copies_folder ();
  g_autoptr (GDir) folder = g_dir_open (path, 0, NULL);
  const char *name;

  while (folder != NULL && (name = g_dir_read_name (folder)) != NULL)
    if (name[0] != '.' && g_str_has_suffix (name, ".leeward"))
      return TRUE;
  return FALSE;
}

static const LwPlan *
plan_for (const LwJob *job, const char *ref)
{
  for (guint i = 0; i < job->plans->len; i++)
    if (g_str_equal (((LwPlan *) g_ptr_array_index (job->plans, i))->ref, ref))
      return g_ptr_array_index (job->plans, i);
  return NULL;
}

static void
assert_left_behind (void)
{
  g_autoptr (GPtrArray) left = lw_recovery_leftovers ();
  g_autoptr (GError) error = NULL;
  g_autoptr (LwDocument) document = NULL;

  g_assert_cmpuint (left->len, ==, 1);
  document = lw_leftover_open (g_ptr_array_index (left, 0), &error);
  g_assert_no_error (error);
  g_assert_true (lw_document_modified (document));
  g_assert_nonnull (plan_for (lw_document_job (document), "C2"));
}

/* A plan is made by the keyboard and never saved; the program is killed as soon as there is a copy, and again at random
 * moments of its next starts, which offer the copy: it stays until somebody takes it or gives it up. */
static void
test_killed (void)
{
  g_autoptr (GFile) file = ui_job_file ("small.leeward");
  g_autofree char *path = g_file_get_path (file);
  g_autoptr (GRand) random = g_rand_new_with_seed (11);
  const char *manager[] = { "openbox", NULL };
  GPid wm = 0, pid;

  g_spawn_async (NULL, (char **) manager, NULL, G_SPAWN_SEARCH_PATH | G_SPAWN_DO_NOT_REAP_CHILD, NULL, NULL, &wm, NULL);
  pid = start (path);
  g_assert_true (ui_wait (window_is_there, (gpointer) "small.leeward", 30000));
  ui_spin (1500);
  g_assert_true (xdotool ("key", "--clearmodifiers", "ctrl+t"));
  ui_spin (500);
  g_assert_true (xdotool ("type", "--delay=40", "C2"));
  ui_spin (500);
  g_assert_true (xdotool ("key", "--clearmodifiers", "Return"));
  g_assert_true (ui_wait (copy_is_there, NULL, 20000));
  stop_dead (pid);
  assert_left_behind ();
  for (guint i = 0; i < 4; i++) {
    pid = start (NULL);
    ui_spin ((guint) g_rand_int_range (random, 0, 1500));
    stop_dead (pid);
    assert_left_behind ();
  }
  if (wm != 0)
    kill (wm, SIGTERM);
}

int
main (int argc, char **argv)
{
  ui_test_init (&argc, &argv);
  program = argv[argc - 1];
  g_test_add_func ("/nothing-lost/full-disk", test_full_disk);
  g_test_add_func ("/nothing-lost/read-only-folder", test_read_only_folder);
  g_test_add_func ("/nothing-lost/vanished-place", test_vanished_place);
  g_test_add_func ("/nothing-lost/changed-elsewhere", test_changed_elsewhere);
  g_test_add_func ("/nothing-lost/two-windows", test_two_windows);
  g_test_add_func ("/nothing-lost/recovered-is-kept", test_recovered_is_kept);
  g_test_add_func ("/nothing-lost/killed", test_killed);
  return g_test_run ();
}
