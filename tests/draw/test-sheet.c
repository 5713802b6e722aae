/* The bench sheet as a layout: nothing off the paper, nothing on top of another thing, however long the texts; the
 * same sheet gives the same file; too long a sheet and a file that cannot be written say so. The figures are invented
 * (sample.h): they are subjects of a layout, not check values. */
#include <glib/gstdio.h>
#include <math.h>
#include <string.h>

#include "draw/bench-sheet.h"
#include "draw/labels.h"
#include "draw/sheet-inside.h"
#include "sample.h"

typedef struct {
  LwJob *job;
  LwPrediction *prediction;
  GPtrArray *findings;
  LwSheetInput input;
} Desk;

static void
set_up (Desk *desk, gconstpointer data)
{
  desk->job = sample_job_new ();
  desk->prediction = sample_prediction_new (desk->job);
  desk->findings = sample_findings_new ();
  desk->input = (LwSheetInput){ .job = desk->job, .plan = desk->job->active_plan, .prediction = desk->prediction,
                                .findings = desk->findings, .date = "2026-03-04",
                                .width_pt = LW_SHEET_A4_WIDTH_PT, .height_pt = LW_SHEET_A4_HEIGHT_PT };
}

static void
tear_down (Desk *desk, gconstpointer data)
{
  lw_job_unref (desk->job);
  lw_prediction_unref (desk->prediction);
  g_ptr_array_unref (desk->findings);
}

static LwBenchSheet *
lay (const Desk *desk)
{
  g_autoptr (GError) error = NULL;
  LwBenchSheet *sheet = lw_bench_sheet_new (&desk->input, &error);

  g_assert_no_error (error);
  return sheet;
}

static void
assert_apart (const LwSheetBox *a, const LwSheetBox *b)
{
  const double touch = 0.6; /* descenders of one line may reach into the leading of the next */
  LwBox small = { a->box.x0_mm + touch, a->box.y0_mm + touch, a->box.x1_mm - touch, a->box.y1_mm - touch };

  if (a->page == b->page && lw_boxes_overlap (&small, &b->box))
    g_error ("page %u: \"%s\" (%.1f %.1f %.1f %.1f) lies on \"%s\" (%.1f %.1f %.1f %.1f)", a->page + 1,
             a->text ? a->text : "picture", a->box.x0_mm, a->box.y0_mm, a->box.x1_mm, a->box.y1_mm,
             b->text ? b->text : "picture", b->box.x0_mm, b->box.y0_mm, b->box.x1_mm, b->box.y1_mm);
}

/* On the paper within half the margin, legible, apart from each other. */
static void
check_boxes (const Desk *desk, const LwBenchSheet *sheet)
{
  const double rim = LW_SHEET_MARGIN_PT / 2;
  g_autoptr (GArray) boxes = lw_bench_sheet_boxes (sheet);

  g_assert_cmpuint (boxes->len, >, 40);
  for (guint i = 0; i < boxes->len; i++) {
    const LwSheetBox *box = &g_array_index (boxes, LwSheetBox, i);

    g_assert_cmpuint (box->page, <, lw_bench_sheet_pages (sheet));
    g_assert_cmpfloat (box->box.x0_mm, >=, rim);
    g_assert_cmpfloat (box->box.y0_mm, >=, rim);
    g_assert_cmpfloat (box->box.x1_mm, <=, desk->input.width_pt - rim);
    g_assert_cmpfloat (box->box.y1_mm, <=, desk->input.height_pt - rim);
    g_assert_true (box->text == NULL || box->size >= LW_SHEET_LEAST_PT);
    for (guint k = i + 1; k < boxes->len; k++)
      assert_apart (box, &g_array_index (boxes, LwSheetBox, k));
  }
}

static void
test_apart (Desk *desk, gconstpointer data)
{
  const double papers[][2] = { { LW_SHEET_A4_WIDTH_PT, LW_SHEET_A4_HEIGHT_PT },
                               { LW_SHEET_LETTER_WIDTH_PT, LW_SHEET_LETTER_HEIGHT_PT } };

  for (guint i = 0; i < G_N_ELEMENTS (papers); i++) {
    desk->input.width_pt = papers[i][0];
    desk->input.height_pt = papers[i][1];
    g_autoptr (LwBenchSheet) sheet = lay (desk);
    g_assert_cmpuint (lw_bench_sheet_pages (sheet), <=, LW_SHEET_PAGES);
    check_boxes (desk, sheet);
  }
}

/* The page is not blank, and nothing but grey: black and white keeps all. */
static void
test_grey (Desk *desk, gconstpointer data)
{
  g_autoptr (LwBenchSheet) sheet = lay (desk);

  for (guint page = 0; page < lw_bench_sheet_pages (sheet); page++) {
    cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, 596, 842);
    cairo_t *cr = cairo_create (surface);
    guint dark = 0;

    cairo_set_source_rgb (cr, 1, 1, 1);
    cairo_paint (cr);
    lw_draw_sheet (cr, sheet, page);
    g_assert_cmpint (cairo_status (cr), ==, CAIRO_STATUS_SUCCESS);
    cairo_surface_flush (surface);
    for (int y = 0; y < 842; y++)
      for (int x = 0; x < 596; x++) {
        const guchar *p = cairo_image_surface_get_data (surface) + y * cairo_image_surface_get_stride (surface) + 4 * x;

        g_assert_cmpint (MAX (MAX (p[0], p[1]), p[2]) - MIN (MIN (p[0], p[1]), p[2]), <=, 3);
        dark += p[0] < 128;
      }
    g_assert_cmpuint (dark, >, 2000);
    lw_draw_sheet (cr, sheet, 99); /* no such page */
    cairo_destroy (cr);
    cairo_surface_destroy (surface);
  }
}

static char *
long_text (guint words, const char *word)
{
  GString *text = g_string_new (NULL);

  for (guint i = 0; i < words; i++)
    g_string_append_printf (text, "%s%u ", word, i);
  return g_string_free (text, FALSE);
}

/* Letter is shorter than A4: rows move closer together before a third page is begun, and only then; letters keep their size. */
static void
test_tight (Desk *desk, gconstpointer data)
{
  guint n_tight = 0, last = 0;

  desk->input.width_pt = LW_SHEET_LETTER_WIDTH_PT;
  desk->input.height_pt = LW_SHEET_LETTER_HEIGHT_PT;
  desk->input.pages_most = LW_SHEET_PAGES_MOST;
  for (guint words = 0; words <= 480; words += 40) {
    g_free (desk->job->notes);
    desk->job->notes = long_text (words, "note");
    g_autoptr (LwBenchSheet) sheet = lay (desk);

    g_assert_cmpuint (lw_bench_sheet_pages (sheet), >=, last); /* no longer text takes fewer pages */
    last = lw_bench_sheet_pages (sheet);
    g_assert_true (words > 0 || !sheet->tight);
    if (!sheet->tight || last > LW_SHEET_PAGES)
      continue;
    n_tight++;
    check_boxes (desk, sheet);
  }
  g_assert_cmpuint (n_tight, >, 0);
  g_assert_cmpuint (last, >, LW_SHEET_PAGES);
}

/* Every word of a long note, a name without blanks, and a lot of stages arrive, apart from each other. */
static void
test_long (Desk *desk, gconstpointer data)
{
  g_autofree char *notes = long_text (1500, "note"), *run_on = g_strnfill (700, 'W');
  LwPlan *plan = lw_job_edit_plan (desk->job, desk->input.plan);

  g_free (desk->job->notes);
  desk->job->notes = g_strdup (notes);
  g_free (desk->job->title);
  desk->job->title = g_strconcat ("line\nline ", run_on, NULL);
  LwStage *long_name = lw_stage_new ();
  g_free (long_name->name);
  long_name->name = g_strdup (run_on);
  g_ptr_array_add (plan->stages, long_name);
  for (guint i = 0; i < 60; i++)
    g_ptr_array_add (plan->stages, lw_stage_new ());
  desk->input.pages_most = LW_SHEET_PAGES_MOST;
  g_autoptr (LwBenchSheet) sheet = lay (desk);
  g_assert_cmpuint (lw_bench_sheet_pages (sheet), >, 4);
  check_boxes (desk, sheet);

  g_autoptr (GString) all = g_string_new (NULL);
  g_autoptr (GArray) boxes = lw_bench_sheet_boxes (sheet);
  for (guint i = 0; i < boxes->len; i++)
    if (g_array_index (boxes, LwSheetBox, i).text != NULL)
      g_string_append_printf (all, "%s ", g_array_index (boxes, LwSheetBox, i).text);
  for (guint i = 0; i < 1500; i++) {
    g_autofree char *word = g_strdup_printf ("note%u ", i);

    if (strstr (all->str, word) == NULL)
      g_error ("%s is missing", word);
  }
}

static void
test_refuses (Desk *desk, gconstpointer data)
{
  g_autofree char *notes = long_text (3000, "note");
  g_autoptr (GError) error = NULL;

  g_free (desk->job->notes);
  desk->job->notes = g_steal_pointer (&notes);
  g_assert_null (lw_bench_sheet_new (&desk->input, &error));
  g_assert_error (error, LW_SHEET_ERROR, LW_SHEET_ERROR_LONG);
  g_assert_nonnull (strstr (error->message, "2 are allowed"));
  g_clear_error (&error);
  desk->input.width_pt = 200;
  g_assert_null (lw_bench_sheet_new (&desk->input, &error));
  g_assert_error (error, LW_SHEET_ERROR, LW_SHEET_ERROR_PAPER);
}

/* What a later list of readiness brings stands there to be ticked off. */
static void
test_readiness (Desk *desk, gconstpointer data)
{
  LwFinding entry = { .kind = (char *) "bake", .ref = (char *) "U1", .unit = (char *) "", .text = (char *) "Bake the board.",
                      .advice = (char *) "125 and nine hours.", .source = (char *) "" };
  gboolean found = FALSE;

  desk->input.readiness = g_ptr_array_new ();
  g_ptr_array_add (desk->input.readiness, &entry);
  g_autoptr (LwBenchSheet) sheet = lay (desk);
  g_autoptr (GArray) boxes = lw_bench_sheet_boxes (sheet);
  for (guint i = 0; i < boxes->len; i++)
    found |= g_strcmp0 (g_array_index (boxes, LwSheetBox, i).text, "Bake the board. 125 and nine hours.") == 0;
  g_assert_true (found);
  g_ptr_array_unref (desk->input.readiness);
}

static void
test_file (Desk *desk, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *folder = g_dir_make_tmp ("leeward-sheet-XXXXXX", &error);
  g_autofree char *a = g_build_filename (folder, "a.pdf", NULL), *b = g_build_filename (folder, "b.pdf", NULL);
  g_autofree char *nowhere = g_build_filename (folder, "none", "c.pdf", NULL), *one = NULL, *two = NULL;
  g_autoptr (LwBenchSheet) sheet = lay (desk), again = lay (desk);
  gsize n_one, n_two;

  g_assert_true (lw_bench_sheet_to_pdf (sheet, a, &error));
  g_assert_true (lw_bench_sheet_to_pdf (again, b, &error));
  g_assert_true (g_file_get_contents (a, &one, &n_one, NULL));
  g_assert_true (g_file_get_contents (b, &two, &n_two, NULL));
  g_assert_cmpmem (one, n_one, two, n_two);
  g_assert_true (g_str_has_prefix (one, "%PDF-"));
  g_assert_false (lw_bench_sheet_to_pdf (sheet, nowhere, &error));
  g_assert_error (error, G_IO_ERROR, G_IO_ERROR_NOT_FOUND);
  g_assert_nonnull (strstr (error->message, "c.pdf"));
  g_remove (a);
  g_remove (b);
  g_rmdir (folder);
}

/* RFC 4180: every record has as many fields as the first, and names that hold commas and quotes come back. */
static void
test_tables (Desk *desk, gconstpointer data)
{
  LwPlan *plan = lw_job_edit_plan (desk->job, desk->input.plan);
  LwStage *stage = lw_stage_new ();

  g_free (stage->name);
  stage->name = g_strdup ("=a, \"b\"");
  g_ptr_array_add (plan->stages, stage);
  g_autofree char *stages = lw_bench_stages_csv (desk->job, desk->input.plan, desk->prediction);
  g_autofree char *field = lw_bench_field_csv (desk->job, desk->input.plan, desk->prediction);
  g_assert_true (g_str_has_prefix (stages, "stage,from_s,to_s,gas_c,flow_l_per_min,preheat_c,shape"));
  g_assert_nonnull (strstr (stages, "\r\n\"'=a, \"\"b\"\"\","));
  g_assert_true (g_str_has_prefix (field, "side,x_mm,y_mm,at_"));

  g_auto (GStrv) lines = g_strsplit (field, "\r\n", -1);
  guint n = g_strv_length (lines), columns = 3 + plan->stages->len;
  g_assert_cmpuint (n, ==, 2 + 2 * desk->prediction->nx * desk->prediction->ny); /* head, cells, "" */
  for (guint i = 0; i + 1 < n; i++) {
    g_auto (GStrv) fields = g_strsplit (lines[i], ",", -1);

    g_assert_cmpuint (g_strv_length (fields), ==, columns);
  }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add ("/sheet/apart", Desk, NULL, set_up, test_apart, tear_down);
  g_test_add ("/sheet/grey", Desk, NULL, set_up, test_grey, tear_down);
  g_test_add ("/sheet/long", Desk, NULL, set_up, test_long, tear_down);
  g_test_add ("/sheet/tight", Desk, NULL, set_up, test_tight, tear_down);
  g_test_add ("/sheet/refuses", Desk, NULL, set_up, test_refuses, tear_down);
  g_test_add ("/sheet/readiness", Desk, NULL, set_up, test_readiness, tear_down);
  g_test_add ("/sheet/file", Desk, NULL, set_up, test_file, tear_down);
  g_test_add ("/sheet/tables", Desk, NULL, set_up, test_tables, tear_down);
  return g_test_run ();
}
