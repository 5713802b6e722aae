/* IDF: a board, and behind a byte of value 1 its library. */
#include <string.h>

#include "fuzz-import.h"

int
LLVMFuzzerTestOneInput (const uint8_t *data, size_t size)
{
  const uint8_t *cut = size > 0 ? memchr (data, 1, size) : NULL;
  gsize board = cut != NULL ? (gsize) (cut - data) : size;
  const char *library = cut != NULL ? (const char *) cut + 1 : NULL;
  gsize rest = cut != NULL ? size - board - 1 : 0;
  GError *error = NULL, *second = NULL;

  LwImport *import = lw_import_idf ("a.emn", (const char *) data, board, "a.emp", library, rest, &error);
  fuzz_take_import (import, error);
  LwImport *saved = lw_import_idf_salvage ("a.emn", (const char *) data, board, "a.emp", library, rest, &second);
  fuzz_take_import (saved, second);
  return 0;
}
