/* Recovery copies where things go wrong around them: programs that look at the same moment, notes and folders that are
 * damaged, cleared away or cannot be written. Needs no display. */
#include <errno.h>
#include <signal.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/wait.h>
#include <unistd.h>

#include <glib/gstdio.h>

#include "../board/job-fixture.h"
#include "app/recovery.h"
#include "board/edits.h"
#include "board/job-file.h"

static char *data_folder, *copies; /* the user's, and where the copies are */

static LwDocument *
new_document (void)
{
  g_autoptr (GError) error = NULL;
  LwJob *job = lw_job_from_data ("fixture", fixture, strlen (fixture), &error);

  g_assert_no_error (error);
  return lw_document_new (job, NULL);
}

static void
move_part (LwDocument *document, double x_mm)
{
  lw_document_edit (document, lw_edit_move_part (lw_document_job (document), 1, x_mm, 20, NULL), "Move", NULL);
}

static void
write_fine (LwRecovery *recovery)
{
  g_autoptr (GError) error = NULL;

  g_assert_true (lw_recovery_write (recovery, &error));
  g_assert_no_error (error);
}

/* A copy whose program is gone, with the part at X_MM. */
static void
leave_copy (double x_mm)
{
  g_autoptr (LwDocument) document = new_document ();
  g_autoptr (LwRecovery) recovery = lw_recovery_new (document, 3600);

  move_part (document, x_mm);
  write_fine (recovery);
}

static void
clear_copies (void)
{
  g_autoptr (GDir) folder = g_dir_open (copies, 0, NULL);
  const char *name;

  while (folder != NULL && (name = g_dir_read_name (folder)) != NULL) {
    g_autofree char *path = g_build_filename (copies, name, NULL);

    g_assert_cmpint (g_unlink (path), ==, 0);
  }
  if (folder != NULL)
    g_assert_cmpint (g_rmdir (copies), ==, 0);
}

/* The one that is left behind, with the part at X_MM; it is given up. */
static void
assert_left (double x_mm)
{
  g_autoptr (GPtrArray) left = lw_recovery_leftovers ();
  g_autoptr (GError) error = NULL;
  g_autoptr (LwDocument) document = NULL;

  g_assert_cmpuint (left->len, ==, 1);
  document = lw_leftover_open (left->pdata[0], &error);
  g_assert_no_error (error);
  g_assert_cmpfloat (((LwPart *) lw_document_job (document)->parts->pdata[1])->x_mm, ==, x_mm);
  g_assert_true (lw_document_modified (document));
  lw_leftover_delete (left->pdata[0]);
}

static void
assert_empty (void)
{
  g_autoptr (GDir) folder = g_dir_open (copies, 0, NULL);

  g_assert_nonnull (folder);
  g_assert_null (g_dir_read_name (folder));
}

/* The first file there that ends so. */
static char *
file_with (const char *ending)
{
  g_autoptr (GDir) folder = g_dir_open (copies, 0, NULL);
  const char *name;

  while ((name = g_dir_read_name (folder)) != NULL)
    if (g_str_has_suffix (name, ending))
      return g_build_filename (copies, name, NULL);
  g_assert_not_reached ();
}

/* ---- several programs ---- */

/* Offered in one window, a copy is offered in no other; offered again when nobody took it. */
static void
test_offered_once (void)
{
  g_autoptr (GPtrArray) first = NULL, second = NULL;

  leave_copy (31);
  first = lw_recovery_leftovers ();
  second = lw_recovery_leftovers ();
  g_assert_cmpuint (first->len, ==, 1);
  g_assert_cmpuint (second->len, ==, 0);
  g_clear_pointer (&first, g_ptr_array_unref);
  assert_left (31);
  assert_empty ();
}

/* What a program does at its start when everybody says yes. The copies that it recovered. */
static int
recover_all (void)
{
  g_autoptr (GPtrArray) left = lw_recovery_leftovers ();
  int n = 0;

  for (guint i = 0; i < left->len; i++) {
    g_autoptr (LwDocument) document = lw_leftover_open (left->pdata[i], NULL);

    n += document != NULL;
    g_usleep (500);
    lw_leftover_delete (left->pdata[i]);
  }
  return n;
}

/* Two programs that start at the same moment: each copy is recovered by exactly one. */
static void
test_two_at_once (void)
{
  enum { ROUNDS = 15 };

  for (int round = 0; round < ROUNDS; round++) {
    pid_t child[2];
    int recovered = 0;

    leave_copy (31);
    for (int i = 0; i < 2; i++) {
      child[i] = fork ();
      g_assert_cmpint (child[i], >=, 0);
      if (child[i] == 0)
        _exit (recover_all ());
    }
    for (int i = 0; i < 2; i++) {
      int status;

      g_assert_cmpint (waitpid (child[i], &status, 0), ==, child[i]);
      g_assert_true (WIFEXITED (status));
      recovered += WEXITSTATUS (status);
    }
    g_assert_cmpint (recovered, ==, 1);
    assert_empty ();
  }
}

/* One program keeps its copy and drops it, over and over, while others look: they never take it, and it never fails. */
static void
test_looked_at (void)
{
  enum { ROUNDS = 50, LOOKERS = 2 };
  g_autoptr (LwDocument) document = new_document ();
  g_autoptr (LwRecovery) recovery = lw_recovery_new (document, 3600);
  int *taken = mmap (NULL, sizeof (int), PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
  pid_t child[LOOKERS];

  g_assert_true (taken != MAP_FAILED);
  for (int i = 0; i < LOOKERS; i++) {
    child[i] = fork ();
    g_assert_cmpint (child[i], >=, 0);
    while (child[i] == 0) {
      GPtrArray *left = lw_recovery_leftovers ();

      __atomic_add_fetch (taken, (int) left->len, __ATOMIC_SEQ_CST);
      g_ptr_array_unref (left);
    }
  }
  for (int round = 0; round < ROUNDS; round++) {
    move_part (document, 30 + round % 7);
    write_fine (recovery);
    lw_document_mark_saved (document, NULL); /* drops it */
  }
  for (int i = 0; i < LOOKERS; i++) {
    kill (child[i], SIGKILL);
    waitpid (child[i], NULL, 0);
  }
  g_assert_cmpint (*taken, ==, 0);
  munmap (taken, sizeof (int));
  clear_copies ();
}

/* ---- what is damaged ---- */

/* A note that a full disk or a power cut left empty, or that is gone, does not take the copy with it. */
static void
test_no_note (void)
{
  g_autofree char *note = NULL;

  leave_copy (32);
  note = file_with (".note");
  g_assert_cmpint (truncate (note, 0), ==, 0);
  assert_left (32);
  leave_copy (33);
  g_clear_pointer (&note, g_free);
  note = file_with (".note");
  g_assert_cmpint (g_unlink (note), ==, 0);
  assert_left (33);
  assert_empty ();
}

/* A later program's note is left alone. */
static void
test_newer_note (void)
{
  g_autofree char *note = NULL;
  g_autoptr (GPtrArray) left = NULL;

  leave_copy (32);
  note = file_with (".note");
  g_assert_true (g_file_set_contents (note, "[Recovery]\nformat=2\n", -1, NULL));
  left = lw_recovery_leftovers ();
  g_assert_cmpuint (left->len, ==, 0);
  g_assert_true (g_file_test (note, G_FILE_TEST_EXISTS));
  clear_copies ();
}

/* Somebody clears the folder while the program runs: the next copy is as good as the first. */
static void
test_cleared (void)
{
  g_autoptr (LwDocument) document = new_document ();
  g_autoptr (LwRecovery) recovery = lw_recovery_new (document, 3600);
  g_autofree char *note = NULL;

  move_part (document, 31);
  write_fine (recovery);
  clear_copies ();
  move_part (document, 32);
  write_fine (recovery);
  note = file_with (".note");
  g_assert_cmpint (g_unlink (note), ==, 0);
  move_part (document, 33);
  write_fine (recovery);
  g_clear_object (&recovery);
  assert_left (33);
  assert_empty ();
}

/* ---- where nothing can be written ---- */

static void
assert_cannot_write (LwRecovery *recovery, int code)
{
  g_autoptr (GError) error = NULL;

  g_assert_false (lw_recovery_write (recovery, &error));
  g_assert_error (error, G_IO_ERROR, code);
}

/* A file in the place of the data folder; then nothing there at all; then a folder that may not be written. Root becomes
 * nobody for that. Each time the copy is there as soon as it can be. */
static void
test_no_place (void)
{
  g_autoptr (LwDocument) document = new_document ();
  g_autoptr (LwRecovery) recovery = lw_recovery_new (document, 3600);
  g_autofree char *away = g_strconcat (data_folder, ".away", NULL), *inner = g_path_get_dirname (copies);

  clear_copies ();
  if (g_file_test (data_folder, G_FILE_TEST_EXISTS))
    g_assert_cmpint (g_rename (data_folder, away), ==, 0);
  g_assert_true (g_file_set_contents (data_folder, "", 0, NULL));
  move_part (document, 31);
  assert_cannot_write (recovery, G_IO_ERROR_NOT_DIRECTORY);
  g_assert_cmpint (g_unlink (data_folder), ==, 0);
  write_fine (recovery);
  lw_document_mark_saved (document, NULL);
  g_assert_cmpint (g_chmod (data_folder, 0755), ==, 0);
  g_assert_cmpint (g_chmod (inner, 0755), ==, 0);
  g_assert_cmpint (g_chmod (copies, 0555), ==, 0);
  move_part (document, 32);
  if (geteuid () == 0)
    g_assert_cmpint (seteuid (65534), ==, 0);
  assert_cannot_write (recovery, G_IO_ERROR_PERMISSION_DENIED);
  if (getuid () == 0)
    g_assert_cmpint (seteuid (0), ==, 0);
  g_assert_cmpint (g_chmod (copies, 0700), ==, 0);
  write_fine (recovery);
  g_clear_object (&recovery);
  assert_left (32);
}

int
main (int argc, char **argv)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *top = g_dir_make_tmp ("leeward-recovery-XXXXXX", &error);

  g_test_init (&argc, &argv, NULL);
  g_assert_no_error (error);
  g_assert_cmpint (g_chmod (top, 0755), ==, 0); /* nobody looks into it too */
  data_folder = g_build_filename (top, "data", NULL);
  copies = g_build_filename (data_folder, "leeward", "recovery", NULL);
  g_setenv ("XDG_DATA_HOME", data_folder, TRUE);
  g_test_add_func ("/recovery/offered-once", test_offered_once);
  g_test_add_func ("/recovery/two-at-once", test_two_at_once);
  g_test_add_func ("/recovery/looked-at", test_looked_at);
  g_test_add_func ("/recovery/no-note", test_no_note);
  g_test_add_func ("/recovery/newer-note", test_newer_note);
  g_test_add_func ("/recovery/cleared", test_cleared);
  g_test_add_func ("/recovery/no-place", test_no_place);
  return g_test_run ();
}
