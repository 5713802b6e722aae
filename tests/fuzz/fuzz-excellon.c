/* Drill files, with and without a board that settles what they leave open. */
#include "fuzz-plots.h"

int
LLVMFuzzerTestOneInput (const uint8_t *data, size_t size)
{
  const LwBox box = { 0, 0, 50, 40 };

  for (guint i = 0; i < 2; i++)
    {
      g_autoptr (GPtrArray) notes = lw_notes_new ();
      g_autoptr (GError) error = NULL;
      g_autoptr (LwExcellon) drill =
        lw_excellon_read ("a.drl", (const char *) data, size, i == 0 ? NULL : &box, notes, &error);

      fuzz_check (drill != NULL, error);
      if (drill == NULL)
        return 0;
      g_assert_cmpuint (drill->holes->len, <=, LW_EXCELLON_MAX_HOLES);
    }
  if (lw_excellon_sniff ((const char *) data, size))
    fuzz_read_set ("a.drl", data, size);
  return 0;
}
