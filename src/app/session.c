#include "app/session.h"

#include <string.h>

#include <glib/gi18n.h>

#include "app/recovery.h"
#include "app/settings.h"
#include "board/job-file.h"

#define DEMO_RESOURCE "/leeward/data/demo.leeward"

struct _LwSession {
  GObject parent_instance;

  LwDesk *desk;
  LwRunner *runner;
  LwRecovery *recovery;
  GPtrArray *warnings, *unknowns, *sources; /* of the last import; empty when it had none */
  char *format;

  GFileMonitor *monitor;
  char *etag; /* of the file as we last read or wrote it */
  char *told; /* of the last version by others that was told of, or NULL */
};

G_DEFINE_FINAL_TYPE (LwSession, lw_session, G_TYPE_OBJECT)

static guint changed_on_disk_signal;

static char *
current_etag (GFile *file)
{
  g_autoptr (GFileInfo) info = g_file_query_info (file, G_FILE_ATTRIBUTE_ETAG_VALUE, 0, NULL, NULL);

  return info == NULL ? NULL : g_strdup (g_file_info_get_etag (info));
}

static void
file_event_cb (GFileMonitor *monitor, GFile *file, GFile *other, GFileMonitorEvent event, LwSession *self)
{
  LwDocument *document = lw_desk_document (self->desk);
  g_autofree char *etag = NULL;

  if (document == NULL || lw_document_file (document) == NULL || event == G_FILE_MONITOR_EVENT_DELETED)
    return;
  etag = current_etag (lw_document_file (document));
  if (etag == NULL || g_strcmp0 (etag, self->etag) == 0 || g_strcmp0 (etag, self->told) == 0)
    return;
  g_free (self->told);
  self->told = g_steal_pointer (&etag); /* once for each version */
  g_signal_emit (self, changed_on_disk_signal, 0);
}

static void
watch (LwSession *self, GFile *file)
{
  if (self->monitor != NULL)
    g_file_monitor_cancel (self->monitor);
  g_clear_object (&self->monitor);
  g_clear_pointer (&self->etag, g_free);
  g_clear_pointer (&self->told, g_free);
  if (file == NULL)
    return;
  self->etag = current_etag (file);
  self->monitor = g_file_monitor_file (file, G_FILE_MONITOR_WATCH_MOVES, NULL, NULL);
  if (self->monitor != NULL)
    g_signal_connect_object (self->monitor, "changed", G_CALLBACK (file_event_cb), self, 0);
}

/* ---- the demo ---- */

LwImport *
lw_session_demo (GError **error)
{
  g_autoptr (GBytes) bytes = g_resources_lookup_data (DEMO_RESOURCE, 0, error);
  g_autoptr (LwJob) job = NULL;
  LwImport *import;
  const char *data;
  gsize length;

  if (bytes == NULL)
    return NULL;
  data = g_bytes_get_data (bytes, &length);
  job = lw_job_from_data ("demo.leeward", data, length, error);
  if (job == NULL)
    return NULL;
  import = g_new0 (LwImport, 1);
  import->job = g_steal_pointer (&job);
  import->warnings = g_ptr_array_new ();
  import->format = g_strdup ("Leeward 1");
  return import;
}

/* ---- the open document ---- */

static void
pause_cb (LwSession *self)
{
  if (self->recovery != NULL)
    lw_recovery_set_pause (self->recovery, (guint) lw_settings_int ("autosave-seconds", 5));
}

void
lw_session_take_document (LwSession *self, LwDocument *document)
{
  g_return_if_fail (LW_IS_SESSION (self));

  if (self->recovery != NULL)
    lw_recovery_finish (self->recovery);
  g_clear_object (&self->recovery);
  watch (self, document == NULL ? NULL : lw_document_file (document));
  lw_desk_set_side (self->desk, LW_SIDE_TOP);
  lw_desk_set_document (self->desk, document);
  if (document != NULL)
    self->recovery = lw_recovery_new (document, lw_settings_int ("autosave-seconds", 5));
}

static gboolean
is_our_own (const char *format)
{
  return format != NULL && g_str_has_prefix (format, "Leeward");
}

static void
keep_list (GPtrArray **kept, GPtrArray **given)
{
  g_ptr_array_unref (*kept);
  *kept = *given != NULL ? g_steal_pointer (given) : g_ptr_array_new ();
}

void
lw_session_take (LwSession *self, LwImport *import, GFile *file)
{
  g_autoptr (LwDocument) document = NULL;

  g_return_if_fail (LW_IS_SESSION (self));

  document = lw_document_new (g_steal_pointer (&import->job), is_our_own (import->format) ? file : NULL);
  keep_list (&self->warnings, &import->warnings);
  keep_list (&self->unknowns, &import->unknowns);
  keep_list (&self->sources, &import->sources);
  g_free (self->format);
  self->format = g_steal_pointer (&import->format);
  lw_session_take_document (self, document);
  lw_import_free (import);
}

const GPtrArray *
lw_session_warnings (LwSession *self)
{
  g_return_val_if_fail (LW_IS_SESSION (self), NULL);
  return self->warnings;
}

const GPtrArray *
lw_session_unknowns (LwSession *self)
{
  g_return_val_if_fail (LW_IS_SESSION (self), NULL);
  return self->unknowns;
}

const GPtrArray *
lw_session_sources (LwSession *self)
{
  g_return_val_if_fail (LW_IS_SESSION (self), NULL);
  return self->sources;
}

gboolean
lw_session_has_remarks (LwSession *self)
{
  g_return_val_if_fail (LW_IS_SESSION (self), FALSE);
  return self->warnings->len > 0 || self->unknowns->len > 0 || self->sources->len > 0;
}

const char *
lw_session_format (LwSession *self)
{
  g_return_val_if_fail (LW_IS_SESSION (self), NULL);
  return self->format;
}

guint
lw_session_count_unknown_packages (LwSession *self)
{
  const LwJob *job = lw_desk_job (self->desk);
  guint unknown = 0;

  for (guint i = 0; job != NULL && i < job->parts->len; i++)
    unknown += lw_job_package_of (job, g_ptr_array_index (job->parts, i)) == NULL;
  return unknown;
}

gboolean
lw_session_save (LwSession *self, GFile *file, GError **error)
{
  LwDocument *document;

  g_return_val_if_fail (LW_IS_SESSION (self), FALSE);

  document = lw_desk_document (self->desk);
  if (document == NULL || !lw_document_save (document, file, NULL, error))
    return FALSE;
  watch (self, lw_document_file (document));
  return TRUE;
}

gboolean
lw_session_is_changed_elsewhere (LwSession *self)
{
  LwDocument *document;
  g_autofree char *etag = NULL;

  g_return_val_if_fail (LW_IS_SESSION (self), FALSE);

  document = lw_desk_document (self->desk);
  if (document == NULL || lw_document_file (document) == NULL)
    return FALSE;
  etag = current_etag (lw_document_file (document)); /* asked now: not every file system tells of changes */
  return etag != NULL && g_strcmp0 (etag, self->etag) != 0;
}

void
lw_session_has_read (LwSession *self)
{
  LwDocument *document = lw_desk_document (self->desk);

  g_return_if_fail (LW_IS_SESSION (self));
  watch (self, document == NULL ? NULL : lw_document_file (document));
}

gboolean
lw_session_keep (LwSession *self, GError **error)
{
  g_return_val_if_fail (LW_IS_SESSION (self), FALSE);
  return self->recovery == NULL || lw_recovery_write (self->recovery, error);
}

void
lw_session_close (LwSession *self)
{
  g_return_if_fail (LW_IS_SESSION (self));
  lw_runner_stop (self->runner);
  if (self->recovery != NULL)
    lw_recovery_finish (self->recovery);
  g_clear_object (&self->recovery);
  watch (self, NULL);
}

char *
lw_session_title (LwSession *self)
{
  LwDocument *document = lw_desk_document (self->desk);

  if (document == NULL)
    return g_strdup (_("Leeward"));
  if (lw_document_file (document) != NULL) {
    g_autofree char *base = g_file_get_basename (lw_document_file (document));

    return g_filename_display_name (base);
  }
  if (*lw_document_job (document)->title != '\0')
    return g_strdup (lw_document_job (document)->title);
  return g_strdup (_("Untitled job"));
}

char *
lw_session_place (LwSession *self)
{
  LwDocument *document = lw_desk_document (self->desk);
  g_autoptr (GFile) parent = NULL;
  g_autofree char *name = NULL;

  if (document == NULL)
    return g_strdup ("");
  if (lw_document_file (document) == NULL)
    return g_strdup (_("not saved yet"));
  parent = g_file_get_parent (lw_document_file (document));
  if (parent == NULL)
    return g_strdup ("");
  name = g_file_get_parse_name (parent);
  if (g_str_has_prefix (name, g_get_home_dir ()))
    return g_strconcat ("~", name + strlen (g_get_home_dir ()), NULL);
  return g_steal_pointer (&name);
}

/* ---- the object ---- */

LwDesk *
lw_session_desk (LwSession *self)
{
  g_return_val_if_fail (LW_IS_SESSION (self), NULL);
  return self->desk;
}

LwRunner *
lw_session_runner (LwSession *self)
{
  g_return_val_if_fail (LW_IS_SESSION (self), NULL);
  return self->runner;
}

static void
lw_session_dispose (GObject *object)
{
  LwSession *self = LW_SESSION (object);

  if (self->runner != NULL)
    lw_runner_stop (self->runner);
  g_clear_object (&self->runner);
  watch (self, NULL);
  g_clear_object (&self->recovery);
  g_clear_object (&self->desk);
  G_OBJECT_CLASS (lw_session_parent_class)->dispose (object);
}

static void
lw_session_finalize (GObject *object)
{
  LwSession *self = LW_SESSION (object);

  g_clear_pointer (&self->warnings, g_ptr_array_unref);
  g_clear_pointer (&self->unknowns, g_ptr_array_unref);
  g_clear_pointer (&self->sources, g_ptr_array_unref);
  g_free (self->format);
  G_OBJECT_CLASS (lw_session_parent_class)->finalize (object);
}

static void
lw_session_class_init (LwSessionClass *class)
{
  G_OBJECT_CLASS (class)->dispose = lw_session_dispose;
  G_OBJECT_CLASS (class)->finalize = lw_session_finalize;
  changed_on_disk_signal = g_signal_new ("changed-on-disk", G_TYPE_FROM_CLASS (class), G_SIGNAL_RUN_LAST, 0, NULL,
                                         NULL, NULL, G_TYPE_NONE, 0);
}

static void
lw_session_init (LwSession *self)
{
  self->desk = lw_desk_new ();
  self->runner = lw_runner_new (self->desk);
  self->warnings = g_ptr_array_new ();
  self->unknowns = g_ptr_array_new ();
  self->sources = g_ptr_array_new ();
  if (lw_settings () != NULL)
    g_signal_connect_object (lw_settings (), "changed::autosave-seconds", G_CALLBACK (pause_cb), self, G_CONNECT_SWAPPED);
}

LwSession *
lw_session_new (void)
{
  return g_object_new (LW_TYPE_SESSION, NULL);
}
