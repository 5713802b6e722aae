/* The picture of a package: to scale, the same twice, sound for any figures. */
#include <math.h>

#include "draw/package-picture.h"
#include "canvas.h"
#include "draw/palette.h"

enum { WIDTH = 520, HEIGHT = 560 };

typedef struct {
  LwDatasheet sheet;
  LwPackage *package;
  LwPackagePicture picture;
} Scene;

static void
scene_open (Scene *scene)
{
  scene->package = lw_datasheet_package (&scene->sheet, "x", "x");
  scene->picture = (LwPackagePicture){ .look = LW_LOOK_LIGHT, .sheet = &scene->sheet, .package = scene->package,
                                       .figure = -1 };
}

static void
scene_close (Scene *scene)
{
  lw_package_unref (scene->package);
}

static void
every_family (void)
{
  for (guint family = 0; family < LW_SHEET_N_FAMILIES; family++)
    for (int look = 0; look < 3; look++) {
      Scene scene;
      Canvas a = canvas_new (WIDTH, HEIGHT), b = canvas_new (WIDTH, HEIGHT), marked = canvas_new (WIDTH, HEIGHT);

      lw_datasheet_example (&scene.sheet, family);
      scene_open (&scene);
      scene.picture.look = look;
      lw_draw_package (a.cr, WIDTH, HEIGHT, &scene.picture);
      if (look == LW_LOOK_LIGHT) {
        lw_draw_package (b.cr, WIDTH, HEIGHT, &scene.picture);
        g_assert_cmpuint (canvas_differing (&a, &b, 0, FALSE), ==, 0);
      }
      scene.picture.figure = LW_FIGURE_HEIGHT;
      lw_draw_package (marked.cr, WIDTH, HEIGHT, &scene.picture);
      g_test_message ("%s", lw_datasheet_info (family)->title);
      g_assert_cmpint (cairo_status (a.cr), ==, CAIRO_STATUS_SUCCESS);
      g_assert_cmpuint (canvas_differing (&a, &marked, 8, FALSE), >, 20); /* the dimension stands out */
      g_assert_cmpuint (canvas_colors (&a), >, 12);
      canvas_clear (&a);
      canvas_clear (&b);
      canvas_clear (&marked);
      scene_close (&scene);
    }
}

/* Pixels of the body's fill: the body from above and from the side, less the lines over it. */
static guint
body_pixels (const Scene *scene)
{
  Canvas canvas = canvas_new (WIDTH, HEIGHT);
  LwColor fill = lw_palette_body (scene->package->kind, LW_LOOK_LIGHT);
  guint32 wanted = ((guint32) lround (fill.r * 255) << 16) | ((guint32) lround (fill.g * 255) << 8)
                   | (guint32) lround (fill.b * 255);
  guint n = 0;

  lw_draw_package (canvas.cr, WIDTH, HEIGHT, &scene->picture);
  cairo_surface_flush (canvas.surface);
  for (int y = 0; y < HEIGHT; y++)
    for (int x = 0; x < WIDTH; x++)
      n += pixel_difference (canvas_pixel (&canvas, x, y), wanted) <= 2;
  canvas_clear (&canvas);
  return n;
}

/* Areas on the picture are those of the package times the scale's square: an outline without inner lines of note. */
static void
to_scale (void)
{
  static const double sizes[][3] = { { 3.2, 1.6, 1.0 }, { 3.2, 3.2, 1.0 }, { 3.2, 1.6, 2.5 } };

  for (guint i = 0; i < G_N_ELEMENTS (sizes); i++) {
    Scene scene;
    double scale, area;

    lw_datasheet_example (&scene.sheet, LW_SHEET_MOULDED);
    scene.sheet.figure[LW_FIGURE_SPAN_X] = sizes[i][0];
    scene.sheet.figure[LW_FIGURE_BODY_Y] = sizes[i][1];
    scene.sheet.figure[LW_FIGURE_HEIGHT] = sizes[i][2];
    scene_open (&scene);
    scale = lw_package_picture_scale (WIDTH, HEIGHT, &scene.picture);
    area = scale * scale * sizes[i][0] * (sizes[i][1] + sizes[i][2] - scene.package->joints.standoff_mm);
    g_test_message ("%g units per mm, %u pixels of %g", scale, body_pixels (&scene), area);
    g_assert_cmpfloat (scale, >, 20);
    g_assert_cmpfloat_with_epsilon (body_pixels (&scene), area, 0.04 * area);
    scene_close (&scene);
  }
}

static void
at_fault (void)
{
  Scene scene;
  Canvas canvas = canvas_new (WIDTH, HEIGHT);

  lw_datasheet_example (&scene.sheet, LW_SHEET_BALLS);
  scene.sheet.figure[LW_FIGURE_PITCH] = 9;
  scene_open (&scene);
  g_assert_null (scene.package);
  lw_draw_package (canvas.cr, WIDTH, HEIGHT, &scene.picture);
  g_assert_cmpuint (canvas_colors (&canvas), ==, 1);
  g_assert_cmpfloat (lw_package_picture_scale (WIDTH, HEIGHT, &scene.picture), ==, 0);
  canvas_clear (&canvas);
}

/* From a speck to half a metre, on pictures from a stamp to a wall. */
static void
extremes (void)
{
  static const double sizes[] = { 0.02, 0.4, 40, 499 };
  static const int boxes[][2] = { { 1, 1 }, { 60, 40 }, { 1600, 200 }, { 200, 1600 } };

  for (guint i = 0; i < G_N_ELEMENTS (sizes); i++)
    for (guint k = 0; k < G_N_ELEMENTS (boxes); k++) {
      Scene scene;
      Canvas canvas = canvas_new (boxes[k][0], boxes[k][1]);

      lw_datasheet_example (&scene.sheet, LW_SHEET_CHIP);
      scene.sheet.figure[LW_FIGURE_BODY_X] = sizes[i];
      scene.sheet.figure[LW_FIGURE_BODY_Y] = sizes[G_N_ELEMENTS (sizes) - 1 - i];
      scene.sheet.figure[LW_FIGURE_HEIGHT] = 1;
      scene_open (&scene);
      g_assert_nonnull (scene.package);
      lw_draw_package (canvas.cr, boxes[k][0], boxes[k][1], &scene.picture);
      g_assert_cmpint (cairo_status (canvas.cr), ==, CAIRO_STATUS_SUCCESS);
      canvas_clear (&canvas);
      scene_close (&scene);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/package/every-family", every_family);
  g_test_add_func ("/package/to-scale", to_scale);
  g_test_add_func ("/package/at-fault", at_fault);
  g_test_add_func ("/package/extremes", extremes);
  return g_test_run ();
}
