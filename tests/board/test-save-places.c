/* Saving in places that are out of the ordinary: what a document's file was besides its text stays so. */
#include <errno.h>
#include <fcntl.h>
#include <glib/gstdio.h>
#include <grp.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <sys/xattr.h>
#include <unistd.h>

#include "board/file-replace.h"
#include "save-bench.h"

#define NOBODY 65534

static void
replace_fine (const char *path)
{
  g_autoptr (GError) error = NULL;

  g_assert_true (lw_file_may_replace (path, &error));
  g_assert_no_error (error);
  g_assert_true (lw_file_replace (path, NEW, strlen (NEW), NULL, &error));
  g_assert_no_error (error);
  assert_text (path, NEW);
}

/* Both ask the same. */
static void
refuses (const char *path, GIOErrorEnum code)
{
  g_autoptr (GError) before = NULL, error = NULL;
  g_autofree char *name = g_path_get_basename (path);

  g_assert_false (lw_file_may_replace (path, &before));
  g_assert_error (before, G_IO_ERROR, (int) code);
  g_assert_false (lw_file_replace (path, NEW, strlen (NEW), NULL, &error));
  g_assert_error (error, G_IO_ERROR, (int) code);
  g_assert_true (g_str_has_prefix (error->message, name));
}

/* Does it in a child that is nobody (or whoever runs the test, when that is not root), in a group that is not its own. */
static void
as_nobody (void (*what) (Bench *b), Bench *b)
{
  pid_t child = fork ();
  int status;

  g_assert_cmpint (child, >=, 0);
  if (child == 0) {
    if (getuid () == 0 && (setgroups (0, NULL) != 0 || setgid (NOBODY) != 0 || setuid (NOBODY) != 0))
      _exit (3);
    what (b);
    _exit (0);
  }
  g_assert_cmpint (waitpid (child, &status, 0), ==, child);
  g_assert_true (WIFEXITED (status));
  g_assert_cmpint (WEXITSTATUS (status), ==, 0);
}

/* Another name of the same file is most often a backup's: it keeps what it has. */
static void
test_hard_link (Bench *b, gconstpointer data)
{
  g_autofree char *backup = g_build_filename (b->folder, "backup", NULL);

  g_assert_cmpint (link (b->path, backup), ==, 0);
  replace_fine (b->path);
  assert_text (backup, OLD);
  g_assert_cmpint (g_unlink (backup), ==, 0);
}

/* A link from another folder, by a relative and by an absolute path, and one to a file that is not there yet. */
static void
test_linked_from_elsewhere (Bench *b, gconstpointer data)
{
  g_autofree char *inner = g_build_filename (b->folder, "inner", NULL), *near = g_build_filename (inner, "near", NULL);
  g_autofree char *far = g_build_filename (inner, "far", NULL);

  g_assert_cmpint (g_mkdir (inner, 0700), ==, 0);
  g_assert_cmpint (symlink ("../job.leeward", near), ==, 0);
  g_assert_cmpint (symlink (b->path, far), ==, 0);
  replace_fine (near);
  g_assert_true (g_file_test (near, G_FILE_TEST_IS_SYMLINK));
  assert_text (b->path, NEW);
  g_assert_cmpint (g_unlink (b->path), ==, 0);
  replace_fine (far);
  g_assert_true (g_file_test (far, G_FILE_TEST_IS_SYMLINK));
  assert_text (b->path, NEW);
  g_assert_cmpint (g_unlink (near), ==, 0);
  g_assert_cmpint (g_unlink (far), ==, 0);
  g_assert_cmpint (g_rmdir (inner), ==, 0);
}

/* Root keeps the owner of what is not its own. */
static void
test_owner (Bench *b, gconstpointer data)
{
  uid_t owner = getuid () == 0 ? NOBODY : getuid ();
  struct stat status;

  g_assert_cmpint (chown (b->path, owner, (gid_t) -1), ==, 0);
  g_assert_cmpint (g_chmod (b->path, 0640), ==, 0);
  replace_fine (b->path);
  g_assert_cmpint (g_stat (b->path, &status), ==, 0);
  g_assert_cmpuint (status.st_uid, ==, owner);
  g_assert_cmpint (status.st_mode & 07777, ==, 0640);
}

/* As setfacl -m u:65534:rw writes it (linux/posix_acl_xattr.h): owner, that user, group, mask, others; and a note of the
 * user's. A file system that has neither (told by the call that sets them) cannot lose them either. */
static void
test_attributes (Bench *b, gconstpointer data)
{
  static const guint16 entries[][2] = { { 0x01, 6 }, { 0x02, 6 }, { 0x04, 4 }, { 0x10, 6 }, { 0x20, 4 } }; /* tag, rights */
  guint8 list[4 + 8 * G_N_ELEMENTS (entries)] = { 2 }, read[sizeof list];
  char note[8] = "";

  for (guint i = 0; i < G_N_ELEMENTS (entries); i++) {
    guint32 id = GUINT32_TO_LE (entries[i][0] == 0x02 ? NOBODY : 0xffffffff);

    list[4 + 8 * i] = (guint8) entries[i][0];
    list[4 + 8 * i + 2] = (guint8) entries[i][1];
    memcpy (list + 4 + 8 * i + 4, &id, sizeof id);
  }
  gboolean has_list = setxattr (b->path, "system.posix_acl_access", list, sizeof list, 0) == 0;
  gboolean has_notes = setxattr (b->path, "user.note", "kept", 4, 0) == 0;
  g_test_message ("access lists %s, notes %s", has_list ? "set" : "not to be had", has_notes ? "set" : "not to be had");
  replace_fine (b->path);
  g_assert_cmpint (getxattr (b->path, "user.note", note, sizeof note), ==, has_notes ? 4 : -1);
  g_assert_cmpstr (note, ==, has_notes ? "kept" : "");
  if (has_list) {
    g_assert_cmpint (getxattr (b->path, "system.posix_acl_access", read, sizeof read), ==, sizeof list);
    g_assert_cmpmem (read, sizeof read, list, sizeof list);
  }
}

static void
save_as_nobody (Bench *b)
{
  g_autoptr (GError) error = NULL;

  if (!lw_file_replace (b->path, NEW, strlen (NEW), NULL, &error))
    _exit (1);
}

/* Who may write the file but can keep neither owner nor group gives the rights of that group to no other. */
static void
test_group_is_not_widened (Bench *b, gconstpointer data)
{
  struct stat status;

  g_assert_cmpint (g_chmod (b->folder, 0777), ==, 0);
  g_assert_cmpint (g_chmod (b->path, 0666), ==, 0);
  as_nobody (save_as_nobody, b);
  assert_text (b->path, NEW);
  g_assert_cmpint (g_stat (b->path, &status), ==, 0);
  g_assert_cmpint (status.st_mode & 0777, ==, 0666); /* all have them: nothing to take */
  if (getuid () == 0) {
    g_assert_cmpint (chown (b->path, NOBODY, 0), ==, 0);
    g_assert_cmpint (g_chmod (b->path, 0660), ==, 0);
    as_nobody (save_as_nobody, b);
    g_assert_cmpint (g_stat (b->path, &status), ==, 0);
    g_assert_cmpint (status.st_mode & 0777, ==, 0600);
  }
  g_assert_cmpint (g_chmod (b->folder, 0700), ==, 0);
}

static void
save_read_only (Bench *b)
{
  g_autoptr (GError) error = NULL;

  if (lw_file_may_replace (b->path, NULL) || lw_file_replace (b->path, NEW, strlen (NEW), NULL, &error))
    _exit (1);
  _exit (g_error_matches (error, G_IO_ERROR, G_IO_ERROR_PERMISSION_DENIED) ? 0 : 2);
}

/* That a folder may be written does not make a file in it ours. */
static void
test_read_only_file (Bench *b, gconstpointer data)
{
  g_assert_cmpint (g_chmod (b->folder, 0777), ==, 0);
  g_assert_cmpint (g_chmod (b->path, 0444), ==, 0);
  as_nobody (save_read_only, b);
  assert_text (b->path, OLD);
  g_assert_cmpint (g_chmod (b->folder, 0700), ==, 0);
}

static void
test_name_of_bytes (Bench *b, gconstpointer data)
{
  g_autofree char *latin = g_build_filename (b->folder, "l\xf6ten \xff.leeward", NULL);
  g_autofree char *longest = g_strnfill (255, 'x'), *path = g_build_filename (b->folder, longest, NULL);
  g_autoptr (GError) error = NULL;

  replace_fine (latin);
  replace_fine (path);
  g_assert_cmpint (g_unlink (latin), ==, 0);
  g_assert_cmpint (g_mkdir (latin, 0700), ==, 0);
  g_assert_false (lw_file_replace (latin, NEW, strlen (NEW), NULL, &error));
  g_assert_true (g_utf8_validate (error->message, -1, NULL));
  g_assert_cmpint (g_rmdir (latin), ==, 0);
  g_assert_cmpint (g_unlink (path), ==, 0);
}

/* The longest path that Linux takes, 4,095 bytes: a name beside it would be longer. */
static void
test_long_path (Bench *b, gconstpointer data)
{
  enum { PATH_MOST = 4095, NAME_MOST = 200 };
  g_autofree char *name = g_strnfill (NAME_MOST, 'd');
  g_autoptr (GString) folder = g_string_new (b->folder);
  g_autoptr (GPtrArray) made = g_ptr_array_new_with_free_func (g_free);
  g_autofree char *path = NULL;

  while (folder->len + 1 < PATH_MOST - 1) {
    gsize room = PATH_MOST - 2 - folder->len - 1;

    g_string_append_printf (folder, "/%.*s", (int) (room > NAME_MOST + 1 ? NAME_MOST : room), name);
    g_assert_cmpint (g_mkdir (folder->str, 0700), ==, 0);
    g_ptr_array_insert (made, 0, g_strdup (folder->str));
  }
  path = g_strconcat (folder->str, "/j", NULL);
  g_assert_cmpuint (strlen (path), ==, PATH_MOST);
  replace_fine (path);
  g_assert_cmpint (g_unlink (path), ==, 0);
  for (guint i = 0; i < made->len; i++)
    g_assert_cmpint (g_rmdir (made->pdata[i]), ==, 0);
}

/* A rename would put a file in the place of a device or a pipe, and writing to a pipe may never end. */
static void
test_no_file (Bench *b, gconstpointer data)
{
  g_autofree char *pipe = g_build_filename (b->folder, "pipe", NULL), *slash = g_strconcat (b->folder, "/", NULL);
  g_autofree char *below = g_build_filename (b->path, "below", NULL);
  struct stat status;

  g_assert_cmpint (mkfifo (pipe, 0600), ==, 0);
  refuses (pipe, G_IO_ERROR_NOT_REGULAR_FILE);
  g_assert_cmpint (g_unlink (pipe), ==, 0);
  refuses ("/dev/null", G_IO_ERROR_NOT_REGULAR_FILE);
  g_assert_cmpint (g_stat ("/dev/null", &status), ==, 0);
  g_assert_true (S_ISCHR (status.st_mode));
  refuses (b->folder, G_IO_ERROR_IS_DIRECTORY);
  refuses (slash, G_IO_ERROR_IS_DIRECTORY);
  refuses (below, G_IO_ERROR_NOT_DIRECTORY);
  refuses ("/nonexistent/a.leeward", G_IO_ERROR_NOT_FOUND);
}

#define ADD(name, function) g_test_add ("/board/save-places/" name, Bench, NULL, set_up, function, tear_down)

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  ADD ("hard-link", test_hard_link);
  ADD ("linked-from-elsewhere", test_linked_from_elsewhere);
  ADD ("owner", test_owner);
  ADD ("attributes", test_attributes);
  ADD ("group-is-not-widened", test_group_is_not_widened);
  ADD ("read-only-file", test_read_only_file);
  ADD ("name-of-bytes", test_name_of_bytes);
  ADD ("long-path", test_long_path);
  ADD ("no-file", test_no_file);
  return g_test_run ();
}
