/* The profile: mapping, set-point lines, handles, the label column, and poor input. */
#include <cairo-pdf.h>
#include <glib/gstdio.h>
#include <math.h>

#include "sample.h"
#include "canvas.h"
#include "draw/profile-painter.h"

static void
test_mapping (void)
{
  g_autoptr (LwJob) job = sample_job_new ();
  const double sizes[][2] = { { 900, 260 }, { 300, 120 }, { 1600, 420 } };

  for (guint k = 0; k < G_N_ELEMENTS (sizes); k++) {
    LwProfilePicture picture;

    lw_profile_picture_init (&picture, job, sizes[k][0], sizes[k][1]);
    for (double t = 0; t <= 270; t += 13.7)
      g_assert_cmpfloat_with_epsilon (lw_profile_time_at (&picture, lw_profile_x_of (&picture, t)), t, 1e-9);
    for (double c = 0; c <= 300; c += 21.3)
      g_assert_cmpfloat_with_epsilon (lw_profile_temp_at (&picture, lw_profile_y_of (&picture, c)), c, 1e-9);
    g_assert_cmpfloat (lw_profile_x_of (&picture, 270), >, lw_profile_x_of (&picture, 0));
    g_assert_cmpfloat (lw_profile_y_of (&picture, 300), <, lw_profile_y_of (&picture, 0));
    g_assert_cmpfloat (lw_profile_x_of (&picture, 270), <=, sizes[k][0]);
    g_assert_cmpfloat (lw_profile_y_of (&picture, 300), >=, 0);
  }
}

/* With letters of twice the size the picture is one of half the size, enlarged, and pointers find what they see. */
static void
test_large_letters (void)
{
  g_autoptr (LwJob) job = sample_job_new ();
  Canvas large = canvas_new (900, 400), enlarged = canvas_new (900, 400);
  LwProfilePicture picture, half;
  guint stage = 99;

  lw_profile_picture_init (&picture, job, 900, 400);
  lw_profile_picture_init (&half, job, 450, 200);
  picture.letters = 2;
  lw_draw_profile (large.cr, &picture);
  cairo_scale (enlarged.cr, 2, 2);
  lw_draw_profile (enlarged.cr, &half);
  g_assert_cmpuint (canvas_differing (&large, &enlarged, 0, FALSE), ==, 0);
  g_assert_cmpfloat_with_epsilon (lw_profile_x_of (&picture, 100), 2 * lw_profile_x_of (&half, 100), 1e-9);
  g_assert_cmpfloat_with_epsilon (lw_profile_time_at (&picture, lw_profile_x_of (&picture, 100)), 100, 1e-9);
  g_assert_cmpfloat_with_epsilon (lw_profile_temp_at (&picture, lw_profile_y_of (&picture, 200)), 200, 1e-9);
  for (double x = 3; x < 900; x += 17)
    g_assert_cmpint (lw_profile_hit (&picture, x, 180, &stage), ==, lw_profile_hit (&half, x / 2, 90, NULL));
  canvas_clear (&large);
  canvas_clear (&enlarged);
}

/* Preheat ramps from the room's 23 C, soak holds, reflow ramps from the soak's level, cooling is off. */
static void
test_set_lines (void)
{
  g_autoptr (LwJob) job = sample_job_new ();
  LwProfilePicture picture;
  g_autoptr (GArray) lines = NULL;
  const LwSetLine *line;

  lw_profile_picture_init (&picture, job, 900, 260);
  lines = lw_profile_set_lines (&picture);
  g_assert_cmpuint (lines->len, ==, 4);
  line = &g_array_index (lines, LwSetLine, 0);
  g_assert_cmpfloat (line->warm0_c, ==, 23);
  g_assert_cmpfloat (line->warm1_c, ==, 150);
  g_assert_true (isnan (line->gas0_c) && isnan (line->gas1_c));
  line = &g_array_index (lines, LwSetLine, 1);
  g_assert_cmpfloat (line->t0_s, ==, 90);
  g_assert_cmpfloat (line->gas0_c, ==, 220);
  line = &g_array_index (lines, LwSetLine, 2);
  g_assert_cmpfloat (line->gas0_c, ==, 220);
  g_assert_cmpfloat (line->gas1_c, ==, 300);
  g_assert_cmpfloat (line->warm0_c, ==, 150);
  line = &g_array_index (lines, LwSetLine, 3);
  g_assert_true (isnan (line->gas1_c));
  g_assert_cmpfloat (line->t1_s, ==, 270);
}

static void
test_pulls (void)
{
  g_autoptr (LwJob) job = sample_job_new ();
  LwProfilePicture p;
  guint stage = 99;

  lw_profile_picture_init (&p, job, 900, 260);
  p.t_s = 40;
  /* The soak is held: its handle is in the middle; a ramp's is at its end. */
  g_assert_cmpint (lw_profile_hit (&p, lw_profile_x_of (&p, 120), lw_profile_y_of (&p, 220), &stage), ==, LW_PULL_GAS);
  g_assert_cmpuint (stage, ==, 1);
  g_assert_cmpint (lw_profile_hit (&p, lw_profile_x_of (&p, 120) + 6, lw_profile_y_of (&p, 150), &stage), ==,
                   LW_PULL_PREHEAT);
  g_assert_cmpuint (stage, ==, 1);
  g_assert_cmpint (lw_profile_hit (&p, lw_profile_x_of (&p, 210), lw_profile_y_of (&p, 300), &stage), ==, LW_PULL_GAS);
  g_assert_cmpuint (stage, ==, 2);
  g_assert_cmpint (lw_profile_hit (&p, lw_profile_x_of (&p, 150), lw_profile_y_of (&p, 60), &stage), ==,
                   LW_PULL_STAGE_END);
  g_assert_cmpuint (stage, ==, 1);
  g_assert_cmpint (lw_profile_hit (&p, lw_profile_x_of (&p, 40), lw_profile_y_of (&p, 250), &stage), ==,
                   LW_PULL_CURSOR);
  g_assert_cmpint (lw_profile_hit (&p, lw_profile_x_of (&p, 133), lw_profile_y_of (&p, 0) + 9, &stage), ==,
                   LW_PULL_CURSOR); /* the time axis */
  g_assert_cmpint (lw_profile_hit (&p, lw_profile_x_of (&p, 60), lw_profile_y_of (&p, 250), &stage), ==, LW_PULL_NONE);
  g_assert_cmpint (lw_profile_hit (&p, -50, -50, &stage), ==, LW_PULL_NONE);
  g_assert_cmpint (lw_profile_hit (&p, NAN, NAN, NULL), ==, LW_PULL_NONE);
}

static void
add_label (GArray *labels, double y, int priority)
{
  LwColumnLabel label = { .y_wanted = y, .priority = priority, .text = g_strdup ("x") };

  g_array_append_val (labels, label);
}

static void
free_labels (GArray *labels)
{
  for (guint i = 0; i < labels->len; i++)
    g_free (g_array_index (labels, LwColumnLabel, i).text);
  g_array_unref (labels);
}

static void
test_column_spread (void)
{
  for (int seed = 1; seed <= 40; seed++) {
    GRand *rand = g_rand_new_with_seed (seed);
    GArray *labels = g_array_new (FALSE, FALSE, sizeof (LwColumnLabel));
    guint n = 2 + seed % 14;

    for (guint i = 0; i < n; i++)
      add_label (labels, g_rand_double_range (rand, 10, seed % 2 ? 200 : 40), (int) i);
    lw_column_spread (labels, 10, 200, 13);
    g_assert_cmpuint (labels->len, ==, MIN (n, 15));
    for (guint i = 0; i < labels->len; i++) {
      const LwColumnLabel *label = &g_array_index (labels, LwColumnLabel, i);

      g_assert_cmpfloat (label->y, >=, 10 - 1e-6);
      g_assert_cmpfloat (label->y, <=, 200 + 1e-6);
      if (i > 0) {
        g_assert_cmpfloat (label->y - label[-1].y, >=, 13 - 1e-6);
        g_assert_cmpfloat (label->y_wanted, >=, label[-1].y_wanted);
      }
    }
    free_labels (labels);
    g_rand_free (rand);
  }
}

/* Labels with room stay where they belong; without, the least go. */
static void
test_column_room (void)
{
  GArray *labels = g_array_new (FALSE, FALSE, sizeof (LwColumnLabel));

  add_label (labels, 50, 1);
  add_label (labels, 100, 2);
  lw_column_spread (labels, 10, 200, 13);
  g_assert_cmpfloat (g_array_index (labels, LwColumnLabel, 0).y, ==, 50);
  g_assert_cmpfloat (g_array_index (labels, LwColumnLabel, 1).y, ==, 100);
  lw_column_spread (labels, 10, 20, 13);
  g_assert_cmpuint (labels->len, ==, 1);
  g_assert_cmpint (g_array_index (labels, LwColumnLabel, 0).priority, ==, 2);
  lw_column_spread (labels, 10, 5, 13);
  g_assert_cmpuint (labels->len, ==, 0);
  free_labels (labels);
}

/* Long references get a wider column, within a third of the picture. */
static void
test_column_width (void)
{
  g_autoptr (LwJob) job = sample_job_new ();
  LwPlan *plan = g_ptr_array_index (job->plans, 0);
  LwProfilePicture picture;
  LwProfileLayout before, after;

  lw_profile_picture_init (&picture, job, 640, 260);
  lw_profile_layout (&picture, &before);
  plan->ref = (g_free (plan->ref), g_strdup ("CONNECTOR_17"));
  lw_profile_layout (&picture, &after);
  g_assert_cmpfloat (after.column, >, before.column + 20);
  plan->ref = (g_free (plan->ref), g_strnfill (400, 'W'));
  lw_profile_layout (&picture, &after);
  g_assert_cmpfloat (after.column, <=, 640 / 3.0);
}

/* Words that do not fit are cut, with a sign of it, and then do. */
static void
test_cut (void)
{
  Canvas canvas = canvas_new (10, 10);
  LwLettering type;
  double w, h;

  lw_letter_begin (&type, canvas.cr);
  lw_letter_face (&type, 10, FALSE);
  for (double room = 500; room > 0; room -= 7) {
    g_autofree char *cut = lw_letter_cut (&type, "Überlange Bezeichnung eines Fühlers", room);

    lw_letter_measure (&type, cut, &w, &h);
    g_assert_true (w <= room || *cut == '\0');
    g_assert_true (g_utf8_validate (cut, -1, NULL));
    if (room == 500)
      g_assert_cmpstr (cut, ==, "Überlange Bezeichnung eines Fühlers");
    else if (w > 0 && room < 100)
      g_assert_true (g_str_has_suffix (cut, "…"));
  }
  lw_letter_end (&type);
  canvas_clear (&canvas);
}

/* A low picture has no line for a legend: the set lines bear their names. */
static void
test_low (void)
{
  g_autoptr (LwJob) job = sample_job_new ();
  g_autoptr (LwPrediction) p = sample_prediction_new (job);
  const double heights[] = { 150, 120 };

  for (guint i = 0; i < G_N_ELEMENTS (heights); i++) {
    LwProfilePicture picture;
    Canvas with = canvas_new (640, 150), without = canvas_new (640, 150);

    lw_profile_picture_init (&picture, job, 640, heights[i]);
    picture.prediction = p;
    lw_draw_profile (with.cr, &picture);
    picture.show_legend = FALSE;
    lw_draw_profile (without.cr, &picture);
    g_assert_cmpuint (canvas_differing (&with, &without, 40, FALSE), >, 100);
    canvas_clear (&with);
    canvas_clear (&without);
  }
}

/* What is written in a picture, as poppler reads it from a PDF of it. */
static char *
words_of (const LwProfilePicture *picture)
{
  g_autofree char *dir = g_dir_make_tmp ("profile-XXXXXX", NULL), *path = g_build_filename (dir, "picture.pdf", NULL);
  cairo_surface_t *surface = cairo_pdf_surface_create (path, picture->width, picture->height);
  cairo_t *cr = cairo_create (surface);
  const char *argv[] = { "pdftotext", "-layout", path, "-", NULL };
  char *words = NULL;
  int status = -1;

  lw_draw_profile (cr, picture);
  cairo_destroy (cr);
  cairo_surface_finish (surface);
  cairo_surface_destroy (surface);
  g_assert_true (g_spawn_sync (NULL, (char **) argv, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL, &words, NULL, &status, NULL));
  g_assert_cmpint (status, ==, 0);
  g_unlink (path);
  g_rmdir (dir);
  return words;
}

/* A pane at its least with letters of twice the size has neither a column nor a legend: every curve is named all the same,
 * and what they are at the cursor's moment is told without a box over them. */
static void
test_small (void)
{
  static const char *const names[] = { "Gas set", "Preheat set", "liquidus", "joints", "Joints ", "Body " };
  g_autoptr (LwJob) job = sample_job_new ();
  g_autoptr (LwPrediction) p = sample_prediction_new (job);
  LwProfilePicture picture;
  LwProfileLayout layout;

  lw_profile_picture_init (&picture, job, 600, 230);
  picture.letters = 2;
  picture.prediction = p;
  picture.t_s = 150;
  for (guint left = 0; left < 2; left++) {
    g_autofree char *words = words_of (&picture);
    LwProfilePicture lettered = lw_profile_lettered (&picture);

    lw_profile_layout (&lettered, &layout);
    g_assert_true (layout.small);
    for (guint i = 0; i < G_N_ELEMENTS (names); i++)
      g_assert_nonnull (strstr (words, names[i]));
    picture.look = LW_LOOK_DARK;
  }
  picture.t_s = NAN; /* no moment: the strip is the stages' again */
  {
    g_autofree char *words = words_of (&picture);

    g_assert_nonnull (strstr (words, ((LwStage *) g_ptr_array_index (lw_profile_plan (&picture)->stages, 0))->name));
    g_assert_null (strstr (words, "Joints "));
  }
}

static void
test_twice_the_same (void)
{
  g_autoptr (LwJob) job = sample_job_new ();
  g_autoptr (LwPrediction) p = sample_prediction_new (job);
  g_autoptr (GPtrArray) findings = sample_findings_new ();

  for (int look = 0; look < 3; look++) {
    LwProfilePicture picture;
    Canvas a = canvas_new (900, 260), b = canvas_new (900, 260), c = canvas_new (900, 260);

    lw_profile_picture_init (&picture, job, 900, 260);
    picture.look = look;
    picture.prediction = p;
    picture.findings = findings;
    picture.t_s = 130;
    lw_draw_profile (a.cr, &picture);
    lw_draw_profile (b.cr, &picture);
    g_assert_cmpuint (canvas_differing (&a, &b, 0, FALSE), ==, 0);
    g_assert_cmpuint (canvas_colors (&a), >, 30);
    picture.prediction = NULL;
    lw_draw_profile (c.cr, &picture);
    g_assert_cmpuint (canvas_differing (&a, &c, 20, FALSE), >, 500);
    canvas_clear (&a);
    canvas_clear (&b);
    canvas_clear (&c);
  }
}

static void
draw_sizes (const LwProfilePicture *like)
{
  const double sizes[][2] = { { 0, 0 }, { 1, 1 }, { 30, 500 }, { 500, 30 }, { 640, 200 }, { NAN, 100 }, { -4, 9 } };
  Canvas canvas = canvas_new (64, 48);

  for (guint i = 0; i < G_N_ELEMENTS (sizes); i++) {
    LwProfilePicture picture = *like;

    picture.width = sizes[i][0];
    picture.height = sizes[i][1];
    lw_draw_profile (canvas.cr, &picture);
    lw_profile_hit (&picture, 10, 10, NULL);
    g_assert_cmpint (cairo_status (canvas.cr), ==, CAIRO_STATUS_SUCCESS);
  }
  canvas_clear (&canvas);
}

static void
test_poor_input (void)
{
  g_autoptr (LwJob) job = sample_job_new ();
  g_autoptr (LwJob) empty = lw_job_new ();
  g_autoptr (LwPrediction) p = sample_prediction_new (job);
  LwPlan *plan = g_ptr_array_index (job->plans, 0);
  const double values[] = { NAN, 1e12, -1e12, 0.0, INFINITY };
  LwProfilePicture picture;

  lw_profile_picture_init (&picture, empty, 1, 1);
  draw_sizes (&picture);
  lw_profile_picture_init (&picture, NULL, 1, 1);
  draw_sizes (&picture);
  for (guint k = 0; k < G_N_ELEMENTS (values); k++) {
    LwStage *stage = g_ptr_array_index (plan->stages, 1);

    stage->gas_c = stage->preheat_c = values[k];
    stage->duration_s = values[k];
    p->gas_c[3] = values[k];
    ((LwPartTrace *) g_ptr_array_index (p->parts, 0))->joint_mean[7] = values[k];
    ((LwPartTrace *) g_ptr_array_index (p->parts, 0))->joint_peak_c = values[k];
    lw_profile_picture_init (&picture, job, 1, 1);
    picture.prediction = p;
    picture.t_s = values[k];
    picture.selected_part = k == 2 ? 9999 : (int) k;
    picture.selected_stage = 77;
    picture.n_neighbours = 500;
    draw_sizes (&picture);
  }
  g_ptr_array_set_size (plan->stages, 0);
  lw_profile_picture_init (&picture, job, 1, 1);
  draw_sizes (&picture);
}

static void
test_table (void)
{
  g_autoptr (LwJob) job = sample_job_new ();
  LwPlan *plan = g_ptr_array_index (job->plans, 0);
  const LwKnot knots[] = { { 0, NAN, 150 }, { 120, NAN, 150 }, { 120, 240, 150 }, { 210, 240, 150 } };
  LwProfilePicture picture;
  g_autoptr (GArray) lines = NULL;

  plan->table = g_array_new (FALSE, FALSE, sizeof (LwKnot));
  g_array_append_vals (plan->table, knots, 4);
  lw_profile_picture_init (&picture, job, 640, 240);
  lines = lw_profile_set_lines (&picture);
  g_assert_cmpuint (lines->len, ==, 3);
  g_assert_cmpfloat_with_epsilon (lw_profile_time_at (&picture, lw_profile_x_of (&picture, 210)), 210, 1e-9);
  /* A prescribed table is not dragged. */
  g_assert_cmpint (lw_profile_hit (&picture, lw_profile_x_of (&picture, 165), lw_profile_y_of (&picture, 240), NULL),
                   ==, LW_PULL_NONE);
  draw_sizes (&picture);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/draw/profile/mapping", test_mapping);
  g_test_add_func ("/draw/profile/large-letters", test_large_letters);
  g_test_add_func ("/draw/profile/set-lines", test_set_lines);
  g_test_add_func ("/draw/profile/pulls", test_pulls);
  g_test_add_func ("/draw/profile/column-spread", test_column_spread);
  g_test_add_func ("/draw/profile/column-room", test_column_room);
  g_test_add_func ("/draw/profile/column-width", test_column_width);
  g_test_add_func ("/draw/profile/cut", test_cut);
  g_test_add_func ("/draw/profile/low", test_low);
  g_test_add_func ("/draw/profile/small", test_small);
  g_test_add_func ("/draw/profile/twice-the-same", test_twice_the_same);
  g_test_add_func ("/draw/profile/poor-input", test_poor_input);
  g_test_add_func ("/draw/profile/table", test_table);
  return g_test_run ();
}
