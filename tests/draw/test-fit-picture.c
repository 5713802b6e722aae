/* What a fit leaves unexplained, on screen and on paper: strips in their order on one scale, what is measured above the prediction drawn
 * above zero, every look with ink of its own, one page or two. Curves are straight lines. */
#include <glib/gstdio.h>
#include <math.h>
#include <string.h>

#include "draw/fit-picture.h"
#include "draw/fit-sheet.h"

/* K channels; channel 0 lies LEFT_K above its prediction after the fit. */
static LwFitAnswer *
answer_new (guint k, double left_k)
{
  LwFitAnswer *out = g_new0 (LwFitAnswer, 1);

  out->channels = g_ptr_array_new ();
  out->remarks = g_ptr_array_new ();
  out->clock_s = g_array_new (FALSE, TRUE, sizeof (double));
  out->aligned_s = g_array_new (FALSE, TRUE, sizeof (double));
  out->ref = g_strdup ("U1");
  for (guint i = 0; i < LW_N_FIT; i++)
    out->figures[i] = (LwFitted){ i, TRUE, i % 2 ? LW_VERDICT_TOLD : LW_VERDICT_UNTOLD, 1.1, 1.0, 1.2, 0.8, 1.25, 0.05, 0.1, -1, 0, 0, NULL };
  for (guint j = 0; j < k; j++) {
    LwFitChannel *c = g_new0 (LwFitChannel, 1);
    *c = (LwFitChannel){ .name = g_strdup ("A"), .place = g_strdup ("body of U1"), .n = 100, .noise_k = 0.2 };
    c->t_s = g_new (double, 100);
    c->measured_c = g_new (double, 100);
    c->before_c = g_new (double, 100);
    c->after_c = g_new (double, 100);
    for (guint i = 0; i < 100; i++) {
      c->t_s[i] = 2 * i;
      c->measured_c[i] = 25 + i;
      c->before_c[i] = 20 + i;
      c->after_c[i] = 25 + i - (j == 0 ? left_k : 0);
    }
    g_ptr_array_add (out->channels, c);
  }
  return out;
}

static void
answer_free (LwFitAnswer *self)
{
  for (guint i = 0; i < self->channels->len; i++) {
    LwFitChannel *c = g_ptr_array_index (self->channels, i);
    g_free (c->name);
    g_free (c->place);
    g_free (c->t_s);
    g_free (c->measured_c);
    g_free (c->before_c);
    g_free (c->after_c);
    g_free (c);
  }
  g_ptr_array_unref (self->channels);
  g_ptr_array_unref (self->remarks);
  g_array_unref (self->clock_s);
  g_array_unref (self->aligned_s);
  g_free (self->ref);
  g_free (self);
}

static cairo_surface_t *
paint (const LwFitPicture *picture)
{
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_ARGB32, (int) picture->width, (int) picture->height);
  cairo_t *cr = cairo_create (surface);

  lw_draw_fit (cr, picture);
  g_assert_cmpint (cairo_status (cr), ==, CAIRO_STATUS_SUCCESS);
  cairo_destroy (cr);
  cairo_surface_flush (surface);
  return surface;
}

static guint32
pixel (cairo_surface_t *surface, int x, int y)
{
  return ((guint32 *) (gpointer) (cairo_image_surface_get_data (surface) + y * cairo_image_surface_get_stride (surface)))[x];
}

/* Pixels of the column X between Y0 and Y1 that are not like the one beside the curve's start. */
static guint
count_strong (cairo_surface_t *surface, int y0, int y1)
{
  guint n = 0;

  for (int y = y0; y < y1; y++)
    for (int x = 200; x < 500; x++) {
      guint32 p = pixel (surface, x, y);
      int r = p >> 16 & 0xff, g = p >> 8 & 0xff, b = p & 0xff;
      n += MAX (r, MAX (g, b)) - MIN (r, MIN (g, b)) > 60; /* coloured: a thermocouple's own curve */
    }
  return n;
}

static void
test_above (void)
{
  LwFitAnswer *fit = answer_new (3, 1.5);
  LwFitPicture picture = { LW_LOOK_LIGHT, { 0 }, fit, 600, lw_fit_picture_height (fit) };
  cairo_surface_t *surface = paint (&picture);
  double y0, y1, most, next0, next1, same;

  lw_fit_picture_strip (&picture, 0, &y0, &y1, &most);
  lw_fit_picture_strip (&picture, 1, &next0, &next1, &same);
  g_assert_cmpfloat (y0, <, y1);
  g_assert_cmpfloat (y1, <, next0);
  g_assert_cmpfloat (most, ==, same);
  g_assert_cmpfloat (most, >=, 1.5);
  int middle = (int) (0.5 * (y0 + y1));
  g_assert_cmpuint (count_strong (surface, (int) y0, middle - 4), >, 100);
  g_assert_cmpuint (count_strong (surface, middle + 4, (int) y1), <, 10);
  cairo_surface_destroy (surface);
  answer_free (fit);
}

static void
test_looks (void)
{
  LwFitAnswer *fit = answer_new (2, 1);
  guint32 ground[3];

  for (guint look = LW_LOOK_LIGHT; look <= LW_LOOK_PRINT; look++) {
    LwFitPicture picture = { look, { 0 }, fit, 500, 200 };
    cairo_surface_t *surface = paint (&picture);
    double y0, y1, most;
    lw_fit_picture_strip (&picture, 0, &y0, &y1, &most);
    ground[look] = pixel (surface, 60, (int) y1 - 3);
    cairo_surface_destroy (surface);
  }
  g_assert_cmpuint (ground[LW_LOOK_LIGHT] >> 8 & 0xff, >, 200);
  g_assert_cmpuint (ground[LW_LOOK_DARK] >> 8 & 0xff, <, 100);
  g_assert_cmpuint (ground[LW_LOOK_PRINT] >> 8 & 0xff, >, 200);
  answer_free (fit);
}

/* Nothing to show, or no room, paints nothing and fails nowhere. */
static void
test_empty (void)
{
  LwFitAnswer *none = answer_new (0, 0), *one = answer_new (1, 0);
  LwFitPicture pictures[] = { { .width = 300, .height = 200 },
                              { .fit = none, .width = 300, .height = 200 },
                              { .fit = one, .width = 20, .height = 10 } };

  for (guint i = 0; i < G_N_ELEMENTS (pictures); i++) {
    cairo_surface_t *surface = paint (&pictures[i]);
    g_assert_cmpuint (pixel (surface, 10, 5), ==, 0);
    cairo_surface_destroy (surface);
  }
  answer_free (none);
  answer_free (one);
}

/* A4; five strips fit under the figures, sixteen do not. */
static void
test_paper (void)
{
  LwFitAnswer *few = answer_new (5, 1), *many = answer_new (16, 1);
  LwFitSheet sheet = { few, NULL, "2026-03-01", 595, 842, { 0 } };
  g_autofree char *dir = g_dir_make_tmp ("leeward-fit-XXXXXX", NULL), *path = g_build_filename (dir, "fit.pdf", NULL);
  g_autofree char *bytes = NULL;
  g_autoptr (GError) error = NULL;

  g_assert_cmpuint (lw_fit_sheet_pages (&sheet), ==, 1);
  g_assert_true (lw_fit_sheet_to_pdf (&sheet, path, &error));
  g_assert_no_error (error);
  g_assert_true (g_file_get_contents (path, &bytes, NULL, NULL));
  g_assert_true (g_str_has_prefix (bytes, "%PDF-"));
  sheet.fit = many;
  g_assert_cmpuint (lw_fit_sheet_pages (&sheet), ==, 2);
  g_assert_false (lw_fit_sheet_to_pdf (&sheet, "/nowhere/at/all.pdf", &error));
  g_assert_nonnull (error);
  g_unlink (path);
  g_rmdir (dir);
  answer_free (few);
  answer_free (many);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/draw/fit/above", test_above);
  g_test_add_func ("/draw/fit/looks", test_looks);
  g_test_add_func ("/draw/fit/empty", test_empty);
  g_test_add_func ("/draw/fit/paper", test_paper);
  return g_test_run ();
}
