/* Prints what a moment of a job costs to paint when it is shown (processor time), beside the limit of 30 pictures a second.
 *   bench-show JOB */
#include <math.h>
#include <stdio.h>
#include <time.h>

#include "board/job-file.h"
#include "draw/show-page.h"

#define LIMIT_MS (1000.0 / 30.0)
#define MOMENTS 120

static double
now_ms (void)
{
  struct timespec t;

  clock_gettime (CLOCK_THREAD_CPUTIME_ID, &t);
  return t.tv_sec * 1e3 + t.tv_nsec * 1e-6;
}

static int
by_value (const void *a, const void *b)
{
  return *(const double *) a < *(const double *) b ? -1 : *(const double *) a > *(const double *) b;
}

static void
measure (const LwShowPage *page, const char *what)
{
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, (int) page->width, (int) page->height);
  cairo_t *cr = cairo_create (surface);
  double began = now_ms (), ms[MOMENTS];
  LwShowPainter *painter = lw_show_painter_new (page);
  double once = now_ms () - began;

  for (int i = 0; i < MOMENTS; i++) {
    began = now_ms ();
    lw_show_paint (painter, cr, lw_show_end_s (page) * i / (MOMENTS - 1));
    ms[i] = now_ms () - began;
  }
  qsort (ms, MOMENTS, sizeof *ms, by_value);
  printf ("%-10s %4.0f x %-4.0f  once %5.1f ms, a moment: median %5.1f, 95 %% %5.1f, longest %5.1f ms (limit %.1f)\n", what,
          page->width, page->height, once, ms[MOMENTS / 2], ms[MOMENTS * 95 / 100], ms[MOMENTS - 1], LIMIT_MS);
  lw_show_painter_free (painter);
  cairo_destroy (cr);
  cairo_surface_destroy (surface);
}

int
main (int argc, char **argv)
{
  g_autoptr (GFile) file = g_file_new_for_path (argc > 1 ? argv[1] : "");
  g_autoptr (GError) error = NULL;
  g_autoptr (LwJob) job = lw_job_load (file, NULL, &error);
  LwPredictOptions options = { .no_doubt = TRUE };
  g_autoptr (LwPrediction) prediction = job != NULL ? lw_predict (job, 0, &options, NULL, NULL, NULL, &error) : NULL;
  g_autoptr (GPtrArray) story = NULL, findings = NULL;
  static const double sizes[][2] = { { 1280, 720 }, { 1920, 1080 } };

  if (prediction == NULL) {
    fprintf (stderr, "%s\n", error->message);
    return 1;
  }
  story = lw_story_new (job, prediction);
  findings = lw_judge (job, 0, prediction);
  for (guint i = 0; i < G_N_ELEMENTS (sizes); i++) {
    LwShowPage page = { .width = sizes[i][0], .height = sizes[i][1], .main = { job, 0, prediction, findings, story } };

    measure (&page, "one plan");
    page.other = page.main;
    measure (&page, "two plans");
  }
  return 0;
}
