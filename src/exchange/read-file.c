#include "exchange/read-file.h"

#include <glib/gi18n.h>

#include "exchange/notes.h"

static gboolean
check_regular (GFile *file, const char *name, GCancellable *cancellable, GError **error)
{
  g_autoptr (GFileInfo) info =
    g_file_query_info (file, G_FILE_ATTRIBUTE_STANDARD_TYPE, G_FILE_QUERY_INFO_NONE, cancellable, error);

  if (info == NULL)
    {
      g_prefix_error (error, "%s: ", name);
      return FALSE;
    }
  if (g_file_info_get_file_type (info) == G_FILE_TYPE_REGULAR)
    return TRUE;
  return lw_notes_fail (error, LW_IMPORT_ERROR_UNSUPPORTED, name, 0, _("this is not a regular file"));
}

GByteArray *
lw_read_start (GFile *file, const char *name, gsize limit, GCancellable *cancellable, GError **error)
{
  g_autoptr (GFileInputStream) stream = NULL;
  g_autoptr (GByteArray) bytes = g_byte_array_new ();
  gssize got = 1;

  if (!check_regular (file, name, cancellable, error))
    return NULL;
  stream = g_file_read (file, cancellable, error);
  while (stream != NULL && got > 0 && bytes->len <= limit)
    {
      guint at = bytes->len, chunk = MIN (MAX (at, 65536u), limit + 1 - at);

      g_byte_array_set_size (bytes, at + chunk);
      got = g_input_stream_read (G_INPUT_STREAM (stream), bytes->data + at, chunk, cancellable, error);
      g_byte_array_set_size (bytes, at + MAX (got, 0));
    }
  if (stream != NULL && got >= 0)
    return g_steal_pointer (&bytes);
  g_prefix_error (error, "%s: ", name);
  return NULL;
}

GByteArray *
lw_read_file (GFile *file, const char *name, gsize limit, GCancellable *cancellable, GError **error)
{
  g_autoptr (GByteArray) bytes = lw_read_start (file, name, limit, cancellable, error);

  if (bytes == NULL || bytes->len <= limit)
    return g_steal_pointer (&bytes);
  lw_notes_fail (error, LW_IMPORT_ERROR_TOO_LARGE, name, 0, _("larger than %u MB"), (guint) (limit / 1024 / 1024));
  return NULL;
}
