/* For check_format.py: `reload` prints the fixture; `reload FILE...` reads each document and prints it as the
 * program writes it, or "refused: reason", each followed by a NUL byte. */
#include <gio/gio.h>
#include <stdio.h>

#include "board/job-file.h"
#include "job-fixture.h"

int
main (int argc, char **argv)
{
  if (argc == 1)
    fputs (fixture, stdout);
  for (int i = 1; i < argc; i++)
    {
      g_autoptr (GFile) file = g_file_new_for_commandline_arg (argv[i]);
      g_autoptr (GError) error = NULL;
      g_autoptr (LwJob) job = lw_job_load (file, NULL, &error);
      g_autofree char *text = job != NULL ? lw_job_to_data (job, NULL) : NULL;

      printf ("%s%s", text != NULL ? text : "refused: ", text != NULL ? "" : error->message);
      putchar ('\0');
    }
  return 0;
}
