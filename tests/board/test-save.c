/* Saving: the old file or the new one is whole at every moment, whatever happens. */
#include <errno.h>
#include <gio/gio.h>
#include <glib/gstdio.h>
#include <signal.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "board/job-file.h"
#include "job-fixture.h"

typedef struct {
  char *folder, *path;
  GFile *file;
  LwJob *small, *large;
  char *small_text, *large_text;
} Bench;

/* The fixture, and one with so many parts that writing it takes a while. */
static void
set_up (Bench *b, gconstpointer data)
{
  g_autoptr (GError) error = NULL;

  b->folder = g_dir_make_tmp ("leeward-save-XXXXXX", &error);
  g_assert_no_error (error);
  b->path = g_build_filename (b->folder, "job one.leeward", NULL);
  b->file = g_file_new_for_path (b->path);
  b->small = lw_job_from_data ("fixture", fixture, strlen (fixture), &error);
  g_assert_no_error (error);
  b->large = lw_job_copy (b->small);
  for (guint i = 0; i < 60; i++)
    {
      LwPart *part = lw_part_copy (g_ptr_array_index (b->small->parts, 1));

      g_free (part->ref);
      part->ref = g_strdup_printf ("X%u", i);
      g_ptr_array_add (b->large->parts, part);
    }
  b->small_text = lw_job_to_data (b->small, NULL);
  b->large_text = lw_job_to_data (b->large, NULL);
}

static void
tear_down (Bench *b, gconstpointer data)
{
  g_autoptr (GDir) dir = g_dir_open (b->folder, 0, NULL);
  const char *name;

  while ((name = g_dir_read_name (dir)) != NULL)
    {
      g_autofree char *path = g_build_filename (b->folder, name, NULL);
      g_remove (path);
    }
  g_rmdir (b->folder);
  g_free (b->folder);
  g_free (b->path);
  g_object_unref (b->file);
  lw_job_unref (b->small);
  lw_job_unref (b->large);
  g_free (b->small_text);
  g_free (b->large_text);
}

static void
save_fine (const LwJob *job, GFile *file)
{
  g_autoptr (GError) error = NULL;

  g_assert_true (lw_job_save (job, file, NULL, &error));
  g_assert_no_error (error);
}

static void
assert_content (const char *path, const char *text)
{
  g_autofree char *content = NULL;

  g_assert_true (g_file_get_contents (path, &content, NULL, NULL));
  g_assert_cmpstr (content, ==, text);
}

static guint
count_files (const char *folder)
{
  g_autoptr (GDir) dir = g_dir_open (folder, 0, NULL);
  guint n = 0;

  while (g_dir_read_name (dir) != NULL)
    n++;
  return n;
}

static void
test_round_trip (Bench *b, gconstpointer data)
{
  g_autoptr (GError) error = NULL;

  save_fine (b->large, b->file);
  assert_content (b->path, b->large_text);
  save_fine (b->small, b->file);
  assert_content (b->path, b->small_text); /* nothing of the longer one is left */
  g_assert_cmpuint (count_files (b->folder), ==, 1);
  g_autoptr (LwJob) back = lw_job_load (b->file, NULL, &error);
  g_assert_no_error (error);
  g_autofree char *text = lw_job_to_data (back, NULL);
  g_assert_cmpstr (text, ==, b->small_text);
}

static void
test_permissions (Bench *b, gconstpointer data)
{
  struct stat status;
  mode_t mask = umask (022);

  save_fine (b->small, b->file);
  g_assert_cmpint (g_stat (b->path, &status), ==, 0);
  g_assert_cmpint (status.st_mode & 0777, ==, 0644); /* a new file follows the mask */
  g_assert_cmpint (g_chmod (b->path, 0640), ==, 0);
  save_fine (b->large, b->file);
  g_assert_cmpint (g_stat (b->path, &status), ==, 0);
  g_assert_cmpint (status.st_mode & 0777, ==, 0640);
  umask (mask);
}

static void
test_links (Bench *b, gconstpointer data)
{
  g_autofree char *link = g_build_filename (b->folder, "link", NULL);
  g_autofree char *second = g_build_filename (b->folder, "second", NULL);
  g_autoptr (GFile) through = g_file_new_for_path (second);
  g_autoptr (GError) error = NULL;

  save_fine (b->small, b->file);
  g_assert_cmpint (symlink ("job one.leeward", link), ==, 0);
  g_assert_cmpint (symlink (link, second), ==, 0);
  save_fine (b->large, through);
  assert_content (b->path, b->large_text);
  g_assert_true (g_file_test (link, G_FILE_TEST_IS_SYMLINK));
  g_assert_true (g_file_test (second, G_FILE_TEST_IS_SYMLINK));
  /* A circle of links is refused. */
  g_assert_cmpint (g_remove (link), ==, 0);
  g_assert_cmpint (symlink ("second", link), ==, 0);
  g_assert_false (lw_job_save (b->small, through, NULL, &error));
  g_assert_error (error, G_IO_ERROR, G_IO_ERROR_TOO_MANY_LINKS);
}

static void
test_cancelled (Bench *b, gconstpointer data)
{
  g_autoptr (GCancellable) cancellable = g_cancellable_new ();
  g_autoptr (GError) error = NULL;

  save_fine (b->small, b->file);
  g_cancellable_cancel (cancellable);
  g_assert_false (lw_job_save (b->large, b->file, cancellable, &error));
  g_assert_error (error, G_IO_ERROR, G_IO_ERROR_CANCELLED);
  assert_content (b->path, b->small_text);
  g_assert_cmpuint (count_files (b->folder), ==, 1);
}

static void
test_no_folder (Bench *b, gconstpointer data)
{
  g_autoptr (GFile) file = g_file_new_for_path ("/nonexistent/folder/a.leeward");
  g_autoptr (GFile) folder = g_file_new_for_path (b->folder);
  g_autoptr (GError) error = NULL;

  g_assert_false (lw_job_save (b->small, file, NULL, &error));
  g_assert_error (error, G_IO_ERROR, G_IO_ERROR_NOT_FOUND);
  g_assert_true (g_str_has_prefix (error->message, "a.leeward: "));
  g_clear_error (&error);
  g_assert_null (lw_job_load (file, NULL, &error));
  g_assert_error (error, G_IO_ERROR, G_IO_ERROR_NOT_FOUND);
  g_assert_true (g_str_has_prefix (error->message, "a.leeward: "));
  g_clear_error (&error);
  g_assert_null (lw_job_load (folder, NULL, &error));
  g_assert_error (error, G_IO_ERROR, G_IO_ERROR_IS_DIRECTORY);
  g_clear_error (&error);
  g_assert_false (lw_job_save (b->small, folder, NULL, &error));
  g_assert_nonnull (error);
}

/* A stream without an end is given up at the limit, not when the memory is. */
static void
test_endless (Bench *b, gconstpointer data)
{
  g_autoptr (GFile) zero = g_file_new_for_path ("/dev/zero");
  g_autoptr (GError) error = NULL;

  g_assert_null (lw_job_load (zero, NULL, &error));
  g_assert_error (error, LW_FILE_ERROR, LW_FILE_ERROR_TOO_LARGE);
}

/* A full disk, as a limit on the size of files: the write stops midway with an error. In a child, for the
 * limit cannot be lifted again by everyone. */
static void
test_full (Bench *b, gconstpointer data)
{
  save_fine (b->small, b->file);
  for (rlim_t limit = 0; limit < strlen (b->large_text); limit = limit * 2 + 1000)
    {
      pid_t child = fork ();
      int status;

      g_assert_cmpint (child, >=, 0);
      if (child == 0)
        {
          struct rlimit r = { limit, limit };
          g_autoptr (GError) error = NULL;

          signal (SIGXFSZ, SIG_IGN);
          setrlimit (RLIMIT_FSIZE, &r);
          if (lw_job_save (b->large, b->file, NULL, &error))
            _exit (1);
          _exit (error->domain == G_IO_ERROR && g_str_has_prefix (error->message, "job one.leeward: ") ? 0 : 2);
        }
      g_assert_cmpint (waitpid (child, &status, 0), ==, child);
      g_assert_true (WIFEXITED (status));
      g_assert_cmpint (WEXITSTATUS (status), ==, 0);
      assert_content (b->path, b->small_text);
      g_assert_cmpuint (count_files (b->folder), ==, 1); /* and nothing half-written lies about */
    }
}

/* Saves the one and the other in turn for ever and counts what it has finished; with a breath after each, since the
 * large one takes so much longer to write that the file would hardly ever hold it. */
#define BREATH_US 1000
#define KILLS 500
static void
save_in_turn (Bench *b, volatile guint *done)
{
  for (guint i = 0;; i++)
    {
      lw_job_save (i % 2 == 0 ? b->large : b->small, b->file, NULL, NULL);
      *done = i + 1;
      g_usleep (BREATH_US);
    }
}

/* Killed at any moment from its first, second, third or fourth save on, however slow
 * and loaded the machine: the file always holds one of the two, whole. */
static void
test_killed (Bench *b, gconstpointer data)
{
  g_autoptr (GRand) random = g_rand_new_with_seed (5);
  volatile guint *done = mmap (NULL, sizeof (guint), PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
  guint seen[2] = { 0, 0 };

  g_assert_true (done != MAP_FAILED);
  gint64 start = g_get_monotonic_time ();
  save_fine (b->large, b->file);
  save_fine (b->small, b->file);
  gint both = (gint) (g_get_monotonic_time () - start);
  for (guint round = 0; round < KILLS; round++)
    {
      *done = 0;
      pid_t child = fork ();
      g_autofree char *content = NULL;
      int status;

      g_assert_cmpint (child, >=, 0);
      if (child == 0)
        save_in_turn (b, done);
      while (*done < round % 4)
        g_usleep (50);
      if (round % 8 < 4) /* else at once */
        g_usleep ((gulong) g_rand_int_range (random, 0, both / 2 + 1));
      kill (child, SIGKILL);
      g_assert_cmpint (waitpid (child, &status, 0), ==, child);
      g_assert_true (g_file_get_contents (b->path, &content, NULL, NULL));
      gboolean large = strcmp (content, b->large_text) == 0;
      g_assert_true (large || strcmp (content, b->small_text) == 0);
      seen[large]++;
    }
  g_test_message ("found the small one %u times, the large one %u times", seen[0], seen[1]);
  g_assert_cmpuint (seen[0], >, 0);
  g_assert_cmpuint (seen[1], >, 0);
  munmap ((void *) done, sizeof (guint));
}

#define ADD(name, function) g_test_add ("/board/save/" name, Bench, NULL, set_up, function, tear_down)

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  ADD ("round-trip", test_round_trip);
  ADD ("permissions", test_permissions);
  ADD ("links", test_links);
  ADD ("cancelled", test_cancelled);
  ADD ("no-folder", test_no_folder);
  ADD ("endless", test_endless);
  ADD ("full", test_full);
  ADD ("killed", test_killed);
  return g_test_run ();
}
