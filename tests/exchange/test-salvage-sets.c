/* Damaged files of the other formats, alone and in sets: refused with file, line and reason, and what stands whole
 * in them is given when it is asked for. Plots end with M02, drill files with M30, test netlists with record 999 (the
 * formats' own rules), so that a cut is known even where all that is left is whole. The samples' counts are those of
 * tests/data. */
#include <glib/gstdio.h>
#include <string.h>

#include "exchange/centroid.h"
#include "exchange/d356.h"
#include "exchange/import.h"
#include "exchange/plot-set.h"

/* ---- one text each ---- */

typedef struct {
  char *folder;
  GPtrArray *files; /* GFile */
} Bench;

static void
bench_init (Bench *self)
{
  self->folder = g_dir_make_tmp ("leeward-salvage-XXXXXX", NULL);
  self->files = g_ptr_array_new_with_free_func (g_object_unref);
}

static void
bench_clear (Bench *self)
{
  for (guint i = 0; i < self->files->len; i++)
    g_file_delete (self->files->pdata[i], NULL, NULL);
  g_assert_cmpint (g_rmdir (self->folder), ==, 0);
  g_ptr_array_unref (self->files);
  g_free (self->folder);
}

static GFile *
put (Bench *self, const char *name, const char *data, gsize size)
{
  g_autofree char *path = g_build_filename (self->folder, name, NULL);

  g_assert_true (g_file_set_contents (path, data, (gssize) size, NULL));
  for (guint i = 0; i < self->files->len; i++)
    {
      g_autofree char *there = g_file_get_path (self->files->pdata[i]);

      if (g_str_equal (there, path))
        return self->files->pdata[i];
    }
  g_ptr_array_add (self->files, g_file_new_for_path (path));
  return self->files->pdata[self->files->len - 1];
}

static const LwImportWarning *
warning_at (const LwImport *import, guint i)
{
  return import->warnings->pdata[i];
}

static void
assert_refused (GFile *file, const char *message)
{
  g_autoptr (GError) error = NULL, many = NULL;

  g_assert_null (lw_import (file, NULL, NULL, &error));
  g_assert_error (error, LW_IMPORT_ERROR, LW_IMPORT_ERROR_SYNTAX);
  g_assert_cmpstr (error->message, ==, message);
  g_assert_null (lw_import_many (&file, 1, NULL, NULL, NULL, &many));
  g_assert_cmpstr (many->message, ==, message);
}

/* A word for a number, and a line that breaks off in its place; the total below was never a part. */
static void
test_table (void)
{
  const char *text = "Ref,X,Y,Side\nR1,1,2,top\nR2,1x,2,top\nR3,3,4,top\nR6,6,4,top\nR7,7,4,top\nR5,,,top\nTotal lines: 8\nR4,4";
  Bench bench;
  GFile *file;
  g_autoptr (LwImport) import = NULL;

  bench_init (&bench);
  file = put (&bench, "t.csv", text, strlen (text));
  assert_refused (file, "t.csv:3: column 2 (x): a number expected, not “1x”");
  import = lw_import_salvage (file, NULL, NULL, NULL, NULL, NULL);
  g_assert_cmpuint (import->job->parts->len, ==, 4);
  g_assert_cmpuint (warning_at (import, 0)->line, ==, 3);
  g_assert_cmpstr (warning_at (import, 0)->text, ==,
                   "damaged: column 2 (x): a number expected, not “1x”; the line is left out");
  g_assert_true (warning_at (import, 1)->damage);
  g_assert_cmpuint (warning_at (import, 1)->line, ==, 9);
  g_assert_false (warning_at (import, 2)->damage);
  bench_clear (&bench);
}

/* A total and a part without a place are no damage: the table opens, with both told. */
static void
test_whole_table (void)
{
  const char *text = "Ref,X,Y,Side\nR1,1,2,top\nR3,3,4,top\nR5,,,top\nTotal lines: 3\n";
  Bench bench;
  g_autoptr (LwImport) import = NULL;

  bench_init (&bench);
  import = lw_import (put (&bench, "t.csv", text, strlen (text)), NULL, NULL, NULL);
  g_assert_nonnull (import);
  g_assert_cmpuint (import->job->parts->len, ==, 2);
  g_assert_cmpuint (warning_at (import, 0)->line, ==, 4);
  g_assert_cmpuint (warning_at (import, 1)->line, ==, 5);
  bench_clear (&bench);
}

/* A block of zeros, as a file system leaves behind after a crash: what stands before it is text. */
static void
test_zeros (void)
{
  static const struct {
    const char *name, *text;
    guint line, parts;
  } cases[] = {
    { "t.csv", "Ref,X,Y\nR1,1,2\nR2,3,4\n", 4, 2 },
    { "t.ipc",
      "P  UNITS CUST 0\n"
      "327NET              R1    -1          A01X+00100Y+001000X0100Y0100R000S0\n"
      "327NET              R1    -2          A01X+00200Y+001000X0100Y0100R000S0\n",
      4, 1 },
    { "t.emn",
      ".HEADER\nBOARD_FILE 3.0 x y 1\nb MM\n.END_HEADER\n.PLACEMENT\ng n U1\n1 2 0 0 TOP PLACED\n", 8, 1 },
  };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GString) text = g_string_new (cases[i].text);
      g_autofree char *expected = g_strdup_printf ("%s:%u: a NUL byte: this is not a text file", cases[i].name, cases[i].line);
      g_autoptr (LwImport) import = NULL;
      g_autoptr (GError) error = NULL;
      Bench bench;
      GFile *file;

      bench_init (&bench);
      g_string_append_len (text, "\0\0\0\0\0\0\0\0", 8);
      file = put (&bench, cases[i].name, text->str, text->len);
      assert_refused (file, expected);
      import = lw_import_salvage (file, NULL, NULL, NULL, NULL, &error);
      g_assert_no_error (error);
      g_assert_cmpuint (import->job->parts->len, ==, cases[i].parts);
      g_assert_true (warning_at (import, 0)->damage);
      g_assert_cmpuint (warning_at (import, 0)->line, ==, cases[i].line);
      bench_clear (&bench);
    }
}

/* ---- plots ---- */

#define PLOT(function) "%FSLAX36Y36*%%MOMM*%%TF.FileFunction," function "*%%ADD10C,0.1*%D10*"
#define EDGE "X0Y0D02*X50000000D01*Y40000000D01*X0D01*Y0D01*"
#define HOLE "X5000000Y5000000D02*X9000000D01*Y9000000D01*X5000000D01*Y5000000D01*"

static LwImport *
plots (const char *profile, const char *drill, GError **error)
{
  LwPlotFile files[] = { { "edge.gbr", profile, strlen (profile) }, { "npth.drl", drill, drill != NULL ? strlen (drill) : 0 } };

  return lw_import_plots (files, drill != NULL ? 2 : 1, NULL, NULL, NULL, NULL, error);
}

/* The edge stands whole before the fault and is taken; a cut-out alone is not taken for one. */
static void
test_profile (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwImport) whole = plots (PLOT ("Profile,NP") EDGE HOLE "M02*", NULL, NULL);
  g_autoptr (LwImport) hole_cut = plots (PLOT ("Profile,NP") EDGE "X5000000Y5000000D02*X9000000D01*Y9000000D01*X50", NULL, NULL);
  g_autoptr (LwImport) no_end = plots (PLOT ("Profile,NP") EDGE HOLE, NULL, NULL);
  g_autoptr (LwImport) edge_cut = plots (PLOT ("Profile,NP") HOLE "X0Y0D02*X50000000D01*Y40000000D01*X", NULL, &error);

  g_assert_cmpuint (whole->job->board->outline->len, ==, 2);
  g_assert_true (whole->warnings->len == 0 || !warning_at (whole, 0)->damage);
  g_assert_cmpuint (hole_cut->job->board->outline->len, ==, 1);
  g_assert_false (hole_cut->job->board->outline_assumed);
  g_assert_true (warning_at (hole_cut, 0)->damage);
  g_assert_nonnull (strstr (warning_at (hole_cut, 0)->text, "cut-outs may be missing"));
  g_assert_cmpuint (no_end->job->board->outline->len, ==, 2);
  g_assert_cmpstr (warning_at (no_end, 0)->reason, ==, "the end of the file (M02) is missing: it may be cut short");
  g_assert_null (edge_cut);
  g_assert_true (g_str_has_prefix (error->message, "edge.gbr:1: "));
}

/* The holes before a fault stay; an end without its mark is damage as well. */
static void
test_drill (void)
{
  const char *edge = PLOT ("Profile,NP") EDGE "M02*", *head = "M48\nMETRIC\nT1C3.0\n%\nT1\nX10.0Y10.0\n";
  g_autofree char *bad = g_strconcat (head, "X20.0Yten\nX30.0Y10.0\nM30\n", NULL);
  g_autoptr (LwImport) fault = plots (edge, bad, NULL), no_end = plots (edge, head, NULL);

  g_assert_cmpuint (fault->job->board->outline->len, ==, 2);
  g_assert_true (warning_at (fault, 0)->damage);
  g_assert_cmpstr (warning_at (fault, 0)->file, ==, "npth.drl");
  g_assert_cmpuint (warning_at (fault, 0)->line, ==, 7);
  g_assert_cmpuint (no_end->job->board->outline->len, ==, 2);
  g_assert_cmpuint (warning_at (no_end, 0)->line, ==, 6);
  g_assert_cmpstr (warning_at (no_end, 0)->reason, ==, "the end of the file (M30) is missing: it may be cut short");
}

/* ---- a sample's set ---- */

static const char *const set_files[] = { "gerber/ecc83v2-Dessus.gbr", "gerber/ecc83v2-Edge_Cuts.gbr",
                                         "gerber/ecc83v2-pnp_top.gbr", "gerber/ecc83v2-job.gbrjob",
                                         "drill/ecc83v2-PTH.drl" };

static char *
sample (const char *name, gsize *size)
{
  g_autofree char *path = g_build_filename (DATA_DIR, "ecc83_v2", name, NULL);
  char *text;

  g_assert_true (g_file_get_contents (path, &text, size, NULL));
  return text;
}

#define SET_PARTS 11 /* the component attributes (TO.C) in pnp_top */

/* Each file of the set cut in turn: the whole is refused with that file's name, and asked for what is left it
 * names the damage first. */
static void
test_cut_set (void)
{
  static const double shares[] = { 0.3, 0.9 };

  for (guint cut = 0; cut < G_N_ELEMENTS (set_files); cut++)
    for (guint k = 0; k < G_N_ELEMENTS (shares); k++)
      {
        g_autoptr (GError) error = NULL;
        g_autoptr (LwImport) import = NULL;
        g_autoptr (GFile) folder = NULL;
        g_autofree char *base = g_path_get_basename (set_files[cut]);
        Bench bench;

        bench_init (&bench);
        folder = g_file_new_for_path (bench.folder);
        for (guint i = 0; i < G_N_ELEMENTS (set_files); i++)
          {
            g_autofree char *name = g_path_get_basename (set_files[i]), *text = NULL;
            gsize size;

            text = sample (set_files[i], &size);
            put (&bench, name, text, i == cut ? (gsize) ((double) size * shares[k]) : size);
          }
        g_assert_null (lw_import_many (&folder, 1, NULL, NULL, NULL, &error));
        g_assert_error (error, LW_IMPORT_ERROR, LW_IMPORT_ERROR_SYNTAX);
        g_assert_true (g_str_has_prefix (error->message, base));
        import = lw_import_salvage_many (&folder, 1, NULL, NULL, NULL, NULL);
        g_assert_nonnull (import);
        g_assert_true (warning_at (import, 0)->damage);
        g_assert_cmpstr (warning_at (import, 0)->file, ==, base);
        g_assert_cmpuint (import->job->parts->len, <=, SET_PARTS);
        g_assert_true (cut == 2 || import->job->parts->len == SET_PARTS);
        bench_clear (&bench);
      }
}

/* What a folder holds beside its board - pages, lists, notes - is no damage; a broken board among them is. */
static void
test_strangers (void)
{
  static const char page[] = "<!DOCTYPE html>\n<html><body><p>board</body></html>\n";
  static const char list[] = "Ref,Qty,Value\nR1,1,10k\nR2,1,22k\n", torn[] = "<?xml version=\"1.0\"?>\n<IPC-2581 revision=\"C\"><Content";
  g_autoptr (GError) error = NULL;
  g_autoptr (GFile) folder = NULL;
  g_autoptr (LwImport) import = NULL, salvaged = NULL;
  g_autofree char *board = NULL;
  gsize size;
  Bench bench;

  bench_init (&bench);
  folder = g_file_new_for_path (bench.folder);
  board = sample ("ecc83v2.emn", &size);
  put (&bench, "board.emn", board, size);
  put (&bench, "page.html", page, strlen (page));
  put (&bench, "list.csv", list, strlen (list));
  import = lw_import_many (&folder, 1, NULL, NULL, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (import->job->parts->len, ==, 15);
  put (&bench, "torn.xml", torn, strlen (torn));
  g_assert_null (lw_import_many (&folder, 1, NULL, NULL, NULL, &error));
  g_assert_true (g_str_has_prefix (error->message, "torn.xml:2: "));
  salvaged = lw_import_salvage_many (&folder, 1, NULL, NULL, NULL, NULL);
  g_assert_cmpuint (salvaged->job->parts->len, ==, 15);
  g_assert_cmpstr (warning_at (salvaged, 0)->file, ==, "torn.xml");
  bench_clear (&bench);
}

/* ---- cut anywhere ---- */

/* A netlist cut anywhere is refused, unless nothing but the line's end is lost; asked for what is left, it never has
 * more than was there. */
static void
test_netlist_cuts (void)
{
  gsize size;
  g_autofree char *text = sample ("ecc83v2.ipc", &size);
  guint read = 0;
  Bench bench;

  bench_init (&bench);
  for (gsize n = 200; n + 2 < size; n += 97)
    {
      GFile *file = put (&bench, "t.ipc", text, n);
      g_autoptr (GError) error = NULL;
      g_autoptr (LwImport) import = lw_import_salvage (file, NULL, NULL, NULL, NULL, NULL);

      g_assert_null (lw_import (file, NULL, NULL, &error));
      g_assert_true (g_str_has_prefix (error->message, "t.ipc"));
      g_assert_true (import == NULL || warning_at (import, 0)->damage);
      g_assert_true (import == NULL || import->job->parts->len <= 15);
      read += import != NULL;
    }
  g_assert_cmpuint (read, >, 20);
  bench_clear (&bench);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/salvage-sets/table", test_table);
  g_test_add_func ("/salvage-sets/whole-table", test_whole_table);
  g_test_add_func ("/salvage-sets/zeros", test_zeros);
  g_test_add_func ("/salvage-sets/profile", test_profile);
  g_test_add_func ("/salvage-sets/drill", test_drill);
  g_test_add_func ("/salvage-sets/cut-set", test_cut_set);
  g_test_add_func ("/salvage-sets/strangers", test_strangers);
  g_test_add_func ("/salvage-sets/netlist-cuts", test_netlist_cuts);
  return g_test_run ();
}
