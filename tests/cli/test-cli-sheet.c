/* leeward-cli sheet as an operator's office uses it: every item a bench sheet must hold is found in the PDF by an
 * independent reader (poppler's pdftotext), and the pages are rendered by another (pdftoppm). */
#include "cli-run.h"

typedef struct {
  char *folder, *pdf;
} Bench;

static void
set_up (Bench *bench, gconstpointer data)
{
  bench->folder = make_folder ();
  bench->pdf = g_build_filename (bench->folder, "sheet.pdf", NULL);
}

static void
tear_down (Bench *bench, gconstpointer data)
{
  remove_folder (bench->folder);
  g_free (bench->folder);
  g_free (bench->pdf);
}

static char *
output_of (const char *const *argv)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GSubprocess) process = g_subprocess_newv (argv, G_SUBPROCESS_FLAGS_STDOUT_PIPE, &error);
  char *out = NULL;

  g_assert_no_error (error);
  g_subprocess_communicate_utf8 (process, NULL, NULL, &out, NULL, &error);
  g_assert_no_error (error);
  g_assert_true (g_subprocess_get_successful (process));
  return out;
}

/* The words, one blank between them: where lines were broken does not matter. */
static char *
words_of (const char *pdf)
{
  const char *const argv[] = { "pdftotext", "-enc", "UTF-8", pdf, "-", NULL };
  g_autofree char *text = output_of (argv);
  g_auto (GStrv) words = g_strsplit_set (text, " \n\f\r", -1);
  GString *out = g_string_new (" ");

  for (guint i = 0; words[i] != NULL; i++)
    if (*words[i] != '\0')
      g_string_append_printf (out, "%s ", words[i]);
  return g_string_free (out, FALSE);
}

static void
assert_words (const char *words, const char *const *items)
{
  for (guint i = 0; items[i] != NULL; i++)
    assert_has (words, items[i]);
}

static const char *const always[] = {
  "Bench sheet:", "Page 1 of 2", "Page 2 of 2", "Revision ", "2026-03-04", "Plan ", "from left", "from below", "from part",
  "Nozzle ", "Preheat area", "Before heat: tick off", "Cautions", "Extract the fumes", "licensed practice govern",
  "thermocouples on a scrap board", "Board: lot, serial number", "Set points", "Gas °C", "Preheat °C", "What should be seen",
  "Highest of the run", "When to act, when to stop", "gas and preheater off", "The planned profile", "Run by: name, signature",
  "Checked by: name, signature", "s above liquidus", NULL
};

/* Two pages of the paper's size, each with ink on it. */
static void
assert_pages (const Bench *bench, const char *size)
{
  const char *const info[] = { "pdfinfo", bench->pdf, NULL };
  g_autofree char *root = g_build_filename (bench->folder, "page", NULL);
  const char *const render[] = { "pdftoppm", "-r", "40", "-gray", bench->pdf, root, NULL };
  g_autofree char *told = output_of (info);

  g_free (output_of (render));
  assert_has (told, "Pages:           2");
  assert_has (told, size);
  for (guint page = 1; page <= 2; page++) {
    g_autofree char *name = g_strdup_printf ("page-%u.pgm", page), *path = g_build_filename (bench->folder, name, NULL);
    g_autofree char *data = NULL;
    gsize length, dark = 0;

    g_assert_true (g_file_get_contents (path, &data, &length, NULL));
    for (gsize i = 16; i < length; i++)
      dark += (guchar) data[i] < 160;
    g_assert_cmpuint (dark, >, 1500);
  }
}

static void
test_demo (Bench *bench, gconstpointer data)
{
  static const char *const of_u1[] = { "Bench sheet: remove U1", "T1 corner ball", "T2 beside the site", "T3 cell", "BT1, a cell",
                                       "415", "358", "If T1 (corner ball) passes", "Do not lift before T1", "full solution",
                                       NULL };
  static const char *const of_u6[] = { "Bench sheet: place U6", "T1 beside U6", "Reflow", "411",
                                       "Do not end the heating before T1", NULL };
  g_autofree char *stages = g_build_filename (bench->folder, "stages.csv", NULL), *table = NULL, *u1 = NULL, *u6 = NULL;
  g_auto (Run) a4 = RUN ("sheet", DEMO_PATH, "--cell", "8", "--step", "2", "--date", "2026-03-04", "-o", bench->pdf,
                         "--stages", stages);

  assert_status (&a4, 0);
  u1 = words_of (bench->pdf);
  assert_words (u1, always);
  assert_words (u1, of_u1);
  assert_pages (bench, "A4");
  g_assert_true (g_file_get_contents (stages, &table, NULL, NULL));
  assert_has (table, "\r\nHeat,200.0,288.0,358.0,40.0,392.0,step,");

  g_auto (Run) letter = RUN ("sheet", DEMO_PATH, "--plan", "U6", "--cell", "8", "--step", "2", "--paper", "letter",
                             "--date", "2026-03-04", "-o", bench->pdf);
  assert_status (&letter, 0);
  u6 = words_of (bench->pdf);
  assert_words (u6, always);
  assert_words (u6, of_u6);
  assert_pages (bench, "letter");
}

/* Boards as they come from a layout program (tests/data, with licences): no thermocouples, heights nobody knows, and a
 * part whose joints the file does not tell. */
static void
test_imported (Bench *bench, gconstpointer data)
{
  static const char *const of_chip[] = { "Bench sheet: remove U102", "No thermocouple tells about the joints of U102",
                                         "have no known height", NULL };
  static const char *const of_valve[] = { "Bench sheet: remove U1", "The joints of U1 are not known", "reduced model",
                                          "Measure the heights near the nozzle that nobody knows:", NULL };
  g_auto (Run) chip = RUN ("sheet", DATA_DIR "/coldfire_kit/coldfire.emn", "--part", "U102", "--cell", "8", "--step", "2",
                           "--paper", "letter", "--date", "2026-03-04", "-o", bench->pdf);
  g_autofree char *words = NULL, *more = NULL;

  assert_status (&chip, 0);
  words = words_of (bench->pdf);
  assert_words (words, always);
  assert_words (words, of_chip);
  assert_pages (bench, "letter");

  g_auto (Run) valve = RUN ("sheet", DATA_DIR "/ecc83_v2/ecc83v2.emn", "--part", "U1", "--quick", "--cell", "4", "--date",
                            "2026-03-04", "-o", bench->pdf);
  assert_status (&valve, 0);
  more = words_of (bench->pdf);
  assert_words (more, of_valve);
  assert_pages (bench, "A4");
}

/* Work done by hand has its steps to tick off, and no set points; a table of temperatures it cannot have. */
static void
test_by_hand (Bench *bench, gconstpointer data)
{
  static const char *const steps[] = { "Bench sheet: print paste for U1", "Before the work: tick off", "The work, step by step",
                                       "Lay the stencil flat on the lands", "Look at every deposit", "Cautions",
                                       "Done, and signed", "Page 1 of 1", NULL };
  static const char *const hot[] = { "Set points", "planned profile", "Nozzle Oblong", "Preheat", "liquidus", "Predicted figures", NULL };
  g_autofree char *board = write_small_board (bench->folder), *words = NULL;
  g_autofree char *csv = g_build_filename (bench->folder, "stages.csv", NULL);
  g_auto (Run) print = RUN ("sheet", board, "--part", "U1", "--operation", "print", "--date", "2026-03-04", "-o", bench->pdf);
  g_auto (Run) table = RUN ("sheet", board, "--part", "U1", "--operation", "print", "--stages", csv);

  assert_status (&print, 0);
  words = words_of (bench->pdf);
  assert_words (words, steps);
  for (guint i = 0; hot[i] != NULL; i++)
    if (strstr (words, hot[i]) != NULL)
      g_error ("\"%s\" stands on the sheet of work without heat", hot[i]);
  assert_refused (&table, "nothing heats in this operation");
  g_assert_false (g_file_test (csv, G_FILE_TEST_EXISTS));
}

static void
test_refusals (Bench *bench, gconstpointer data)
{
  g_autofree char *board = write_small_board (bench->folder);
  g_autofree char *nowhere = g_build_filename (bench->folder, "none", "x.pdf", NULL), *old = NULL;
  g_auto (Run) no_out = RUN ("sheet", board, "--part", "U1");
  g_auto (Run) name = RUN ("sheet", board, "--part", "U1", "-o", "x.png");
  g_auto (Run) paper = RUN ("sheet", board, "--part", "U1", "-o", bench->pdf, "--paper", "a9");
  g_auto (Run) pages = RUN ("sheet", board, "--part", "U1", "-o", bench->pdf, "--pages", "0");
  g_auto (Run) disk = RUN ("sheet", board, "--part", "U1", "--quick", "--cell", "4", "-o", nowhere);

  assert_refused (&no_out, "-o OUT");
  assert_refused (&name, ".pdf");
  assert_refused (&paper, "a4 or letter");
  assert_refused (&pages, "from 1 to");
  assert_refused (&disk, "x.pdf");

  /* too long: says how many pages it takes, and the old file stays */
  g_assert_true (g_file_set_contents (bench->pdf, "old", -1, NULL));
  g_auto (Run) one = RUN ("sheet", board, "--part", "U1", "--quick", "--cell", "4", "--pages", "1", "-o", bench->pdf);
  assert_refused (&one, "needs 2 pages and 1 is allowed");
  g_assert_true (g_file_get_contents (bench->pdf, &old, NULL, NULL));
  g_assert_cmpstr (old, ==, "old");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add ("/cli/sheet/demo", Bench, NULL, set_up, test_demo, tear_down);
  g_test_add ("/cli/sheet/imported", Bench, NULL, set_up, test_imported, tear_down);
  g_test_add ("/cli/sheet/by-hand", Bench, NULL, set_up, test_by_hand, tear_down);
  g_test_add ("/cli/sheet/refusals", Bench, NULL, set_up, test_refusals, tear_down);
  return g_test_run ();
}
