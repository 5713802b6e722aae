/* A library file of the user's. */
#include "board/library-read.h"
#include "fuzz.h"

static void
take_cb (guint kind, gpointer entry, gpointer user_data)
{
  g_assert_nonnull (lw_library_entry_name (kind, entry));
  lw_library_entry_free (kind, entry);
}

static void
complain_cb (GError *error, gpointer user_data)
{
  guint *told = user_data;

  fuzz_check (FALSE, error);
  g_assert_cmpuint (++*told, <=, LW_LIBRARY_FAULTS_MAX + 1);
  g_error_free (error);
}

int
LLVMFuzzerTestOneInput (const uint8_t *data, size_t size)
{
  guint told = 0;

  lw_library_read ("own.json", (const char *) data, size, take_cb, complain_cb, &told);
  return 0;
}
