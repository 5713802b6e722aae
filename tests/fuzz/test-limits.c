/* Large and mean files: each is refused, or read, within two seconds of processor time and 500 MB. Each case runs in a
 * process of its own, so that both can be measured; what the case itself takes to make its file is left out. */
#include <archive.h>
#include <archive_entry.h>
#include <gio/gio.h>
#include <glib/gstdio.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include "board/library-read.h"
#include "board/part-text.h"
#include "exchange/import.h"
#include "exchange/log.h"

#define MB (1u << 20)
#define LIMIT_S 2.0
/* A machine that is busy with other tests counts up to this much more processor time for the same work: the test fails where
 * a reader is out of bounds, and tells the seconds for whoever looks at them on an idle one. */
#if defined(__SANITIZE_ADDRESS__)
/* The address sanitizer takes all the address space there is and holds back what is freed: what this program itself takes
 * is measured without it, and with it only that no access is stray and nothing grows without bound. */
#define BUSY 12.0
#define LIMIT_MB 2000.0
#else
#define BUSY 3.0
#define LIMIT_MB 500.0
#endif

/* ---- files ---- */

/* HEAD, then PIECE up to MEGABYTES, then TAIL. */
typedef struct {
  const char *name, *file;
  const char *head, *piece, *tail;
  guint megabytes;
} Case;

#define DOCUMENT_HEAD "{\"leeward_format\": 1, \"board\": {\"thickness_mm\": 1.6, \"outline\": [{\"corners\": ["
#define DOCUMENT(board) DOCUMENT_HEAD board "]}]}"
#define SQUARE "{\"x_mm\": 0, \"y_mm\": 0}, {\"x_mm\": 90, \"y_mm\": 0}, {\"x_mm\": 90, \"y_mm\": 60}"
#define IDF_HEAD ".HEADER\nBOARD_FILE 3.0 \"x\" 2020/01/01 1\n\"b\" MM\n.END_HEADER\n"
#define IDF_EDGE ".BOARD_OUTLINE ECAD\n1.6\n0 0 0 0\n0 90 0 0\n0 90 60 0\n0 0 0 0\n.END_BOARD_OUTLINE\n"
#define IPC_HEAD "<IPC-2581 revision=\"C\"><Content><StepRef name=\"s\"/></Content><Ecad><CadHeader units=\"MILLIMETER\"/><CadData>" \
                 "<Layer name=\"T\" layerFunction=\"CONDUCTOR\" side=\"TOP\"/><Step name=\"s\"><Profile><Polygon><PolyBegin x=\"0\" " \
                 "y=\"0\"/><PolyStepSegment x=\"50\" y=\"0\"/><PolyStepSegment x=\"50\" y=\"40\"/></Polygon></Profile>"
#define GERBER_HEAD "%FSLAX46Y46*%\n%MOMM*%\n%TF.FileFunction,Copper,L1,Top*%\n%ADD10C,0.1*%\nD10*\n"

static const Case cases[] = {
  { "document/nested", "a.leeward", "{\"a\":", "[", "", 8 },
  { "document/zeros", "a.leeward", "{\"leeward_format\": 1, \"x\": [0", ",0", "]}", 16 },
  { "document/objects", "a.leeward", "{\"leeward_format\": 1, \"x\": [{}", ",{}", "]}", 16 },
  { "document/text", "a.leeward", "{\"leeward_format\": 1, \"title\": \"", "long ", "\"}", 32 },
  { "document/parts", "a.leeward", DOCUMENT (SQUARE) ", \"parts\": [{\"ref\": \"A\"}", ",{\"ref\": \"A\"}", "]}", 40 },
  { "document/corners", "a.leeward", DOCUMENT_HEAD SQUARE,
    ",{\"x_mm\": 1, \"y_mm\": 5},{\"x_mm\": 5, \"y_mm\": 1}", "]}]}}", 30 },
  { "document/too-large", "a.leeward", "{\"leeward_format\": 1, \"title\": \"", "long ", "\"}", 65 },
  { "idf/short-lines", "a.emn", IDF_HEAD, "#\n", "", 16 },
  { "idf/words", "a.emn", IDF_HEAD IDF_EDGE ".PLACEMENT\n", "\"a\" \"b\" \"c\"\n", "", 16 },
  { "idf/parts", "a.emn", IDF_HEAD IDF_EDGE ".PLACEMENT\n", "\"a\" \"b\" C1\n1 1 0 0 TOP PLACED\n", ".END_PLACEMENT\n", 32 },
  { "idf/points", "a.emn", IDF_HEAD ".BOARD_OUTLINE ECAD\n1.6\n", "0 1 5 0\n0 5 1 0\n", ".END_BOARD_OUTLINE\n", 60 },
  { "idf/loops", "a.emn", IDF_HEAD ".BOARD_OUTLINE ECAD\n1.6\n", "0 1 5 0\n1 1 5 0\n", ".END_BOARD_OUTLINE\n", 30 },
  { "idf/holes", "a.emn", IDF_HEAD IDF_EDGE ".DRILLED_HOLES\n", "1 5 5 PTH BOARD PIN ECAD\n", ".END_DRILLED_HOLES\n", 32 },
  { "ipc2581/nested", "a.xml", IPC_HEAD, "<a>", "", 8 },
  { "ipc2581/attributes", "a.xml", IPC_HEAD "<Component ", "x=\"1\" ", "/>", 16 },
  { "ipc2581/text", "a.xml", IPC_HEAD, "blah ", "", 16 },
  { "ipc2581/parts", "a.xml", IPC_HEAD, "<Component refDes=\"R\" layerRef=\"T\"><Location x=\"1\" y=\"1\"/></Component>", "", 60 },
  { "ipc2581/points", "a.xml", IPC_HEAD "<Profile><Polygon><PolyBegin x=\"0\" y=\"0\"/>",
    "<PolyStepSegment x=\"1\" y=\"5\"/><PolyStepSegment x=\"5\" y=\"1\"/>", "", 60 },
  { "ipc2581/layers", "a.xml", "<IPC-2581 revision=\"C\"><Ecad><CadHeader units=\"MILLIMETER\"/><CadData>",
    "<Layer name=\"T\" layerFunction=\"CONDUCTOR\"/>", "", 20 },
  { "ipc2581/entity", "a.xml", "<!DOCTYPE a [<!ENTITY b \"bbbbbbbbbb\">]><IPC-2581 revision=\"C\"><Content>", "&b;", "", 4 },
  { "gerber/flashes", "a-F_Cu.gbr", GERBER_HEAD, "X1Y1D03*\n", "M02*\n", 60 },
  { "gerber/long-lines", "a-F_Cu.gbr", GERBER_HEAD "X0Y0D02*\n", "X900000000Y900000000D01*\nX0Y0D01*\n", "M02*\n", 60 },
  { "gerber/regions", "a-F_Cu.gbr", GERBER_HEAD "G36*\nX0Y0D02*\n", "X90000000Y90000000D01*\nX0Y50000000D01*\n", "G37*\nM02*\n", 30 },
  { "gerber/arcs", "a-F_Cu.gbr", GERBER_HEAD "G75*\nX0Y0D02*\nG02*\n", "X0Y0I90000000J0D01*\n", "M02*\n", 30 },
  { "gerber/repeats", "a-F_Cu.gbr", GERBER_HEAD, "%SRX1000Y2000I0.1J0.1*%\nX1Y1D03*\n%SR*%\n", "M02*\n", 1 },
  { "gerber/apertures", "a-F_Cu.gbr", GERBER_HEAD, "%ADD99C,1*%\n", "M02*\n", 60 },
  { "gerber/macro", "a-F_Cu.gbr", GERBER_HEAD "%AMA*", "1,1,1,0,0*\n", "%\n%ADD11A*%\nD11*\nX0Y0D03*\nM02*\n", 8 },
  { "gerber/brackets", "a-F_Cu.gbr", GERBER_HEAD "%AMA*1,1,", "(", "*%\n%ADD11A*%\nM02*\n", 8 },
  { "gerber/comment", "a-F_Cu.gbr", GERBER_HEAD "G04 ", "blah ", "*\nM02*\n", 16 },
  { "gerber/too-large", "a-F_Cu.gbr", GERBER_HEAD "G04 ", "blah ", "*\nM02*\n", 70 },
  { "gerber-job/files", "a.gbrjob", "{\"Header\": {\"GenerationSoftware\": {}}, \"GeneralSpecs\": {}, \"FilesAttributes\": [{\"Path\": \"a\"}",
    ",{\"Path\": \"a\"}", "]}", 20 },
  { "excellon/repeats", "a.drl", "M48\nMETRIC,TZ\nT1C0.3\n%\nT1\nX1.0Y1.0\n", "R9999X0.1Y0.1\n", "M30\n", 1 },
  { "excellon/holes", "a.drl", "M48\nMETRIC,TZ\nT1C0.3\n%\nT1\n", "X1.0Y1.0\n", "M30\n", 60 },
  { "excellon/tools", "a.drl", "M48\nMETRIC,TZ\n", "T1C0.3\n", "%\nT1\nX1Y1\nM30\n", 60 },
  { "d356/lands", "a.ipc", "P  UNITS CUST 0\n", "317GND              U1    -1     A01X+012345Y+012345X0100Y0100R000\n", "999\n", 31 },
  { "d356/edge", "a.ipc", "317GND              U1    -1     A01X+012345Y+012345X0100Y0100R000\n389BOARD_EDGE X0Y0 ", "X1Y1 X9Y9 ", "\n999\n", 30 },
  { "centroid/rows", "a.csv", "Ref,Val,Package,PosX,PosY,Rot,Side\n", "C1,1,0402,1,1,0,top\n", "", 15 },
  { "centroid/commas", "a.csv", "Ref,Val,Package,PosX,PosY,Rot,Side\nC1,1,0402,1,1,0,top\n", ",", "\n", 15 },
  { "centroid/quotes", "a.csv", "Ref,Val,Package,PosX,PosY,Rot,Side\nC1,1,0402,1,1,0,top\n", "\"\n", "", 15 },
  { "centroid/empty-lines", "a.csv", "Ref,Val,Package,PosX,PosY,Rot,Side\nC1,1,0402,1,1,0,top\n", "\n", "", 15 },
};

static void
append_piece (GString *text, const Case *self)
{
  gsize n = strlen (self->piece), until = (gsize) self->megabytes * MB;

  g_string_append (text, self->head);
  while (text->len < until)
    g_string_append_len (text, self->piece, (gssize) n);
  g_string_append (text, self->tail);
}

static char *
write_case (const char *folder, const Case *self)
{
  g_autoptr (GString) text = g_string_sized_new ((gsize) self->megabytes * MB + 4096);
  char *path = g_build_filename (folder, self->file, NULL);
  FILE *file = g_fopen (path, "w");

  append_piece (text, self);
  g_assert_cmpuint (fwrite (text->str, 1, text->len, file), ==, text->len);
  fclose (file);
  return path;
}

/* ---- measuring ---- */

typedef void (*Reader) (const char *path);

static void
open_file (const char *path)
{
  g_autoptr (GFile) file = g_file_new_for_path (path);
  g_autoptr (GError) error = NULL;
  g_autoptr (LwImport) import = lw_import (file, NULL, NULL, &error);

  g_print ("# %.180s\n", import != NULL ? "read" : error->message);
}

static void
open_together (const char *path)
{
  g_autoptr (GFile) file = g_file_new_for_path (path);
  g_autoptr (GError) error = NULL;
  g_autoptr (LwImport) import = lw_import_many (&file, 1, NULL, NULL, NULL, &error);

  g_print ("# %.180s\n", import != NULL ? "read" : error->message);
}

static void
take_cb (guint kind, gpointer entry, gpointer user_data)
{
  lw_library_entry_free (kind, entry);
}

static void
complain_cb (GError *error, gpointer user_data)
{
  g_print ("# %.180s\n", error->message);
  g_error_free (error);
}

static void
read_library (const char *path)
{
  g_autofree char *text = NULL;
  gsize length = 0;

  g_file_get_contents (path, &text, &length, NULL);
  lw_library_read ("own.json", text, length, take_cb, complain_cb, NULL);
}

static void
read_log (const char *path)
{
  g_autofree char *text = NULL;
  g_autoptr (LwLog) log = NULL;
  g_autoptr (GError) error = NULL;
  LwLogMapping mapping;
  gsize length = 0;

  g_file_get_contents (path, &text, &length, NULL);
  if (lw_log_guess ("a.csv", text, length, &mapping, &error))
    log = lw_log_read ("a.csv", text, length, &mapping, &error);
  g_print ("# %.180s\n", error == NULL ? "read" : error->message);
}

static void
paste (const char *path)
{
  g_autofree char *text = NULL;
  g_autoptr (LwJob) empty = lw_job_new (), job = NULL;
  g_autoptr (GPtrArray) parts = NULL, packages = NULL;
  g_autoptr (GError) error = NULL;

  g_file_get_contents (path, &text, NULL, NULL);
  if (lw_parts_text_is_ours (text))
    lw_parts_from_text (text, &parts, &packages, &error);
  else
    job = lw_edit_paste_table (empty, text, NULL, &error);
  g_print ("# %.180s\n", error == NULL ? "read" : error->message);
}

static void
measure (Reader reader, const char *path)
{
  struct rusage used;
  int status;
  pid_t child = fork ();

  g_assert_cmpint (child, >=, 0);
  if (child == 0)
    {
      const struct rlimit time = { 60, 60 };

      setrlimit (RLIMIT_CPU, &time); /* far gone is enough */
#if !defined(__SANITIZE_ADDRESS__)
      const struct rlimit memory = { (rlim_t) 4096 * MB, (rlim_t) 4096 * MB };
      setrlimit (RLIMIT_AS, &memory);
#endif
      reader (path);
      fflush (stdout);
      _exit (0);
    }
  g_assert_cmpint (wait4 (child, &status, 0, &used), ==, child);
  double seconds = (double) (used.ru_utime.tv_sec + used.ru_stime.tv_sec)
                   + 1e-6 * (double) (used.ru_utime.tv_usec + used.ru_stime.tv_usec);
  double megabytes = (double) used.ru_maxrss / 1024;
  g_test_message ("%.2f s%s, %.0f MB", seconds, seconds > LIMIT_S ? ", over the two of an idle machine" : "", megabytes);
  if (!WIFEXITED (status) || WEXITSTATUS (status) != 0 || seconds > BUSY * LIMIT_S || megabytes > LIMIT_MB)
    g_test_fail_printf ("%.2f s, %.0f MB, status %d", seconds, megabytes, status);
}

static void
test_case (gconstpointer data)
{
  g_autofree char *folder = g_dir_make_tmp ("leeward-limits-XXXXXX", NULL), *path = NULL;

  path = write_case (folder, data);
  measure (open_file, path);
  g_unlink (path);
  g_rmdir (folder);
}

/* A library and the clipboard: texts of their own readers. */
static const struct {
  Case file;
  Reader reader;
} texts[] = {
  { { "library/faults", "own.json", "{\"leeward_library\": 1, \"packages\": [1", ",1", "]}", 3 }, read_library },
  { { "library/objects", "own.json", "{\"leeward_library\": 1, \"alloys\": [{}", ",{\"name\": \"a\"}", "]}", 3 }, read_library },
  { { "library/values", "own.json", "{\"leeward_library\": 1, \"x\": [1", ",1", "]}", 15 }, read_library },
  { { "log/backwards", "a.csv", "Time (s),Ch 1 (C)\n", "9,25\n1,25\n", "", 30 }, read_log },
  { { "log/odd-lines", "a.csv", "Time (s),Ch 1 (C)\n0,25\n1,25\n", "x,y\n", "", 30 }, read_log },
  { { "log/columns", "a.csv", "Time (s),Ch 1 (C)\n0,25\n1,25\n", ",1", "\n", 30 }, read_log },
  { { "clipboard/parts", "parts.json", "{\"leeward_parts\": 1, \"parts\": [{}", ",{\"ref\": \"a\"}", "]}", 40 }, paste },
  { { "clipboard/rows", "parts.txt", "", "C1\t0402\n", "", 60 }, paste },
  { { "clipboard/cells", "parts.txt", "", "\t", "", 60 }, paste },
};

static void
test_text (gconstpointer data)
{
  guint i = GPOINTER_TO_UINT (data);
  g_autofree char *folder = g_dir_make_tmp ("leeward-limits-XXXXXX", NULL), *path = NULL;

  path = write_case (folder, &texts[i].file);
  measure (texts[i].reader, path);
  g_unlink (path);
  g_rmdir (folder);
}

/* ---- archives ---- */

/* N entries of SIZE zeros each: little to pack, much to unpack. */
static char *
write_archive (const char *folder, guint n, gsize size)
{
  char *path = g_build_filename (folder, "a.zip", NULL);
  struct archive *archive = archive_write_new ();
  g_autofree char *zeros = g_malloc0 (MB);

  archive_write_set_format_zip (archive);
  g_assert_cmpint (archive_write_open_filename (archive, path), ==, ARCHIVE_OK);
  for (guint i = 0; i < n; i++)
    {
      struct archive_entry *entry = archive_entry_new ();
      g_autofree char *name = g_strdup_printf ("folder%u/f%u.gbr", i % 5000, i);

      archive_entry_set_pathname (entry, name);
      archive_entry_set_size (entry, (gint64) size);
      archive_entry_set_filetype (entry, AE_IFREG);
      archive_entry_set_perm (entry, 0644);
      archive_write_header (archive, entry);
      for (gsize done = 0; done < size; done += MB)
        archive_write_data (archive, zeros, MIN (MB, size - done));
      archive_entry_free (entry);
    }
  archive_write_free (archive);
  return path;
}

static void
test_archive (gconstpointer data)
{
  gboolean many = GPOINTER_TO_INT (data);
  g_autofree char *folder = g_dir_make_tmp ("leeward-limits-XXXXXX", NULL);
  g_autofree char *path = many ? write_archive (folder, 30000, 0) : write_archive (folder, 1, (gsize) 600 * MB);

  measure (open_together, path);
  g_unlink (path);
  g_rmdir (folder);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *name = g_strconcat ("/limits/", cases[i].name, NULL);

      g_test_add_data_func (name, &cases[i], test_case);
    }
  for (guint i = 0; i < G_N_ELEMENTS (texts); i++)
    {
      g_autofree char *name = g_strconcat ("/limits/", texts[i].file.name, NULL);

      g_test_add_data_func (name, GUINT_TO_POINTER (i), test_text);
    }
  g_test_add_data_func ("/limits/archive/bomb", GINT_TO_POINTER (FALSE), test_archive);
  g_test_add_data_func ("/limits/archive/entries", GINT_TO_POINTER (TRUE), test_archive);
  return g_test_run ();
}
