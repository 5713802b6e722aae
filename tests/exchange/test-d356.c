/* IPC-D-356A. Columns as descriptions of the format have them; 0.0001 inch = 0.00254 mm. */
#include <math.h>
#include <string.h>

#include "board/job-file.h"
#include "exchange/d356.h"

#define HEAD "C  a comment\nP  UNITS CUST 0\n"
/* Code, net (14), designator (6), pin (4), hole and plating (6), access, place, size, turn. */
#define LAND(code, ref, pin, hole, access, place, size) code "NET           " "   " ref "-" pin " " hole access place size "R000S0\n"

static LwImport *
read_good (const char *text)
{
  g_autoptr (GError) error = NULL;
  LwImport *import = lw_import_d356 ("t.ipc", text, strlen (text), &error);

  g_assert_no_error (error);
  return import;
}

static const LwPart *
part_of (const LwImport *import, const char *ref)
{
  int i = lw_job_find_part (import->job, ref);

  g_assert_cmpint (i, >=, 0);
  return import->job->parts->pdata[i];
}

static gboolean
warns (const LwImport *import, guint line, const char *text)
{
  for (guint i = 0; i < import->warnings->len; i++)
    {
      const LwImportWarning *warning = import->warnings->pdata[i];

      if (warning->line == line && strstr (warning->text, text) != NULL)
        return TRUE;
    }
  return FALSE;
}

static void
test_parts (void)
{
  g_autoptr (LwImport) import = read_good (HEAD LAND ("327", "U1    ", "1   ", "      ", "A01", "X+010000Y+020000", "X0200Y0100")
                                           LAND ("327", "U1    ", "2   ", "      ", "A01", "X+011000Y+020000", "X0200Y0100")
                                           LAND ("327", "U2    ", "1   ", "      ", "A02", "X-010000Y    50", "X0200Y0000")
                                           LAND ("317", "VIA   ", "    ", "D0157P", "A00", "X+010000Y+020000", "X0200Y0000")
                                           LAND ("317", "J1    ", "1   ", "D0400P", "A00", "X+030000Y+020000", "X0600Y0000") "999\n");
  const LwPart *u1 = part_of (import, "U1"), *u2 = part_of (import, "U2");
  const LwPackage *package = lw_job_package_of (import->job, u1);

  g_assert_cmpuint (import->job->parts->len, ==, 3);
  g_assert_cmpfloat_with_epsilon (u1->x_mm, 1.05 * 25.4, 1e-9);
  g_assert_cmpfloat_with_epsilon (u1->y_mm, 2 * 25.4, 1e-9);
  g_assert_cmpint (package->joints.pattern, ==, LW_JOINTS_TWO_ENDS);
  g_assert_cmpfloat_with_epsilon (package->joints.span_x_mm, 2.54, 1e-9);
  g_assert_cmpint (u2->side, ==, LW_SIDE_BOTTOM);
  g_assert_cmpfloat_with_epsilon (u2->x_mm, -25.4, 1e-9);
  g_assert_cmpfloat_with_epsilon (u2->y_mm, 0.127, 1e-9);
  g_assert_cmpint (part_of (import, "J1")->side, ==, LW_SIDE_TOP);
  g_assert_true (isnan (package->height_mm));
}

/* 2 x 1 inch with a notch, drawn with a missing coordinate where it stays, over two records. */
static void
test_edge (void)
{
  g_autoptr (LwImport) import =
    read_good (HEAD "389BOARD_EDGE     X0100 X0Y0 X20000 Y10000\n089               X10000 Y5000 X0 Y0 *\n"
               LAND ("327", "U1    ", "1   ", "      ", "A01", "X+015000Y+002500", "X0200Y0100") "999\n");
  const LwLoop *edge = import->job->board->outline->pdata[0];

  g_assert_false (import->job->board->outline_assumed);
  g_assert_cmpuint (edge->corners->len, ==, 6);
  g_assert_cmpfloat_with_epsilon (lw_loop_area (edge), 1.5 * 25.4 * 25.4, 1e-6);
}

static void
test_metric (void)
{
  g_autoptr (LwImport) import = read_good ("P  UNITS CUST 1\n" LAND ("327", "U1    ", "1   ", "      ", "A01", "X+010000Y+020000", "X0200Y0100") "999\n");

  g_assert_cmpfloat_with_epsilon (part_of (import, "U1")->x_mm, 10, 1e-9);
}

static void
test_oddities (void)
{
  g_autoptr (LwImport) import = read_good (LAND ("327", "LED_PO", "1   ", "      ", "A01", "X+010000Y+020000", "X0200Y0100")
                                           LAND ("327", "LED_PO", "1   ", "      ", "A01", "X+020000Y+020000", "X0200Y0100")
                                           LAND ("327", "U1    ", "1   ", "      ", "A01", "X??????Y+020000", "X0200Y0100")
                                           LAND ("327", "U2    ", "1   ", "      ", "A01", "X+020000Y+010000", "X0200Y0100"));

  g_assert_cmpuint (import->job->parts->len, ==, 2);
  g_assert_false (part_of (import, "LED_PO")->placed);
  g_assert_true (warns (import, 1, "no unit is stated"));
  g_assert_true (warns (import, 1, "LED_PO has a pin more than once"));
  g_assert_true (warns (import, 3, "no place in columns 42 to 57"));
  g_assert_true (warns (import, 4, "no 999 record"));
}

/* ---- damage ---- */

static gboolean
try_bytes (const char *data, gsize size)
{
  g_autofree char *copy = g_memdup2 (data, size);
  g_autoptr (GError) error = NULL;
  g_autoptr (LwImport) import = lw_import_d356 ("t.ipc", copy != NULL ? copy : "", size, &error);
  g_autoptr (GPtrArray) faults = NULL;

  g_assert_true ((import == NULL) == (error != NULL));
  if (import == NULL)
    {
      g_assert_true (g_str_has_prefix (error->message, "t.ipc"));
      return FALSE;
    }
  faults = lw_job_check (import->job);
  for (guint i = 0; i < faults->len; i++)
    g_assert_false (((LwFault *) faults->pdata[i])->fatal);
  return TRUE;
}

static void
test_damaged (void)
{
  enum { MUTATIONS = 200, SEED = 20260105 };
  static const char *const samples[] = { "ecc83_v2/ecc83v2.ipc", "numpres/numpres.ipc" };
  g_autoptr (GRand) rand = g_rand_new_with_seed (SEED);
  guint n_read = 0, n_refused = 0;

  for (guint k = 0; k < G_N_ELEMENTS (samples); k++)
    {
      g_autofree char *path = g_build_filename (DATA_DIR, samples[k], NULL), *text = NULL;
      gsize size;

      g_assert_true (g_file_get_contents (path, &text, &size, NULL));
      g_assert_true (lw_d356_sniff (text, size));
      for (gsize i = 0; i < size; i += 17)
        *(try_bytes (text, i) ? &n_read : &n_refused) += 1;
      for (guint i = 0; i < MUTATIONS; i++)
        {
          g_autofree char *copy = g_memdup2 (text, size);

          for (int m = g_rand_int_range (rand, 1, 30); m > 0; m--)
            copy[g_rand_int_range (rand, 0, (gint32) size)] = (char) g_rand_int_range (rand, 0, 128);
          *(try_bytes (copy, size) ? &n_read : &n_refused) += 1;
        }
    }
  g_assert_cmpuint (n_read, >, 0);
  g_assert_cmpuint (n_refused, >, 0);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/d356/parts", test_parts);
  g_test_add_func ("/d356/edge", test_edge);
  g_test_add_func ("/d356/metric", test_metric);
  g_test_add_func ("/d356/oddities", test_oddities);
  g_test_add_func ("/d356/damaged", test_damaged);
  return g_test_run ();
}
