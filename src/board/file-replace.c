#include "board/file-replace.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

#include <glib/gi18n.h>

enum { CHUNK = 1 << 20, TRIES = 100, LINKS_MAX = 40 };

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

/* A new, hidden file beside PATH. */
static int
open_beside (const char *path, char **temporary)
{
  g_autofree char *folder = g_path_get_dirname (path);
  g_autofree char *base = g_path_get_basename (path);

  for (int i = 0; i < TRIES; i++)
    {
      g_autofree char *name = g_strdup_printf (".%.200s.%08x", base, g_random_int ());
      g_autofree char *candidate = g_build_filename (folder, name, NULL);
      int fd = open (candidate, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);

      if (fd >= 0)
        {
          *temporary = g_steal_pointer (&candidate);
          return fd;
        }
      if (errno != EEXIST)
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
      if (written < 0)
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

/* Owner and group only as far as we may; permissions as they were. */
static gboolean
take_over_mode (int fd, const char *path)
{
  struct stat old, new;

  if (stat (path, &old) != 0)
    return errno == ENOENT;
  if (access (path, W_OK) != 0)
    return FALSE;
  if (fstat (fd, &new) == 0 && (old.st_uid != new.st_uid || old.st_gid != new.st_gid)
      && fchown (fd, old.st_uid, old.st_gid) != 0)
    errno = 0;
  return fchmod (fd, old.st_mode & 07777) == 0;
}

static void
sync_folder_of (const char *path)
{
  g_autofree char *folder = g_path_get_dirname (path);
  int fd = open (folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);

  if (fd < 0)
    return;
  fsync (fd); /* some file systems cannot; the rename is done either way */
  close (fd);
}

gboolean
lw_file_replace (const char *path, const char *data, gsize length, GCancellable *cancellable, GError **error)
{
  g_autofree char *target = follow_links (path, error);
  g_autofree char *temporary = NULL;

  if (target == NULL)
    return FALSE;
  int fd = open_beside (target, &temporary);
  if (fd < 0)
    return fail (error, path, errno);
  gboolean written = take_over_mode (fd, target) && write_all (fd, data, length, cancellable) && fsync (fd) == 0;
  int code = errno;
  if (close (fd) != 0 && written)
    {
      written = FALSE;
      code = errno;
    }
  if (written && rename (temporary, target) != 0)
    {
      written = FALSE;
      code = errno;
    }
  if (!written)
    {
      unlink (temporary);
      return fail (error, path, code);
    }
  sync_folder_of (target);
  return TRUE;
}
