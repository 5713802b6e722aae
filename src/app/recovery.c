#include "app/recovery.h"

#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <glib/gi18n.h>
#include <glib/gstdio.h>

#include "board/job-file.h"

#define GROUP "Recovery"
#define NOTE_FORMAT 1

/* A copy is NAME.leeward with its NAME.note beside it. The note is locked as long as its program lives, and as long as
 * another one offers what was left behind, so that a copy in use is told from one that is not without trusting process
 * numbers, and no two programs take the same. The copy counts: a note that is empty or gone only leaves it without a name. */
struct _LwRecovery {
  GObject parent_instance;
  LwDocument *document;
  GSignalGroup *document_signals;
  guint pause_s, pause;
  char *base; /* path without its ending */
  int lock;
  gboolean failed; /* the last copy could not be written */
};

G_DEFINE_FINAL_TYPE (LwRecovery, lw_recovery, G_TYPE_OBJECT)

static char *
folder (void)
{
  return g_build_filename (g_get_user_data_dir (), "leeward", "recovery", NULL);
}

static gboolean
fail (GError **error, const char *path)
{
  int code = errno;

  g_set_error (error, G_IO_ERROR, g_io_error_from_errno (code), "%s: %s", path, g_strerror (code));
  return FALSE;
}

static gboolean
is_there (int note)
{
  struct stat status;

  return fstat (note, &status) == 0 && status.st_nlink > 0;
}

/* The note, made if need be and locked; -1 with errno: EWOULDBLOCK when another program holds it. A file system without
 * locks is better than no copy. */
static int
lock_note (const char *path)
{
  for (;;) {
    int fd = g_open (path, O_RDWR | O_CREAT | O_CLOEXEC, 0600);

    if (fd < 0)
      return -1;
    if (flock (fd, LOCK_EX | LOCK_NB) != 0 && errno == EWOULDBLOCK) {
      close (fd);
      errno = EWOULDBLOCK;
      return -1;
    }
    if (is_there (fd))
      return fd;
    close (fd); /* who held it has just deleted it: once more */
  }
}

/* Whoever looks for what was left behind holds our new note for a moment. */
static int
lock_own_note (const char *path)
{
  enum { TRIES = 100, PAUSE_US = 1000 };
  int fd = -1;

  for (int i = 0; i < TRIES && fd < 0; i++) {
    fd = lock_note (path);
    if (fd < 0 && errno != EWOULDBLOCK)
      return -1;
    if (fd < 0)
      g_usleep (PAUSE_US);
  }
  return fd;
}

/* The folder or the note may have been cleared away meanwhile. */
static gboolean
take_lock (LwRecovery *self, GError **error)
{
  g_autofree char *dir = folder (), *uuid = NULL, *note = NULL;

  if (self->lock >= 0 && is_there (self->lock))
    return TRUE;
  if (self->lock >= 0)
    close (self->lock);
  self->lock = -1;
  if (g_mkdir_with_parents (dir, 0700) != 0)
    return fail (error, dir);
  if (self->base == NULL) {
    uuid = g_uuid_string_random ();
    self->base = g_build_filename (dir, uuid, NULL);
  }
  note = g_strconcat (self->base, ".note", NULL);
  self->lock = lock_own_note (note);
  return self->lock >= 0 || fail (error, note);
}

/* Written through the locked descriptor: replacing the file would lose the lock. The old one stands until the new one is
 * written over it, since the disk may be full. */
static gboolean
write_note (LwRecovery *self, GError **error)
{
  g_autoptr (GKeyFile) keys = g_key_file_new ();
  GFile *file = lw_document_file (self->document);
  g_autofree char *uri = file == NULL ? g_strdup ("") : g_file_get_uri (file), *text = NULL;
  gssize written;
  gsize length;

  g_key_file_set_integer (keys, GROUP, "format", NOTE_FORMAT);
  g_key_file_set_string (keys, GROUP, "uri", uri);
  g_key_file_set_string (keys, GROUP, "title", lw_document_job (self->document)->title);
  text = g_key_file_to_data (keys, &length, NULL);
  written = pwrite (self->lock, text, length, 0);
  if (written >= 0 && written != (gssize) length)
    errno = ENOSPC;
  return (written == (gssize) length && ftruncate (self->lock, (off_t) length) == 0) || fail (error, self->base);
}

gboolean
lw_recovery_write (LwRecovery *self, GError **error)
{
  g_autofree char *copy = NULL;
  g_autoptr (GFile) file = NULL;

  g_return_val_if_fail (LW_IS_RECOVERY (self), FALSE);

  g_clear_handle_id (&self->pause, g_source_remove);
  if (self->document == NULL || !lw_document_modified (self->document))
    return TRUE;
  if (!take_lock (self, error) || !write_note (self, error))
    return FALSE;
  copy = g_strconcat (self->base, ".leeward", NULL);
  file = g_file_new_for_path (copy);
  return lw_job_save (lw_document_job (self->document), file, NULL, error);
}

static void
drop (LwRecovery *self)
{
  g_autofree char *copy = NULL, *note = NULL;

  g_clear_handle_id (&self->pause, g_source_remove);
  if (self->base == NULL)
    return;
  copy = g_strconcat (self->base, ".leeward", NULL);
  note = g_strconcat (self->base, ".note", NULL);
  g_unlink (copy);
  g_unlink (note);
  if (self->lock >= 0)
    close (self->lock);
  self->lock = -1;
}

/* A full disk may have room again: what could not be written is tried again, told once. */
static gboolean
pause_over_cb (gpointer user)
{
  LwRecovery *self = user;
  g_autoptr (GError) error = NULL;

  self->pause = 0;
  if (lw_recovery_write (self, &error)) {
    self->failed = FALSE;
    return G_SOURCE_REMOVE;
  }
  if (!self->failed)
    g_message ("No recovery copy could be written: %s", error->message);
  self->failed = TRUE;
  self->pause = g_timeout_add_seconds (MAX (self->pause_s, 1), pause_over_cb, self);
  return G_SOURCE_REMOVE;
}

static void
changed_cb (LwRecovery *self)
{
  if (!lw_document_modified (self->document))
    drop (self);
  else if (self->pause == 0)
    self->pause = g_timeout_add_seconds (self->pause_s, pause_over_cb, self);
}

void
lw_recovery_finish (LwRecovery *self)
{
  g_return_if_fail (LW_IS_RECOVERY (self));
  g_clear_object (&self->document_signals);
  drop (self);
  g_clear_object (&self->document);
}

static void
lw_recovery_dispose (GObject *object)
{
  LwRecovery *self = LW_RECOVERY (object);

  g_clear_handle_id (&self->pause, g_source_remove);
  g_clear_object (&self->document_signals);
  g_clear_object (&self->document);
  G_OBJECT_CLASS (lw_recovery_parent_class)->dispose (object);
}

static void
lw_recovery_finalize (GObject *object)
{
  LwRecovery *self = LW_RECOVERY (object);

  if (self->lock >= 0)
    close (self->lock);
  g_free (self->base);
  G_OBJECT_CLASS (lw_recovery_parent_class)->finalize (object);
}

static void
lw_recovery_class_init (LwRecoveryClass *class)
{
  G_OBJECT_CLASS (class)->dispose = lw_recovery_dispose;
  G_OBJECT_CLASS (class)->finalize = lw_recovery_finalize;
}

static void
lw_recovery_init (LwRecovery *self)
{
  self->lock = -1;
  self->document_signals = g_signal_group_new (LW_TYPE_DOCUMENT);
  g_signal_group_connect_swapped (self->document_signals, "changed", G_CALLBACK (changed_cb), self);
  g_signal_group_connect_swapped (self->document_signals, "notify::modified", G_CALLBACK (changed_cb), self);
}

void
lw_recovery_set_pause (LwRecovery *self, guint pause_s)
{
  g_return_if_fail (LW_IS_RECOVERY (self));
  self->pause_s = pause_s;
}

LwRecovery *
lw_recovery_new (LwDocument *document, guint pause_s)
{
  LwRecovery *self = g_object_new (LW_TYPE_RECOVERY, NULL);

  self->document = g_object_ref (document);
  self->pause_s = pause_s;
  g_signal_group_set_target (self->document_signals, document);
  changed_cb (self);
  return self;
}

/* ---- what was left behind ---- */

void
lw_leftover_free (LwLeftover *leftover)
{
  if (leftover == NULL)
    return;
  close (leftover->lock);
  g_free (leftover->path);
  g_free (leftover->uri);
  g_free (leftover->title);
  g_free (leftover);
}

static char *
note_of (const char *copy)
{
  g_autofree char *base = g_strndup (copy, strlen (copy) - strlen (".leeward"));

  return g_strconcat (base, ".note", NULL);
}

/* COPY held by us from now on, when nobody else does. The lock is taken first: what is seen then stays so. */
static LwLeftover *
claim_leftover (const char *copy)
{
  g_autoptr (GKeyFile) keys = g_key_file_new ();
  g_autofree char *note = note_of (copy);
  LwLeftover *leftover;
  GStatBuf status;
  int lock = lock_note (note);

  if (lock < 0)
    return NULL;
  if (g_stat (copy, &status) != 0) { /* saved or given up meanwhile: the note is one we made */
    g_unlink (note);
    close (lock);
    return NULL;
  }
  if (g_key_file_load_from_file (keys, note, 0, NULL) && g_key_file_has_key (keys, GROUP, "format", NULL)
      && g_key_file_get_integer (keys, GROUP, "format", NULL) != NOTE_FORMAT) {
    close (lock); /* of a newer program, which will find it */
    return NULL;
  }
  leftover = g_new0 (LwLeftover, 1);
  leftover->lock = lock;
  leftover->path = g_strdup (copy);
  leftover->uri = g_key_file_get_string (keys, GROUP, "uri", NULL);
  leftover->title = g_key_file_get_string (keys, GROUP, "title", NULL);
  leftover->written_s = status.st_mtime;
  if (leftover->uri == NULL)
    leftover->uri = g_strdup ("");
  if (leftover->title == NULL)
    leftover->title = g_strdup ("");
  return leftover;
}

static int
newest_first (gconstpointer a, gconstpointer b)
{
  const LwLeftover *left = *(LwLeftover *const *) a, *right = *(LwLeftover *const *) b;

  return (right->written_s > left->written_s) - (right->written_s < left->written_s);
}

GPtrArray *
lw_recovery_leftovers (void)
{
  GPtrArray *found = g_ptr_array_new_with_free_func ((GDestroyNotify) lw_leftover_free);
  g_autofree char *dir = folder ();
  g_autoptr (GDir) open = g_dir_open (dir, 0, NULL);
  const char *name;

  while (open != NULL && (name = g_dir_read_name (open)) != NULL) {
    g_autofree char *copy = g_build_filename (dir, name, NULL);
    LwLeftover *leftover = *name != '.' && g_str_has_suffix (name, ".leeward") ? claim_leftover (copy) : NULL;

    if (leftover != NULL)
      g_ptr_array_add (found, leftover);
  }
  g_ptr_array_sort (found, newest_first);
  return found;
}

void
lw_leftover_delete (const LwLeftover *leftover)
{
  g_autofree char *note = note_of (leftover->path);

  g_unlink (leftover->path);
  g_unlink (note);
}

LwDocument *
lw_leftover_open (const LwLeftover *leftover, GError **error)
{
  g_autoptr (GFile) copy = g_file_new_for_path (leftover->path);
  g_autoptr (GFile) file = *leftover->uri == '\0' ? NULL : g_file_new_for_uri (leftover->uri);
  g_autoptr (LwJob) job = lw_job_load (copy, NULL, error);
  LwJob *saved = file == NULL ? NULL : lw_job_load (file, NULL, NULL);
  LwDocument *document;

  if (job == NULL) {
    lw_job_unref (saved);
    return NULL;
  }
  document = lw_document_new (saved == NULL ? lw_job_copy (job) : saved, file);
  lw_document_edit (document, g_steal_pointer (&job), _("Recover"), NULL);
  return document;
}
