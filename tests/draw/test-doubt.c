/* Bands in the profile and the bars of what a finding depends on: what is drawn where, in every look. */
#include <math.h>

#include "draw/draw.h"
#include "draw/palette.h"
#include "plan/doubt.h"
#include "sample.h"
#include "canvas.h"

/* Bands of 10 K about every curve; the gas moves body peaks by -6 .. 6 K, conductivity by 3 .. -3. */
static LwDoubt *
doubt_of (const LwPrediction *p)
{
  static const double t[] = { 0, 60, 600 }, low[] = { 0, -10, -10 }, high[] = { 0, 10, 10 };
  LwUnsureSpreads spreads;
  LwDoubt *doubt;

  lw_unsure_defaults (&spreads);
  doubt = lw_doubt_new (101, p->parts->len, t, 3, &spreads);
  for (guint body = 0; body < p->parts->len; body++) {
    for (guint i = 0; i < 101; i++)
      lw_doubt_put (doubt, i, body, LW_FIGURE_BODY_PEAK, 0.16 * i - 8);
    for (guint c = 0; c < LW_N_CURVES; c++)
      lw_doubt_put_curve (doubt, body, c, low, high);
    for (guint end = 0; end < 2; end++) {
      lw_doubt_put_swing (doubt, LW_UNSURE_GAS, end, body, LW_FIGURE_BODY_PEAK, end ? 6 : -6);
      lw_doubt_put_swing (doubt, LW_UNSURE_CONDUCTIVITY, end, body, LW_FIGURE_BODY_PEAK, end ? -3 : 3);
    }
  }
  lw_doubt_seal (doubt);
  return doubt;
}

static void
draw_profile (Canvas *canvas, const LwJob *job, const LwPrediction *p, LwLook look, gboolean bands)
{
  LwProfilePicture picture;

  lw_profile_picture_init (&picture, job, canvas->width, canvas->height);
  picture.prediction = p;
  picture.look = look;
  picture.show_bands = bands;
  lw_draw_profile (canvas->cr, &picture);
}

/* The bands change the plot where they lie, in each look, and nothing where they are not asked for. */
static void
test_bands (void)
{
  g_autoptr (LwJob) job = sample_job_new ();
  g_autoptr (LwPrediction) p = sample_prediction_new (job), bare = sample_prediction_new (job);
  g_autoptr (LwDoubt) doubt = doubt_of (p);

  g_assert_true (lw_prediction_set_doubt (p, doubt));
  for (LwLook look = LW_LOOK_LIGHT; look <= LW_LOOK_PRINT; look++) {
    Canvas with = canvas_new (900, 300), without = canvas_new (900, 300), none = canvas_new (900, 300);

    draw_profile (&with, job, p, look, TRUE);
    draw_profile (&without, job, p, look, FALSE);
    draw_profile (&none, job, bare, look, TRUE);
    g_assert_cmpuint (canvas_differing (&with, &without, 8, FALSE), >, 2000);
    g_assert_cmpuint (canvas_differing (&without, &none, 0, FALSE), ==, 0);
    canvas_clear (&with);
    canvas_clear (&without);
    canvas_clear (&none);
  }
}

static int
luma (guint32 pixel)
{
  return (int) (((pixel >> 16 & 0xff) * 54 + (pixel >> 8 & 0xff) * 183 + (pixel & 0xff) * 19) / 256);
}

/* Without colour: halfway between the hottest joint and the band's end there are darker and lighter pixels in
 * turn, which no solid tint has. */
static void
test_hatching (void)
{
  g_autoptr (LwJob) job = sample_job_new ();
  g_autoptr (LwPrediction) p = sample_prediction_new (job);
  g_autoptr (LwDoubt) doubt = doubt_of (p);
  const LwPartTrace *target = g_ptr_array_index (p->parts, p->target);
  Canvas canvas = canvas_new (900, 600);
  LwProfilePicture picture;
  guint turns = 0;

  g_assert_true (lw_prediction_set_doubt (p, doubt));
  lw_profile_picture_init (&picture, job, 900, 600);
  picture.prediction = p;
  picture.look = LW_LOOK_PRINT;
  picture.n_neighbours = 0;
  picture.show_limits = FALSE;
  lw_draw_profile (canvas.cr, &picture);
  cairo_surface_flush (canvas.surface);
  for (double t = 130; t < 150; t += 0.2) {
    double c = lw_prediction_at (p, target->joint_max, t) + 5;
    int x = (int) lw_profile_x_of (&picture, t), y = (int) lw_profile_y_of (&picture, c);
    turns += abs (luma (canvas_pixel (&canvas, x, y)) - luma (canvas_pixel (&canvas, x + 2, y))) > 20;
  }
  g_assert_cmpuint (turns, >, 5);
  canvas_clear (&canvas);
}

static LwFinding
finding_of (void)
{
  return (LwFinding){ .grade = LW_GRADE_WATCH, .ref = "C1", .kind = "body-peak", .value = 240, .limit = 245,
                      .unit = "°C", .upper = TRUE, .body = 0, .figure = LW_FIGURE_BODY_PEAK };
}

static void
test_tornado_rows (void)
{
  g_autoptr (LwJob) job = sample_job_new ();
  g_autoptr (LwPrediction) p = sample_prediction_new (job);
  g_autoptr (LwDoubt) doubt = doubt_of (p);
  LwFinding finding = finding_of ();
  LwTornadoPicture picture = { LW_LOOK_LIGHT, &finding, doubt, 600, 300 };

  g_assert_cmpuint (lw_tornado_rows (&picture), ==, 2);
  picture.height = lw_tornado_height (&picture);
  g_assert_cmpuint (lw_tornado_rows (&picture), ==, 2);
  picture.height -= 24;
  g_assert_cmpuint (lw_tornado_rows (&picture), ==, 1);
  picture.height = 40;
  g_assert_cmpuint (lw_tornado_rows (&picture), ==, 0);
  picture.height = 300;
  finding.body = -1;
  g_assert_cmpuint (lw_tornado_rows (&picture), ==, 0);
  finding.body = 99;
  g_assert_cmpuint (lw_tornado_rows (&picture), ==, 0);
  picture.doubt = NULL;
  g_assert_cmpuint (lw_tornado_rows (&picture), ==, 0);
}

static guint
same_as (const Canvas *canvas, int x0, int x1, int y, guint32 color)
{
  guint n = 0;

  for (int x = x0; x < x1; x++)
    n += pixel_difference (canvas_pixel (canvas, x, y), color) < 12;
  return n;
}

/* Where along row Y of the bars that color lies in the mean; beside them stand words. */
static double
middle_of (const Canvas *canvas, int y, guint32 color)
{
  double sum = 0;
  guint n = 0;

  for (int x = 200; x < canvas->width - 60; x++)
    if (pixel_difference (canvas_pixel (canvas, x, y), color) < 12) {
      sum += x;
      n++;
    }
  return n > 0 ? sum / n : NAN;
}

/* The first bar is twice as long as the second, its filled end to the right, the second's to the left. */
static void
test_tornado_bars (void)
{
  g_autoptr (LwJob) job = sample_job_new ();
  g_autoptr (LwPrediction) p = sample_prediction_new (job);
  g_autoptr (LwDoubt) doubt = doubt_of (p);
  LwFinding finding = finding_of ();

  for (LwLook look = LW_LOOK_LIGHT; look <= LW_LOOK_PRINT; look++) {
    Canvas canvas = canvas_new (800, 300);
    LwTornadoPicture picture = { look, &finding, doubt, 800, 300 };
    guint32 fill = 0; /* black in print, so it does not tell whether it was found */
    gboolean found = FALSE;
    guint first, second;

    lw_draw_tornado (canvas.cr, &picture);
    cairo_surface_flush (canvas.surface);
    for (int x = 799; x > 30 && !found; x--) { /* the first row's rightmost wide run is the filled end */
      fill = canvas_pixel (&canvas, x, 34);
      found = fill == canvas_pixel (&canvas, x - 30, 34) && fill != canvas_pixel (&canvas, x, 23);
    }
    g_assert_true (found);
    first = same_as (&canvas, 200, 740, 34, fill);
    second = same_as (&canvas, 200, 740, 58, fill);
    g_test_message ("look %d: filled %u and %u pixels", look, first, second);
    g_assert_cmpuint (second, >, 20);
    g_assert_cmpfloat_with_epsilon (first / (double) second, 2, 0.15);
    g_assert_cmpfloat_with_epsilon (middle_of (&canvas, 34, fill) - middle_of (&canvas, 58, fill), (first + second) / 2.0, 8);
    canvas_clear (&canvas);
  }
}

static guint
limit_pixels (const LwDoubt *doubt, double limit)
{
  LwColor color = lw_palette (LW_LOOK_LIGHT)->limit;
  guint32 rgb = (guint32) lround (color.r * 255) << 16 | (guint32) lround (color.g * 255) << 8
                | (guint32) lround (color.b * 255);
  LwFinding finding = finding_of ();
  Canvas canvas = canvas_new (800, 300);
  LwTornadoPicture picture = { LW_LOOK_LIGHT, &finding, doubt, 800, 300 };
  guint n = 0;

  finding.limit = limit;
  lw_draw_tornado (canvas.cr, &picture);
  cairo_surface_flush (canvas.surface);
  for (int y = 20; y < 80; y++)
    n += same_as (&canvas, 0, 800, y, rgb);
  canvas_clear (&canvas);
  return n;
}

/* The limit stands across the bars, above them and below; one far off does not squeeze them. */
static void
test_tornado_limit (void)
{
  g_autoptr (LwJob) job = sample_job_new ();
  g_autoptr (LwPrediction) p = sample_prediction_new (job);
  g_autoptr (LwDoubt) doubt = doubt_of (p);

  g_assert_cmpuint (limit_pixels (doubt, 245), >, 20);
  g_assert_cmpuint (limit_pixels (doubt, 260), >, 20);
  g_assert_cmpuint (limit_pixels (doubt, 220), >, 20);
  g_assert_cmpuint (limit_pixels (doubt, 400), ==, 0);
  g_assert_cmpuint (limit_pixels (doubt, 80), ==, 0);
}

/* Any size, any finding: nothing outside, nothing breaks. */
static void
test_tornado_poor (void)
{
  g_autoptr (LwJob) job = sample_job_new ();
  g_autoptr (LwPrediction) p = sample_prediction_new (job);
  g_autoptr (LwDoubt) doubt = doubt_of (p);
  LwFinding finding = finding_of ();
  const double sizes[][2] = { { 30, 30 }, { 219, 300 }, { 230, 120 }, { 5000, 90 }, { 400, 10 }, { NAN, 50 } };
  const double limits[] = { NAN, 245, 1e9, -INFINITY };

  for (guint i = 0; i < G_N_ELEMENTS (sizes); i++)
    for (guint k = 0; k < G_N_ELEMENTS (limits); k++) {
      Canvas canvas = canvas_new (400, 200);
      LwTornadoPicture picture = { LW_LOOK_DARK, &finding, doubt, sizes[i][0], sizes[i][1] };

      finding.limit = limits[k];
      lw_draw_tornado (canvas.cr, &picture);
      picture.finding = NULL;
      lw_draw_tornado (canvas.cr, &picture);
      g_assert_cmpint (cairo_status (canvas.cr), ==, CAIRO_STATUS_SUCCESS);
      canvas_clear (&canvas);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/doubt-pictures/bands", test_bands);
  g_test_add_func ("/doubt-pictures/hatching", test_hatching);
  g_test_add_func ("/doubt-pictures/tornado-rows", test_tornado_rows);
  g_test_add_func ("/doubt-pictures/tornado-bars", test_tornado_bars);
  g_test_add_func ("/doubt-pictures/tornado-limit", test_tornado_limit);
  g_test_add_func ("/doubt-pictures/tornado-poor", test_tornado_poor);
  return g_test_run ();
}
