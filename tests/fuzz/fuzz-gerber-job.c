/* The job file of a set of plots. */
#include "fuzz-plots.h"

int
LLVMFuzzerTestOneInput (const uint8_t *data, size_t size)
{
  g_autoptr (GPtrArray) notes = lw_notes_new ();
  g_autoptr (GError) error = NULL;
  g_autoptr (LwGerberJob) job = lw_gerber_job_read ("a.gbrjob", (const char *) data, size, notes, &error);

  fuzz_check (job != NULL, error);
  if (lw_gerber_job_sniff ((const char *) data, size))
    fuzz_read_set ("a.gbrjob", data, size);
  return 0;
}
