/* What an IDF reader must refuse, with the line, and texts in every coat it must take. */
#include "idf-text.h"

typedef struct {
  const char *name, *board, *library;
  const char *file_and_line; /* how the message begins */
  const char *says;
  int code;
} Refusal;

#define P(where) HEAD3 ("MM") EDGE PLACE ("g n U1\n" where "\n")
#define BAD(points) HEAD3 ("MM") ".BOARD_OUTLINE ECAD\n1.6\n" points ".END_BOARD_OUTLINE\n"
#define GOOD HEAD3 ("MM") EDGE PLACE ("g n U1\n1 1 0 0 TOP PLACED\n")

static const Refusal refusals[] = {
  { "empty", "", NULL, "b.emn:1: ", ".HEADER" },
  { "no-header", EDGE, NULL, "b.emn:1: ", ".HEADER" },
  { "type", ".HEADER\nPCB_FILE 3.0 x y 1\nb MM\n.END_HEADER\n", NULL, "b.emn:2: ", "BOARD_FILE" },
  { "panel", ".HEADER\nPANEL_FILE 3.0 x y 1\nb MM\n.END_HEADER\n", NULL, "b.emn:2: ", "panel",
    LW_IMPORT_ERROR_UNSUPPORTED },
  { "library-as-board", LIBRARY (""), NULL, "b.emn:2: ", "library", LW_IMPORT_ERROR_UNSUPPORTED },
  { "board-as-library", GOOD, GOOD, "b.emp:2: ", "as the library", LW_IMPORT_ERROR_UNSUPPORTED },
  { "version-4", ".HEADER\nBOARD_FILE 4.0 x y 1\nb MM\n.END_HEADER\n", NULL, "b.emn:2: ", "4.0",
    LW_IMPORT_ERROR_UNSUPPORTED },
  { "unit", HEAD3 ("INCH"), NULL, "b.emn:3: ", "unit" },
  { "tnm-in-3", HEAD3 ("TNM"), NULL, "b.emn:3: ", "unit" },
  { "header-open", ".HEADER\nBOARD_FILE 3.0 x y 1\nb MM\n.BOARD_OUTLINE\n", NULL,
    "b.emn:4: ", "header" },
  { "section-in-section", HEAD3 ("MM") ".BOARD_OUTLINE ECAD\n1.6\n.PLACEMENT\n", NULL,
    "b.emn:7: ", "not closed" },
  { "end-of-file", HEAD3 ("MM") ".BOARD_OUTLINE ECAD\n1.6\n0 0 0 0\n", NULL,
    "b.emn:7: ", "end of file" },
  { "stray-end", HEAD3 ("MM") ".END_PLACEMENT\n", NULL, "b.emn:5: ", "not open" },
  { "stray-text", HEAD3 ("MM") "hello\n", NULL, "b.emn:5: ", "outside any section" },
  { "nan", BAD ("0 nan 0 0\n"), NULL, "b.emn:7: field 2: ", "not a number" },
  { "inf", BAD ("0 1 inf 0\n"), NULL, "b.emn:7: field 3: ", "not a number" },
  { "overflow", BAD ("0 1 1e999 0\n"), NULL, "b.emn:7: field 3: ", "not a number" },
  { "hexadecimal", BAD ("0 0x10 0 0\n"), NULL, "b.emn:7: field 2: ", "not a number" },
  { "comma", BAD ("0 1,5 0 0\n"), NULL, "b.emn:7: field 2: ", "comma" },
  { "rubbish", BAD ("0 1.5mm 0 0\n"), NULL, "b.emn:7: field 2: ", "not a number" },
  { "too-far", BAD ("0 1e7 0 0\n"), NULL, "b.emn:7: field 2: ", "beyond any board" },
  { "few-fields", BAD ("0 1 2\n"), NULL, "b.emn:7: field 4 ", "missing" },
  { "label", BAD ("-1 1 2 0\n"), NULL, "b.emn:7: field 1: ", "label" },
  { "first-angle", BAD ("0 1 2 90\n"), NULL, "b.emn:7: field 4: ", "first point" },
  { "big-angle", BAD ("0 1 2 0\n0 3 2 400\n"), NULL, "b.emn:8: field 4: ", "360" },
  { "late-circle", BAD ("0 1 2 0\n0 3 2 0\n0 3 4 360\n"), NULL, "b.emn:9: field 4: ", "circle" },
  { "crossing", BAD ("0 0 0 0\n0 10 10 0\n0 10 0 0\n0 0 10 0\n0 0 0 0\n"), NULL,
    "b.emn:", "crosses itself" },
  { "thickness", HEAD3 ("MM") ".BOARD_OUTLINE ECAD\nthick\n.END_BOARD_OUTLINE\n", NULL,
    "b.emn:6: field 1: ", "not a number" },
  { "nothing", HEAD3 ("MM"), NULL, "b.emn: ", "neither" },
  { "side", P ("1 1 0 0 LEFT PLACED"), NULL, "b.emn:15: field 5: ", "side" },
  { "status", P ("1 1 0 0 TOP FIXED"), NULL, "b.emn:15: field 6: ", "status" },
  { "part-fields", P ("1 1 0 0 TOP"), NULL, "b.emn:15: field 6 ", "missing" },
  { "part-number", P ("1 one 0 0 TOP PLACED"), NULL, "b.emn:15: field 2: ", "not a number" },
  { "half-a-part", HEAD3 ("MM") EDGE PLACE ("g n U1\n"), NULL, "b.emn:14: ", "second line" },
  { "part-names", HEAD3 ("MM") EDGE PLACE ("g n\n"), NULL, "b.emn:14: field 3 ", "missing" },
  { "library-unit", GOOD, LIBRARY (".ELECTRICAL\ng n CM 1\n.END_ELECTRICAL\n"),
    "b.emp:5: field 3: ", "unit" },
  { "library-empty", GOOD, LIBRARY (".ELECTRICAL\n.END_ELECTRICAL\n"), "b.emp:4: ", "empty" },
  { "hole", HEAD3 ("MM") ".DRILLED_HOLES\n1 1 1 MAYBE U1 PIN ECAD\n.END_DRILLED_HOLES\n", NULL,
    "b.emn:6: field 4: ", "plating" },
};

static void
test_refusal (gconstpointer data)
{
  const Refusal *r = data;
  g_autoptr (GError) error = NULL;
  g_autoptr (LwImport) import = read_pair (r->board, r->library, &error);

  g_assert_null (import);
  g_assert_error (error, LW_IMPORT_ERROR, r->code);
  if (!g_str_has_prefix (error->message, r->file_and_line) || strstr (error->message, r->says) == NULL)
    g_error ("%s: %s", r->name, error->message);
}

/* ---- coats ---- */

static LwImport *
read_bytes (const char *data, gsize length, GError **error)
{
  return lw_import_idf ("b.emn", data, length, NULL, NULL, 0, error);
}

static char *
with_line_ends (const char *text, const char *end)
{
  g_auto (GStrv) lines = g_strsplit (text, "\n", -1);

  return g_strjoinv (end, lines);
}

static void
assert_good (const char *data, gsize length)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwImport) import = read_bytes (data, length, &error);

  g_assert_no_error (error);
  g_assert_cmpuint (import->job->parts->len, ==, 1);
  g_assert_cmpfloat_with_epsilon (lw_loop_area (import->job->board->outline->pdata[0]), 2000, 1e-9);
}

static void
test_line_ends (void)
{
  const char *ends[] = { "\n", "\r\n", "\r", "\n\n", " \t\n\t " };

  for (guint i = 0; i < G_N_ELEMENTS (ends); i++)
    {
      g_autofree char *text = with_line_ends (GOOD, ends[i]);

      assert_good (text, strlen (text));
    }
  assert_good (GOOD, strlen (GOOD) - 1); /* no last line end */
}

static void
test_line_numbers (void)
{
  const char *ends[] = { "\n", "\r\n", "\r" };

  for (guint i = 0; i < G_N_ELEMENTS (ends); i++)
    {
      g_autofree char *text = with_line_ends (BAD ("# comment\n\n0 1 x 0\n"), ends[i]);
      g_autoptr (GError) error = NULL;

      g_assert_null (read_bytes (text, strlen (text), &error));
      g_assert_true (g_str_has_prefix (error->message, "b.emn:9: "));
    }
}

static void
test_encodings (void)
{
  const char *names[] = { "UTF-16LE", "UTF-16BE" };
  g_autofree char *marked = g_strconcat ("\xef\xbb\xbf", GOOD, NULL);

  assert_good (marked, strlen (marked));
  for (guint i = 0; i < G_N_ELEMENTS (names); i++)
    {
      gsize length;
      g_autofree char *wide =
        g_convert ("\xef\xbb\xbf" GOOD, -1, names[i], "UTF-8", NULL, &length, NULL);

      assert_good (wide, length);         /* with its mark */
      assert_good (wide + 2, length - 2); /* without */
    }
}

static void
test_latin1 (void)
{
  const char *text = HEAD3 ("MM")
    EDGE PLACE ("\"Widerstand 10 k\xd6\" n R1\n1 1 0 0 TOP PLACED\ng\xfc n R2\n2 2 0 0 TOP PLACED\n");
  g_autoptr (LwImport) import = read_good (text, NULL);
  guint told = 0;

  g_assert_cmpstr (part_at (import, 0)->package, ==, "Widerstand 10 kÖ");
  for (guint i = 0; i < import->warnings->len; i++)
    told += strstr (((LwImportWarning *) import->warnings->pdata[i])->text, "Latin-1") != NULL;
  g_assert_cmpuint (told, ==, 1);
}

static void
test_nul (void)
{
  g_autofree char *text = g_strdup (GOOD);
  g_autoptr (GError) error = NULL;

  text[strlen (HEAD3 ("MM")) + 2] = '\0';
  g_assert_null (read_bytes (text, strlen (GOOD), &error));
  g_assert_error (error, LW_IMPORT_ERROR, LW_IMPORT_ERROR_SYNTAX);
  g_assert_true (g_str_has_prefix (error->message, "b.emn:5: "));
}

static void
test_limits (void)
{
  g_autofree char *blanks = g_strnfill (100000, ' ');
  g_autofree char *text = g_strconcat (HEAD3 ("MM"), blanks, "x\n", NULL);
  g_autoptr (GError) error = NULL;
  GString *many = g_string_new (HEAD3 ("MM") ".BOARD_OUTLINE ECAD\n1.6\n");
  g_autofree char *points = NULL;

  g_assert_null (read_bytes (text, strlen (text), &error));
  g_assert_error (error, LW_IMPORT_ERROR, LW_IMPORT_ERROR_TOO_LARGE);
  g_clear_error (&error);
  for (guint i = 0; i < 60000; i++)
    g_string_append_printf (many, "0 %u %u 0\n", i, i % 2);
  points = g_string_free (many, FALSE);
  g_assert_null (read_bytes (points, strlen (points), &error));
  g_assert_error (error, LW_IMPORT_ERROR, LW_IMPORT_ERROR_TOO_LARGE);
}

/* Warnings are bounded too. */
static void
test_many_warnings (void)
{
  GString *text = g_string_new (HEAD3 ("MM") EDGE ".PLACEMENT\n");
  g_autofree char *all = NULL;
  g_autoptr (LwImport) import = NULL;

  for (guint i = 0; i < 3000; i++)
    g_string_append (text, "g n C1\n1 1 0 0 TOP PLACED\n");
  g_string_append (text, ".END_PLACEMENT\n");
  all = g_string_free (text, FALSE);
  import = read_good (all, NULL);
  g_assert_cmpuint (import->job->parts->len, ==, 3000);
  g_assert_cmpuint (import->warnings->len, <=, 501);
  g_assert_true (warns (import, 0, "left out"));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  for (guint i = 0; i < G_N_ELEMENTS (refusals); i++)
    {
      g_autofree char *path = g_strconcat ("/idf/refuses/", refusals[i].name, NULL);

      g_test_add_data_func (path, &refusals[i], test_refusal);
    }
  g_test_add_func ("/idf/text/line-ends", test_line_ends);
  g_test_add_func ("/idf/text/line-numbers", test_line_numbers);
  g_test_add_func ("/idf/text/encodings", test_encodings);
  g_test_add_func ("/idf/text/latin-1", test_latin1);
  g_test_add_func ("/idf/text/nul", test_nul);
  g_test_add_func ("/idf/text/limits", test_limits);
  g_test_add_func ("/idf/text/many-warnings", test_many_warnings);
  return g_test_run ();
}
