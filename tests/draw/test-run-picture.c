/* A run over its plan: where times lie, that measured and planned differ without colour, what is hit, poor input. */
#include <math.h>

#include "sample.h"
#include "canvas.h"
#include "draw/run-picture.h"

typedef struct {
  LwJob *job;
  LwRun *run;
  LwBenchReadings should;
  double t_s[200], c[400];
  LwComparison *comparison;
} Sheet;

/* The plan: a trapeze at the first thermocouple, half of it at the second; the run is 10 K below. */
static double
level (double t)
{
  return 25 + (t < 20 ? 0 : t < 150 ? 1.4 * (t - 20) : MAX (182 - 2 * (t - 150), 0));
}

static void
sheet_open (Sheet *s)
{
  LwPlan *plan;

  *s = (Sheet){ .job = sample_job_new (), .run = lw_run_new () };
  plan = lw_job_edit_plan (s->job, s->job->active_plan);
  g_ptr_array_set_size (plan->thermocouples, 0);
  s->run->ref = (g_free (s->run->ref), g_strdup (plan->ref));
  s->should = (LwBenchReadings){ 2, 200, s->t_s, s->c };
  for (guint i = 0; i < 200; i++) {
    s->t_s[i] = i;
    s->c[i] = level (i);
    s->c[200 + i] = 25 + 0.5 * (level (i) - 25);
    g_array_append_val (s->run->t_s, s->t_s[i]);
  }
  for (guint k = 0; k < 2; k++) {
    LwThermocouple *couple = lw_thermocouple_new ();
    LwRunColumn *column = lw_run_column_new ();

    couple->name = (g_free (couple->name), g_strdup (k == 0 ? "A name that is much too long for its column" : "B"));
    column->thermocouple = (g_free (column->thermocouple), g_strdup (couple->name));
    for (guint i = 0; i < 200; i++) {
      double c = i % 50 == 7 ? NAN : s->c[200 * k + i] - 10;
      g_array_append_val (column->c, c);
    }
    g_ptr_array_add (plan->thermocouples, couple);
    g_ptr_array_add (s->run->columns, column);
  }
  s->run->shift_s = 0;
  s->comparison = lw_run_compare (s->job, s->job->active_plan, &s->should, s->run);
}

static void
sheet_close (Sheet *s)
{
  lw_comparison_free (s->comparison);
  lw_run_unref (s->run);
  lw_job_unref (s->job);
}

static LwRunPicture
picture_of (const Sheet *s, double width, double height)
{
  return (LwRunPicture){ .look = LW_LOOK_LIGHT, .job = s->job, .plan = (int) s->job->active_plan, .run = s->comparison,
                         .should = &s->should, .column = -1, .t_s = NAN, .width = width, .height = height };
}

static void
test_time (void)
{
  Sheet s;

  sheet_open (&s);
  LwRunPicture p = picture_of (&s, 800, 300);
  for (double t = 0; t < 200; t += 17)
    g_assert_cmpfloat_with_epsilon (lw_run_time_at (&p, lw_run_x_of (&p, t)), t, 1e-9);
  g_assert_cmpfloat (lw_run_end_s (&p), >=, 199);
  p.end_s = 500; /* held during a drag */
  g_assert_cmpfloat (lw_run_end_s (&p), ==, 500);
  sheet_close (&s);
}

/* In one ink for all, the marks still tell the columns and the run from the plan. */
static void
test_without_colour (void)
{
  Canvas a = canvas_new (60, 60), b = canvas_new (60, 60);
  guint differing;

  for (guint k = 0; k < 2; k++) {
    Canvas *canvas = k == 0 ? &a : &b;

    cairo_set_source_rgb (canvas->cr, 1, 1, 1);
    cairo_paint (canvas->cr);
    lw_draw_run_mark (canvas->cr, 30, 30, 16, k, LW_LOOK_PRINT);
  }
  differing = canvas_differing (&a, &b, 80, FALSE);
  g_assert_cmpuint (differing, >, 60); /* corners of the square stand out of the circle */
  canvas_clear (&a);
  canvas_clear (&b);
}

static void
test_hit (void)
{
  Sheet s;

  sheet_open (&s);
  LwRunPicture p = picture_of (&s, 800, 400);
  double x = lw_run_x_of (&p, 150);
  gboolean seen[2] = { FALSE, FALSE };
  for (double y = 0; y < 400; y += 2) {
    int k = lw_run_hit (&p, x, y);

    if (k >= 0)
      seen[k] = TRUE;
  }
  g_assert_true (seen[0] && seen[1]);
  g_assert_cmpint (lw_run_hit (&p, 5, 200), ==, -1);
  sheet_close (&s);
}

/* The panel of differences holds something, and the picture of a chosen column is another. */
static void
test_painted (void)
{
  Sheet s;

  sheet_open (&s);
  for (guint look = 0; look < 3; look++) {
    LwRunPicture p = picture_of (&s, 640, 260);
    Canvas all = canvas_new (640, 260), one = canvas_new (640, 260), bare = canvas_new (640, 260);

    p.look = look;
    lw_draw_run (all.cr, &p);
    p.column = 1;
    lw_draw_run (one.cr, &p);
    p.run = NULL;
    lw_draw_run (bare.cr, &p);
    g_assert_cmpuint (canvas_differing (&all, &one, 20, FALSE), >, 200);
    g_assert_cmpuint (canvas_differing (&all, &bare, 20, FALSE), >, 2000);
    canvas_clear (&all);
    canvas_clear (&one);
    canvas_clear (&bare);
  }
  sheet_close (&s);
}

/* What the lower panel shows is written outside of it: beside it, or, in a narrow picture, at the end of the last line. */
static void
test_title (void)
{
  const int widths[] = { 640, 360 };
  Sheet s;

  sheet_open (&s);
  for (guint i = 0; i < G_N_ELEMENTS (widths); i++) {
    int w = widths[i], ink = 0;
    LwRunPicture p = picture_of (&s, w, 260);
    Canvas canvas = canvas_new (w, 260);

    lw_draw_run (canvas.cr, &p);
    cairo_surface_flush (canvas.surface);
    for (int y = w == 640 ? 170 : 244; y < 260; y++)
      for (int x = w - 110; x < w - 10; x++)
        ink += pixel_difference (canvas_pixel (&canvas, x, y), canvas_pixel (&canvas, w - 1, 259)) > 60;
    g_assert_cmpint (ink, >, 100);
    canvas_clear (&canvas);
  }
  sheet_close (&s);
}

/* The profile shows what was measured at thermocouples of the plan, and nothing of other columns. */
static void
test_profile (void)
{
  Sheet s;
  LwProfilePicture picture;
  Canvas bare = canvas_new (800, 300), with = canvas_new (800, 300), unknown = canvas_new (800, 300);

  sheet_open (&s);
  lw_profile_picture_init (&picture, s.job, 800, 300);
  picture.show_legend = FALSE;
  lw_draw_profile (bare.cr, &picture);
  picture.run = s.comparison;
  lw_draw_profile (with.cr, &picture);
  for (guint k = 0; k < 2; k++)
    ((LwCompared *) s.comparison->columns->pdata[k])->couple = -1;
  lw_draw_profile (unknown.cr, &picture);
  g_assert_cmpuint (canvas_differing (&bare, &with, 20, FALSE), >, 800);
  g_assert_cmpuint (canvas_differing (&bare, &unknown, 20, FALSE), ==, 0);
  canvas_clear (&bare);
  canvas_clear (&with);
  canvas_clear (&unknown);
  sheet_close (&s);
}

/* No size, no run, a run of gaps alone: nothing is drawn outside, nothing fails. */
static void
test_poor (void)
{
  const double sizes[][2] = { { 0, 0 }, { 30, 41 }, { 2000, 60 }, { 200, 1500 } };
  Sheet s;

  sheet_open (&s);
  for (guint i = 0; i < 200; i++)
    g_array_index (((LwRunColumn *) s.run->columns->pdata[0])->c, double, i) = NAN;
  g_autoptr (LwComparison) gaps = lw_run_compare (s.job, s.job->active_plan, NULL, s.run);
  for (guint i = 0; i < G_N_ELEMENTS (sizes); i++) {
    LwRunPicture p = picture_of (&s, sizes[i][0], sizes[i][1]);
    Canvas canvas = canvas_new (100, 100);

    lw_draw_run (canvas.cr, &p);
    p.run = gaps;
    p.should = NULL;
    lw_draw_run (canvas.cr, &p);
    p.run = NULL;
    lw_draw_run (canvas.cr, &p);
    g_assert_cmpint (cairo_status (canvas.cr), ==, CAIRO_STATUS_SUCCESS);
    canvas_clear (&canvas);
  }
  sheet_close (&s);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/draw/run/time", test_time);
  g_test_add_func ("/draw/run/without-colour", test_without_colour);
  g_test_add_func ("/draw/run/hit", test_hit);
  g_test_add_func ("/draw/run/painted", test_painted);
  g_test_add_func ("/draw/run/title", test_title);
  g_test_add_func ("/draw/run/profile", test_profile);
  g_test_add_func ("/draw/run/poor", test_poor);
  return g_test_run ();
}
