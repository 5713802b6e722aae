/* How long a big board takes to open: a generated one of N parts (default 10,000) on both sides with
 * drilled pins. */
#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <time.h>

#include "idf-text.h"

static char *
big_board (guint n)
{
  GString *text = g_string_new (HEAD3 ("MM") ".BOARD_OUTLINE ECAD\n1.6\n");

  for (guint i = 0; i < 360; i++) /* a round board in short steps, as some exporters write it */
    g_string_append_printf (text, "0 %u.%02u %u 0\n", i < 180 ? i * 2 : (360 - i) * 2, 0u,
                            i < 180 ? 0 : 360);
  g_string_append (text, "0 0.00 0 0\n.END_BOARD_OUTLINE\n.DRILLED_HOLES\n");
  for (guint i = 0; i < n; i++)
    g_string_append_printf (text, "0.3 %u.5 %u.25 PTH U%u PIN ECAD\n", i % 350, i / 350, i);
  g_string_append (text, ".END_DRILLED_HOLES\n.PLACEMENT\n");
  for (guint i = 0; i < n; i++)
    g_string_append_printf (text, "\"R_0402_%u\" \"%uk\" R%u\n%u.5 %u.125 0 %u %s PLACED\n", i % 200,
                            i % 977, i, 1 + i % 350, 1 + i / 350, i % 4 * 90, i % 3 ? "TOP" : "BOTTOM");
  g_string_append (text, ".END_PLACEMENT\n");
  return g_string_free (text, FALSE);
}

static char *
big_library (void)
{
  GString *text = g_string_new (LIBRARY (""));

  for (guint i = 0; i < 200; i++)
    g_string_append_printf (
      text,
      ".ELECTRICAL\nR_0402_%u any MM 0.35\n0 -0.5 -0.25 0\n0 0.5 -0.25 0\n0 0.5 0.25 0\n"
      "0 -0.5 0.25 0\n0 -0.5 -0.25 0\n.END_ELECTRICAL\n",
      i);
  return g_string_free (text, FALSE);
}

int
main (int argc, char **argv)
{
  guint n = argc > 1 ? (guint) CLAMP (atoi (argv[1]), 1, 200000) : 10000;
  g_autofree char *board = big_board (n), *library = big_library ();
  clock_t start = clock (); /* of this program alone */
  g_autoptr (LwImport) import = read_good (board, library);
  double seconds = (double) (clock () - start) / CLOCKS_PER_SEC;
  struct rusage usage;

  getrusage (RUSAGE_SELF, &usage);
  printf ("%u parts, %.2f MB: %.3f s of processor time (limit 3), at most %.0f MB of memory (limit 300)\n",
          import->job->parts->len, strlen (board) / 1e6, seconds, (double) usage.ru_maxrss / 1e3);
  return import->job->parts->len == n && seconds <= 3 && usage.ru_maxrss <= 300 * 1000 ? 0 : 1;
}
