/* Damaged and ill-meant IPC-2581 files: every refusal names file, line and reason; nothing crashes, hangs or
 * grows. */
#include "ipc2581-text.h"

enum { MUTATIONS = 120, SEED = 20260103 };

static void
refuse (const char *text, const char *reason)
{
  g_autoptr (GError) error = NULL;
  LwImport *import = ipc_read (text, &error);

  g_assert_null (import);
  g_assert_nonnull (error);
  g_assert_true (error->domain == LW_IMPORT_ERROR);
  if (strstr (error->message, reason) == NULL || !g_str_has_prefix (error->message, "b.xml:"))
    g_error ("\"%s\" wanted, got \"%s\"", reason, error->message);
}

static void
test_refusals (void)
{
  refuse ("", "b.xml");
  refuse ("<svg/>", "b.xml:1: the root element is svg");
  refuse (IPC_HEAD, "b.xml:2: the file ends or breaks off");
  refuse (IPC_HEAD "<Content></Step>", "b.xml:3: an end tag does not belong");
  refuse (IPC_HEAD IPC_TAIL, "there is no board (Step)");
  refuse (IPC_HEAD "<Ecad><CadHeader units=\"FURLONG\"/></Ecad>" IPC_TAIL, "b.xml:3: CadHeader: units: MILLIMETER");
  refuse (IPC_HEAD "<Ecad>\n<CadData><Step name=\"s\"/></CadData></Ecad>" IPC_TAIL, "b.xml:4: Step stands before CadHeader");
  refuse (IPC_BOARD ("\n<Profile><Polygon><PolyBegin x=\"1,5\" y=\"0\"/></Polygon></Profile>"),
          "b.xml:10: PolyBegin: x: a number expected, not “1,5”");
  refuse (IPC_BOARD ("<Profile><Polygon><PolyBegin x=\"0\"/></Polygon></Profile>"), "PolyBegin: y is missing");
  refuse (IPC_BOARD ("<Profile><Polygon><PolyBegin x=\"inf\" y=\"0\"/></Polygon></Profile>"), "not “inf”");
  refuse (IPC_BOARD ("<Profile><Polygon><PolyBegin x=\"1e300\" y=\"0\"/></Polygon></Profile>"), "farther than a kilometre");
  refuse (IPC_BOARD ("<Profile><Polygon><PolyStepSegment x=\"0\" y=\"0\"/></Polygon></Profile>"), "one PolyBegin");
  refuse (IPC_BOARD ("<Profile><Polygon><PolyBegin x=\"0\" y=\"0\"/><PolyStepSegment x=\"9\" y=\"9\"/><PolyStepSegment x=\"9\" y=\"0\"/>"
                     "<PolyStepSegment x=\"0\" y=\"9\"/></Polygon></Profile>"),
          "crosses itself");
  refuse (IPC_BOARD (""), "neither an outline nor a placed part");
  refuse (IPC_BOARD ("<Component refDes=\"U1\" layerRef=\"T\"><Location x=\"ten\" y=\"0\"/></Component>"), "Location: x: a number expected");
}

/* Entities that grow into billions, and one that reads a file. */
static void
test_bombs (void)
{
  refuse ("<?xml version=\"1.0\"?>\n<!DOCTYPE IPC-2581 [<!ENTITY a \"aaaaaaaaaa\"><!ENTITY b \"&a;&a;&a;&a;&a;&a;&a;&a;\">"
          "<!ENTITY c \"&b;&b;&b;&b;&b;&b;&b;&b;\">]>\n<IPC-2581 revision=\"&c;\"/>",
          "b.xml:2: a document type (DOCTYPE)");
  refuse ("<!DOCTYPE IPC-2581 SYSTEM \"file:///etc/passwd\">\n<IPC-2581/>", "b.xml:1: a document type (DOCTYPE)");
  refuse (IPC_HEAD "<Content name=\"&boom;\"/>" IPC_TAIL, "b.xml:3: an entity that is not defined");
}

static void
test_nesting (void)
{
  g_autoptr (GString) deep = g_string_new (IPC_HEAD);

  for (int i = 0; i < 5000; i++)
    g_string_append (deep, "<a>");
  refuse (deep->str, "nested more than 100 deep");
}

static void
test_encoding (void)
{
  refuse (IPC_HEAD "<Content roleRef=\"\xff\xfe\"/>" IPC_TAIL, "b.xml:3: bytes that are not text");
  refuse ("<?xml version=\"1.0\" encoding=\"KLINGON\"?><IPC-2581/>", "bytes that are not text in the encoding");
  g_autoptr (LwImport) latin1 = ipc_good ("<?xml version=\"1.0\" encoding=\"ISO-8859-1\"?><IPC-2581 revision=\"C\"><Ecad>"
                                          "<CadHeader units=\"MILLIMETER\"/><CadData>" IPC_LAYERS "<Step name=\"\xe4\">" IPC_EDGE
                                          "</Step></CadData></Ecad></IPC-2581>");
  g_assert_cmpstr (latin1->job->board->name, ==, "\xc3\xa4");
}

/* One value of 12 MB: refused by the parser's own limit, and not by running out of memory. */
static void
test_huge_value (void)
{
  g_autoptr (GString) text = g_string_new (IPC_HEAD "<Content roleRef=\"");

  g_string_set_size (text, text->len + 12 * 1024 * 1024);
  memset (text->str + strlen (IPC_HEAD "<Content roleRef=\""), 'a', 12 * 1024 * 1024);
  g_string_append (text, "\"/>" IPC_TAIL);
  refuse (text->str, "b.xml:3");
}

static void
test_too_many (void)
{
  g_autoptr (GString) text = g_string_new (IPC_HEAD IPC_CONTENT ("s", "") "<Ecad><CadHeader units=\"MICRON\"/><CadData>" IPC_LAYERS
                                           "<Step name=\"s\"><Profile><Polygon><PolyBegin x=\"0\" y=\"0\"/>\n");

  for (int i = 0; i < 50001; i++)
    g_string_append_printf (text, "<PolyStepSegment x=\"%d\" y=\"%d\"/>", i, i % 7);
  refuse (text->str, "too many outline points");
}

/* Copper that no board has - thousands of stars across the whole of it - is told and not counted for minutes. */
static void
test_endless_copper (void)
{
  g_autoptr (GString) text = g_string_new (
    IPC_HEAD IPC_CONTENT ("s", "") "<Ecad><CadHeader units=\"MILLIMETER\"/><CadData>" IPC_LAYERS
    "<Stackup><StackupLayer layerOrGroupRef=\"T\" thickness=\"0.035\"/></Stackup><Step name=\"s\">" IPC_EDGE
    "<LayerFeature layerRef=\"T\"><Set><Features><Contour>");
  g_autoptr (LwImport) import = NULL;

  for (int i = 0; i < 6000; i++)
    {
      g_string_append (text, "<Polygon><PolyBegin x=\"0\" y=\"0\"/>");
      for (int k = 0; k < 12; k++)
        g_string_append_printf (text, "<PolyStepSegment x=\"%d\" y=\"%d\"/>", (i + k) % 50, k % 2 ? 40 : 0);
      g_string_append (text, "</Polygon>");
    }
  g_string_append (text, "</Contour></Features></Set></LayerFeature></Step></CadData></Ecad>" IPC_TAIL);
  import = ipc_good (text->str);
  g_assert_true (ipc_warns (import, "more is drawn than can be counted"));
  g_assert_null (import->job->board->copper_map);
}

/* ---- cut off and changed ---- */

/* A file with everything in it that is looked at. */
static char *
sample (gsize *size)
{
  g_autofree char *path = g_build_filename (DATA_DIR, "ecc83_v2", "ecc83v2-revC-mm-heights.xml", NULL);
  g_autoptr (GError) error = NULL;
  char *text;

  g_file_get_contents (path, &text, size, &error);
  g_assert_no_error (error);
  return text;
}

static gboolean
try_bytes (const char *data, gsize size)
{
  g_autofree char *copy = g_memdup2 (data, size); /* so that reading past the end is seen by a sanitizer */
  g_autoptr (GError) error = NULL;
  g_autoptr (LwImport) import = lw_import_ipc2581 ("b.xml", copy != NULL ? copy : "", size, &error);
  g_autoptr (GPtrArray) faults = NULL;

  g_assert_true ((import == NULL) == (error != NULL));
  if (import == NULL)
    {
      g_assert_true (error->domain == LW_IMPORT_ERROR);
      g_assert_true (g_utf8_validate (error->message, -1, NULL));
      g_assert_true (g_str_has_prefix (error->message, "b.xml:"));
      return FALSE;
    }
  faults = lw_job_check (import->job);
  for (guint i = 0; i < faults->len; i++)
    g_assert_false (((LwFault *) faults->pdata[i])->fatal);
  return TRUE;
}

static void
test_truncated (void)
{
  gsize size;
  g_autofree char *text = sample (&size);

  g_assert_true (try_bytes (text, size));
  for (gsize i = 0; i + 20 < size; i += 4099)
    g_assert_false (try_bytes (text, i));
}

static LwImport *
salvage (const char *text, gsize size, GError **error)
{
  g_autoptr (GInputStream) stream = g_memory_input_stream_new_from_data (text, (gssize) size, NULL);

  return lw_import_ipc2581_salvage ("b.xml", stream, 0, NULL, NULL, NULL, error);
}

/* Cut off behind the parts: they are offered, and the first warning says what happened where. */
static void
test_salvage (void)
{
  gsize size;
  g_autofree char *text = sample (&size);
  const char *features = strstr (text, "<LayerFeature");
  const char *third = strstr (strstr (strstr (text, "<Component ") + 1, "<Component ") + 1, "<Component ");
  g_autoptr (GError) error = NULL;
  g_autoptr (LwImport) all = salvage (text, (gsize) (features - text) + 3, NULL);
  g_autoptr (LwImport) two = salvage (text, (gsize) (third - text) + 3, NULL);
  g_autoptr (LwImport) none = salvage (text, 2000, &error);
  const LwImportWarning *first = all->warnings->pdata[0];

  g_assert_cmpuint (all->job->parts->len, ==, 15);
  g_assert_cmpuint (two->job->parts->len, ==, 2);
  g_assert_true (first->damage);
  g_assert_cmpstr (first->file, ==, "b.xml");
  g_assert_cmpuint (first->line, >, 1);
  g_assert_true (g_str_has_prefix (first->text, "damaged, and only what is whole is read: "));
  g_assert_null (none);
  g_assert_error (error, LW_IMPORT_ERROR, LW_IMPORT_ERROR_SYNTAX);
}

static void
mutate (GRand *rand, GString *text)
{
  static const char *const words[] = { "\"", "<", ">", "/>", "-1e308", "nan", "<Step name=\"x\">", "</Step>", "\xff", "&amp;", "0", "\"true\"" };
  gsize at = (gsize) g_rand_int_range (rand, 0, (gint32) text->len);
  gsize length = (gsize) g_rand_int_range (rand, 1, 40);

  switch (g_rand_int_range (rand, 0, 6))
    {
    case 0:
      text->str[at] = (char) g_rand_int_range (rand, 1, 256);
      break;
    case 1:
      g_string_erase (text, (gssize) at, (gssize) MIN (length, text->len - at - 1));
      break;
    case 2:
      g_string_insert (text, (gssize) at, words[g_rand_int_range (rand, 0, G_N_ELEMENTS (words))]);
      break;
    default: /* most hits on digits leave the file well-formed, and so reach what comes after the parser */
      for (gsize i = at; i < text->len && i < at + 200; i++)
        if (g_ascii_isdigit (text->str[i]))
          {
            text->str[i] = "0123456789-e.N"[g_rand_int_range (rand, 0, 14)];
            break;
          }
      break;
    }
}

/* The copper drawn behind the parts is cut away, as it is only passed over and slows the loop. */
static GString *
short_sample (void)
{
  gsize size;
  g_autofree char *text = sample (&size);
  const char *features = strstr (text, "<LayerFeature");
  GString *cut = g_string_new_len (text, features - text);

  g_string_append (cut, "</Step></CadData></Ecad></IPC-2581>");
  return cut;
}

static void
test_mutated (void)
{
  g_autoptr (GString) text = short_sample ();
  g_autoptr (GRand) rand = g_rand_new_with_seed (SEED);
  guint n_read = 0;

  for (guint i = 0; i < MUTATIONS; i++)
    {
      g_autoptr (GString) copy = g_string_new_len (text->str, (gssize) text->len);

      for (int k = g_rand_int_range (rand, 1, 5); k > 0; k--)
        mutate (rand, copy);
      n_read += try_bytes (copy->str, copy->len);
    }
  g_test_message ("%u of %d read", n_read, MUTATIONS);
  g_assert_cmpuint (n_read, >, 0);
  g_assert_cmpuint (n_read, <, MUTATIONS);
}

/* ---- progress and cancel ---- */

static void
on_progress (double done, gpointer user_data)
{
  double *last = user_data;

  g_assert_cmpfloat (done, >=, *last);
  g_assert_cmpfloat (done, <=, 1);
  *last = done;
}

static void
test_cancel (void)
{
  g_autoptr (GString) text = short_sample ();
  g_autoptr (GCancellable) cancellable = g_cancellable_new ();
  g_autoptr (GInputStream) stream = g_memory_input_stream_new_from_data (text->str, (gssize) text->len, NULL);
  g_autoptr (GError) error = NULL;
  double last = 0;

  g_cancellable_cancel (cancellable);
  g_assert_null (lw_import_ipc2581_stream ("b.xml", stream, (goffset) text->len, on_progress, &last, cancellable, &error));
  g_assert_error (error, G_IO_ERROR, G_IO_ERROR_CANCELLED);
}

static void
test_progress (void)
{
  g_autoptr (GString) text = short_sample ();
  g_autoptr (GInputStream) stream = NULL;
  g_autoptr (LwImport) import = NULL;
  g_autofree char *blank = g_strnfill (4 << 20, ' ');
  double last = 0;

  g_string_append (text, blank);
  stream = g_memory_input_stream_new_from_data (text->str, (gssize) text->len, NULL);
  import = lw_import_ipc2581_stream ("b.xml", stream, (goffset) text->len, on_progress, &last, NULL, NULL);
  g_assert_nonnull (import);
  g_assert_cmpfloat (last, >, 0.5);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/ipc2581/refusals", test_refusals);
  g_test_add_func ("/ipc2581/bombs", test_bombs);
  g_test_add_func ("/ipc2581/nesting", test_nesting);
  g_test_add_func ("/ipc2581/encoding", test_encoding);
  g_test_add_func ("/ipc2581/huge-value", test_huge_value);
  g_test_add_func ("/ipc2581/too-many", test_too_many);
  g_test_add_func ("/ipc2581/endless-copper", test_endless_copper);
  g_test_add_func ("/ipc2581/truncated", test_truncated);
  g_test_add_func ("/ipc2581/salvage", test_salvage);
  g_test_add_func ("/ipc2581/mutated", test_mutated);
  g_test_add_func ("/ipc2581/cancel", test_cancel);
  g_test_add_func ("/ipc2581/progress", test_progress);
  return g_test_run ();
}
