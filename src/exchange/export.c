#include "exchange/export.h"

#include <glib/gi18n.h>
#include <string.h>

#include "board/file-replace.h"
#include "exchange/import.h"
#include "exchange/notes.h"

GPtrArray *
lw_export_notes_new (void)
{
  return g_ptr_array_new_with_free_func (g_free);
}

LwExportKind
lw_export_kind (const char *file_name)
{
  const char *dot = strrchr (file_name, '.');

  if (dot != NULL && g_ascii_strcasecmp (dot, ".emn") == 0)
    return LW_EXPORT_IDF;
  if (dot != NULL && g_ascii_strcasecmp (dot, ".csv") == 0)
    return LW_EXPORT_CENTROID;
  return LW_EXPORT_NONE;
}

static gboolean
write_text (GFile *file, const char *text, GCancellable *cancellable, GError **error)
{
  g_autofree char *base = g_file_get_basename (file), *path = g_file_get_path (file);
  g_autofree char *name = base != NULL ? g_filename_display_name (base) : g_strdup (_ ("file"));

  if (path != NULL)
    return lw_file_replace (path, text, strlen (text), cancellable, error);
  if (g_file_replace_contents (file, text, strlen (text), NULL, FALSE, G_FILE_CREATE_NONE, NULL,
                               cancellable, error))
    return TRUE;
  g_prefix_error (error, "%s: ", name);
  return FALSE;
}

/* "a.emn" to "a.emp", "A.EMN" to "A.EMP". */
static GFile *
library_beside (GFile *board)
{
  g_autoptr (GFile) folder = g_file_get_parent (board);
  g_autofree char *name = g_file_get_basename (board);
  char *last = name + strlen (name) - 1;

  *last = *last == 'N' ? 'P' : 'p';
  return g_file_get_child (folder, name);
}

/* The library first: a board without its library is worse than a library without its board. */
static gboolean
write_idf (const LwJob *job, GFile *file, GPtrArray *left_out, GCancellable *cancellable, GError **error)
{
  g_autoptr (GFile) beside = library_beside (file);
  g_autofree char *library = lw_export_idf_library (job, left_out);
  g_autofree char *board = lw_export_idf_board (job, left_out);

  return write_text (beside, library, cancellable, error)
         && write_text (file, board, cancellable, error);
}

GFile *
lw_export_beside (GFile *file)
{
  g_autofree char *name = g_file_get_basename (file);

  return name != NULL && lw_export_kind (name) == LW_EXPORT_IDF ? library_beside (file) : NULL;
}

gboolean
lw_export (const LwJob *job, GFile *file, GPtrArray *left_out, GCancellable *cancellable, GError **error)
{
  g_autofree char *name = g_file_get_basename (file);

  switch (name != NULL ? lw_export_kind (name) : LW_EXPORT_NONE) {
  case LW_EXPORT_IDF:
    return write_idf (job, file, left_out, cancellable, error);
  case LW_EXPORT_CENTROID: {
    g_autofree char *text = lw_export_centroid (job, left_out);

    return write_text (file, text, cancellable, error);
  }
  case LW_EXPORT_NONE:
    break;
  }
  return lw_notes_fail (error, LW_IMPORT_ERROR_UNSUPPORTED, name != NULL ? name : "", 0,
                        _ ("a board is written as .emn or .csv"));
}
