/* IPC-2581, read straight and salvaging. */
#include "exchange/ipc2581.h"
#include "fuzz-import.h"

int
LLVMFuzzerTestOneInput (const uint8_t *data, size_t size)
{
  GError *error = NULL, *second = NULL;
  g_autoptr (GInputStream) stream = g_memory_input_stream_new_from_data (data, (gssize) size, NULL);

  LwImport *import = lw_import_ipc2581 ("a.xml", (const char *) data, size, &error);
  fuzz_take_import (import, error);
  LwImport *saved = lw_import_ipc2581_salvage ("a.xml", stream, (goffset) size, NULL, NULL, NULL, &second);
  fuzz_take_import (saved, second);
  return 0;
}
