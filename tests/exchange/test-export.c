/* Boards out and in again: random ones and every sample. Whatever a format has a place for has to come back. */
#include <glib/gstdio.h>
#include <math.h>
#include <string.h>

#include "board/job-file.h"
#include "exchange/centroid.h"
#include "exchange/export.h"

enum { BOARDS = 60, SEED = 20260104 };
#define DIGIT_MM 1e-6  /* what is written */
#define EPSILON 2e-6

static void
assert_near (double a, double b, double within)
{
  if (!(isnan (a) && isnan (b)) && !(fabs (a - b) <= within))
    g_error ("%.9g and %.9g differ by more than %g", a, b, within);
}

/* ---- the same board ---- */

static void
assert_same_loop (const LwLoop *a, const LwLoop *b)
{
  g_assert_cmpuint (a->corners->len, ==, b->corners->len);
  for (guint i = 0; i < a->corners->len; i++)
    {
      const LwVertex *p = &g_array_index (a->corners, LwVertex, i), *q = &g_array_index (b->corners, LwVertex, i);

      assert_near (p->x_mm, q->x_mm, EPSILON);
      assert_near (p->y_mm, q->y_mm, EPSILON);
      assert_near (p->arc_deg, q->arc_deg, EPSILON);
    }
}

static double
height_of (const LwPart *part, const LwPackage *package)
{
  return isnan (part->height_mm) && package != NULL ? package->height_mm : part->height_mm;
}

static void
assert_same_body (const LwJob *a, const LwPart *p, const LwJob *b, const LwPart *q)
{
  const LwPackage *x = lw_job_package_of (a, p), *y = lw_job_package_of (b, q);

  g_assert_true ((x == NULL) == (y == NULL));
  if (x == NULL)
    return;
  assert_near (height_of (p, x), height_of (q, y), EPSILON);
  assert_near (x->length_mm, y->length_mm, EPSILON);
  assert_near (x->center_x_mm, y->center_x_mm, EPSILON);
  assert_near (x->center_y_mm, y->center_y_mm, EPSILON);
  g_assert_true (x->round == y->round);
  if (!x->round)
    assert_near (x->width_mm, y->width_mm, EPSILON);
  g_assert_true ((x->outline == NULL) == (y->outline == NULL));
  if (x->outline != NULL)
    assert_same_loop (x->outline, y->outline);
}

static void
assert_same_place (const LwPart *p, const LwPart *q)
{
  g_assert_cmpstr (p->ref, ==, q->ref);
  g_assert_cmpstr (p->value, ==, q->value);
  assert_near (p->x_mm, q->x_mm, EPSILON);
  assert_near (p->y_mm, q->y_mm, EPSILON);
  assert_near (remainder (p->rotation_deg - q->rotation_deg, 360), 0, EPSILON);
  g_assert_cmpint (p->side, ==, q->side);
  g_assert_true (p->placed == q->placed);
}

static void
assert_same_idf (const LwJob *a, const LwJob *b)
{
  g_assert_cmpuint (a->board->outline->len, ==, b->board->outline->len);
  for (guint i = 0; i < a->board->outline->len; i++)
    assert_same_loop (a->board->outline->pdata[i], b->board->outline->pdata[i]);
  g_assert_true (a->board->thickness_known == b->board->thickness_known);
  if (a->board->thickness_known)
    assert_near (a->board->thickness_mm, b->board->thickness_mm, EPSILON);
  g_assert_cmpuint (a->parts->len, ==, b->parts->len);
  for (guint i = 0; i < a->parts->len; i++)
    {
      const LwPart *p = a->parts->pdata[i], *q = b->parts->pdata[i];

      assert_same_place (p, q);
      assert_near (p->offset_mm, q->offset_mm, EPSILON);
      assert_same_body (a, p, b, q);
    }
}

/* A table lists what is placed, in the same order. */
static void
assert_same_table (const LwJob *a, const LwJob *b)
{
  guint k = 0;

  for (guint i = 0; i < a->parts->len; i++)
    {
      const LwPart *p = a->parts->pdata[i], *q;

      if (!p->placed)
        continue;
      g_assert_cmpuint (k, <, b->parts->len);
      q = b->parts->pdata[k++];
      assert_same_place (p, q);
      g_assert_cmpstr (p->package, ==, q->package);
      assert_near (height_of (p, lw_job_package_of (a, p)), height_of (q, lw_job_package_of (b, q)), EPSILON);
    }
  g_assert_cmpuint (k, ==, b->parts->len);
}

static void
round_trip (const LwJob *job)
{
  g_autofree char *board = lw_export_idf_board (job, NULL), *library = lw_export_idf_library (job, NULL);
  g_autofree char *table = lw_export_centroid (job, NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (LwImport) back = lw_import_idf ("b.emn", board, strlen (board), "b.emp", library, strlen (library), &error);
  g_autoptr (LwImport) list = NULL;

  g_assert_no_error (error);
  assert_same_idf (job, back->job);
  if (strchr (table, '\n')[1] == '\0') /* no part is placed: no table either */
    return;
  list = lw_import_centroid_guessed ("b.csv", table, strlen (table), &error);
  g_assert_no_error (error);
  assert_same_table (job, list->job);
}

/* ---- random boards ---- */

static double
between (GRand *rand, double low, double high)
{
  return round (g_rand_double_range (rand, low, high) / DIGIT_MM) * DIGIT_MM;
}

/* A rectangle, its corners cut straight or round, or round with a bulge. */
static LwLoop *
random_edge (GRand *rand, double x, double y, double w, double h)
{
  LwLoop *loop = lw_loop_new ();
  double r = between (rand, 1, 4), arc = g_rand_boolean (rand) ? 90 : 0;

  lw_loop_add (loop, x + r, y, arc);
  lw_loop_add (loop, x + w - r, y, g_rand_boolean (rand) ? between (rand, 1, 20) : 0);
  lw_loop_add (loop, x + w, y + r, arc);
  lw_loop_add (loop, x + w, y + h - r, 0);
  lw_loop_add (loop, x + w - r, y + h, arc);
  lw_loop_add (loop, x + r, y + h, 0);
  lw_loop_add (loop, x, y + h - r, arc);
  lw_loop_add (loop, x, y + r, 0);
  return loop;
}

static LwLoop *
clockwise_hole (double x, double y, double r)
{
  LwLoop *loop = lw_loop_new ();

  lw_loop_add (loop, x + r, y, -180);
  lw_loop_add (loop, x - r, y, -180);
  return loop;
}

static LwPackage *
random_package (GRand *rand, guint i)
{
  static const char *const names[] = { "P%u", "BGA #%u", "Geh\xc3\xa4use, %u", "\xe5\x8c\x85 %u", "a|b;%u", "*%u" };
  LwPackage *package = lw_package_new ();

  g_free (package->name);
  package->name = g_strdup_printf (names[g_rand_int_range (rand, 0, G_N_ELEMENTS (names))], i);
  package->length_mm = between (rand, 0.4, 9);
  package->width_mm = between (rand, 0.4, 9);
  package->center_x_mm = between (rand, -2, 2);
  package->center_y_mm = g_rand_boolean (rand) ? between (rand, -2, 2) : 0;
  package->height_mm = g_rand_int_range (rand, 0, 4) ? between (rand, 0.2, 20) : NAN;
  package->round = g_rand_int_range (rand, 0, 3) == 0;
  if (package->round)
    package->width_mm = package->length_mm;
  else if (g_rand_boolean (rand)) /* a corner cut off */
    {
      double x0 = package->center_x_mm - package->length_mm / 2, x1 = package->center_x_mm + package->length_mm / 2;
      double y0 = package->center_y_mm - package->width_mm / 2, y1 = package->center_y_mm + package->width_mm / 2;

      package->outline = lw_loop_new ();
      lw_loop_add (package->outline, x0, y0, 0);
      lw_loop_add (package->outline, x1, y0, 0);
      lw_loop_add (package->outline, x1, y1, 0);
      lw_loop_add (package->outline, x0 + package->length_mm / 4, y1, 0);
      lw_loop_add (package->outline, x0, y1 - package->width_mm / 4, g_rand_boolean (rand) ? 40 : 0);
      LwBox box = lw_loop_box (package->outline);
      package->length_mm = box.x1_mm - box.x0_mm;
      package->width_mm = box.y1_mm - box.y0_mm;
      package->center_x_mm = (box.x0_mm + box.x1_mm) / 2;
      package->center_y_mm = (box.y0_mm + box.y1_mm) / 2;
    }
  return package;
}

static LwPart *
random_part (GRand *rand, const LwJob *job, guint i, double x, double y, double w, double h)
{
  static const char *const refs[] = { "R%u", "#U%u", "C %u", "\xc3\x84%u", "x,%u", "*%u" };
  LwPart *part = lw_part_new ();
  guint package = (guint) g_rand_int_range (rand, 0, (gint32) job->packages->len + 1);

  g_free (part->ref);
  g_free (part->package);
  g_free (part->value);
  part->ref = g_strdup_printf (refs[g_rand_int_range (rand, 0, G_N_ELEMENTS (refs))], i);
  part->package =
    g_strdup (package < job->packages->len ? ((LwPackage *) job->packages->pdata[package])->name : "nowhere described");
  part->value = g_strdup (g_rand_boolean (rand) ? "4,7 k\xce\xa9; 1 %" : "");
  part->x_mm = between (rand, x + 6, x + w - 6);
  part->y_mm = between (rand, y + 6, y + h - 6);
  part->rotation_deg = g_rand_boolean (rand) ? 90 * g_rand_int_range (rand, 0, 4) : between (rand, 0, 359);
  part->side = g_rand_boolean (rand) ? LW_SIDE_TOP : LW_SIDE_BOTTOM;
  part->placed = g_rand_int_range (rand, 0, 8) > 0;
  part->offset_mm = g_rand_int_range (rand, 0, 3) ? 0 : between (rand, 0.1, 3);
  if (package < job->packages->len && g_rand_int_range (rand, 0, 4) == 0)
    part->height_mm = between (rand, 0.3, 12);
  return part;
}

static LwJob *
random_job (GRand *rand)
{
  LwJob *job = lw_job_new ();
  double x = between (rand, -200, 100), y = between (rand, -200, 100);
  double w = between (rand, 30, 200), h = between (rand, 30, 200);
  guint n = (guint) g_rand_int_range (rand, 1, 40);

  g_ptr_array_set_size (job->board->outline, 0);
  g_ptr_array_add (job->board->outline, random_edge (rand, x, y, w, h));
  if (g_rand_boolean (rand))
    g_ptr_array_add (job->board->outline, clockwise_hole (x + 4.5, y + h / 2, 0.75));
  job->board->thickness_known = g_rand_boolean (rand);
  job->board->thickness_mm = between (rand, 0.4, 3.2);
  for (guint i = 0; i < 8; i++)
    g_ptr_array_add (job->packages, random_package (rand, i));
  for (guint i = 0; i < n; i++)
    g_ptr_array_add (job->parts, random_part (rand, job, i, x, y, w, h));
  return job;
}

static void
test_random (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (SEED);

  for (int i = 0; i < BOARDS; i++)
    {
      g_autoptr (LwJob) job = random_job (rand);

      round_trip (job);
    }
}

/* ---- samples ---- */

static LwImport *
open_sample (const char *name)
{
  g_autofree char *path = g_build_filename (DATA_DIR, name, NULL);
  g_autoptr (GFile) file = g_file_new_for_path (path);
  g_autoptr (GError) error = NULL;
  LwImport *import = lw_import (file, NULL, NULL, &error);

  g_assert_no_error (error);
  return import;
}

static void
test_sample (gconstpointer name)
{
  g_autoptr (LwImport) import = open_sample (name);

  round_trip (import->job);
}

/* ---- through files ---- */

static void
test_files (void)
{
  g_autoptr (LwImport) import = open_sample ("ecc83_v2/ecc83v2-revC-mm-heights.xml");
  g_autofree char *folder = g_dir_make_tmp ("leeward-export-XXXXXX", NULL);
  g_autofree char *emn = g_build_filename (folder, "Board \xc3\xa4.EMN", NULL);
  g_autofree char *emp = g_build_filename (folder, "Board \xc3\xa4.EMP", NULL);
  g_autofree char *csv = g_build_filename (folder, "table.csv", NULL);
  g_autoptr (GFile) board = g_file_new_for_path (emn), table = g_file_new_for_path (csv);
  g_autoptr (GFile) nowhere = g_file_new_for_path ("/nowhere/at/all.csv"), odd = g_file_new_for_path ("/tmp/a.step");
  g_autoptr (GPtrArray) left_out = lw_export_notes_new ();
  g_autoptr (GError) error = NULL;
  g_autoptr (LwImport) back = NULL, list = NULL;

  g_assert_true (lw_export (import->job, board, left_out, NULL, &error));
  g_assert_no_error (error);
  g_assert_cmpuint (left_out->len, ==, 2); /* stack-up, joints */
  g_assert_true (lw_export (import->job, table, NULL, NULL, &error));
  g_assert_false (lw_export (import->job, odd, NULL, NULL, NULL));
  g_assert_false (lw_export (import->job, nowhere, NULL, NULL, &error));
  g_assert_true (g_str_has_prefix (error->message, "all.csv: "));
  g_clear_error (&error);
  back = lw_import (board, NULL, NULL, &error);
  g_assert_no_error (error);
  assert_same_idf (import->job, back->job);
  list = lw_import (table, NULL, NULL, &error);
  g_assert_no_error (error);
  assert_same_table (import->job, list->job);
  g_unlink (emn);
  g_unlink (emp);
  g_unlink (csv);
  g_rmdir (folder);
}

/* What cannot be written as it is, is changed and told. */
static void
test_quotes (void)
{
  g_autoptr (LwJob) job = lw_job_new ();
  g_autoptr (GPtrArray) left_out = lw_export_notes_new ();
  LwPart *part = lw_part_new ();
  g_autofree char *long_name = g_strnfill (500, 'n');
  g_autofree char *text = NULL;

  g_ptr_array_set_size (job->board->outline, 0);
  g_ptr_array_add (job->board->outline, lw_loop_new_rectangle (0, 0, 40, 40));
  g_free (part->ref);
  g_free (part->value);
  g_free (part->package);
  part->ref = g_strdup ("J1");
  part->value = g_strdup ("5\" drive\nbay");
  part->package = g_steal_pointer (&long_name);
  g_ptr_array_add (job->parts, part);
  text = lw_export_idf_board (job, left_out);
  g_assert_nonnull (strstr (text, "\"5' drive bay\" \"J1\""));
  g_assert_cmpuint (left_out->len, >=, 2);
  g_autofree char *table = lw_export_centroid (job, NULL);
  g_autoptr (LwImport) list = lw_import_centroid_guessed ("b.csv", table, strlen (table), NULL);
  g_assert_cmpstr (((LwPart *) list->job->parts->pdata[0])->value, ==, "5\" drive bay");
}

int
main (int argc, char **argv)
{
  static const char *const samples[] = {
    "coldfire_kit/coldfire.emn", "ecc83_v2/ecc83v2.emn", "ecc83_v2/ecc83v2-idf20.emn", "interf_u/interf_u.emn",
    "tinytapeout_demo/tinytapeout.emn", "parallella_gen0/parallella_gen0.emn", "parallella_gen1/parallella_gen1.emn",
    "idf_samples/idf_example.emn", "idf_samples/test_donut.emn", "idf_samples/test_idf2.emn",
    "idf_samples/mcu_board_outline_only.emn", "ecc83_v2/ecc83v2-revB-in.xml", "ecc83_v2/ecc83v2-revC-mm-heights.xml",
    "centroid_variants/b_preamble_center_xy.csv", "numpres/numpres-mil.xy", "coldfire_kit/coldfire-pos.csv",
  };

  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/export/random", test_random);
  g_test_add_func ("/export/files", test_files);
  g_test_add_func ("/export/quotes", test_quotes);
  for (guint i = 0; i < G_N_ELEMENTS (samples); i++)
    {
      g_autofree char *path = g_strconcat ("/export/sample/", samples[i], NULL);

      g_test_add_data_func (path, samples[i], test_sample);
    }
  return g_test_run ();
}
