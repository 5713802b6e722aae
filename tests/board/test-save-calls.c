/* Saving while the system fails: every call that a save makes fails in turn, as full disks, broken ones and signals make
 * them fail. The linker puts the calls below between the program and the system. */
#include <errno.h>
#include <fcntl.h>
#include <glib/gstdio.h>
#include <stdarg.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "board/file-replace.h"
#include "save-bench.h"

static struct {
  gboolean on;
  int fails_at, code; /* that call fails so; -1 = none */
  int n;              /* calls until now */
  gsize at_once;      /* of a write; 0 = all */
} system_is;

static gboolean
fails (void)
{
  if (!system_is.on || system_is.n++ != system_is.fails_at)
    return FALSE;
  errno = system_is.code;
  return TRUE;
}

int __real_openat64 (int folder, const char *path, int flags, ...);
int __wrap_openat64 (int folder, const char *path, int flags, ...);
int __real_fchmod (int fd, mode_t mode);
int __wrap_fchmod (int fd, mode_t mode);
ssize_t __real_write (int fd, const void *data, size_t length);
ssize_t __wrap_write (int fd, const void *data, size_t length);
int __real_fsync (int fd);
int __wrap_fsync (int fd);
int __real_close (int fd);
int __wrap_close (int fd);
int __real_renameat (int from_folder, const char *from, int to_folder, const char *to);
int __wrap_renameat (int from_folder, const char *from, int to_folder, const char *to);

int
__wrap_openat64 (int folder, const char *path, int flags, ...)
{
  va_list rest;
  mode_t mode;

  va_start (rest, flags);
  mode = va_arg (rest, mode_t);
  va_end (rest);
  return fails () ? -1 : __real_openat64 (folder, path, flags, mode);
}

int
__wrap_fchmod (int fd, mode_t mode)
{
  return fails () ? -1 : __real_fchmod (fd, mode);
}

ssize_t
__wrap_write (int fd, const void *data, size_t length)
{
  if (system_is.on && fd <= STDERR_FILENO)
    _exit (9); /* of test_closed_streams() */
  if (system_is.on && system_is.at_once > 0)
    length = MIN (length, system_is.at_once);
  return fails () ? -1 : __real_write (fd, data, length);
}

int
__wrap_fsync (int fd)
{
  return fails () ? -1 : __real_fsync (fd);
}

/* Linux gives the descriptor back whatever it answers. */
int
__wrap_close (int fd)
{
  gboolean failing = fails ();
  int code = errno, done = __real_close (fd);

  errno = failing ? code : errno;
  return failing ? -1 : done;
}

int
__wrap_renameat (int from_folder, const char *from, int to_folder, const char *to)
{
  return fails () ? -1 : __real_renameat (from_folder, from, to_folder, to);
}

/* Replaces the old text by the new one while the system is as it is told to be. */
static gboolean
replace (Bench *b, GError **error)
{
  gboolean done;

  g_assert_true (g_file_set_contents (b->path, OLD, -1, NULL));
  system_is.on = TRUE;
  system_is.n = 0;
  done = lw_file_replace (b->path, NEW, strlen (NEW), NULL, error);
  system_is.on = FALSE;
  return done;
}

static void
assert_holds (Bench *b, const char *text)
{
  g_autoptr (GDir) folder = g_dir_open (b->folder, 0, NULL);

  assert_text (b->path, text);
  g_assert_cmpstr (g_dir_read_name (folder), ==, "job.leeward");
  g_assert_null (g_dir_read_name (folder));
}

/* The calls of a save, each once when all is written at once. */
enum { OPENED, MODE_SET, OLD_OPENED, OLD_CLOSED, WRITTEN, SYNCED, CLOSED, RENAMED, FOLDER_SYNCED, FOLDER_CLOSED };

/* How many calls a save makes. */
static int
count_calls (Bench *b)
{
  g_autoptr (GError) error = NULL;

  system_is.fails_at = -1;
  g_assert_true (replace (b, &error));
  g_assert_no_error (error);
  assert_holds (b, NEW);
  return system_is.n;
}

/* Refused: the old file, and why. Done: the new one; that its folder could not be synced changes nothing of it. */
static void
test_each_fails (Bench *b, gconstpointer data)
{
  static const int codes[] = { ENOSPC, EIO, EDQUOT };
  int n = count_calls (b), refused = 0;

  g_assert_cmpint (n, ==, FOLDER_CLOSED + 1);
  for (guint k = 0; k < G_N_ELEMENTS (codes); k++)
    for (system_is.fails_at = 0; system_is.fails_at < n; system_is.fails_at++) {
      g_autoptr (GError) error = NULL;

      system_is.code = codes[k];
      if (replace (b, &error)) {
        g_assert_no_error (error);
        assert_holds (b, NEW);
        continue;
      }
      refused++;
      g_assert_error (error, G_IO_ERROR, (int) g_io_error_from_errno (codes[k]));
      g_assert_true (g_str_has_prefix (error->message, "job.leeward: "));
      assert_holds (b, OLD);
    }
  g_assert_cmpint (refused, ==, (int) G_N_ELEMENTS (codes) * (n - 4)); /* all but those of the old file and the last two */
}

/* A signal at any call that takes one is no failure. */
static void
test_interrupted (Bench *b, gconstpointer data)
{
  static const int calls[] = { OPENED, WRITTEN, SYNCED, CLOSED, FOLDER_SYNCED, FOLDER_CLOSED };

  system_is.code = EINTR;
  g_assert_cmpint (count_calls (b), ==, FOLDER_CLOSED + 1);
  for (guint i = 0; i < G_N_ELEMENTS (calls); i++) {
    g_autoptr (GError) error = NULL;

    system_is.fails_at = calls[i];
    g_assert_true (replace (b, &error));
    g_assert_no_error (error);
    assert_holds (b, NEW);
  }
}

/* A disk that takes less at a time than it is given, and is full in the middle. */
static void
test_in_pieces (Bench *b, gconstpointer data)
{
  g_autoptr (GError) error = NULL;

  system_is.at_once = 5;
  g_assert_cmpint (count_calls (b), >, FOLDER_CLOSED + 3);
  system_is.code = ENOSPC;
  system_is.fails_at = WRITTEN + 3;
  g_assert_false (replace (b, &error));
  g_assert_error (error, G_IO_ERROR, G_IO_ERROR_NO_SPACE);
  assert_holds (b, OLD);
  system_is.at_once = 0;
}

/* Started without standard streams, as some starters do: what a library says of itself does not end up in the document. */
static void
test_closed_streams (Bench *b, gconstpointer data)
{
  pid_t child = fork ();
  int status;

  g_assert_cmpint (child, >=, 0);
  if (child == 0) {
    for (int fd = STDIN_FILENO; fd <= STDERR_FILENO; fd++)
      __real_close (fd);
    system_is.fails_at = -1;
    _exit (replace (b, NULL) ? 0 : 1);
  }
  g_assert_cmpint (waitpid (child, &status, 0), ==, child);
  g_assert_true (WIFEXITED (status));
  g_assert_cmpint (WEXITSTATUS (status), ==, 0);
  assert_holds (b, NEW);
}

#define ADD(name, function) g_test_add ("/board/save-calls/" name, Bench, NULL, set_up, function, tear_down)

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  ADD ("each-fails", test_each_fails);
  ADD ("interrupted", test_interrupted);
  ADD ("in-pieces", test_in_pieces);
  ADD ("closed-streams", test_closed_streams);
  return g_test_run ();
}
