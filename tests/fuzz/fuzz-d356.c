/* IPC-D-356. */
#include "exchange/d356.h"
#include "fuzz-import.h"

int
LLVMFuzzerTestOneInput (const uint8_t *data, size_t size)
{
  GError *error = NULL;

  lw_d356_sniff ((const char *) data, size);
  LwImport *import = lw_import_d356 ("a.ipc", (const char *) data, size, &error);
  fuzz_take_import (import, error);
  return 0;
}
