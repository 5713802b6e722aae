/* Placement tables. No standard lays them down; the dialects are those of files as tools write them, and each
 * text below says what it stands for. Numbers are plain arithmetic: 1 inch = 25.4 mm exactly. */
#include <math.h>
#include <string.h>

#include "board/job-file.h"
#include "exchange/centroid.h"

static LwCentroidMapping
guess (const char *text)
{
  g_autoptr (GError) error = NULL;
  LwCentroidMapping mapping;

  lw_centroid_guess ("t.csv", text, strlen (text), &mapping, &error);
  g_assert_no_error (error);
  return mapping;
}

static LwImport *
read_good (const char *text)
{
  g_autoptr (GError) error = NULL;
  LwImport *import = lw_import_centroid_guessed ("t.csv", text, strlen (text), &error);

  g_assert_no_error (error);
  g_assert_nonnull (import);
  return import;
}

static const LwPart *
part_at (const LwImport *import, guint i)
{
  g_assert_cmpuint (i, <, import->job->parts->len);
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
assert_at (const LwPart *part, double x_mm, double y_mm, double rotation_deg)
{
  g_assert_cmpfloat_with_epsilon (part->x_mm, x_mm, 1e-9);
  g_assert_cmpfloat_with_epsilon (part->y_mm, y_mm, 1e-9);
  g_assert_cmpfloat_with_epsilon (part->rotation_deg, rotation_deg, 1e-9);
}

static void
test_mapping (void)
{
  LwCentroidMapping m = guess ("made by hand\n\nRefDes;X (mil);Y (mil);Rot;Side\r\nU1;1000,5;-200;90;T\r\n");

  g_assert_cmpint (m.delimiter, ==, ';');
  g_assert_true (m.decimal_comma);
  g_assert_cmpuint (m.header_line, ==, 3);
  g_assert_cmpuint (m.first_line, ==, 4);
  g_assert_cmpint (m.unit, ==, LW_CENTROID_THOU);
  g_assert_cmpint (m.column[LW_CENTROID_REF], ==, 0);
  g_assert_cmpint (m.column[LW_CENTROID_X], ==, 1);
  g_assert_cmpint (m.column[LW_CENTROID_Y], ==, 2);
  g_assert_cmpint (m.column[LW_CENTROID_ROTATION], ==, 3);
  g_assert_cmpint (m.column[LW_CENTROID_SIDE], ==, 4);
  g_assert_cmpint (m.column[LW_CENTROID_PACKAGE], ==, -1);
  g_assert_cmpuint (m.open, ==, 0);
}

/* The middle of a part comes before its first pin, wherever the columns stand. */
static void
test_middle_before_pin (void)
{
  g_autoptr (LwImport) import = read_good ("Designator,Ref X,Ref Y,Pad X,Pad Y,Mid X,Mid Y,Layer,Rotation\n"
                                           "R1,1mm,2mm,3mm,4mm,5mm,6mm,Top,0\n");

  assert_at (part_at (import, 0), 5, 6, 0);
}

static void
test_quotes (void)
{
  g_autoptr (LwImport) import = read_good ("Ref,Val,Package,PosX,PosY,Rot,Side\n"
                                           "\"R1\",\"1,5 k \"\"thin\"\"\nfilm\",\"a,b\",\"1.5\",2,0,top\n"
                                           "R2,5\" pipe,c,3,4,0,top\n");

  g_assert_cmpstr (part_at (import, 0)->value, ==, "1,5 k \"thin\" film");
  g_assert_cmpstr (part_at (import, 0)->package, ==, "a,b");
  assert_at (part_at (import, 0), 1.5, 2, 0);
  g_assert_cmpstr (part_at (import, 1)->value, ==, "5\" pipe");
  assert_at (part_at (import, 1), 3, 4, 0);
}

/* Commas both between and inside: the numbers have to be quoted. */
static void
test_comma_everywhere (void)
{
  g_autoptr (LwImport) import = read_good ("Ref,X(mm),Y(mm),Rotation\nR1,\"1,25\",\"-2,5\",\"90,0\"\n");

  assert_at (part_at (import, 0), 1.25, -2.5, 90);
}

static void
test_units_of_values (void)
{
  g_autoptr (LwImport) import = read_good ("Ref\tX\tY\tAngle\nR1\t1in\t500mil\t-90\nR2\t12.7mm\t100 thou\t450\n"
                                           "R3\t2500um\t0.1 inch\t0.5\n");

  assert_at (part_at (import, 0), 25.4, 12.7, 270);
  assert_at (part_at (import, 1), 12.7, 2.54, 90);
  assert_at (part_at (import, 2), 2.5, 2.54, 0.5);
}

static void
test_unit_in_comment (void)
{
  g_autoptr (LwImport) import =
    read_good ("## Unit = inches, Angle = deg.\n# Ref Val Package PosX PosY Rot Side\nR1 1k R0402 1.0 2.0 0 top\n");
  g_autoptr (LwImport) plain = read_good ("# parts in this table\nRef,X,Y\nR1,10,20\n");

  assert_at (part_at (import, 0), 25.4, 50.8, 0);
  assert_at (part_at (plain, 0), 10, 20, 0);
  g_assert_true (warns (plain, 0, "states no unit: mm is taken"));
  g_assert_false (warns (import, 0, "states no unit"));
}

static void
test_side_words (void)
{
  static const char *const tops[] = { "Top", "T", "TopLayer", "F.Cu", "front", "component side", "1", "oben" };
  static const char *const bottoms[] = { "Bottom", "B", "BottomLayer", "B.Cu", "back", "Solder Side", "2", "unten" };

  for (guint i = 0; i < G_N_ELEMENTS (tops); i++)
    {
      g_autofree char *text = g_strdup_printf ("Ref,X,Y,Side\nR1,1,2,%s\nR2,1,9,%s\n", tops[i], bottoms[i]);
      g_autoptr (LwImport) import = read_good (text);

      g_assert_cmpint (part_at (import, 0)->side, ==, LW_SIDE_TOP);
      g_assert_cmpint (part_at (import, 1)->side, ==, LW_SIDE_BOTTOM);
    }
  g_autoptr (LwImport) odd = read_good ("Ref,X,Y,Side\nR1,1,2,left\n");
  g_assert_true (warns (odd, 2, "“left” names no side"));
}

/* Here 1 means yes, where in a column of layers it means the first. */
static void
test_mirror_column (void)
{
  g_autoptr (LwImport) words = read_good ("Ref,X,Y,Mirror\nR1,1,2,NO\nR2,1,9,YES\n");
  g_autoptr (LwImport) digits = read_good ("Ref,X,Y,Mirrored\nR1,1,2,0\nR2,1,9,1\n");

  g_assert_cmpint (part_at (words, 0)->side, ==, LW_SIDE_TOP);
  g_assert_cmpint (part_at (words, 1)->side, ==, LW_SIDE_BOTTOM);
  g_assert_cmpint (part_at (digits, 0)->side, ==, LW_SIDE_TOP);
  g_assert_cmpint (part_at (digits, 1)->side, ==, LW_SIDE_BOTTOM);
}

/* Where the pin at (u, v) lies by each rule's own words, against where the part puts it. */
static void
test_bottom_rules (void)
{
  const char *text = "Ref,X(mm),Y(mm),Rotation,Side\nU1,10,20,30,bottom\n";
  double c = cos (G_PI / 6), s = sin (G_PI / 6), u = 3, v = 1;
  const struct {
    LwCentroidBottom rule;
    double x, y;
  } rules[] = { { LW_CENTROID_BOTTOM_TOP_VIEW_FLIP_Y, c * u - s * -v, s * u + c * -v },
                { LW_CENTROID_BOTTOM_TOP_VIEW_FLIP_X, c * -u - s * v, s * -u + c * v },
                { LW_CENTROID_BOTTOM_OWN_VIEW_FLIP_X, c * -u + s * v, -s * -u + c * v },
                { LW_CENTROID_BOTTOM_OWN_VIEW_FLIP_Y, c * u + s * -v, -s * u + c * -v } };

  for (guint i = 0; i < G_N_ELEMENTS (rules); i++)
    {
      LwCentroidMapping mapping = guess (text);
      g_autoptr (GError) error = NULL;
      g_autoptr (LwImport) import = NULL;
      LwPoint pin;

      g_assert_true (mapping.open & LW_CENTROID_OPEN_BOTTOM);
      mapping.bottom = rules[i].rule;
      import = lw_import_centroid ("t.csv", text, strlen (text), &mapping, &error);
      g_assert_no_error (error);
      pin = lw_part_to_board (part_at (import, 0), u, v);
      g_assert_cmpfloat_with_epsilon (pin.x_mm, 10 + rules[i].x, 1e-9);
      g_assert_cmpfloat_with_epsilon (pin.y_mm, 20 + rules[i].y, 1e-9);
    }
}

static void
test_axes (void)
{
  const char *text = "Ref,X(mm),Y(mm),Rotation,Side\nU1,10,20,0,top\nU2,-10,20,0,bottom\n";
  LwCentroidMapping mapping = guess (text);
  g_autoptr (LwImport) import = NULL;

  mapping.y_down = mapping.bottom_x_negated = TRUE;
  import = lw_import_centroid ("t.csv", text, strlen (text), &mapping, NULL);
  assert_at (part_at (import, 0), 10, -20, 0);
  assert_at (part_at (import, 1), 10, -20, 180);
}

static void
test_no_header (void)
{
  g_autoptr (LwImport) import = read_good ("R1 10k R_0402 1.5 2.5 90 T\nC22 1u C_0402_1005 3 4 0 B\n");

  assert_at (part_at (import, 0), 1.5, 2.5, 90);
  g_assert_cmpstr (part_at (import, 0)->package, ==, "R_0402");
  g_assert_cmpstr (part_at (import, 0)->value, ==, "10k");
  g_assert_cmpint (part_at (import, 1)->side, ==, LW_SIDE_BOTTOM);
  g_assert_true (warns (import, 1, "no line names the columns"));
}

static void
test_encodings (void)
{
  g_autoptr (LwImport) latin1 = read_good ("Ref,X,Y,Value\nR1,1,2,10k\xb5\n");
  g_autoptr (LwImport) marked = read_good ("\xef\xbb\xbfRef,X,Y,Value\nR1,1,2,\xc2\xb5\n");
  gsize length;
  g_autofree char *wide = g_convert ("Ref,X,Y\nR1,1,2\n", -1, "UTF-16", "UTF-8", NULL, &length, NULL);
  g_autoptr (LwImport) utf16 = lw_import_centroid_guessed ("t.csv", wide, length, NULL);

  g_assert_cmpstr (part_at (latin1, 0)->value, ==, "10k\xc2\xb5");
  g_assert_true (warns (latin1, 0, "read as Latin-1"));
  g_assert_cmpstr (part_at (marked, 0)->value, ==, "\xc2\xb5");
  assert_at (part_at (utf16, 0), 1, 2, 0);
}

/* What cannot be read is told with its line, and the rest is offered. */
static void
test_bad_lines (void)
{
  g_autoptr (LwImport) import = read_good ("Ref,X,Y,Rot\nR1,1,2,0\nR2,nan,2,0\nR3,1\nR4,3,0x10,0\nR5,5,6,ten\n"
                                           "R1,7,8,0\n,9,9,0\nR8,1e300,0,0\nR9,3,3,0\nR10,4,4,0\n");

  g_assert_cmpuint (import->job->parts->len, ==, 6);
  g_assert_true (warns (import, 3, "column 2 (x): a number expected, not “nan”"));
  g_assert_true (warns (import, 4, "column 3 (y): a number expected, not “”"));
  g_assert_true (warns (import, 5, "“0x10”"));
  g_assert_true (warns (import, 6, "“ten” is no angle"));
  g_assert_true (warns (import, 7, "a second R1"));
  g_assert_true (warns (import, 8, "without a reference designator"));
  g_assert_true (warns (import, 9, "farther than a kilometre"));
  g_assert_true (warns (import, 0, "left out: 4"));
}

static void
refuse (const char *text, const char *reason)
{
  g_autoptr (GError) error = NULL;
  LwImport *import = lw_import_centroid_guessed ("t.csv", text, strlen (text), &error);

  g_assert_null (import);
  g_assert_error (error, LW_IMPORT_ERROR, LW_IMPORT_ERROR_SYNTAX);
  g_assert_true (g_str_has_prefix (error->message, "t.csv:"));
  g_assert_nonnull (strstr (error->message, reason));
}

static void
test_refusals (void)
{
  refuse ("", "no placement table");
  refuse ("a letter, to whom it may concern\nand so on\n", "no placement table");
  refuse ("Ref,X,Y\n", "t.csv:1: columns are named here");
  refuse ("Ref,X,Y\nR1,a,b\nR2,c,d\n", "columns are named here");
  refuse ("Ref,X,Y\nR1,1,2\nR2,c,d\nR3,e,f\n", "1 lines read as parts and 2 do not");
}

static void
test_preview (void)
{
  const char *text = "# note\n\nRef;X\nR1;\"1;2\"\n";
  g_autoptr (GPtrArray) rows = lw_centroid_rows ("t.csv", text, strlen (text), ';', 10, NULL);
  const LwCentroidRow *first = rows->pdata[0], *last = rows->pdata[2];

  g_assert_cmpuint (rows->len, ==, 3);
  g_assert_true (first->comment);
  g_assert_cmpstr (first->fields[0], ==, "note");
  g_assert_cmpuint (last->line, ==, 4);
  g_assert_cmpuint (last->n_fields, ==, 2);
  g_assert_cmpstr (last->fields[1], ==, "1;2");
}

/* ---- damage ---- */

/* What was read must pass the document's own check. */
static gboolean
try_bytes (const char *data, gsize size)
{
  g_autofree char *copy = g_memdup2 (data, size); /* so that reading past the end is seen by a sanitizer */
  g_autoptr (GError) error = NULL;
  g_autoptr (LwImport) import = lw_import_centroid_guessed ("t.csv", copy != NULL ? copy : "", size, &error);
  g_autoptr (GPtrArray) faults = NULL;

  g_assert_true ((import == NULL) == (error != NULL));
  if (import == NULL)
    {
      g_assert_true (g_utf8_validate (error->message, -1, NULL));
      g_assert_true (g_str_has_prefix (error->message, "t.csv"));
      return FALSE;
    }
  faults = lw_job_check (import->job);
  for (guint i = 0; i < faults->len; i++)
    g_assert_false (((LwFault *) faults->pdata[i])->fatal);
  return TRUE;
}

static void
mutate (GRand *rand, GString *text)
{
  static const char *const words[] = { "\"", "\n", ",,,,", ";", "\t", "1e999", "-", "nan", "#", "\xff", "\r", "top", "x" };
  gsize at = (gsize) g_rand_int_range (rand, 0, (gint32) text->len);
  gsize length = (gsize) g_rand_int_range (rand, 1, 60);

  switch (g_rand_int_range (rand, 0, 3))
    {
    case 0:
      text->str[at] = (char) g_rand_int_range (rand, 0, 256);
      break;
    case 1:
      g_string_erase (text, (gssize) at, (gssize) MIN (length, text->len - at - 1));
      break;
    default:
      g_string_insert (text, (gssize) at, words[g_rand_int_range (rand, 0, G_N_ELEMENTS (words))]);
      break;
    }
}

static void
test_damaged (gconstpointer name)
{
  enum { MUTATIONS = 150, SEED = 20260102 };
  g_autofree char *path = g_build_filename (DATA_DIR, name, NULL);
  g_autoptr (GRand) rand = g_rand_new_with_seed (SEED);
  g_autofree char *text = NULL;
  gsize size;
  guint n_read = 0, n_refused = 0;

  g_assert_true (g_file_get_contents (path, &text, &size, NULL));
  g_assert_true (try_bytes (text, size));
  for (gsize i = 0; i < size; i += 13)
    *(try_bytes (text, i) ? &n_read : &n_refused) += 1;
  for (guint i = 0; i < MUTATIONS; i++)
    {
      g_autoptr (GString) copy = g_string_new_len (text, (gssize) size);

      for (int k = g_rand_int_range (rand, 1, 6); k > 0; k--)
        mutate (rand, copy);
      *(try_bytes (copy->str, copy->len) ? &n_read : &n_refused) += 1;
    }
  g_assert_cmpuint (n_read, >, 0);
  g_assert_cmpuint (n_refused, >, 0);
}

int
main (int argc, char **argv)
{
  static const char *const samples[] = { "centroid_variants/a_mid_xy_suffix_mm.csv",
                                         "centroid_variants/b_preamble_center_xy.csv",
                                         "centroid_variants/c_no_header_blanks.mnt",
                                         "centroid_variants/e_semicolon_decimal_comma.csv",
                                         "numpres/numpres-mm-pos.csv" };

  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/centroid/mapping", test_mapping);
  g_test_add_func ("/centroid/middle-before-pin", test_middle_before_pin);
  g_test_add_func ("/centroid/quotes", test_quotes);
  g_test_add_func ("/centroid/comma-everywhere", test_comma_everywhere);
  g_test_add_func ("/centroid/units-of-values", test_units_of_values);
  g_test_add_func ("/centroid/unit-in-comment", test_unit_in_comment);
  g_test_add_func ("/centroid/side-words", test_side_words);
  g_test_add_func ("/centroid/mirror-column", test_mirror_column);
  g_test_add_func ("/centroid/bottom-rules", test_bottom_rules);
  g_test_add_func ("/centroid/axes", test_axes);
  g_test_add_func ("/centroid/no-header", test_no_header);
  g_test_add_func ("/centroid/encodings", test_encodings);
  g_test_add_func ("/centroid/bad-lines", test_bad_lines);
  g_test_add_func ("/centroid/refusals", test_refusals);
  g_test_add_func ("/centroid/preview", test_preview);
  for (guint i = 0; i < G_N_ELEMENTS (samples); i++)
    {
      g_autofree char *path = g_strconcat ("/centroid/damaged/", samples[i], NULL);

      g_test_add_data_func (path, samples[i], test_damaged);
    }
  return g_test_run ();
}
