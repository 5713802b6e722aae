/* Archives and whatever is in them, from a file, as the program opens it. */
#include <glib/gstdio.h>
#include <unistd.h>

#include "fuzz-import.h"

int
LLVMFuzzerTestOneInput (const uint8_t *data, size_t size)
{
  static char *path;
  g_autoptr (GFile) file = NULL;
  GError *error = NULL;

  if (path == NULL)
    path = g_strdup_printf ("%s/leeward-fuzz-%d.zip", g_get_tmp_dir (), (int) getpid ());
  if (!g_file_set_contents_full (path, (const char *) data, (gssize) size, G_FILE_SET_CONTENTS_NONE, 0600, NULL))
    return 0;
  file = g_file_new_for_path (path);
  LwImport *import = lw_import_many (&file, 1, NULL, NULL, NULL, &error);
  fuzz_take_import (import, error);
  g_unlink (path);
  return 0;
}
