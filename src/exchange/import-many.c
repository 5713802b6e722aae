/* Several files of one board taken together. */
#include "exchange/import.h"

#include <glib/gi18n.h>

#include "exchange/notes.h"

LwImport *
lw_import_many (GFile *const *files, guint n_files, LwImportProgress progress, gpointer user_data,
                GCancellable *cancellable, GError **error)
{
  LwImport *import;

  if (n_files == 0 || n_files > 2)
    {
      lw_notes_fail (error, LW_IMPORT_ERROR_UNSUPPORTED, _("files"), 0,
                     _("one board, or a board and its library, can be opened together"));
      return NULL;
    }
  import = lw_import (files[0], n_files == 2 ? files[1] : NULL, cancellable, error);
  if (import != NULL && progress != NULL)
    progress (1, user_data);
  return import;
}
