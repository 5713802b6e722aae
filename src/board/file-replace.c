#include "board/file-replace.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/xattr.h>
#include <unistd.h>

#include <glib/gi18n.h>

enum { CHUNK = 1 << 20, TRIES = 100, LINKS_MAX = 40 };

/* Where a file is to stand. Its folder is held open and everything in it is named from there: the path of the new file
 * beside it may be longer than the system takes, and the folder may be moved meanwhile. */
typedef struct {
  int folder;
  char *base;
} Place;

static void
place_clear (Place *place)
{
  if (place->folder >= 0)
    close (place->folder);
  g_free (place->base);
}

G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Place, place_clear)

static gboolean
fail (GError **error, const char *path, int code)
{
  g_autofree char *name = g_filename_display_basename (path);

  g_set_error (error, G_IO_ERROR, g_io_error_from_errno (code), "%s: %s", name, g_strerror (code));
  return FALSE;
}

/* The file a link points at in the end, which need not exist; PATH itself when it is no link. */
static char *
follow_links (const char *path, GError **error)
{
  g_autofree char *at = g_strdup (path);

  for (int i = 0; i < LINKS_MAX; i++)
    {
      g_autofree char *target = g_file_read_link (at, NULL);

      if (target == NULL)
        return g_steal_pointer (&at);
      g_autofree char *folder = g_path_get_dirname (at);
      g_free (at);
      at = g_path_is_absolute (target) ? g_steal_pointer (&target) : g_build_filename (folder, target, NULL);
    }
  fail (error, path, ELOOP);
  return NULL;
}

/* A folder that may be entered but not listed cannot be opened to be synced. */
static int
open_folder (const char *folder)
{
  int fd = open (folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);

  return fd < 0 && errno == EACCES ? open (folder, O_PATH | O_DIRECTORY | O_CLOEXEC) : fd;
}

/* What stands there already may be written by us, and is a file: a rename would put one in the place of a device. */
static gboolean
check_target (const Place *place, const char *path, GError **error)
{
  struct stat old;

  if (fstatat (place->folder, place->base, &old, 0) != 0)
    return errno == ENOENT || fail (error, path, errno);
  if (S_ISDIR (old.st_mode))
    return fail (error, path, EISDIR);
  if (!S_ISREG (old.st_mode))
    {
      g_autofree char *name = g_filename_display_basename (path);

      g_set_error (error, G_IO_ERROR, G_IO_ERROR_NOT_REGULAR_FILE, _("%s: this is not a regular file"), name);
      return FALSE;
    }
  return faccessat (place->folder, place->base, W_OK, AT_EACCESS) == 0 || fail (error, path, errno);
}

static gboolean
find_place (Place *place, const char *path, GError **error)
{
  g_autofree char *target = follow_links (path, error);
  g_autofree char *folder = target != NULL ? g_path_get_dirname (target) : NULL;

  if (target == NULL)
    return FALSE;
  place->base = g_path_get_basename (target);
  place->folder = open_folder (folder);
  if (place->folder < 0)
    return fail (error, path, errno);
  if (g_str_has_suffix (target, G_DIR_SEPARATOR_S)) /* no name of a file */
    return fail (error, path, EISDIR);
  return check_target (place, path, error);
}

/* Where a standard stream is closed a file may get its number, and whatever a library prints. */
static int
above_streams (int fd)
{
  int higher;

  if (fd < 0 || fd > STDERR_FILENO)
    return fd;
  higher = fcntl (fd, F_DUPFD_CLOEXEC, STDERR_FILENO + 1);
  if (higher < 0)
    return fd;
  close (fd);
  return higher;
}

/* A new, hidden file beside it. */
static int
open_beside (const Place *place, char **temporary)
{
  for (int i = 0; i < TRIES; i++)
    {
      g_autofree char *name = g_strdup_printf (".%.200s.%08x", place->base, g_random_int ());
      int fd = above_streams (openat (place->folder, name, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666));

      if (fd >= 0)
        {
          *temporary = g_steal_pointer (&name);
          return fd;
        }
      if (errno != EEXIST && errno != EINTR)
        return -1;
    }
  return -1;
}

static gboolean
write_all (int fd, const char *data, gsize length, GCancellable *cancellable)
{
  while (length > 0)
    {
      ssize_t written = write (fd, data, MIN (length, CHUNK));

      if (written < 0 && errno == EINTR)
        continue;
      if (written == 0)
        errno = ENOSPC;
      if (written <= 0)
        return FALSE;
      if (g_cancellable_is_cancelled (cancellable))
        {
          errno = ECANCELED;
          return FALSE;
        }
      data += written;
      length -= (gsize) written;
    }
  return TRUE;
}

static void
copy_attribute (int from, int to, const char *name)
{
  gssize size = fgetxattr (from, name, NULL, 0);
  g_autofree char *value = size > 0 ? g_malloc ((gsize) size) : NULL;

  if (value != NULL && fgetxattr (from, name, value, (size_t) size) == size)
    fsetxattr (to, name, value, (size_t) size, 0);
}

/* Access lists and what users note on files, as far as the file system has them; nothing that it has not is missed. */
static void
take_over_attributes (int fd, const Place *place)
{
  int old = openat (place->folder, place->base, O_RDONLY | O_CLOEXEC | O_NOFOLLOW | O_NONBLOCK);
  gssize size = old >= 0 ? flistxattr (old, NULL, 0) : 0;
  g_autofree char *names = size > 0 ? g_malloc ((gsize) size) : NULL;

  if (names != NULL)
    size = flistxattr (old, names, (size_t) size);
  for (gssize at = 0; names != NULL && at < size; at += (gssize) strlen (names + at) + 1)
    if (g_str_has_prefix (names + at, "user.") || strcmp (names + at, "system.posix_acl_access") == 0)
      copy_attribute (old, fd, names + at);
  if (old >= 0)
    close (old);
}

/* Owner and group as far as we may, permissions as they were; but a group that cannot be kept hands its rights to none. */
static gboolean
take_over_mode (int fd, const Place *place)
{
  struct stat old, new;
  gboolean strange = FALSE; /* of a group that we cannot give it */
  mode_t mode;

  if (fstatat (place->folder, place->base, &old, 0) != 0)
    return errno == ENOENT;
  mode = old.st_mode & 0777;
  if (fstat (fd, &new) != 0)
    return FALSE;
  if ((old.st_uid != new.st_uid || old.st_gid != new.st_gid) && fchown (fd, old.st_uid, old.st_gid) != 0
      && old.st_gid != new.st_gid && fchown (fd, (uid_t) -1, old.st_gid) != 0)
    strange = TRUE;
  if (strange)
    mode = (mode & 0707) | ((mode & 0007) << 3);
  if (fchmod (fd, mode) != 0)
    return FALSE;
  if (!strange) /* an access list names that group */
    take_over_attributes (fd, place);
  return TRUE;
}

static gboolean
sync_file (int fd)
{
  int done;

  do
    done = fsync (fd);
  while (done != 0 && errno == EINTR);
  return done == 0;
}

/* The new file as far as it can be made before it takes the name; 0 or an error number. */
static int
fill (int fd, const Place *place, const char *data, gsize length, GCancellable *cancellable)
{
  gboolean written = take_over_mode (fd, place) && write_all (fd, data, length, cancellable) && sync_file (fd);
  int code = errno;

  /* Interrupted, the descriptor is closed all the same, and what was synced is there. */
  if (close (fd) != 0 && errno != EINTR && written)
    return errno;
  return written ? 0 : code;
}

gboolean
lw_file_replace (const char *path, const char *data, gsize length, GCancellable *cancellable, GError **error)
{
  g_auto (Place) place = { -1, NULL };
  g_autofree char *temporary = NULL;
  int fd, code;

  if (!find_place (&place, path, error))
    return FALSE;
  fd = open_beside (&place, &temporary);
  if (fd < 0)
    return fail (error, path, errno);
  code = fill (fd, &place, data, length, cancellable);
  if (code == 0 && renameat (place.folder, temporary, place.folder, place.base) != 0)
    code = errno;
  if (code != 0)
    {
      unlinkat (place.folder, temporary, 0);
      return fail (error, path, code);
    }
  sync_file (place.folder); /* some file systems cannot; the rename is done either way */
  return TRUE;
}

gboolean
lw_file_may_replace (const char *path, GError **error)
{
  g_auto (Place) place = { -1, NULL };

  if (!find_place (&place, path, error))
    return FALSE;
  return faccessat (place.folder, ".", W_OK | X_OK, AT_EACCESS) == 0 || fail (error, path, errno);
}
