#include "app/reading.h"

#include <glib/gi18n.h>

struct _LwReading {
  GObject parent_instance;

  GPtrArray *files; /* GFile */
  GFile *partner;
  GCancellable *cancellable;
  gint permille; /* atomic */
  LwImport *salvaged; /* of the thread, until it has returned */
};

G_DEFINE_FINAL_TYPE (LwReading, lw_reading, G_TYPE_OBJECT)

static void
note_progress (double done, gpointer user)
{
  LwReading *self = user;

  g_atomic_int_set (&self->permille, (gint) (1000 * CLAMP (done, 0, 1)));
}

/* A lone file may have a partner beside it; what holds or makes several files is read as a set. */
static gboolean
is_set (LwReading *self)
{
  static const char *const archives[] = { ".zip", ".tar", ".tgz", ".gz", ".bz2", ".xz", ".zst", ".7z" };
  GFile *file = g_ptr_array_index (self->files, 0);
  g_autofree char *name = g_file_get_basename (file);
  g_autofree char *small = name == NULL ? g_strdup ("") : g_ascii_strdown (name, -1);

  if (self->files->len > 1 || g_file_query_file_type (file, G_FILE_QUERY_INFO_NONE, NULL) == G_FILE_TYPE_DIRECTORY)
    return TRUE;
  for (guint i = 0; i < G_N_ELEMENTS (archives); i++)
    if (g_str_has_suffix (small, archives[i]))
      return TRUE;
  return FALSE;
}

static LwImport *
read_set (LwReading *self, gboolean salvage, GCancellable *cancellable, GError **error)
{
  return (salvage ? lw_import_salvage_many : lw_import_many) ((GFile *const *) self->files->pdata, self->files->len,
                                                              note_progress, self, cancellable, error);
}

static LwImport *
read_one (LwReading *self, gboolean salvage, GCancellable *cancellable, GError **error)
{
  return (salvage ? lw_import_salvage : lw_import_told) (g_ptr_array_index (self->files, 0), self->partner,
                                                         note_progress, self, cancellable, error);
}

static LwImport *
read_all (LwReading *self, gboolean salvage, GCancellable *cancellable, GError **error)
{
  return is_set (self) ? read_set (self, salvage, cancellable, error) : read_one (self, salvage, cancellable, error);
}

/* A file that is damaged is read a second time, for what it still gives. */
static void
read_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  LwReading *self = source;
  GError *error = NULL;
  LwImport *import = read_all (self, FALSE, cancellable, &error);

  if (import != NULL) {
    g_task_return_pointer (task, import, (GDestroyNotify) lw_import_free);
    return;
  }
  if (error->domain == LW_IMPORT_ERROR)
    self->salvaged = read_all (self, TRUE, cancellable, NULL);
  g_task_return_error (task, error);
}

void
lw_reading_start (LwReading *self, GAsyncReadyCallback callback, gpointer user)
{
  g_autoptr (GTask) task = g_task_new (self, self->cancellable, callback, user);

  g_task_set_source_tag (task, lw_reading_start);
  g_task_run_in_thread (task, read_in_thread);
}

LwImport *
lw_reading_finish (LwReading *self, GAsyncResult *result, GError **error)
{
  g_return_val_if_fail (g_task_is_valid (result, self), NULL);
  return g_task_propagate_pointer (G_TASK (result), error);
}

LwImport *
lw_reading_take_salvaged (LwReading *self)
{
  return g_steal_pointer (&self->salvaged);
}

void
lw_reading_cancel (LwReading *self)
{
  g_cancellable_cancel (self->cancellable);
}

double
lw_reading_done (LwReading *self)
{
  return g_atomic_int_get (&self->permille) / 1000.0;
}

guint
lw_reading_n_files (LwReading *self)
{
  return self->files->len;
}

GFile *
lw_reading_file (LwReading *self)
{
  return g_ptr_array_index (self->files, 0);
}

GFile *
lw_reading_partner (LwReading *self)
{
  return self->partner;
}

char *
lw_reading_name (LwReading *self)
{
  g_autofree char *base = g_file_get_basename (lw_reading_file (self));

  if (self->files->len > 1)
    return g_strdup_printf (ngettext ("%u file", "%u files", self->files->len), self->files->len);
  return base == NULL ? g_file_get_parse_name (lw_reading_file (self)) : g_filename_display_name (base);
}

static void
lw_reading_finalize (GObject *object)
{
  LwReading *self = LW_READING (object);

  g_ptr_array_unref (self->files);
  g_clear_object (&self->partner);
  g_clear_pointer (&self->salvaged, lw_import_free);
  g_clear_object (&self->cancellable);
  G_OBJECT_CLASS (lw_reading_parent_class)->finalize (object);
}

static void
lw_reading_class_init (LwReadingClass *class)
{
  G_OBJECT_CLASS (class)->finalize = lw_reading_finalize;
}

static void
lw_reading_init (LwReading *self)
{
  self->files = g_ptr_array_new_with_free_func (g_object_unref);
  self->cancellable = g_cancellable_new ();
}

LwReading *
lw_reading_new (GFile *const *files, guint n_files, GFile *partner)
{
  LwReading *self = g_object_new (LW_TYPE_READING, NULL);

  for (guint i = 0; i < n_files; i++)
    g_ptr_array_add (self->files, g_object_ref (files[i]));
  g_set_object (&self->partner, partner);
  return self;
}
