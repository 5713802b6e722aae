/* Placement tables: the guess, the preview, the reading. */
#include "exchange/centroid.h"
#include "fuzz-import.h"

int
LLVMFuzzerTestOneInput (const uint8_t *data, size_t size)
{
  const char *text = (const char *) data;
  LwCentroidMapping mapping;
  g_autoptr (GError) error = NULL;
  GError *second = NULL;

  lw_centroid_sniff (text, size);
  if (lw_centroid_guess ("a.csv", text, size, &mapping, &error))
    {
      g_autoptr (GPtrArray) rows = lw_centroid_rows ("a.csv", text, size, mapping.delimiter, 50, &error);

      g_assert_nonnull (rows);
    }
  else
    fuzz_check (FALSE, error);
  LwImport *import = lw_import_centroid_guessed ("a.csv", text, size, &second);
  fuzz_take_import (import, second);
  return 0;
}
