/* The board map as a whole: drawing twice gives the same, from below gives the mirror image, and no job,
 * however poor, brings it down. */
#include <math.h>

#include "sample.h"
#include "canvas.h"
#include "draw/board-painter.h"

typedef struct {
  LwJob *job;
  LwPrediction *prediction;
  GPtrArray *findings;
  LwBoardPicture picture;
} Scene;

static Scene
scene_new (LwLook look)
{
  Scene scene = { .job = sample_job_new () };

  scene.prediction = sample_prediction_new (scene.job);
  scene.findings = sample_findings_new ();
  lw_board_picture_init (&scene.picture, scene.job);
  scene.picture.look = look;
  scene.picture.prediction = scene.prediction;
  scene.picture.findings = scene.findings;
  scene.picture.t_s = 200;
  return scene;
}

static void
scene_clear (Scene *scene)
{
  lw_job_unref (scene->job);
  lw_prediction_unref (scene->prediction);
  g_ptr_array_unref (scene->findings);
}

static LwViewport
fitted (const LwJob *job, double width, double height, LwSide side)
{
  LwViewport view = { .width = width, .height = height, .side = side };

  lw_viewport_fit (&view, lw_board_extent (job), 30);
  return view;
}

static void
test_twice_the_same (void)
{
  for (int look = 0; look < 3; look++) {
    Scene scene = scene_new (look);
    LwViewport view = fitted (scene.job, 700, 460, LW_SIDE_TOP);
    Canvas a = canvas_new (700, 460), b = canvas_new (700, 460);

    lw_draw_board (a.cr, &view, &scene.picture);
    lw_draw_board (b.cr, &view, &scene.picture);
    g_assert_cmpuint (canvas_differing (&a, &b, 0, FALSE), ==, 0);
    g_assert_cmpuint (canvas_colors (&a), >, 60);
    g_assert_cmpint (cairo_status (a.cr), ==, CAIRO_STATUS_SUCCESS);
    canvas_clear (&a);
    canvas_clear (&b);
    scene_clear (&scene);
  }
}

/* With letters of twice the size a picture is that of half the width and height, enlarged: nothing clips or overlaps that does not in
 * the usual one, and the board itself keeps its size. */
static void
test_large_letters (void)
{
  Scene scene = scene_new (LW_LOOK_LIGHT);
  LwViewport view = fitted (scene.job, 800, 520, LW_SIDE_TOP), half = lw_viewport_lettered (&view, 2);
  Canvas usual = canvas_new (800, 520), large = canvas_new (800, 520), enlarged = canvas_new (800, 520);
  double x, y, half_x, half_y;

  lw_draw_board (usual.cr, &view, &scene.picture);
  cairo_scale (enlarged.cr, 2, 2);
  lw_draw_board (enlarged.cr, &half, &scene.picture);
  lw_draw_heat_scale (enlarged.cr, 10, 10, 40, 200, &scene.picture);
  scene.picture.letters = 2;
  lw_draw_board (large.cr, &view, &scene.picture);
  lw_draw_heat_scale (large.cr, 20, 20, 80, 400, &scene.picture);
  g_assert_cmpuint (canvas_differing (&large, &enlarged, 0, FALSE), ==, 0);
  g_assert_cmpuint (canvas_differing (&large, &usual, 0, FALSE), >, 1000);
  lw_viewport_to_picture (&view, 12, 34, &x, &y);
  lw_viewport_to_picture (&half, 12, 34, &half_x, &half_y);
  g_assert_cmpfloat_with_epsilon (x, 2 * half_x, 1e-9);
  g_assert_cmpfloat_with_epsilon (y, 2 * half_y, 1e-9);
  canvas_clear (&usual);
  canvas_clear (&large);
  canvas_clear (&enlarged);
  scene_clear (&scene);
}

static void
test_layers_are_the_whole (void)
{
  Scene scene = scene_new (LW_LOOK_LIGHT);
  LwViewport view = fitted (scene.job, 700, 460, LW_SIDE_TOP);
  Canvas a = canvas_new (700, 460), b = canvas_new (700, 460);
  const guint selected[] = { 2 };

  scene.picture.selected = selected;
  scene.picture.n_selected = 1;
  scene.picture.hovered = 1;
  lw_draw_board (a.cr, &view, &scene.picture);
  lw_draw_board_layers (b.cr, &view, &scene.picture, LW_BOARD_LAYER_GROUND);
  lw_draw_board_layers (b.cr, &view, &scene.picture, LW_BOARD_LAYER_PARTS);
  g_assert_cmpuint (canvas_differing (&a, &b, 0, FALSE), >, 0);
  lw_draw_board_layers (b.cr, &view, &scene.picture, LW_BOARD_LAYER_PLAN);
  lw_draw_board_layers (b.cr, &view, &scene.picture, LW_BOARD_LAYER_OVER);
  g_assert_cmpuint (canvas_differing (&a, &b, 0, FALSE), ==, 0);
  canvas_clear (&a);
  canvas_clear (&b);
  scene_clear (&scene);
}

/* A print is grey in every pixel. */
static void
test_print_is_grey (void)
{
  Scene scene = scene_new (LW_LOOK_PRINT);
  LwViewport view = fitted (scene.job, 500, 330, LW_SIDE_TOP);
  Canvas a = canvas_new (500, 330);

  lw_draw_board (a.cr, &view, &scene.picture);
  cairo_surface_flush (a.surface);
  for (int y = 0; y < 330; y++) {
    for (int x = 0; x < 500; x++) {
      guint32 p = canvas_pixel (&a, x, y);

      g_assert_cmpint (abs ((int) (p & 0xff) - (int) (p >> 16)), <=, 1);
      g_assert_cmpint (abs ((int) (p & 0xff) - (int) ((p >> 8) & 0xff)), <=, 1);
    }
  }
  canvas_clear (&a);
  scene_clear (&scene);
}

/* Plain blocks: no ornament, which would stay upright as a part from below does. */
static LwJob *
block_job_new (LwSide side)
{
  LwJob *job = sample_job_new ();

  g_ptr_array_set_size (job->plans, 0);
  for (guint i = 0; i < job->parts->len; i++) {
    LwPart *part = g_ptr_array_index (job->parts, i);

    part->side = side;
    part->rotation_deg = side == LW_SIDE_TOP ? 30.0 : -30.0; /* a bottom part counts the other way */
  }
  for (guint i = 0; i < job->packages->len; i++) {
    LwPackage *package = g_ptr_array_index (job->packages, i);

    package->kind = LW_KIND_OTHER;
    package->joints.pattern = LW_JOINTS_NONE;
  }
  return job;
}

static void
test_bottom_is_mirror (void)
{
  for (int with_field = 0; with_field < 2; with_field++) {
    g_autoptr (LwJob) top = block_job_new (LW_SIDE_TOP);
    g_autoptr (LwJob) bottom = block_job_new (LW_SIDE_BOTTOM);
    g_autoptr (LwPrediction) p = sample_prediction_new (top);
    LwBoardPicture picture;
    LwViewport view = fitted (top, 700, 460, LW_SIDE_TOP);
    Canvas a = canvas_new (700, 460), b = canvas_new (700, 460);

    for (guint i = 0; i < p->fields->len; i++) {
      LwField *field = g_ptr_array_index (p->fields, i);

      memcpy (field->bottom, field->top, sizeof (float) * p->nx * p->ny);
    }
    lw_board_picture_init (&picture, top);
    picture.show_names = FALSE;
    picture.show_other_side = FALSE;
    picture.show_isotherms = FALSE;
    picture.prediction = with_field ? p : NULL;
    picture.t_s = 200;
    lw_draw_board_layers (a.cr, &view, &picture, LW_BOARD_LAYER_GROUND | LW_BOARD_LAYER_PARTS);
    view.side = LW_SIDE_BOTTOM;
    picture.job = bottom;
    lw_draw_board_layers (b.cr, &view, &picture, LW_BOARD_LAYER_GROUND | LW_BOARD_LAYER_PARTS);
    /* Antialiased edges may round the other way in the mirror: up to a tenth of the grey scale. */
    g_test_message ("field %d: %u pixels differ by more than 25 levels, %u unmirrored", with_field,
                    canvas_differing (&a, &b, 25, TRUE), canvas_differing (&a, &b, 25, FALSE));
    g_assert_cmpuint (canvas_differing (&a, &b, 25, TRUE), ==, 0);
    g_assert_cmpuint (canvas_differing (&a, &b, 25, FALSE), >, 5000);
    canvas_clear (&a);
    canvas_clear (&b);
  }
}

/* The colour at a point is the temperature's there. */
static void
test_field_colors (void)
{
  g_autoptr (LwJob) job = sample_job_new ();
  g_autoptr (LwPrediction) p = sample_prediction_new (job);
  LwBoardPicture picture;
  LwViewport view = fitted (job, 700, 460, LW_SIDE_TOP);
  Canvas a = canvas_new (700, 460);
  const double spots[][2] = { { 20, 80 }, { 60, 90 }, { 140, 50 }, { 50, 15 }, { 90, 10 } };

  g_ptr_array_set_size (job->plans, 0);
  g_ptr_array_set_size (job->parts, 0);
  lw_board_picture_init (&picture, job);
  picture.prediction = p;
  picture.t_s = 200;
  picture.low_c = 20;
  picture.high_c = 280;
  picture.show_isotherms = FALSE;
  lw_draw_board_layers (a.cr, &view, &picture, LW_BOARD_LAYER_GROUND | LW_BOARD_LAYER_PARTS);
  cairo_surface_flush (a.surface);
  for (guint i = 0; i < G_N_ELEMENTS (spots); i++) {
    double px, py, temp_c = lw_prediction_board_c (p, LW_SIDE_TOP, spots[i][0], spots[i][1], 200);
    LwColor c = lw_heat_color ((temp_c - 20) / 260, LW_LOOK_LIGHT);
    guint32 wanted = (guint32) (c.r * 255 + 0.5) << 16 | (guint32) (c.g * 255 + 0.5) << 8 | (guint32) (c.b * 255 + 0.5);

    lw_viewport_to_picture (&view, spots[i][0], spots[i][1], &px, &py);
    g_assert_cmpint (pixel_difference (canvas_pixel (&a, (int) px, (int) py), wanted), <=, 5);
  }
  canvas_clear (&a);
}

static void
draw_all (const LwJob *job, LwPrediction *prediction, const GPtrArray *findings, const LwViewport *view)
{
  Canvas canvas = canvas_new (64, 48);

  for (int look = 0; look < 3; look++) {
    LwBoardPicture picture;

    lw_board_picture_init (&picture, job);
    picture.look = look;
    picture.prediction = prediction;
    picture.findings = findings;
    picture.show_grid = TRUE;
    picture.t_s = look == 1 ? NAN : 50;
    lw_draw_board (canvas.cr, view, &picture);
    lw_draw_heat_scale (canvas.cr, 0, 0, view->width, view->height, &picture);
    g_assert_cmpint (cairo_status (canvas.cr), ==, CAIRO_STATUS_SUCCESS);
  }
  canvas_clear (&canvas);
}

static const LwViewport odd_views[] = {
  { 0, 0, 0, 0, 1, LW_SIDE_TOP },          { 1, 1, 0, 0, 1, LW_SIDE_BOTTOM },
  { 64, 48, 80, 50, 0.2, LW_SIDE_TOP },    { 64, 48, 80, 50, 400, LW_SIDE_TOP },
  { 64, 48, 1e9, -1e9, 400, LW_SIDE_TOP }, { 64, 48, NAN, 0, 1, LW_SIDE_TOP },
  { 64, 48, 0, 0, 0, LW_SIDE_TOP },        { -5, 48, 0, 0, 1, LW_SIDE_TOP },
  { 5000, 3, 80, 50, 3, LW_SIDE_BOTTOM },  { 64, 48, 80, 50, INFINITY, LW_SIDE_TOP },
};

static void
test_odd_views (void)
{
  Scene scene = scene_new (LW_LOOK_LIGHT);

  for (guint i = 0; i < G_N_ELEMENTS (odd_views); i++)
    draw_all (scene.job, scene.prediction, scene.findings, &odd_views[i]);
  scene_clear (&scene);
}

static void
test_empty_job (void)
{
  g_autoptr (LwJob) job = lw_job_new ();
  LwBox box;

  g_ptr_array_set_size (job->board->outline, 0);
  for (guint i = 0; i < G_N_ELEMENTS (odd_views); i++)
    draw_all (job, NULL, NULL, &odd_views[i]);
  box = lw_board_extent (job);
  g_assert_cmpfloat (box.x1_mm, >, box.x0_mm);
  g_assert_cmpfloat (box.y1_mm, >, box.y0_mm);
  draw_all (NULL, NULL, NULL, &odd_views[2]);
}

static void
spoil (LwJob *job, double value)
{
  for (guint i = 0; i < job->parts->len; i++) {
    LwPart *part = g_ptr_array_index (job->parts, i);

    part->x_mm = i % 3 == 0 ? value : part->x_mm;
    part->rotation_deg = i % 3 == 1 ? value : 0;
    if (i % 7 == 0) {
      g_free (part->package);
      part->package = g_strdup ("nobody knows");
    }
    part->placed = i % 11 != 0;
  }
  for (guint i = 0; i < job->packages->len; i++) {
    LwPackage *package = g_ptr_array_index (job->packages, i);

    package->length_mm = i % 2 ? value : 0;
    package->joints.pitch_mm = value;
  }
}

static void
test_spoilt_jobs (void)
{
  const double values[] = { 1e12, -1e12, 1e-12, 0.0, NAN, INFINITY };

  for (guint k = 0; k < G_N_ELEMENTS (values); k++) {
    Scene scene = scene_new (LW_LOOK_LIGHT);
    LwPlan *plan = g_ptr_array_index (scene.job->plans, 0);

    spoil (scene.job, values[k]);
    plan->preheat_length_mm = plan->preheat_x_mm = plan->nozzle_dx_mm = values[k];
    for (guint i = 0; i < 4; i++)
      draw_all (scene.job, scene.prediction, scene.findings, &odd_views[i]);
    scene_clear (&scene);
  }
}

static void
test_spoilt_predictions (void)
{
  for (int kind = 0; kind < 4; kind++) {
    Scene scene = scene_new (LW_LOOK_DARK);
    LwField *field = g_ptr_array_index (scene.prediction->fields, 5);

    for (guint i = 0; i < scene.prediction->nx * scene.prediction->ny; i++)
      field->top[i] = kind == 0 ? NAN : kind == 1 ? 150.0f : kind == 2 ? 1e30f : (i % 2 ? INFINITY : 20.0f);
    if (kind == 3)
      g_ptr_array_set_size (scene.prediction->fields, 0);
    draw_all (scene.job, scene.prediction, scene.findings, &odd_views[2]);
    scene_clear (&scene);
  }
}

/* Names and isotherm figures together: none on another, nor on a flag or mark. */
static void
test_words_do_not_overlap (void)
{
  for (double scale = 2.0; scale < 40.0; scale *= 1.7) {
    Scene scene = scene_new (LW_LOOK_LIGHT);
    LwViewport view = { 1000, 640, 82, 52, scale, LW_SIDE_TOP };
    Canvas canvas = canvas_new (1000, 640);
    LwBoardPainter painter;
    guint fixed;

    lw_board_painter_begin (&painter, canvas.cr, &view, &scene.picture);
    lw_board_paint_scale_bar (&painter);
    lw_board_paint_nozzle (&painter);
    lw_board_paint_marks (&painter);
    lw_board_paint_thermocouples (&painter);
    fixed = painter.taken->len;
    lw_board_paint_names (&painter);
    g_assert_cmpuint (painter.taken->len, >, fixed);
    lw_board_paint_isotherm_figures (&painter);
    for (guint i = fixed; i < painter.taken->len; i++) {
      for (guint j = 0; j < i; j++)
        g_assert_false (lw_boxes_overlap (&g_array_index (painter.taken, LwBox, i),
                                          &g_array_index (painter.taken, LwBox, j)));
    }
    lw_board_painter_end (&painter);
    canvas_clear (&canvas);
    scene_clear (&scene);
  }
}

/* Marks of parts that lie over one another, on both sides of the board, are seen beside each other. */
static void
test_marks_do_not_overlap (void)
{
  for (double scale = 4.0; scale < 30.0; scale *= 1.9) {
    Scene scene = scene_new (LW_LOOK_LIGHT);
    LwViewport view = { 1000, 640, 82, 52, scale, LW_SIDE_TOP };
    Canvas canvas = canvas_new (1000, 640);
    LwBoardPainter painter;
    int over = lw_job_find_part (scene.job, "U2"), under = lw_job_find_part (scene.job, "J1");
    const LwPart *place = g_ptr_array_index (scene.job->parts, over);
    LwPart *moved = lw_job_edit_part (scene.job, (guint) under);

    moved->side = place->side == LW_SIDE_TOP ? LW_SIDE_BOTTOM : LW_SIDE_TOP;
    moved->package = (g_free (moved->package), g_strdup (place->package));
    moved->x_mm = view.center_x_mm = place->x_mm;
    moved->y_mm = view.center_y_mm = place->y_mm;
    moved->rotation_deg = place->rotation_deg;
    scene.picture.show_other_side = TRUE;
    lw_board_painter_begin (&painter, canvas.cr, &view, &scene.picture);
    lw_board_paint_marks (&painter);
    g_assert_cmpuint (painter.taken->len, >=, 2);
    for (guint i = 0; i < painter.taken->len; i++) {
      for (guint j = 0; j < i; j++)
        g_assert_false (lw_boxes_overlap (&g_array_index (painter.taken, LwBox, i),
                                          &g_array_index (painter.taken, LwBox, j)));
    }
    lw_board_painter_end (&painter);
    canvas_clear (&canvas);
    scene_clear (&scene);
  }
}

/* A preheat area somewhat larger than the board comes into the picture, a far larger one does not. */
static void
test_scene (void)
{
  g_autoptr (LwJob) job = sample_job_new ();
  LwPlan *plan = g_ptr_array_index (job->plans, 0);
  LwBox box;

  plan->preheat_length_mm = 180;
  box = lw_board_scene (job, 0);
  g_assert_cmpfloat_with_epsilon (box.x0_mm, -10, 1e-9);
  g_assert_cmpfloat_with_epsilon (box.x1_mm, 170, 1e-9);
  g_assert_cmpfloat_with_epsilon (lw_board_scene (job, -1).x0_mm, 0, 1e-9);
  plan->preheat_length_mm = 400;
  g_assert_cmpfloat_with_epsilon (lw_board_scene (job, 0).x0_mm, 0, 1e-9);
}

static void
test_extent (void)
{
  g_autoptr (LwJob) job = sample_small_job_new ();
  LwPart *part = g_ptr_array_index (job->parts, 0);
  LwBox box = lw_board_extent (job);

  g_assert_cmpfloat (box.x0_mm, ==, 0);
  g_assert_cmpfloat (box.x1_mm, ==, 60);
  part->x_mm = -20; /* a 14 mm body */
  box = lw_board_extent (job);
  g_assert_cmpfloat_with_epsilon (box.x0_mm, -27, 1e-9);
  part->placed = FALSE;
  box = lw_board_extent (job);
  g_assert_cmpfloat (box.x0_mm, ==, 0);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/draw/board/twice-the-same", test_twice_the_same);
  g_test_add_func ("/draw/board/large-letters", test_large_letters);
  g_test_add_func ("/draw/board/layers-are-the-whole", test_layers_are_the_whole);
  g_test_add_func ("/draw/board/print-is-grey", test_print_is_grey);
  g_test_add_func ("/draw/board/bottom-is-mirror", test_bottom_is_mirror);
  g_test_add_func ("/draw/board/field-colors", test_field_colors);
  g_test_add_func ("/draw/board/odd-views", test_odd_views);
  g_test_add_func ("/draw/board/empty-job", test_empty_job);
  g_test_add_func ("/draw/board/spoilt-jobs", test_spoilt_jobs);
  g_test_add_func ("/draw/board/spoilt-predictions", test_spoilt_predictions);
  g_test_add_func ("/draw/board/words-do-not-overlap", test_words_do_not_overlap);
  g_test_add_func ("/draw/board/marks-do-not-overlap", test_marks_do_not_overlap);
  g_test_add_func ("/draw/board/extent", test_extent);
  g_test_add_func ("/draw/board/scene", test_scene);
  return g_test_run ();
}
