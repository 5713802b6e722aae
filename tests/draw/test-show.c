/* A job shown as it runs: the story has no gaps and tells what the curves do; pictures and animation hold what was asked
 * for, read back by libwebp and by cairo. The samples are pictures' subjects, not check values. */
#include <glib/gstdio.h>
#include <math.h>
#include <string.h>
#include <webp/demux.h>

#include "draw/board-painter.h"
#include "draw/show-page.h"
#include "sample.h"

typedef struct {
  LwJob *job;
  LwPrediction *prediction;
  GPtrArray *story;
  LwShowPage page;
  char *folder;
} Bench;

static void
set_up (Bench *b, gconstpointer data)
{
  b->job = sample_job_new ();
  b->prediction = sample_prediction_new (b->job);
  b->story = lw_story_new (b->job, b->prediction);
  b->page = (LwShowPage){ .width = 640, .height = 360, .main = { b->job, 0, b->prediction, NULL, b->story } };
  b->folder = g_dir_make_tmp ("leeward-show-XXXXXX", NULL);
}

static void
tear_down (Bench *b, gconstpointer data)
{
  g_autoptr (GDir) dir = g_dir_open (b->folder, 0, NULL);

  for (const char *name = dir ? g_dir_read_name (dir) : NULL; name; name = g_dir_read_name (dir)) {
    g_autofree char *path = g_build_filename (b->folder, name, NULL);
    g_unlink (path);
  }
  g_rmdir (b->folder);
  g_free (b->folder);
  g_ptr_array_unref (b->story);
  lw_prediction_unref (b->prediction);
  lw_job_unref (b->job);
}

static const LwPassage *
passage (const Bench *b, guint i)
{
  return g_ptr_array_index (b->story, i);
}

static void
test_story (Bench *b, gconstpointer data)
{
  const LwPartTrace *target = g_ptr_array_index (b->prediction->parts, b->prediction->target);
  double end = b->prediction->t_s[b->prediction->n_times - 1];

  g_assert_cmpuint (b->story->len, >=, 3);
  g_assert_cmpfloat (passage (b, 0)->from_s, ==, 0.0);
  for (guint i = 0; i < b->story->len; i++) {
    const LwPassage *p = passage (b, i);

    if (i > 0)
      g_assert_cmpfloat (p->from_s, ==, passage (b, i - 1)->to_s);
    g_assert_cmpfloat (p->to_s, >, p->from_s);
    g_assert_cmpuint (g_utf8_strlen (p->text, -1), >, 20);
    if (p->kind == LW_PASSAGE_LIQUID) /* and what it says is so */
      g_assert_cmpfloat (lw_prediction_at (b->prediction, target->joint_min, 0.5 * (p->from_s + p->to_s)), >=,
                         target->joint_liquidus_c - 0.5);
    if (p->kind == LW_PASSAGE_PREHEAT || p->kind == LW_PASSAGE_GAS)
      g_assert_cmpfloat (lw_prediction_at (b->prediction, target->joint_max, 0.5 * (p->from_s + p->to_s)), <,
                         target->joint_liquidus_c + 0.5);
  }
  g_assert_cmpfloat_with_epsilon (passage (b, b->story->len - 1)->to_s, end, 1e-9);
  g_assert_true (lw_story_at (b->story, 0) == passage (b, 0));
  g_assert_true (lw_story_at (b->story, end + 1) == passage (b, b->story->len - 1));
}

static guint
differing (cairo_surface_t *a, cairo_surface_t *b)
{
  guint n = 0, size = (guint) (cairo_image_surface_get_stride (a) * cairo_image_surface_get_height (a)) / 4;
  const guint32 *pa = (const guint32 *) (gpointer) cairo_image_surface_get_data (a);
  const guint32 *pb = (const guint32 *) (gpointer) cairo_image_surface_get_data (b);

  for (guint i = 0; i < size; i++)
    n += (pa[i] & 0xffffff) != (pb[i] & 0xffffff);
  return n;
}

static cairo_surface_t *
painted (LwShowPainter *painter, double t_s)
{
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, 640, 360);
  cairo_t *cr = cairo_create (surface);

  lw_show_paint (painter, cr, t_s);
  cairo_destroy (cr);
  cairo_surface_flush (surface);
  return surface;
}

/* The same moment is the same picture; another is another; two plans fit beside each other. */
static void
test_page (Bench *b, gconstpointer data)
{
  for (int beside = 0; beside < 2; beside++) {
    b->page.other = beside ? b->page.main : (LwShown){ 0 };
    g_autoptr (LwShowPainter) painter = lw_show_painter_new (&b->page);
    double end = lw_show_end_s (&b->page);
    cairo_surface_t *first = painted (painter, 0.2 * end), *again = painted (painter, 0.2 * end);
    cairo_surface_t *later = painted (painter, 0.7 * end);

    g_assert_cmpuint (differing (first, again), ==, 0);
    g_assert_cmpuint (differing (first, later), >, 500);
    cairo_surface_destroy (first);
    cairo_surface_destroy (again);
    cairo_surface_destroy (later);
  }
}

/* Pixels of the colour that the target's body has at a moment. */
static guint
of_body_color (const Bench *b, cairo_surface_t *surface, double t_s)
{
  const LwPartTrace *target = g_ptr_array_index (b->prediction->parts, b->prediction->target);
  const guchar *data = cairo_image_surface_get_data (surface);
  guint n = 0, size = (guint) (cairo_image_surface_get_stride (surface) * cairo_image_surface_get_height (surface)) / 4;
  LwBoardPicture picture;
  double low, high;
  LwColor c;

  lw_board_picture_init (&picture, b->job);
  picture.prediction = b->prediction;
  lw_board_range (&picture, &low, &high);
  c = lw_heat_color ((lw_prediction_at (b->prediction, target->body_top, t_s) - low) / (high - low), LW_LOOK_LIGHT);
  for (guint i = 0; i < size; i++)
    n += abs (data[4 * i + 2] - (int) (255 * c.r + 0.5)) <= 1 && abs (data[4 * i + 1] - (int) (255 * c.g + 0.5)) <= 1
         && abs (data[4 * i] - (int) (255 * c.b + 0.5)) <= 1;
  return n;
}

/* A body is shown as hot as it is at the moment, not as it was at the beginning. */
static void
test_bodies_follow (Bench *b, gconstpointer data)
{
  g_autoptr (LwShowPainter) painter = lw_show_painter_new (&b->page);
  double hot = 0.7 * lw_show_end_s (&b->page);
  cairo_surface_t *first = painted (painter, 0), *later = painted (painter, hot);

  g_assert_cmpuint (of_body_color (b, first, 0), >, 100);
  g_assert_cmpuint (of_body_color (b, later, hot), >, 100);
  g_assert_cmpuint (of_body_color (b, later, 0), <, 60);
  cairo_surface_destroy (first);
  cairo_surface_destroy (later);
}

static void
test_frames (Bench *b, gconstpointer data)
{
  LwShowFrames frames = { .to_s = 10, .step_s = 5, .folder = b->folder };
  g_autofree char *third = g_build_filename (b->folder, "frame-0003.png", NULL);
  g_autofree char *fourth = g_build_filename (b->folder, "frame-0004.png", NULL);
  g_autoptr (LwShowPainter) painter = lw_show_painter_new (&b->page);
  g_autoptr (GError) error = NULL;
  cairo_surface_t *read, *same;

  g_assert_cmpuint (lw_show_to_files (&b->page, &frames, &error), ==, 3);
  g_assert_no_error (error);
  g_assert_false (g_file_test (fourth, G_FILE_TEST_EXISTS));
  read = cairo_image_surface_create_from_png (third);
  same = painted (painter, 10);
  g_assert_cmpint (cairo_image_surface_get_width (read), ==, 640);
  g_assert_cmpuint (differing (read, same), ==, 0);
  cairo_surface_destroy (read);
  cairo_surface_destroy (same);
}

static void
test_animation (Bench *b, gconstpointer data)
{
  g_autofree char *path = g_build_filename (b->folder, "job.webp", NULL), *bytes = NULL;
  LwShowFrames frames = { .to_s = 60, .step_s = 20, .per_s = 4, .animation = path };
  g_autoptr (GError) error = NULL;
  gsize size;
  WebPData webp;
  WebPAnimDecoder *decoder;
  WebPAnimInfo info;
  guint8 *pixels;
  int stamp = 0;

  g_assert_cmpuint (lw_show_to_files (&b->page, &frames, &error), ==, 4);
  g_assert_no_error (error);
  g_assert_true (g_file_get_contents (path, &bytes, &size, NULL));
  webp = (WebPData){ (const guint8 *) bytes, size };
  decoder = WebPAnimDecoderNew (&webp, NULL);
  g_assert_nonnull (decoder);
  g_assert_true (WebPAnimDecoderGetInfo (decoder, &info));
  g_assert_cmpuint (info.canvas_width, ==, 640);
  g_assert_cmpuint (info.canvas_height, ==, 360);
  g_assert_cmpuint (info.frame_count, ==, 4);
  while (WebPAnimDecoderHasMoreFrames (decoder))
    g_assert_true (WebPAnimDecoderGetNext (decoder, &pixels, &stamp));
  g_assert_cmpint (stamp, ==, 1000); /* four pictures at four a second */
  WebPAnimDecoderDelete (decoder);
}

static gboolean
stop_at_once (double done, gpointer user)
{
  return FALSE;
}

static void
test_refused (Bench *b, gconstpointer data)
{
  g_autofree char *path = g_build_filename (b->folder, "job.webp", NULL), *gif = g_build_filename (b->folder, "a.gif", NULL);
  const LwShowFrames bad[] = {
    { .to_s = 10, .step_s = 0, .folder = b->folder },
    { .to_s = 10, .step_s = NAN, .folder = b->folder },
    { .to_s = -1, .step_s = 1, .folder = b->folder },
    { .to_s = 1e9, .step_s = 1e-3, .folder = b->folder },
    { .to_s = 10, .step_s = 5, .per_s = 4, .animation = gif },
    { .to_s = 10, .step_s = 5, .per_s = 0, .animation = path },
    { .to_s = 10, .step_s = 5, .folder = "/proc/no/such/folder" },
    { .to_s = 10, .step_s = 5, .per_s = 4, .animation = "/proc/no/such.webp" },
    { .to_s = 10, .step_s = 5, .per_s = 4, .animation = path, .progress = stop_at_once },
  };

  for (guint i = 0; i < G_N_ELEMENTS (bad); i++) {
    g_autoptr (GError) error = NULL;

    g_assert_cmpuint (lw_show_to_files (&b->page, &bad[i], &error), ==, 0);
    g_assert_nonnull (error);
  }
  g_assert_false (g_file_test (path, G_FILE_TEST_EXISTS));
}

static gboolean
stop_later (double done, gpointer user)
{
  return done < 0.6;
}

/* The third picture cannot be written, or is one too many: a part of a job does not stay. */
static void
test_no_part (Bench *b, gconstpointer data)
{
  g_autofree char *folder = g_build_filename (b->folder, "part", NULL), *third = g_build_filename (folder, "frame-0003.png", NULL);
  const LwShowFrames stopped = { .to_s = 10, .step_s = 5, .folder = folder, .progress = stop_later };
  const LwShowFrames failing = { .to_s = 15, .step_s = 5, .folder = folder };
  g_autoptr (GError) error = NULL, cancelled = NULL;
  GDir *left;

  g_assert_cmpint (g_mkdir (folder, 0700), ==, 0);
  g_assert_cmpint (g_mkdir (third, 0700), ==, 0);
  g_assert_cmpuint (lw_show_to_files (&b->page, &failing, &error), ==, 0);
  g_assert_nonnull (strstr (error->message, "frame-0003.png"));
  g_assert_cmpint (g_rmdir (third), ==, 0);
  g_assert_cmpuint (lw_show_to_files (&b->page, &stopped, &cancelled), ==, 0);
  g_assert_error (cancelled, G_IO_ERROR, G_IO_ERROR_CANCELLED);
  left = g_dir_open (folder, 0, NULL);
  g_assert_null (g_dir_read_name (left));
  g_dir_close (left);
  g_assert_cmpint (g_rmdir (folder), ==, 0);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
#define SHOW(name, test) g_test_add ("/show/" name, Bench, NULL, set_up, test, tear_down)
  SHOW ("story", test_story);
  SHOW ("page", test_page);
  SHOW ("bodies-follow", test_bodies_follow);
  SHOW ("frames", test_frames);
  SHOW ("animation", test_animation);
  SHOW ("refused", test_refused);
  SHOW ("no-part", test_no_part);
  return g_test_run ();
}
