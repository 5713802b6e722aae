/* How long big IPC-2581 boards take to open, and how much memory that takes: one of 58 MB, most of it copper as
 * real files have it, and one of 10,000 parts. Both are written to a temporary file first and read through the
 * door, as a user would. */
#include <glib/gstdio.h>
#include <stdio.h>
#include <sys/resource.h>
#include <time.h>

#include "ipc2581-text.h"

static void
write_packages (FILE *out, guint n, guint pins)
{
  for (guint i = 0; i < n; i++)
    {
      fprintf (out, "<Package name=\"P%u\" type=\"OTHER\" height=\"1.2\">" IPC_BOX ("0.9", "0.4") "\n", i);
      for (guint k = 0; k < pins; k++)
        fprintf (out, "<Pin number=\"%u\" type=\"SURFACE\"><Location x=\"%.3f\" y=\"%.3f\"/><RectCenter width=\"0.3\" height=\"0.2\"/></Pin>\n",
                 k, k % 2 ? -0.5 : 0.5, (k / 2 - pins / 4.0) * 0.01);
      fputs ("</Package>\n", out);
    }
}

static void
write_parts (FILE *out, guint n)
{
  for (guint i = 0; i < n; i++)
    fprintf (out,
             "<Component refDes=\"R%u\" packageRef=\"P%u\" part=\"N%u\" layerRef=\"%s\" mountType=\"SMT\">"
             "<Xform rotation=\"%u.0\"%s/><Location x=\"%u.5\" y=\"%u.25\"/></Component>\n",
             i, i % 200, i % 977, i % 3 ? "T" : "B", i % 4 * 90, i % 3 ? "" : " mirror=\"true\"", 1 + i % 148, 1 + i / 148);
}

/* Lands that name their pins, traces, and pours of many corners, until the file is BYTES long. */
static void
write_copper (FILE *out, guint n_parts, glong bytes)
{
  fputs ("<LayerFeature layerRef=\"T\">\n", out);
  for (guint i = 0; ftell (out) < bytes; i++)
    {
      fprintf (out, "<Set net=\"n%u\"><Pad padstackDefRef=\"q\"><Xform rotation=\"90.0\"/><Location x=\"%u.5\" y=\"%u.75\"/>"
               "<StandardPrimitiveRef id=\"r\"/><PinRef componentRef=\"R%u\" pin=\"%u\"/></Pad></Set>\n",
               i, 1 + i % 148, 1 + i / 148 % 90, i % n_parts, i % 2);
      fputs ("<Set><Features><UserSpecial><Contour><Polygon>\n", out);
      fprintf (out, "<PolyBegin x=\"%u.123456\" y=\"%u.5\"/>\n", 1 + i % 140, 1 + i / 140 % 90);
      for (guint k = 0; k < 12; k++)
        fprintf (out, "              <PolyStepSegment x=\"%u.123456\" y=\"%u.654321\"/>\n", 1 + (i % 140) + (k < 6 ? 0 : 3), 1 + (i / 140 % 90) + (k < 6 ? k : 11 - k) / 2);
      fputs ("</Polygon></Contour><Line startX=\"1.0\" startY=\"2.0\" endX=\"3.0\" endY=\"4.0\"><LineDescRef id=\"w\"/></Line>"
             "</UserSpecial></Features></Set>\n", out);
    }
  fputs ("</LayerFeature>\n", out);
}

static void
write_board (const char *path, guint n_parts, glong bytes)
{
  FILE *out = g_fopen (path, "w");

  g_assert_nonnull (out);
  fputs (IPC_HEAD IPC_CONTENT ("s", "") "<Ecad><CadHeader units=\"MILLIMETER\"/><CadData>\n" IPC_LAYERS
         "<Stackup><StackupGroup><StackupLayer layerOrGroupRef=\"T\" thickness=\"0.035\" sequence=\"1\"/>"
         "<StackupLayer layerOrGroupRef=\"D\" thickness=\"1.5\" sequence=\"2\"/>"
         "<StackupLayer layerOrGroupRef=\"B\" thickness=\"0.035\" sequence=\"3\"/></StackupGroup></Stackup>\n"
         "<Step name=\"s\"><Profile><Polygon><PolyBegin x=\"0\" y=\"0\"/><PolyStepSegment x=\"150\" y=\"0\"/>"
         "<PolyStepSegment x=\"150\" y=\"100\"/><PolyStepSegment x=\"0\" y=\"100\"/></Polygon></Profile>\n", out);
  write_packages (out, 200, 24);
  write_parts (out, n_parts);
  write_copper (out, n_parts, bytes);
  fputs ("</Step></CadData></Ecad>" IPC_TAIL, out);
  g_assert_cmpint (fclose (out), ==, 0);
}

/* The limits of a board that is opened while somebody waits. */
#define LIMIT_S 3.0
#define LIMIT_MB 300.0

static gboolean
bench (const char *path, guint n_parts, glong bytes)
{
  g_autoptr (GFile) file = g_file_new_for_path (path);
  g_autoptr (GError) error = NULL;
  struct rusage usage;
  clock_t before;

  write_board (path, n_parts, bytes);
  before = clock (); /* of this program alone: other work on the machine does not count */
  gint64 start = g_get_monotonic_time ();
  g_autoptr (LwImport) import = lw_import (file, NULL, NULL, &error);
  double seconds = (g_get_monotonic_time () - start) / 1e6, own = (double) (clock () - before) / CLOCKS_PER_SEC;
  g_assert_no_error (error);
  getrusage (RUSAGE_SELF, &usage);
  g_assert_cmpuint (import->job->board->layers->len, ==, 3);
  printf ("%u parts, %.0f MB: %.2f s of processor time (limit %.0f; %.2f s passed), at most %.0f MB of memory (limit %.0f)\n",
          import->job->parts->len, (double) bytes / 1e6, own, LIMIT_S, seconds, (double) usage.ru_maxrss / 1e3, LIMIT_MB);
  return import->job->parts->len == n_parts && own <= LIMIT_S && (double) usage.ru_maxrss / 1e3 <= LIMIT_MB;
}

int
main (void)
{
  g_autofree char *folder = g_dir_make_tmp ("leeward-bench-XXXXXX", NULL);
  g_autofree char *path = g_build_filename (folder, "big.xml", NULL);
  gboolean ok = bench (path, 1656, 58000000);

  ok = bench (path, 10000, 20000000) && ok;
  g_unlink (path);
  g_rmdir (folder);
  return ok ? 0 : 1;
}
