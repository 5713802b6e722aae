/* Pictures to files: PNG of the size asked for, SVG that is vector, refusals that leave no file. */
#include <gio/gio.h>
#include <glib/gstdio.h>
#include <string.h>

#include "sample.h"

typedef struct {
  char *folder;
  LwJob *job;
  LwPrediction *prediction;
  LwBoardPicture picture;
} Fixture;

static void
set_up (Fixture *fixture, gconstpointer data)
{
  fixture->folder = g_dir_make_tmp ("leeward-draw-XXXXXX", NULL);
  g_assert_nonnull (fixture->folder);
  fixture->job = sample_job_new ();
  fixture->prediction = sample_prediction_new (fixture->job);
  lw_board_picture_init (&fixture->picture, fixture->job);
  fixture->picture.prediction = fixture->prediction;
  fixture->picture.t_s = 150;
}

static void
tear_down (Fixture *fixture, gconstpointer data)
{
  g_autoptr (GDir) dir = g_dir_open (fixture->folder, 0, NULL);
  const char *name;

  while ((name = g_dir_read_name (dir))) {
    g_autofree char *path = g_build_filename (fixture->folder, name, NULL);

    g_remove (path);
  }
  g_rmdir (fixture->folder);
  g_free (fixture->folder);
  lw_job_unref (fixture->job);
  lw_prediction_unref (fixture->prediction);
}

static void
test_png (Fixture *fixture, gconstpointer data)
{
  g_autofree char *path = g_build_filename (fixture->folder, "board.PNG", NULL);
  g_autoptr (GError) error = NULL;
  cairo_surface_t *surface;

  g_assert_true (lw_picture_board_to_file (&fixture->picture, LW_SIDE_BOTTOM, path, 321, 213, &error));
  g_assert_no_error (error);
  surface = cairo_image_surface_create_from_png (path);
  g_assert_cmpint (cairo_surface_status (surface), ==, CAIRO_STATUS_SUCCESS);
  g_assert_cmpint (cairo_image_surface_get_width (surface), ==, 321);
  g_assert_cmpint (cairo_image_surface_get_height (surface), ==, 213);
  cairo_surface_destroy (surface);
}

static void
test_svg (Fixture *fixture, gconstpointer data)
{
  g_autofree char *path = g_build_filename (fixture->folder, "profile.svg", NULL), *text = NULL;
  g_autoptr (GError) error = NULL;
  LwProfilePicture picture;

  lw_profile_picture_init (&picture, fixture->job, 640, 240);
  picture.prediction = fixture->prediction;
  g_assert_true (lw_picture_profile_to_file (&picture, path, &error));
  g_assert_no_error (error);
  g_assert_true (g_file_get_contents (path, &text, NULL, &error));
  g_assert_nonnull (strstr (text, "<svg"));
  g_assert_nonnull (strstr (text, "width=\"640"));
  g_assert_nonnull (strstr (text, "<path"));
  g_assert_null (strstr (text, "<image")); /* no pixels in it */
  g_assert_nonnull (strstr (text, "</svg>"));
}

static void
test_refusals (Fixture *fixture, gconstpointer data)
{
  g_autofree char *odd = g_build_filename (fixture->folder, "board.jpeg", NULL);
  g_autofree char *png = g_build_filename (fixture->folder, "board.png", NULL);
  g_autofree char *nowhere = g_build_filename (fixture->folder, "no", "such", "board.png", NULL);
  g_autoptr (GError) error = NULL;

  g_assert_false (lw_picture_board_to_file (&fixture->picture, LW_SIDE_TOP, odd, 100, 100, &error));
  g_assert_error (error, G_IO_ERROR, G_IO_ERROR_NOT_SUPPORTED);
  g_clear_error (&error);
  g_assert_false (lw_picture_board_to_file (&fixture->picture, LW_SIDE_TOP, png, 0, 100, &error));
  g_assert_error (error, G_IO_ERROR, G_IO_ERROR_INVALID_ARGUMENT);
  g_clear_error (&error);
  g_assert_false (lw_picture_board_to_file (&fixture->picture, LW_SIDE_TOP, png, 100, 1000000, &error));
  g_assert_error (error, G_IO_ERROR, G_IO_ERROR_INVALID_ARGUMENT);
  g_clear_error (&error);
  g_assert_false (lw_picture_board_to_file (&fixture->picture, LW_SIDE_TOP, nowhere, 100, 100, &error));
  g_assert_error (error, G_IO_ERROR, G_IO_ERROR_NOT_FOUND);
  g_assert_false (g_file_test (png, G_FILE_TEST_EXISTS));
  g_assert_false (g_file_test (odd, G_FILE_TEST_EXISTS));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add ("/draw/files/png", Fixture, NULL, set_up, test_png, tear_down);
  g_test_add ("/draw/files/svg", Fixture, NULL, set_up, test_svg, tear_down);
  g_test_add ("/draw/files/refusals", Fixture, NULL, set_up, test_refusals, tear_down);
  return g_test_run ();
}
