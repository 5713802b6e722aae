/* How long sets of plots take to open, with their copper measured. */
#include "exchange/import.h"

int
main (void)
{
  static const char *const boards[] = { "coldfire_kit/gerber", "interf_u/gerber", "ecc83_v2/gerber" };

  for (guint i = 0; i < G_N_ELEMENTS (boards); i++)
    {
      g_autofree char *path = g_build_filename (DATA_DIR, boards[i], NULL);
      g_autoptr (GFile) file = g_file_new_for_path (path);
      g_autoptr (GTimer) timer = g_timer_new ();
      g_autoptr (LwImport) import = lw_import_many (&file, 1, NULL, NULL, NULL, NULL);

      g_print ("%-22s %5.0f ms, %u parts\n", boards[i], 1000 * g_timer_elapsed (timer, NULL),
               import != NULL ? import->job->parts->len : 0);
    }
  return 0;
}
