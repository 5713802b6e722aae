/* Gerber: copper, components, profile. */
#include "fuzz-plots.h"

int
LLVMFuzzerTestOneInput (const uint8_t *data, size_t size)
{
  g_autoptr (GPtrArray) notes = lw_notes_new ();
  g_autoptr (GError) error = NULL;
  g_autoptr (LwGerber) gerber = lw_gerber_read ("a-F_Cu.gbr", (const char *) data, size, notes, NULL, &error);

  lw_plots_sniff ((const char *) data, size);
  fuzz_check (gerber != NULL, error);
  if (gerber != NULL)
    fuzz_read_set ("a-F_Cu.gbr", data, size);
  return 0;
}
